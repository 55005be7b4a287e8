"""How long the terminal waits whether Escape begins the code of another key."""

from collections.abc import Mapping
from typing import Final

from textual import constants

NEAR_S: Final = 0.03
"""On a terminal of this machine: all bytes of a key come at once. Practice, no source."""
GIVEN: Final = "ESCDELAY"
"""Environment variable of terminals, in ms: what it says holds."""
FAR: Final = ("SSH_CONNECTION", "SSH_TTY")
"""Set where the terminal is far away: then Textual's own 0.1 s stay."""


def wait_for_escape(environment: Mapping[str, str]) -> None:
    """Shorten the wait of Textual where the terminal is near and nothing else is asked for."""
    if GIVEN not in environment and not any(name in environment for name in FAR):
        vars(constants)["ESCAPE_DELAY"] = NEAR_S
