"""Which lines are made fast together, when, and how the ship then lies.

Lines made fast within an hour of the first are one making fast, at the last of their times: only when the
last is out does she lie where the tensions are read. A line made fast later is one of its own.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal

from alongside.stay.model import Line, Stay

TOGETHER_S: Final = 3600.0
"""Lines made fast so long after the first, s, are made fast with it."""

Lies = Literal["in_place", "on_fenders", "in_balance"]
"""Where the ship lies while lines are made fast: in place, just touching; on her fenders, which carry the
pull of the stated tensions; or in the balance of that instant, with the lines made fast before."""


@dataclass(frozen=True, slots=True)
class MakingFast:
    """`lines`, by their index, made fast at `at`, UNIX s, while the ship lies so. A tide, draught or heel
    that is None is as read, or planned, at that time."""

    at: float
    lines: tuple[int, ...]
    lies: Lies
    tide: float | None
    draught_fwd: float | None
    draught_aft: float | None
    heel_deg: float | None

    @property
    def needs_readings(self) -> bool:
        """Return whether tide or a draught is not stated."""
        return None in (self.tide, self.draught_fwd, self.draught_aft)


def makings_fast(stay: Stay) -> tuple[MakingFast, ...]:
    """Return every making fast of the stay file, in order of time."""
    settles = stay.balance and bool(stay.berth.fenders)
    first = min(line.made_fast.at for line in stay.lines)
    alone, together, later = [], [], []
    for index, line in enumerate(stay.lines):
        if not (settles and line.made_fast.settled):
            alone.append((index, line))
        elif not line.made_fast.at > first + TOGETHER_S:
            together.append((index, line))
        else:
            later.append((index, line))
    makings = [_making([each], "in_place") for each in alone]
    if together:
        makings.append(_making(together, "on_fenders"))
    later.sort(key=_time_of)
    makings += [_making(list(each), "in_balance") for _, each in groupby(later, _time_of)]
    return tuple(sorted(makings, key=lambda making: making.at))


def times_fast(stay: Stay) -> tuple[float, ...]:
    """Return when each line counts as made fast, UNIX s, in the order of the stay file."""
    times = {index: making.at for making in makings_fast(stay) for index in making.lines}
    return tuple(times[index] for index in range(len(stay.lines)))


def time_fast(stay: Stay, line: str) -> float:
    """Return when one line, by its id, counts as made fast, UNIX s."""
    return dict(zip((each.id for each in stay.lines), times_fast(stay), strict=True))[line]


def first_lines_fast(stay: Stay) -> float:
    """Return when the last of the lines that are made fast with the first is, UNIX s."""
    times = [line.made_fast.at for line in stay.lines]
    return max(at for at in times if at <= min(times) + TOGETHER_S)


def _time_of(numbered: tuple[int, Line]) -> float:
    return numbered[1].made_fast.at


def _making(lines: list[tuple[int, Line]], lies: Lies) -> MakingFast:
    """Return one making fast of these lines: afloat as stated with the last of them."""
    at = max(_time_of(each) for each in lines)
    last = [line.made_fast for _, line in lines if line.made_fast.at >= at]
    return MakingFast(
        at,
        tuple(index for index, _ in lines),
        lies,
        _first(made.tide for made in last),
        _first(made.draught_fwd for made in last),
        _first(made.draught_aft for made in last),
        _first(made.heel_deg for made in last),
    )


def _first(values: Iterable[float | None]) -> float | None:
    return next((value for value in values if value is not None), None)
