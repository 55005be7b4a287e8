"""Fenders and the place of the ship, in words and bars."""

import math
from dataclasses import dataclass
from typing import Final

from alongside.cycle.gauge_words import why_unknown
from alongside.cycle.picture import FenderRow, Picture
from alongside.stay.model import Fender, Stay
from alongside.wording.figures import degrees
from alongside.wording.figures import metres as metres_text

BARS: Final = "▁▂▃▄▅▆▇█"
OFF: Final = "·"
"""A fender that the ship does not touch."""
STILL_M, STILL_DEG = 0.005, 0.05
"""Below these the ship counts as in place."""


@dataclass(frozen=True, slots=True)
class FenderShare:
    """One fender: its deflection as a share of its table's last, NaN where its curve has no end (a stiffness
    alone); its reaction as a share of the hardest pressed one's."""

    row: FenderRow
    of_table: float
    of_hardest: float

    @property
    def bar(self) -> str:
        """Return one character: how far it is pressed in by its table, else how hard against the others."""
        share = self.of_table if math.isfinite(self.of_table) else self.of_hardest
        if not self.row.reaction_kn > 0.0:
            return OFF if self.row.reaction_kn == 0.0 else "?"
        return BARS[min(int(share * len(BARS)), len(BARS) - 1)]


def fender_shares(picture: Picture) -> list[FenderShare]:
    """Return every fender in the order of the stay file."""
    fenders = picture.stay.berth.fenders
    hardest = max((row.reaction_kn for row in picture.fenders if row.reaction_kn > 0.0), default=math.nan)
    return [
        FenderShare(row, _of_table(fender, row), row.reaction_kn / hardest)
        for fender, row in zip(fenders, picture.fenders, strict=True)
    ]


def _of_table(fender: Fender, row: FenderRow) -> float:
    return row.deflection / fender.table[-1][0] if fender.table else math.nan


def place_words(picture: Picture) -> str:
    """Return surge, sway and yaw as seen from on board: `0.12 m ahead, 0.03 m in, bow 0.2° out`; "" where not
    known."""
    if not math.isfinite(picture.surge + picture.sway + picture.yaw_deg):
        return ""
    ahead = 1.0 if picture.stay.alongside == "starboard" else -1.0
    parts = [
        _way(picture.surge * ahead, "ahead", "astern"),
        _way(picture.sway, "off", "in"),
    ]
    if abs(picture.yaw_deg) >= STILL_DEG:
        way = "out" if picture.yaw_deg * ahead > 0.0 else "in"
        parts.append(f"bow {degrees(abs(picture.yaw_deg), 1)} {way}")
    return ", ".join(part for part in parts if part) or "in place"


def _way(metres: float, one: str, other: str) -> str:
    return "" if abs(metres) < STILL_M else f"{metres_text(abs(metres))} {one if metres > 0.0 else other}"


def why_no_fenders(picture: Picture) -> str:
    """Return why nothing is known of the fenders; "" where it is."""
    if why := kept_in_place(picture.stay):
        return why
    if any(math.isfinite(row.reaction_kn) for row in picture.fenders):
        return ""
    return why_unknown(picture)


def kept_in_place(stay: Stay) -> str:
    """Return why the ship is computed in place, without a balance; "" where there is one."""
    if not stay.berth.fenders:
        return "no fenders in the stay file: the ship is computed in place"
    return "" if stay.balance else "balance is off in the stay file: the ship is computed in place"


def why_no_holding(picture: Picture) -> str:
    """Return why there is no holding power to show; "" where there is."""
    if why := kept_in_place(picture.stay):
        return why
    if picture.holding is not None:
        return picture.holding.reason
    if picture.stay.ship.wind is None:
        return "wind areas of the ship not given in the stay file"
    unknown = why_unknown(picture)
    return "not calculated yet" if unknown == "not known" else unknown
