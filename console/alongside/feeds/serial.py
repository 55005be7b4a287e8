"""A serial port through pyserial."""

import errno
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.feeds.reader import PortReader
from alongside.stay.ports import SerialPort

if TYPE_CHECKING:
    import serial

READ_S: Final = 0.5


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
    """Reads a serial port that nobody else may have open at the same time."""

    _serial: "serial.Serial | None" = None

    def _name(self) -> str:
        return self.port.device

    def _open(self) -> None:
        self._serial = opened(self.port, timeout=READ_S)

    def _read(self) -> tuple[str, list[bytes]]:
        assert self._serial is not None
        data = self._serial.read(1)
        if not data:
            return "", []
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
