"""What a command with a screen needs."""

import sys

from alongside.errors import WrongInput


def has_terminal() -> bool:
    """Return whether there is a terminal to read keys from and to draw on."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def need_terminal(command: str, otherwise: str = "") -> None:
    """Raise WrongInput without a terminal, saying what else can be done."""
    if not has_terminal():
        hint = f", {otherwise}" if otherwise else ""
        raise WrongInput(f"alongside {command}: needs a terminal on standard input and output{hint}")
