"""Stamps behind figures of the vitals: when they were read by hand. They make room before any figure does."""

from collections.abc import Mapping, Sequence
from typing import Final

from rich.style import Style

from alongside.cycle.gauge_words import row_of
from alongside.cycle.picture import ChannelRow, Picture
from alongside.readings import Reason
from alongside.screens.rows import Piece, flow, length

Field = tuple[int, list[Piece], str]
"""Rank, figures, stamp; of figures that do not fit those of the highest rank go first."""
BY_HAND: Final = "by hand "


def stamp_of(picture: Picture, named: Mapping[str, str]) -> str:
    """Return `by hand 06:30` for channels that were read by hand, else "". `named` has what each is called:
    where they were not read together, or another is not by hand, the stamp says whose time it is, `by hand F
    06:30 A 04:30`; where one of them has no name the oldest time stands for all."""
    rows = [(name, row) for channel, name in named.items() if (row := row_of(picture, channel)) is not None]
    by_hand = [(name, row) for name, row in rows if row.reason is Reason.BY_HAND]
    if not by_hand:
        return ""
    times = {row.why for _name, row in by_hand}
    if not all(named.values()) or (len(times) == 1 and len(by_hand) == len(named)):
        return max((row for _name, row in by_hand), key=lambda row: row.age).why
    return BY_HAND + " ".join(_named(name, row) for name, row in by_hand)


def _named(name: str, row: ChannelRow) -> str:
    return f"{name} {row.why.removeprefix(BY_HAND)}"


def flow_stamped(fields: Sequence[Field], width: int, gap: Piece, label: Style) -> list[Piece]:
    """Return fields side by side with as many of their stamps, from the left, as leave room for all figures;
    where there is none without them either, figures go by their rank."""
    row: list[Piece] = []
    for stamped in range(len(fields), -1, -1):
        whole = [
            (rank, [*pieces, (f" {stamp}", label)] if stamp and at < stamped else pieces)
            for at, (rank, pieces, stamp) in enumerate(fields)
        ]
        row = flow(whole, width, gap)
        gaps = len(gap[0]) * (len(whole) - 1)
        if sum(length(pieces) for _rank, pieces in whole) + gaps <= width:
            break
    return row
