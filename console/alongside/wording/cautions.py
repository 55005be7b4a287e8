"""What stands above the figures of this program, shown where somebody acts on them."""

from typing import Final

SNAP_BACK: Final = "Stay clear of snap-back zones: a line under load that parts comes back without warning."
COMPUTED: Final = (
    "All figures are computed from the stay file and the gauges. The master's judgement, the ship's line "
    "management plan, port rules and the makers' data stand above them."
)
