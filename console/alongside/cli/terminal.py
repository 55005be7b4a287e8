"""What a command with a screen needs."""

import os
import sys
from pathlib import Path
from typing import Final

from alongside.errors import WrongInput
from alongside.feeds.standard_input import StdinReader
from alongside.stay.model import Stay
from alongside.stay.ports import StdinPort, parse_port

_TERMINAL: Final = Path("/dev/tty")


def has_terminal() -> bool:
    """Return whether there is a terminal to read keys from and to draw on."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def need_terminal(command: str, otherwise: str = "") -> None:
    """Raise WrongInput without a terminal, saying what else can be done."""
    if not has_terminal():
        hint = f", {otherwise}" if otherwise else ""
        raise WrongInput(f"alongside {command}: needs a terminal on standard input and output{hint}")


def read_keys_from_terminal(stay: Stay) -> None:
    """Let standard input be the terminal, and a feed that has it read what it was: for a screen whose keys
    else came from the pipe. Do nothing without such a feed, or where no terminal can be had."""
    if sys.stdin.isatty() or not any(isinstance(parse_port(feed.port), StdinPort) for feed in stay.feeds):
        return
    try:
        terminal = _TERMINAL.open("rb", buffering=0)
    except OSError:
        return
    with terminal:
        StdinReader.descriptor = os.dup(0)
        os.dup2(terminal.fileno(), 0)
