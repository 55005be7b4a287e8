"""Modbus devices for tests: the library's own server, behind a socket or a pseudo terminal, in a thread of
its own. It can be slow, refuse, fall silent, die, and come back."""

import asyncio
import os
import select
import struct
import threading
import time
import tty
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

from pymodbus.datastore import ModbusDeviceContext, ModbusSequentialDataBlock, ModbusServerContext
from pymodbus.pdu import ExceptionResponse, ModbusPDU
from pymodbus.server import ModbusSerialServer, ModbusTcpServer

WAIT_S = 10.0


def words_of(form: str, *numbers: float) -> list[int]:
    """Return registers, most significant byte first."""
    data = struct.pack(f">{form}", *numbers)
    return list(struct.unpack(f">{len(data) // 2}H", data))


class Device:
    """Stations with input and holding registers. `late_s`: how long each answer is kept back; `refuses`: the
    exception code of every answer; `asked`: function codes of all that was asked."""

    def __init__(self, *stations: int, inputs: list[int], holding: list[int] | None = None) -> None:
        self.late_s = 0.0
        self.refuses = 0
        self.asked: list[int] = []
        self._inputs = inputs
        self._stations = stations or (1,)
        self._holding = holding or [0]

    def _context(self) -> ModbusServerContext:
        devices = {
            station: ModbusDeviceContext(
                ir=ModbusSequentialDataBlock(1, self._inputs),
                hr=ModbusSequentialDataBlock(1, self._holding),
            )
            for station in self._stations
        }
        return ModbusServerContext(devices=devices, single=False)

    def _traced(self, sending: bool, pdu: ModbusPDU) -> ModbusPDU:
        if not sending:
            self.asked.append(pdu.function_code)
            return pdu
        time.sleep(self.late_s)
        if not self.refuses:
            return pdu
        refusal = ExceptionResponse(pdu.function_code & 0x7F, self.refuses)
        refusal.dev_id, refusal.transaction_id = pdu.dev_id, pdu.transaction_id
        return refusal

    @contextmanager
    def on_network(self, port: int) -> Iterator[None]:
        """Answer at a port of this computer."""
        with self._serving(ModbusTcpServer, address=("127.0.0.1", port)):
            yield

    @contextmanager
    def on_line(self) -> Iterator[str]:
        """Answer at a serial line; yield the name of its other end."""
        with _line() as (ours, theirs), self._serving(ModbusSerialServer, port=ours, baudrate=19200):
            yield theirs

    @contextmanager
    def _serving(self, kind: Any, **place: Any) -> Iterator[None]:
        up, down = threading.Event(), threading.Event()

        async def serve() -> None:
            server = kind(self._context(), trace_pdu=self._traced, **place)
            await server.serve_forever(background=True)
            up.set()
            while not down.is_set():
                await asyncio.sleep(0.02)
            await server.shutdown()

        thread = threading.Thread(target=lambda: asyncio.run(serve()), daemon=True)
        thread.start()
        assert up.wait(WAIT_S)
        try:
            yield
        finally:
            down.set()
            thread.join(WAIT_S)


@contextmanager
def _line() -> Iterator[tuple[str, str]]:
    """Two pseudo terminals, each the other end of the other."""
    ends = [os.openpty() for _ in range(2)]
    for _, slave in ends:
        tty.setraw(slave)
    (first, _), (second, _) = ends
    over = threading.Event()

    def carry() -> None:
        while not over.is_set():
            for end in select.select([first, second], [], [], 0.02)[0]:
                with suppress(OSError):
                    os.write(second if end == first else first, os.read(end, 256))

    thread = threading.Thread(target=carry, daemon=True)
    thread.start()
    try:
        yield os.ttyname(ends[0][1]), os.ttyname(ends[1][1])
    finally:
        over.set()
        thread.join(WAIT_S)
        for end in (end for pair in ends for end in pair):
            os.close(end)
