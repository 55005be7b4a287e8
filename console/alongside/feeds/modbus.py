"""Registers of Modbus devices, over the network or on a serial line: read, never written.

The library is an extra of the package; it is loaded when a port is opened, so that a watch without it keeps
its other feeds. The ports are opened here as any other is, and handed to it.
"""

import logging
import time
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Any, Final

from alongside.feeds.inbox import Inbox
from alongside.feeds.network import TcpReader
from alongside.feeds.plain_lines import NO_ANSWER
from alongside.feeds.reader import READ_S, P, PortClosed, PortReader
from alongside.feeds.registers import line_of_fault, line_of_registers
from alongside.feeds.serial import SerialReader
from alongside.stay.model import Feed, Poll, Register
from alongside.stay.ports import SerialPort, TcpPort
from alongside.stay.registers import WORDS

if TYPE_CHECKING:
    from pymodbus.client import ModbusSerialClient, ModbusTcpClient

EXTRA: Final = "pip install 'alongside[modbus]'"
MOST_AT_ONCE: Final = 60
"""Registers asked for at once; the protocol has 125, some devices have fewer."""
EXCEPTIONS: Final = {
    1: "function not known",
    2: "no such address",
    3: "value not allowed",
    4: "device failed",
    5: "not ready yet",
    6: "busy",
    8: "memory error",
    10: "gateway has no path",
    11: "gateway got no answer",
}
"""What an exception code stands for, by the protocol's specification (from memory)."""


@dataclass(frozen=True, slots=True)
class Block:
    """Registers of one station and table that follow one another, and the channels that they bear."""

    station: int
    table: str
    address: int
    count: int
    channels: tuple[tuple[str, Register], ...]


def blocks_of(feed: Feed) -> list[Block]:
    """Return the registers to ask for: those that follow one another at once."""
    wanted = [(source.register, source.channel) for source in feed.channels if source.register is not None]
    wanted.sort(key=lambda each: (each[0].station, each[0].table, each[0].address))
    blocks: list[Block] = []
    for register, channel in wanted:
        end = register.address + WORDS[register.type]
        last = blocks[-1] if blocks else None
        if last is not None and (last.station, last.table) == (register.station, register.table):
            follows = register.address == last.address + last.count
            if follows and end - last.address <= MOST_AT_ONCE:
                both = (*last.channels, (channel, register))
                blocks[-1] = Block(last.station, last.table, last.address, end - last.address, both)
                continue
        blocks.append(
            Block(
                register.station,
                register.table,
                register.address,
                end - register.address,
                ((channel, register),),
            )
        )
    return blocks


class ModbusReader(PortReader[P]):
    """Asks for all registers every `every_s`, one block after the other. What comes late belongs to none."""

    def __init__(self, port: P, feed: Feed, inbox: Inbox, **more: Any) -> None:
        super().__init__(port, feed.name, inbox, **more)
        self._poll = Poll() if feed.poll is None else feed.poll
        self._blocks = blocks_of(feed)
        self._left: list[Block] = []
        self._due = -inf
        self._answered = inf
        self._client: ModbusTcpClient | ModbusSerialClient | None = None

    def _open(self) -> None:
        try:
            import pymodbus  # noqa: F401
        except ImportError as error:
            raise OSError(f"needs pymodbus, which is not installed: {EXTRA}") from error
        # Its log would be written across the screen.
        logging.getLogger("pymodbus").addHandler(logging.NullHandler())
        super()._open()  # type: ignore[safe-super]
        self._left, self._due, self._answered = [], -inf, time.monotonic()

    def _read(self) -> tuple[str, list[bytes]]:
        if not self._left:
            wait = self._due - time.monotonic()
            if wait > 0.0:
                time.sleep(min(wait, READ_S))
                return "", []
            now = time.monotonic()
            self._due = (
                max(now, self._due + self._poll.every_s) if self._due > -inf else now + self._poll.every_s
            )
            self._left = list(self._blocks)
        if not self._left:
            raise PortClosed("no registers to ask for")
        return "", self._asked(self._left.pop(0))

    def _asked(self, block: Block) -> list[bytes]:
        """Return the lines that came of asking for a block."""
        from pymodbus.exceptions import ConnectionException, ModbusIOException

        assert self._client is not None
        read = self._client.read_holding_registers
        if block.table == "input":
            read = self._client.read_input_registers
        try:
            answer = read(block.address, count=block.count, device_id=block.station)
        except ConnectionException as error:
            raise PortClosed("the other end closed the connection") from error
        except ModbusIOException:
            return self._not_answered(block)
        self._answered = time.monotonic()
        if answer.isError():
            code = getattr(answer, "exception_code", 0)
            words = f"exception {code}, {EXCEPTIONS.get(code, 'not of the protocol')}"
            return [line_of_fault(channel, words) for channel, _ in block.channels]
        if len(answer.registers) != block.count:
            words = f"{len(answer.registers)} registers, {block.count} asked for"
            return [line_of_fault(channel, words) for channel, _ in block.channels]
        return _lines(block, answer.registers)

    def _not_answered(self, block: Block) -> list[bytes]:
        silent_s = time.monotonic() - self._answered
        if silent_s > self._silence_s:
            raise PortClosed(f"open, but no answer for {silent_s:.0f} s")
        self._drop_late()
        return [line_of_fault(channel, NO_ANSWER.decode()) for channel, _ in block.channels]

    def _drop_late(self) -> None:
        """Wait for what may still come, where nothing says which question it answers."""

    def _close(self) -> None:
        self._client = None
        super()._close()  # type: ignore[safe-super]


def _lines(block: Block, registers: Sequence[int]) -> list[bytes]:
    lines = []
    for channel, register in block.channels:
        first = register.address - block.address
        lines.append(line_of_registers(channel, register, registers[first : first + WORDS[register.type]]))
    return lines


class ModbusTcpReader(ModbusReader[TcpPort], TcpReader):
    def _open(self) -> None:
        super()._open()
        from pymodbus.client import ModbusTcpClient

        port = self.port
        self._client = ModbusTcpClient(port.host, port=port.port, timeout=self._poll.answer_s, retries=0)
        self._client.socket = self._socket


class ModbusSerialReader(ModbusReader[SerialPort], SerialReader):
    def _open(self) -> None:
        super()._open()
        from pymodbus.client import ModbusSerialClient

        port = self.port
        self._client = ModbusSerialClient(
            port.device,
            baudrate=port.baud,
            bytesize=port.bits,
            parity=port.parity,
            stopbits=port.stop,
            timeout=self._poll.answer_s,
            retries=0,
        )
        self._client.socket = self._serial

    def _drop_late(self) -> None:
        # A late answer looks like that to the next question: as long again is waited for it.
        assert self._serial is not None
        time.sleep(self._poll.answer_s)
        self._serial.reset_input_buffer()
