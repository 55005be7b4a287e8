"""Differences of a subordinate port on its standard port, as tide tables print them."""

import re
from math import isnan, nan
from typing import Final

from alongside.stay.fields import Field, by_shape, listed, number, row, word
from alongside.stay.model.subordinate import HALF_DAY_S, Rows, TideDifferences
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required

_PRINTED: Final = re.compile(r"([-+])(\d\d)([0-5]\d)", re.ASCII)
_MINUTES: Final = number("min", least=-720, most=720)


def _read_minutes(node: Node) -> float:
    printed = _PRINTED.fullmatch(node.word)
    if node.is_scalar and printed is not None:
        return int(printed[1] + "1") * (60.0 * int(printed[2]) + int(printed[3]))
    return _MINUTES.read(node)


MINUTES: Final = Field("minutes later, or as printed: +0035, -0105", _read_minutes)
CLOCK: Final = word("a time of day such as 06:00 or 0600", r"([01]\d|2[0-3]):?[0-5]\d").then(
    lambda text: (int(text[:2]) * 60 + int(text[-2:])) * 60.0 if text else nan
)
ZONE: Final = word("Z, or hours ahead of UTC such as +01:00", r"Z|[-+](0\d|1[0-4]):[0-5]\d").then(
    lambda text: int(text[0] + "1") * (int(text[1:3]) * 60 + int(text[4:])) * 60.0 if len(text) > 1 else 0.0
)


def _apart(node: Node, rows: Rows) -> None:
    """Two rows of one half day, or of one height, leave open which holds."""
    seen: set[float] = set()
    for place, (at, _) in enumerate(rows):
        if at in seen:
            node[place].fault("the same as a row before, or half a day from it", "each once")
        seen.add(at)


def _within_half_a_day(rows: Rows) -> Rows:
    return tuple((at % HALF_DAY_S, minutes * 60.0) for at, minutes in rows)


BY_CLOCK: Final = by_shape(
    MINUTES,
    listed(
        row(at=CLOCK, later_min=MINUTES), lambda node, rows: _apart(node, _within_half_a_day(rows)), least=2
    ),
)
HEIGHT: Final = number("m", least=-5, most=20)
MORE: Final = number("m", least=-10, most=10)
BY_HEIGHT: Final = by_shape(MORE, listed(row(height=HEIGHT, more=MORE), _apart, least=2))
RATIO: Final = number(above=0, most=5)

Given = float | Rows


def _differences(
    high_min: Given,
    low_min: Given,
    zone: float = 0.0,
    high_m: Given = (),
    low_m: Given = (),
    high_ratio: float = nan,
    low_ratio: float = nan,
) -> TideDifferences | None:
    rows = (
        _by_time(high_min, zone),
        _by_time(low_min, zone),
        _by_height(high_m, high_ratio),
        _by_height(low_m, low_ratio),
    )
    faulty = any(not each or len({x for x, _ in each}) < len(each) for each in rows)
    return None if faulty else TideDifferences(*rows)


def _by_time(given: Given, zone: float) -> Rows:
    if isinstance(given, float):
        return ((0.0, given * 60.0),)
    return tuple(sorted(_within_half_a_day(tuple((at - zone, later) for at, later in given))))


def _by_height(given: Given, ratio: float) -> Rows:
    """A ratio is a difference that grows with the height."""
    if not isnan(ratio):
        return ((0.0, 0.0), (1.0, ratio - 1.0))
    return ((0.0, given),) if isinstance(given, float) else tuple(sorted(given))


def _zone_known(node: Node, _: object) -> None:
    """Refuse a time of day of nobody knows which clock."""
    if "zone" in node:
        return
    for key in ("high_min", "low_min"):
        if key in node and not node[key].is_scalar:
            node[key].fault("times of day without their zone", "zone beside them: Z, or such as +01:00")
            return


DIFFERENCES: Final = record(
    _differences,
    exactly_one("high_m", "high_ratio"),
    exactly_one("low_m", "low_ratio"),
    _zone_known,
    zone=optional(ZONE),
    high_min=required(BY_CLOCK),
    low_min=required(BY_CLOCK),
    high_m=optional(BY_HEIGHT),
    low_m=optional(BY_HEIGHT),
    high_ratio=optional(RATIO),
    low_ratio=optional(RATIO),
)
