"""Files that a command writes: opened, refused and filled in one place."""

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, TextIO

from alongside.errors import AlongsideError, WrongInput

FORMAT: Final = 1
"""Of every JSON document and JSON line: goes up when a key changes its meaning or goes away."""


def json_text(values: Mapping[str, Any], indent: int | None = None) -> str:
    """Return a JSON object whose first key is its format."""
    return json.dumps({"format": FORMAT, **values}, ensure_ascii=False, allow_nan=False, indent=indent)


def write_json(values: Mapping[str, Any], path: Path, indent: int | None = None) -> None:
    """Write one JSON object. Raises WrongInput where the file cannot be written."""
    text = json_text(values, indent)
    with writable(path), path.open("w", encoding="utf-8", newline="\n") as file:
        file.write(f"{text}\n")


def write_whole(path: Path, text: str) -> None:
    """Write all of a text or nothing: a page cut off by a full disk would look whole."""
    beside = path.with_name(f"{path.name}.part")
    with writable(path):
        try:
            beside.write_text(text, encoding="utf-8")
            os.replace(beside, path)
        except OSError:
            beside.unlink(missing_ok=True)
            raise


def open_output(path: Path) -> TextIO:
    """Return a text file to write lines to, emptied. Raises WrongInput where it cannot be written."""
    with writable(path):
        return path.open("w", encoding="utf-8", newline="\n")


def keep_apart(inputs: Sequence[Path], outputs: Sequence[Path | None]) -> None:
    """Raise WrongInput for an output that would write over an input or over another output."""
    taken = [path.resolve() for path in inputs]
    for path in outputs:
        if path is None:
            continue
        if path.resolve() in taken:
            raise WrongInput(f"{path}: already read or written by this command, use a different output file")
        taken.append(path.resolve())


@contextmanager
def writable(path: Path) -> Iterator[None]:
    """Raise WrongInput, with the reason, where the system refuses to write a file."""
    try:
        yield
    except OSError as error:
        raise WrongInput(f"{path}: {error.strerror}, expected a file that can be written") from error


@contextmanager
def until_full() -> Iterator[None]:
    """Say in one line that a disk failed half-way: neither wrong use nor a fault of ours."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        where = error.filename or "output"
        raise AlongsideError(f"{where}: {error.strerror}; what was written so far is whole") from error
