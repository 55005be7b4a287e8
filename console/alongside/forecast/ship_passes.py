"""What a ship that passes does to the lines: her pull at each place of hers along the track, taken as a force
that stands still, and what the set gives under it.

The pull is that of slender bodies (`mechanics.passing`), an estimate: it is taken half, whole and twice, and
what is judged is the larger end. She does not have the time to range with it; a ship that ranges can bear
more. Forces go with the square of the speed through the water.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.passing import BAND, Hull, passing_pull
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import LIMITS, OFF_M, Usage, usage_of
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.units import KNOT

PLACES: Final = 241
"""Of the ship that passes, from well astern to well ahead."""
REACH: Final = 1.0
"""Beyond the place where the ends meet, of half of both lengths and the distance."""
STEP_MS: Final = 0.25 * KNOT
"""The speed to ask for is said in steps of a quarter of a knot, never rounded up."""
ENDS: Final = (1.0 / BAND, 1.0, BAND)
MOST_MS: Final = 15.0


@dataclass(frozen=True, slots=True)
class OtherShip:
    """The ship that passes: length, breadth, draught m; `distance_m` from centreline to centreline; speed
    through the water, m/s; `depth_m` of the water, None: that at the berth."""

    length: float
    breadth: float
    draught: float
    distance_m: float
    speed_ms: float
    depth_m: float | None = None


@dataclass(frozen=True, slots=True)
class LinePassed:
    """The load of a line, kN: before she comes, and the highest while she passes with half, all and twice the
    pull; where she then lies, m ahead of midships; NaN where nothing is known of the line."""

    line: str
    still_kn: float
    peak_kn: tuple[float, float, float]
    ahead_m: float
    limit_kn: float
    """The least of its working limit and what its brake holds."""


@dataclass(frozen=True, slots=True)
class Passed:
    """What passing does. `share`: the largest of all limits with half, all and twice the pull, `gives` and
    `where` which that is with twice; `still_share` the same before she comes. `moved_m` along and off the
    quay, the largest with twice the pull; `off_fenders` whether her side leaves its last fender then.
    `pull_kn` (ahead, off the quay, on to it): the largest of each as computed. `ask_ms`: the highest speed
    at which no limit is passed with twice the pull; None where one is passed without any."""

    ship: OtherShip
    depth_m: float
    lines: tuple[LinePassed, ...]
    share: tuple[float, float, float]
    still_share: float
    gives: str
    where: str
    moved_m: tuple[float, float]
    off_fenders: bool
    pull_kn: tuple[float, float, float]
    ask_ms: float | None
    on_fenders_ms: float | None
    """The highest speed at which her side stays on a fender with twice the pull; None where it does not
    before she comes."""


def ship_passes(basis: Basis, present: Present, ship: OtherShip) -> Passed:
    """Return what it does that a ship passes now. Raise WrongInput where she would touch or lie aground, and
    where it cannot be known: no depth, no fenders, nothing known of where ours lies."""
    stay, here = basis.stay, present.situation()
    _check(basis, here)
    # The balance is sought whether or not the stay keeps her in place.
    basis = replace(basis, arrangement=replace(basis.arrangement, balanced=True))
    own = Hull(stay.ship.lbp, stay.ship.breadth, float(0.5 * (here.draught_fwd + here.draught_aft)[0]))
    depth = _depth(stay, here, ship)
    reach = REACH * (0.5 * (own.length + ship.length) + ship.distance_m) + 0.5 * (own.length + ship.length)
    ahead = np.linspace(-reach, reach, PLACES)
    push = _push(stay, own, ship, depth, ahead)
    usages = [_usage(basis, present, here, end * push) for end in ENDS]
    loads = np.array([_loads(basis, present, here, end * push) for end in ENDS])
    still = _usage(basis, present, here, np.zeros((1, 3)))

    def under(speed_ms: float) -> Usage:
        return _usage(basis, present, here, BAND * (speed_ms / ship.speed_ms) ** 2 * push)

    worst = usages[-1]
    at = int(worst.share.argmax())
    gives = LIMITS[int(worst.limit[at])]
    off = -push[:, 1] if stay.alongside == "port" else push[:, 1]
    return Passed(
        ship,
        depth,
        _lines(basis, _loads(basis, present, here, np.zeros((1, 3)))[0], loads, ahead),
        tuple(float(each.share.max()) for each in usages),  # type: ignore[arg-type]
        float(still.share[0]),
        gives,
        _where(basis, gives, int(worst.where[at])),
        (float(np.abs(worst.place[0]).max()), float(np.abs(worst.place[1]).max())),
        bool((worst.off_m > OFF_M).any()),
        (float(np.abs(push[:, 0]).max()), float(off.max()), float(-off.min())),
        _highest(under, _nothing_gives) if _nothing_gives(still) else None,
        _highest(under, _on_fenders) if _on_fenders(still) else None,
    )


def speed_by_peak(speed_ms: float, still_kn: float, peak_kn: float, limit_kn: float) -> float:
    """Return the speed, m/s, at which the same ship brings a line to a limit that at `speed_ms` brought it
    from `still_kn` to `peak_kn`: V sqrt((limit - still) / (peak - still)). NaN where nothing came of her, or
    the limit is passed without her."""
    if not peak_kn > still_kn or not limit_kn >= still_kn:
        return float("nan")
    return float(speed_ms * np.sqrt((limit_kn - still_kn) / (peak_kn - still_kn)))


def peak_at(speed_ms: float, seen_ms: float, still_kn: float, peak_kn: float) -> float:
    """Return the peak, kN, that the same ship brings at another speed: what came on with the square of it."""
    return float(still_kn + (peak_kn - still_kn) * (speed_ms / seen_ms) ** 2)


def _check(basis: Basis, here: Situation) -> None:
    if not basis.stay.berth.fenders:
        raise WrongInput(f"{basis.stay.file}: berth.fenders are missing, expected where she lies against")
    if np.isnan(here.draught_fwd[0]) or np.isnan(here.draught_aft[0]) or np.isnan(here.tide[0]):
        raise WrongInput("tide and draughts are not known, expected all three at this moment")


def _depth(stay: Stay, here: Situation, ship: OtherShip) -> float:
    if ship.depth_m is not None:
        return ship.depth_m
    if stay.berth.charted_depth is None:
        raise WrongInput(
            "the depth is not known, expected it in words such as depth 14, or berth.charted_depth"
        )
    return float(stay.berth.charted_depth + here.tide[0])


def _push(stay: Stay, own: Hull, ship: OtherShip, depth: float, ahead: Floats) -> Floats:
    """Return the pull (n, 3) as `Situation.other_force`."""
    hull = Hull(ship.length, ship.breadth, ship.draught)
    try:
        pull = passing_pull(own, hull, ahead, ship.distance_m, ship.speed_ms, depth)
    except ValueError as error:
        raise WrongInput(str(error)) from error
    to_port = 1.0 if stay.alongside == "starboard" else -1.0  # the track lies on the side away from the quay
    return np.column_stack([pull.along, to_port * pull.across, to_port * pull.turning])


def _under(here: Situation, push: Floats) -> Situation:
    other = np.zeros((1, 3)) if here.other_force is None else here.other_force
    return replace(here.at(np.zeros(len(push), dtype=np.intp)), age=None, other_force=other + push)


def _usage(basis: Basis, present: Present, here: Situation, push: Floats) -> Usage:
    under, arrangement = _under(here, push), basis.arrangement
    loads, _ = loads_of(arrangement.exposure, under)
    return usage_of(arrangement, under, tensions_of(arrangement, present.unstretched), loads, basis.criteria)


def _loads(basis: Basis, present: Present, here: Situation, push: Floats) -> Floats:
    """Return the load of each line (n, lines), kN."""
    loads: Floats = hold(basis.arrangement, _under(here, push), present.unstretched).lines.tension_kn
    return loads


def _lines(basis: Basis, still: Floats, loads: Floats, ahead: Floats) -> tuple[LinePassed, ...]:
    """Return each line from its loads (lines,) before and (ends, places, lines) while she passes."""
    limits = np.fmin(basis.arrangement.smallest_wll_kn, basis.arrangement.brake_kn)
    lines = []
    for column, line in enumerate(basis.arrangement.ids):
        own = loads[:, :, column]
        peaks = tuple(float("nan") if np.isnan(each).all() else float(np.nanmax(each)) for each in own)
        where = float("nan") if np.isnan(own[-1]).all() else float(ahead[int(np.nanargmax(own[-1]))])
        lines.append(LinePassed(line, float(still[column]), peaks, where, float(limits[column])))  # type: ignore[arg-type]
    return tuple(lines)


def _where(basis: Basis, gives: str, at: int) -> str:
    if at < 0:
        return ""
    arrangement = basis.arrangement
    return arrangement.bollard_ids[at] if gives == "bollard" else arrangement.ids[at]


def _nothing_gives(usage: Usage) -> bool:
    return float(usage.share.max()) < 1.0


def _on_fenders(usage: Usage) -> bool:
    return bool((usage.off_m <= OFF_M).all())


def _highest(under: Callable[[float], Usage], serves: Callable[[Usage], bool]) -> float:
    """Return the highest speed, in steps, at which what comes of it serves; 0 for none."""
    steps = np.arange(1, round(MOST_MS / STEP_MS)) * STEP_MS
    low, high = -1, steps.size  # known to serve, known not to
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if serves(under(steps[middle])) else (low, middle)
    return float(steps[low]) if low >= 0 else 0.0
