"""What stands above the figures of this program, shown where somebody acts on them."""

from collections.abc import Sequence
from typing import Final

from alongside.wording.figures import listed

SNAP_BACK: Final = (
    "The whole mooring deck is a snap-back area: clear it, nobody in a bight, stand behind cover."
)
"""After the Code of Safe Working Practices for Merchant Seafarers: the entire deck is a potential snap-back
zone; no place on it is safe."""
CLEAR_DECK: Final = "the whole mooring deck is a snap-back area: clear it"
"""The same where there is no room for all of it."""
COMPUTED: Final = (
    "All figures are computed from the stay file and the gauges. The master's judgement, the ship's line "
    "management plan, port rules and the makers' data stand above them."
)


def opposed_winches(ahead: Sequence[str], astern: Sequence[str]) -> str:
    """Return what is to be said of lines on automatic winches that pull against each other; "" for none.
    After ISO 3730."""
    if not ahead or not astern:
        return ""
    lines = f"lines {listed([*ahead, *astern])} are opposed on automatic winches"
    return f"{lines}: she creeps along the berth; automatic serves lines square to her"
