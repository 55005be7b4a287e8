"""What goes wrong, as exceptions, each with the exit status the command line promises for it."""

import errno
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

OF_THE_DISK: Final = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""Errors of the system that are no fault of the file that was named."""


class AlongsideError(Exception):
    """A fault that can be told to the user in one line: where, what, what was expected. Several faults are
    several arguments."""

    exit_status = 1

    @property
    def rows(self) -> tuple[str, ...]:
        """Return what to print, a row for each fault."""
        return tuple(map(str, self.args))

    def __str__(self) -> str:
        return "\n".join(self.rows)


class WrongInput(AlongsideError):
    """Wrong use or wrong input; nothing was started."""

    exit_status = 2


class FeedUnavailable(AlongsideError):
    """A feed that a command cannot do without could not be opened."""

    exit_status = 3


class DiskFailed(AlongsideError):
    """An output could not be written to its end: the disk is full or fails."""

    exit_status = 4


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One fault of a stay file, at its place (line and column count from 1)."""

    file: str
    line: int
    column: int
    path: str
    problem: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}:{self.column}: "
        return where + (f"{self.path}: {self.problem}" if self.path else self.problem)


class StayFaults(WrongInput):
    """All faults of a stay file at once, in the order they stand in it."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__(*map(str, self.faults))
