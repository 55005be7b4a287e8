"""Standard output and error of a command: nothing raw from outside, no fault at the end that is not said."""

import io
import os
import re
import shutil
import sys
import textwrap
from contextlib import suppress
from typing import Final

from alongside.errors import AlongsideError
from alongside.wording.safe import safe

_START: Final = re.compile(r" *(?:\d+  )?")
"""Of a row: blanks, and its number in a list."""


def print_error(error: AlongsideError) -> None:
    """Print an error on standard error, a row for each fault."""
    print_aside(*error.rows)


def print_rows(*rows: str) -> None:
    """Print rows on standard output."""
    sys.stdout.write("".join(f"{safe(row)}\n" for row in rows))


def print_wrapped(*rows: str) -> None:
    """Print rows on standard output, on a terminal broken between words where they are wider than that, the
    rest below the words that a row begins with: not below its number in a list."""
    if not sys.stdout.isatty():
        print_rows(*rows)
        return
    width = columns_of_terminal()
    for row in rows:
        start = _START.match(row)
        indent = " " * (start.end() if start else 0)
        print_rows(*textwrap.wrap(safe(row), width, subsequent_indent=indent, break_on_hyphens=False) or [""])


def columns_of_terminal() -> int:
    """Return how wide the terminal on standard output is. COLUMNS is believed only where the terminal does
    not say: what a shell exports does not follow a window that changes."""
    with suppress(OSError):
        if columns := os.get_terminal_size(sys.stdout.fileno()).columns:
            return columns
    return shutil.get_terminal_size().columns


def print_aside(*rows: str) -> None:
    """Print rows on standard error."""
    sys.stderr.write("".join(f"{safe(row)}\n" for row in rows))


def give_up_output() -> None:
    """Let what still waits to be printed go nowhere: at its end Python would try again, and complain."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def open_what_is_closed() -> None:
    """Give a command whose output was closed by whoever calls it (`>&-`) one that goes nowhere: no file
    that it opens then takes that place."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            os.open(os.devnull, os.O_WRONLY)  # in its place until the end
            setattr(sys, name, io.StringIO())
