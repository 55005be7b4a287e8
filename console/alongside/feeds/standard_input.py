"""Lines that another program writes into standard input."""

import os
import select
import sys
from typing import ClassVar, Final

from alongside.feeds.reader import PortEnded, PortReader
from alongside.stay.ports import StdinPort

READ_S: Final = 0.5
PIECE: Final = 1 << 16
"""Bytes read at a time."""


class StdinReader(PortReader[StdinPort]):
    """Reads to the end of standard input, which one feed of a stay alone has. A terminal is refused: it
    gives the keys of whoever sits there."""

    descriptor: ClassVar[int] = 0
    """Where standard input is; elsewhere once keys come from the terminal instead."""

    def _name(self) -> str:
        return "standard input"

    def _open(self) -> None:
        if os.isatty(self.descriptor):
            raise OSError("is a terminal, expected a pipe or a file: PROGRAM | alongside …")

    def _read(self) -> tuple[str, list[bytes]]:
        # On Windows only sockets can be waited for: there a read ends when something comes.
        if sys.platform != "win32" and not select.select([self.descriptor], [], [], READ_S)[0]:
            return "", []
        data = os.read(self.descriptor, PIECE)
        if data:
            return "", self._cutter.cut(data)
        if lines := self._cutter.cut(b"\n"):
            return "", lines
        raise PortEnded("has ended")

    def _close(self) -> None:
        """Leave it open: it is the program's."""
