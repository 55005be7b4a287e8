"""What a ship that passes does to the lines, and the speed to ask her for.

The pull is that of slender bodies (`mechanics.passing`), an estimate: it is taken half, whole and twice, and
what is judged is the larger end. She does not have the time to range with it; a ship that ranges can bear
more. Forces go with the square of the speed through the water, within the range of that formula; beyond it
nothing is known but that the pull is no less than half of that at its end.

The speed to ask for keeps every limit and the fenders with twice the pull, is within that range, and is never
more than hers.
"""

from dataclasses import dataclass
from math import inf, isnan, nan
from typing import Final, Literal

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.pass_tried import (
    Highest,
    OtherShip,
    PassTried,
    comes_off,
    pass_tried,
    something_gives,
)
from alongside.forecast.peak_seen import ByPeak, SeenPeak, by_peak
from alongside.forecast.present import Present
from alongside.mechanics.passing import BAND
from alongside.mechanics.usage import Usage
from alongside.readings import Floats

ENDS: Final = (1.0 / BAND, 1.0, BAND)
Because = Literal["own_speed", "lines", "fenders", "peak", "peak_lines", "peak_fenders", "range"]
"""What a speed to ask for comes from. `peak`: the one line whose load was seen; `range`: the pull is not
worked out above."""


@dataclass(frozen=True, slots=True)
class LinePassed:
    """The load of a line, kN: before she comes, and the highest while she passes with half, all and twice the
    pull; where she then lies, m ahead of midships; NaN where that is not known."""

    line: str
    still_kn: float
    peak_kn: tuple[float, float, float]
    ahead_m: float
    limit_kn: float
    """The least of its working limit and what its brake holds."""


@dataclass(frozen=True, slots=True)
class Passed:
    """What passing does; NaN, and `is_known` False, where she is faster than the range of the pull.

    `share`: the largest of all limits with half, all and twice the pull, `gives` and `where` which that is
    with twice, "" where not known; `still_share` the same before she comes. `moved_m` along and off the quay,
    the largest with twice the pull; `off_fenders` whether her side leaves its last fender then. `pull_kn`
    (ahead, off the quay, on to it): the largest of each as computed, `at_least_kn` what each is no less than.
    `lines`: the highest speed at which no limit is passed with twice the pull; `fenders`: at which her side
    stays on a fender then.
    """

    ship: OtherShip
    depth_m: float
    range_ms: float
    loads: tuple[LinePassed, ...]
    share: tuple[float, float, float]
    still_share: float
    gives: str
    where: str
    moved_m: tuple[float, float]
    off_fenders: bool
    pull_kn: tuple[float, float, float]
    at_least_kn: tuple[float, float, float]
    lines: Highest
    fenders: Highest
    by_peak: ByPeak | None = None

    @property
    def is_known(self) -> bool:
        return not isnan(self.share[2])


@dataclass(frozen=True, slots=True)
class Asked:
    """The speed to ask for, m/s, and what it comes from; None where that has gone before she comes."""

    ms: float | None
    because: Because


def ship_passes(basis: Basis, present: Present, ship: OtherShip, seen: SeenPeak | None = None) -> Passed:
    """Return what it does that a ship passes now; with `seen` also what a peak that was seen of her says.
    Raise WrongInput as `pass_tried`."""
    tried = pass_tried(basis, present, ship)
    still = tried.usage(0.0)
    before = tried.loads(0.0)[0]
    slow = ENDS[0] * tried.range_ms**2 * tried.pull if tried.range_ms < inf else np.zeros((1, 3))
    lines = tried.highest(BAND, something_gives)
    fenders = tried.highest(BAND, comes_off, fenders=True)
    peak = None if seen is None else by_peak(tried, ship.speed_ms, seen)
    if ship.speed_ms > tried.range_ms:
        nothing = np.full((len(ENDS), 1, before.size), nan)
        return Passed(
            ship,
            tried.depth_m,
            tried.range_ms,
            _lines(tried, before, nothing),
            (nan, nan, nan),
            float(still.share[0]),
            "",
            "",
            (nan, nan),
            False,
            (nan, nan, nan),
            _largest(tried, slow),
            lines,
            fenders,
            peak,
        )
    square = ship.speed_ms**2
    usages = [tried.usage(end * square) for end in ENDS]
    worst = usages[-1]
    return Passed(
        ship,
        tried.depth_m,
        tried.range_ms,
        _lines(tried, before, np.array([tried.loads(end * square) for end in ENDS])),
        tuple(float(each.share.max()) for each in usages),  # type: ignore[arg-type]
        float(still.share[0]),
        *tried.what_gives(worst),
        _moved(worst),
        comes_off(worst),
        _largest(tried, square * tried.pull),
        _largest(tried, ENDS[0] * square * tried.pull),
        lines,
        fenders,
        peak,
    )


def speed_asked(passed: Passed) -> Asked:
    """Return the speed to ask for: the least of her own, those at which anything goes, and the end of the
    range."""
    peak = passed.by_peak
    if passed.lines.ms is None:
        return Asked(None, "lines")
    if peak is not None and isnan(peak.line_ms):
        return Asked(None, "peak")
    if passed.fenders.ms is None:
        return Asked(None, "fenders")
    hers = passed.ship.speed_ms
    speeds: list[tuple[float, Because]] = [(hers, "own_speed")]
    # What is tried in steps says less of her own speed than what was worked out for it.
    if passed.lines.is_limit and not passed.share[2] < 1.0:
        speeds.append((passed.lines.ms, "lines"))
    if passed.fenders.is_limit and (passed.off_fenders or not passed.is_known):
        speeds.append((passed.fenders.ms, "fenders"))
    if peak is not None:
        speeds.append((peak.line_ms, "peak"))
        for highest, because in ((peak.lines, "peak_lines"), (peak.fenders, "peak_fenders")):
            if highest is not None and highest.ms is not None and highest.is_limit:
                speeds.append((highest.ms, because))  # type: ignore[arg-type]
    speeds.append((passed.range_ms, "range"))
    return Asked(*min(speeds, key=lambda each: each[0]))


def _moved(usage: Usage) -> tuple[float, float]:
    return float(np.abs(usage.place[0]).max()), float(np.abs(usage.place[1]).max())


def _largest(tried: PassTried, push: Floats) -> tuple[float, float, float]:
    off = -push[:, 1] if tried.basis.stay.alongside == "port" else push[:, 1]
    return float(np.abs(push[:, 0]).max()), float(off.max()), float(-off.min())


def _lines(tried: PassTried, still: Floats, loads: Floats) -> tuple[LinePassed, ...]:
    """Return each line from its loads (lines,) before and (ends, places, lines) while she passes."""
    arrangement = tried.basis.arrangement
    limits = np.fmin(arrangement.smallest_wll_kn, arrangement.brake_kn)
    lines = []
    for column, line in enumerate(arrangement.ids):
        own = loads[:, :, column]
        peaks = tuple(nan if np.isnan(each).all() else float(np.nanmax(each)) for each in own)
        where = nan if np.isnan(own[-1]).all() else float(tried.ahead[int(np.nanargmax(own[-1]))])
        lines.append(LinePassed(line, float(still[column]), peaks, where, float(limits[column])))  # type: ignore[arg-type]
    return tuple(lines)
