"""What is said of alerts that go to the bridge, and of what the bridge asks for."""

from collections.abc import Mapping
from typing import Final

from alongside.wording.figures import counted
from alongside.wording.safe import safe

ASKED: Final[Mapping[str, str]] = {"A": "acknowledge", "S": "silence", "O": "take over"}
"""By the command of the bridge."""
NAME: Final = "Alerts to the bridge"


def refused_text(deed: str, name: str) -> str:
    """Return `Bridge asked to acknowledge line 4 stretch: refused`."""
    return f"Bridge asked to {ASKED[deed]} {name}: refused"


def port_text(is_open: bool, note: str, sent: int, unsent: int) -> str:
    """Return what is said of the port: `Alerts to the bridge: 120 messages sent`."""
    parts = [f"{counted(sent, 'message')} sent"] if is_open else []
    parts += [safe(note)] if note else []
    parts += [f"{unsent} not sent"] if unsent else []
    return f"{NAME}: {'; '.join(parts)}"
