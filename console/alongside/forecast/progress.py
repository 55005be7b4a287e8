"""How far a long piece of work is, for whoever waits for it."""

from collections.abc import Callable

Seen = Callable[[float, str], None]
"""Called from time to time with the part that is done, 0 to 1, and what is being done, in words."""


def unseen(_part: float, _words: str) -> None:
    """Show nothing."""
