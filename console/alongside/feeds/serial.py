"""A serial port through pyserial."""

import errno
import time
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.feeds.reader import PAUSE_S, PortReader
from alongside.stay.ports import SerialPort

if TYPE_CHECKING:
    import serial


BEGINNINGS: Final = (b"$", b"!", b"\\", b"\x02")


def opened(port: SerialPort, timeout: float, write_timeout: float | None = None) -> "serial.Serial":
    """Return a port opened for us alone; reads and writes wait at most so many seconds, None: for ever."""
    # Here, so that a system without serial ports keeps a watch on its other feeds.
    import serial

    return serial.Serial(
        port.device,
        baudrate=port.baud,
        bytesize=port.bits,
        parity=port.parity,
        stopbits=port.stop,
        timeout=timeout,
        write_timeout=write_timeout,
        exclusive=True,
    )


class SerialReader(PortReader[SerialPort]):
    """Reads a serial port that nobody else may have open at the same time.

    A gauge talks whether anybody listens or not: of a line that was on its way as the port was opened only
    the end comes, 45 of 2.45. What comes at once is therefore left out up to its line end, unless it begins
    as sentences and texts do; before a line that is whole there is a pause.
    """

    _serial: "serial.Serial | None" = None
    _whole_from = inf
    """Until then nothing must come before a line is known to be whole; -inf once that is decided."""

    def _name(self) -> str:
        return self.port.device

    def _open(self) -> None:
        self._serial = opened(self.port, timeout=self._wait_s)
        self._whole_from = time.monotonic() + PAUSE_S

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._serial is not None
        data = self._serial.read(1)
        if not data:
            return "", self._cutter.paused()
        if time.monotonic() < self._whole_from and data not in BEGINNINGS:
            self._cutter.skip()
        self._whole_from = -inf
        data += self._serial.read(self._serial.in_waiting)
        return "", self._cutter.cut(data)

    def _close(self) -> None:
        if self._serial is not None:
            self._serial.close()
            self._serial = None

    def _in_words(self, error: Exception) -> str:
        return in_words(self.port.device, error)


def in_words(device: str, error: Exception) -> str:
    """Return what is wrong with a serial port, in words for the watch."""
    number = getattr(error, "errno", None)
    if not Path(device).exists():
        return f"no such port {device}"
    if number in (errno.EACCES, errno.EPERM):
        return f"no permission to open {device}"
    if number in (errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK):
        return f"{device} is in use by another program"
    return f"{device} is lost or fails: {error}"
