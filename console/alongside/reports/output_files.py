"""Files that a command writes: opened, refused and filled in one place, and only here.

A file is written beside its place and moved there when all of it is on the disk: whatever stops the command,
the place holds what it held, or all of the new. A terminal, `/dev/null`, a pipe or the command's own standard
output is written to as it is.
"""

import json
import os
import secrets
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from io import BufferedWriter, FileIO, TextIOWrapper
from pathlib import Path
from typing import IO, Any, BinaryIO, Final, TextIO

from alongside.errors import DiskFailed, WrongInput
from alongside.reports.output_places import (
    AS_IT_WAS,
    BREAKS_OFF,
    Place,
    check_folder,
    failure,
    faults_of,
    own_stream,
    place_of,
)
from alongside.reports.replaceable import Kind
from alongside.wording.safe import escaped

FORMAT: Final = 1
"""Of every JSON document and JSON line: goes up when a key changes its meaning or goes away."""


def _encoder(indent: int | None) -> json.JSONEncoder:
    return json.JSONEncoder(ensure_ascii=False, allow_nan=False, indent=indent)


_IN_ONE_LINE: Final = _encoder(None)


def json_text(values: Mapping[str, Any], indent: int | None = None) -> str:
    """Return a JSON object whose first key is its format."""
    encoder = _IN_ONE_LINE if indent is None else _encoder(indent)
    return escaped(encoder.encode({"format": FORMAT, **values}))


def write_json(values: Mapping[str, Any], path: Path, kind: Kind, indent: int | None = None) -> None:
    """Write one JSON object, all of it or nothing. Raises WrongInput or DiskFailed as `Outputs` does."""
    with Outputs() as outputs:
        outputs.text(path, kind).write(f"{json_text(values, indent)}\n")


@dataclass(slots=True)
class _Written:
    """A file on its way to its place."""

    path: Path
    kind: Kind
    place: Place
    beside: Path | None
    file: IO[Any] | None = None
    """None until it is open."""


@dataclass(slots=True)
class Outputs:
    """The files of one command: all take their places when the block ends, or none does where it fails.

    Raises WrongInput for a place that must not or cannot be written, DiskFailed where the disk is full or
    fails. Both leave what stood there.
    """

    _files: list[_Written] = field(default_factory=list)
    _folders: list[Path] = field(default_factory=list)

    def text(self, path: Path, kind: Kind, newline: str = "\n") -> TextIO:
        """Return a text file to write."""
        binary = self._open(path, kind)
        text = TextIOWrapper(binary, encoding="utf-8", newline=newline)
        self._files[-1].file = text
        return text

    def binary(self, path: Path, kind: Kind) -> BinaryIO:
        """Return a file of bytes to write."""
        return self._open(path, kind)

    def folder(self, path: Path) -> Path:
        """Return a folder to write files into, made where it is missing."""
        real = check_folder(path)
        missing = [each for each in (real, *real.parents) if not each.exists()]
        with faults_of(path, "a folder that can be made"):
            for each in reversed(missing):
                self._folders.append(each)
                each.mkdir(exist_ok=True)
        return path

    def _open(self, path: Path, kind: Kind) -> BinaryIO:
        place = place_of(path, kind)
        beside = None if place.flows else _beside(place.path)
        # Noted before it is there: an interruption can come between any two steps.
        written = _Written(path, kind, place, beside)
        self._files.append(written)
        with faults_of(path):
            if beside is None:
                raw = _Raw(_flowing(place), path, BREAKS_OFF)
            else:
                flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
                raw = _Raw(os.open(beside, flags, 0o666), path, AS_IT_WAS)
        written.file = binary = BufferedWriter(raw)
        return binary

    def __enter__(self) -> "Outputs":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: object, trace: object) -> None:
        try:
            if kind is None:
                self._put_in_place()
        finally:
            self._clear()

    def _put_in_place(self) -> None:
        """Bring all onto the disk, then move each to its place, unless something else has come there."""
        for each in self._files:
            if each.file is None:
                continue
            with faults_of(each.path):
                each.file.flush()
                if each.beside is not None:
                    os.fsync(each.file.fileno())
                each.file.close()
        for each in self._files:
            if each.beside is not None:
                place = place_of(each.path, each.kind)
                if place.path != each.place.path:
                    raise WrongInput(f"{each.path}: was changed meanwhile, expected a place that stays")
                if place.mode is not None:
                    with suppress(OSError):
                        os.chmod(each.beside, place.mode)
        for each in self._files:
            if each.beside is not None:
                with faults_of(each.path):
                    os.replace(each.beside, each.place.path)
                each.beside = None
                _sync_folder(each.place.path.parent)
        self._folders.clear()

    def _clear(self) -> None:
        """Take away what did not come to its place."""
        with ExitStack() as last:
            for folder in self._folders:
                last.callback(_remove_empty, folder)
            for each in self._files:
                if each.beside is not None:
                    last.callback(each.beside.unlink, missing_ok=True)
                last.callback(_close, each.file)


class _Raw(FileIO):
    """A file whose faults in writing name the place that it is for."""

    def __init__(self, descriptor: int, path: Path, outcome: str) -> None:
        super().__init__(descriptor, "wb")
        self._path, self._outcome = path, outcome

    def write(self, text: Any) -> int:
        try:
            return super().write(text)
        except BrokenPipeError:
            raise
        except OSError as error:
            raise failure(self._path, error, outcome=self._outcome) from error


def _flowing(place: Place) -> int:
    """Return a descriptor to write to a pipe, a device or our own standard output."""
    if (stream := own_stream(os.stat(place.path))) is not None:
        stream.flush()
        return os.dup(stream.fileno())
    return os.open(place.path, os.O_WRONLY | getattr(os, "O_NOCTTY", 0))


def _beside(place: Path) -> Path:
    """Return a hidden name for a file on its way, in the folder of its place, where it can be moved to it."""
    return place.with_name(f".{place.name[:50]}.{secrets.token_hex(4)}.part")


def _close(file: IO[Any] | None) -> None:
    with suppress(OSError, DiskFailed, WrongInput, ValueError):
        if file is not None:
            file.close()


def _remove_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _sync_folder(folder: Path) -> None:
    """Bring a new name onto the disk, where the system can."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
