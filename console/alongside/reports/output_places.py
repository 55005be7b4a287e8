"""Where an output may go, asked before anything is worked out and again before it is moved there.

Refused are a command's own inputs by whatever name, folders, devices such as a gauge's port, the folder of a
record, and every file that is no earlier output of the same kind.
"""

import os
import stat
import sys
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TextIO

from alongside.errors import OF_THE_DISK, AlongsideError, DiskFailed, WrongInput
from alongside.reports.replaceable import END_LOOKED_AT, LOOKED_AT, Kind, is_record, record_around, why_kept

DEVICES: Final = (os.devnull, "/dev/full")
"""That may be written to, beside our own terminal."""
A_FILE: Final = "a file that can be written"
AS_IT_WAS: Final = "not written, what stood there is as it was"
BREAKS_OFF: Final = "what was written breaks off"


def check_outputs(inputs: Iterable[Path], outputs: Iterable[tuple[Path | None, Kind]]) -> None:
    """Raise WrongInput for an output that must not be written, before anything is worked out.

    That is one of the command's own inputs by whatever name (link, other letters, other way), two outputs
    in one place, and whatever `Outputs` refuses.
    """
    taken: list[Path] = []
    named = list(inputs)
    for path, kind in outputs:
        if path is None:
            continue
        if any(_same(path, other) for other in (*named, *taken)):
            raise WrongInput(f"{path}: already read or written by this command, use a different output file")
        place_of(path, kind)
        taken.append(path)


def _same(one: Path, other: Path) -> bool:
    """Return whether two names are of one file, or would be where letters of either case are the same."""
    first, second = os.path.realpath(one), os.path.realpath(other)
    if _folded(first) == _folded(second):
        return os.path.realpath(os.devnull) != first
    try:
        return os.path.samefile(one, other) and not stat.S_ISCHR(os.stat(one).st_mode)
    except OSError:
        return False


def _folded(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()


@dataclass(frozen=True, slots=True)
class Place:
    """Where an output goes: the file that links lead to, or what is written to as it is."""

    path: Path
    flows: bool
    mode: int | None
    """Of the file that is replaced; None where there is none."""


def place_of(path: Path, kind: Kind) -> Place:
    """Return where an output goes. Raises WrongInput where nothing of this kind may be written there."""
    real = Path(os.path.realpath(path))
    with faults_of(path):
        try:
            there = os.stat(path)
        except FileNotFoundError:
            os.stat(real.parent)  # raises where there is no such folder
            refuse_in_record(path, real)
            return Place(real, flows=False, mode=None)
        if stat.S_ISDIR(there.st_mode):
            raise WrongInput(f"{path}: is a folder, expected a file")
        if (stream := own_stream(there)) is not None:
            _refuse_before_end(path, there, stream)
            return Place(path, flows=True, mode=None)
        if not stat.S_ISREG(there.st_mode):
            if stat.S_ISFIFO(there.st_mode) or (stat.S_ISCHR(there.st_mode) and _may_flow(there)):
                return Place(path, flows=True, mode=None)
            raise WrongInput(f"{path}: is a device, expected a file")
        refuse_in_record(path, real)
        if not os.access(real, os.W_OK):
            raise WrongInput(f"{path}: is write-protected, expected a file that can be written")
        with open(real, "rb") as file:
            head, end = file.read(LOOKED_AT), b""
            if kind.ends is not None:
                file.seek(max(there.st_size - END_LOOKED_AT, 0))
                end = file.read()
            what = why_kept(head, kind, end)
    if what:
        expected = f"expected a new file, or an earlier {kind.name}"
        raise WrongInput(f"{path}: is there already and is {what}; it is not written over, {expected}")
    return Place(real, flows=False, mode=stat.S_IMODE(there.st_mode))


def check_folder(path: Path) -> Path:
    """Return the folder that links lead to. Raises WrongInput where files must not be written into it."""
    real = Path(os.path.realpath(path))
    if is_record(real):
        raise WrongInput(f"{path}: is the folder of a record, expected a place outside it")
    refuse_in_record(path, real)
    if real.exists() and not real.is_dir():
        raise WrongInput(f"{path}: is no folder, expected one or a new name")
    return real


def refuse_in_record(path: Path, real: Path) -> None:
    """Raise WrongInput for a place in the folder of a record."""
    if (record := record_around(real)) is not None:
        raise WrongInput(f"{path}: would be a part of the record in {record}, expected a place outside it")


def own_stream(there: os.stat_result) -> TextIO | None:
    """Return our standard output or error where a file is one of them; None where it is neither, or nothing
    is kept of what is written there."""
    with suppress(OSError):
        if os.path.samestat(there, os.stat(os.devnull)):
            return None
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):
            if os.path.samestat(there, os.fstat(stream.fileno())):
                return stream
    return None


def _refuse_before_end(path: Path, there: os.stat_result, stream: TextIO) -> None:
    """Refuse a stream that was opened in the midst of a file, without emptying it."""
    if stat.S_ISREG(there.st_mode) and there.st_size:
        stream.flush()
        descriptor = stream.fileno()
        if os.lseek(descriptor, 0, os.SEEK_CUR) < there.st_size and not _appends(descriptor):
            raise WrongInput(f"{path}: this stream would write over a file, expected a new one")


def _appends(descriptor: int) -> bool:
    try:
        from fcntl import F_GETFL, fcntl
    except ImportError:
        return False
    return bool(fcntl(descriptor, F_GETFL) & os.O_APPEND)


def _may_flow(there: os.stat_result) -> bool:
    """Return whether a device is one to write to: none, or our own terminal; never a gauge's port."""
    for name in DEVICES:
        with suppress(OSError):
            if os.path.samestat(there, os.stat(name)):
                return True
    for stream in (0, 1, 2):
        with suppress(OSError):
            if os.path.samestat(there, os.fstat(stream)):
                return True
    return False


def failure(path: Path, error: OSError, expected: str = A_FILE, outcome: str = AS_IT_WAS) -> AlongsideError:
    """Return what a fault of the system in writing a file means: a disk that is full or fails, or a wrong
    place."""
    reason = error.strerror or str(error)
    if error.errno in OF_THE_DISK:
        return DiskFailed(f"{path}: {reason}; {outcome}")
    return WrongInput(f"{path}: {reason}, expected {expected}")


@contextmanager
def faults_of(path: Path, expected: str = A_FILE) -> Iterator[None]:
    """Raise WrongInput or DiskFailed, with the reason, where the system refuses to write a file."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise failure(path, error, expected) from error
