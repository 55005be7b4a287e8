"""Who holds her, as rows of a page: the part of each role now, at high and at low water."""

from collections.abc import Iterator
from math import isnan
from typing import Final

from alongside.cycle.picture import Picture
from alongside.cycle.who_holds import moment
from alongside.mechanics.holding_roles import ROLES, WINDS, Against
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, wrap
from alongside.wording.figures import percent
from alongside.wording.marks import NOT_KNOWN

HEAD: Final[dict[Against, str]] = {
    "off_berth": "wind off",
    "ahead": "ahead",
    "astern": "astern",
}
_WHEN: Final = 10
_PARTS: Final = tuple(max(len(role), 4) + 1 for role in ROLES)


def who_holds_rows(picture: Picture, palette: Palette, width: int, brief: bool = False) -> list[list[Piece]]:
    """Return for each wind a head and a row a moment, in `brief` only in the wind square off the berth;
    nothing where nothing is worked out."""
    if not picture.who_holds:
        return []
    rows: list[list[Piece]] = []
    for at, wind in enumerate(WINDS[:1] if brief else WINDS):
        heads = "".join(f"{role:>{part}}" for role, part in zip(ROLES, _PARTS, strict=True))
        rows.append([(f"{HEAD[wind]:<{_WHEN}}{heads}", palette.label)])
        rows += [[(text, palette.text)] for text in _of_wind(picture, at, width)]
    return rows


def _of_wind(picture: Picture, at: int, width: int) -> Iterator[str]:
    for each in picture.who_holds:
        when = f"{moment(each, picture.stay.display):<{_WHEN}}"
        if each.why:
            for row in wrap(f"{NOT_KNOWN} {each.why}", width - _WHEN):
                yield when + row
                when = " " * _WHEN
            continue
        parts = zip(each.winds[at].shares, _PARTS, strict=True)
        yield when + "".join(
            f"{NOT_KNOWN if isnan(share) else percent(round(share, 2)):>{part}}" for share, part in parts
        )
