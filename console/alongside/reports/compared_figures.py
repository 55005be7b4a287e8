"""What is compared of two stays, as plain figures: for the table in words and for other programs alike.

Stretch, load, lead, slack and parting are those of lines left untended; what is held is with the rounds done.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.measures import HANGS_SLACK
from alongside.forecast.model import Forecast, LimitAhead
from alongside.mechanics.holding import HoldingPower
from alongside.readings import Floats
from alongside.reports.compared_sides import Side, incurable_lines, square_off
from alongside.reports.critique.all import plan_notes
from alongside.reports.critique.model import PlanNote
from alongside.stay.stage import Stage
from alongside.wording.safe import safe


@dataclass(frozen=True, slots=True)
class Held:
    """The 30 s wind that is held, m/s, from where it comes, true deg, and what gives then; `drift_m` how far
    she has then moved, m."""

    ms: float
    from_deg: float
    gives: str | None
    where: str | None
    drift_m: float


@dataclass(frozen=True, slots=True)
class Contact:
    """The least wind, m/s, that takes her off her last fender, and from where it comes, true deg."""

    ms: float
    from_deg: float


@dataclass(frozen=True, slots=True)
class Extreme:
    """The highest or least value of the hours ahead, UNIX s when, and of which line; "" for the ship."""

    value: float
    time: float
    line: str = ""


@dataclass(frozen=True, slots=True)
class SideFigures:
    """One of two stays; None, or "", where not known or none. `would_part` and `slack`: each line with when
    it first does, UNIX s."""

    file: str
    name: str
    lines: tuple[str, ...]
    breasts: tuple[str, ...]
    square_off: Held | None
    weakest: Held | None
    contact: Contact | None
    would_part: tuple[tuple[str, float], ...]
    slack: tuple[tuple[str, float], ...]
    rounds: int
    moves: int
    incurable: tuple[str, ...]
    first_warning: LimitAhead | None
    stretch: Extreme | None
    load: Extreme | None
    steepest: Extreme | None
    under_keel: Extreme | None
    not_known: tuple[tuple[str, str], ...]
    notes: tuple[PlanNote, ...]
    """What guidance has against the plan of its lines."""
    why_not: str
    """Why it is not known what is held; "" where it is."""


def figures_of(sides: Sequence[Side]) -> tuple[SideFigures, ...]:
    """Return the figures of each side, under names of files by which the sides can be told apart."""
    return tuple(_figures(side, file) for side, file in zip(sides, _file_names(sides), strict=True))


def _figures(side: Side, file: str) -> SideFigures:
    stay, forecast, power = side.basis.stay, side.forecast, side.holding
    fast = np.where(np.isnan(forecast.load_share), np.nan, np.abs(forecast.vertical_deg))
    tension = forecast.load_share * side.basis.arrangement.smallest_wll_kn
    breaks = np.array([line.smallest_mbl_kn for line in stay.lines])
    least = stay.limits.slack_share.warning or HANGS_SLACK
    rounds = forecast.tending.rounds
    return SideFigures(
        file=file,
        name=stay.name,
        lines=forecast.lines,
        breasts=tuple(line.id for line in stay.lines if line.role == "breast"),
        square_off=None if power is None else _held(power, square_off(side, power)),
        weakest=None if power is None else _held(power, power.weakest),
        contact=None if power is None else _contact(power),
        would_part=_first(forecast, tension > breaks),
        slack=_first(forecast, forecast.load_share <= least),
        rounds=len(rounds),
        moves=sum(len(each.moves) for each in rounds),
        incurable=incurable_lines(side),
        first_warning=_first_warning(forecast),
        stretch=_highest(forecast, forecast.stretch_share),
        load=_highest(forecast, forecast.load_share),
        steepest=_highest(forecast, fast),
        under_keel=_least_depth(forecast),
        not_known=forecast.without,
        notes=plan_notes(stay),
        why_not="" if power is not None else _why_not_held(side),
    )


def _held(power: HoldingPower, at: int) -> Held:
    return Held(
        float(power.holds_ms[at]),
        float(power.from_deg[at]),
        power.gives_first[at],
        power.where[at],
        float(power.drift_m[at]),
    )


def _contact(power: HoldingPower) -> Contact:
    at = power.first_off
    return Contact(float(power.contact_ms[at]), float(power.from_deg[at]))


def _first(forecast: Forecast, is_so: NDArray[np.bool_]) -> tuple[tuple[str, float], ...]:
    """Return each line of which something is so at any instant (m, lines), with the first such instant."""
    columns = np.flatnonzero(is_so.any(axis=0)).tolist()
    return tuple(
        (forecast.lines[column], float(forecast.times[is_so[:, column].argmax()])) for column in columns
    )


def _highest(forecast: Forecast, values: Floats) -> Extreme | None:
    if np.isnan(values).all():
        return None
    row, line = np.unravel_index(int(np.nanargmax(values)), values.shape)
    return Extreme(float(values[row, line]), float(forecast.times[row]), forecast.lines[line])


def _least_depth(forecast: Forecast) -> Extreme | None:
    depth = forecast.under_keel.expected
    if np.isnan(depth).all():
        return None
    row = int(np.nanargmin(depth))
    return Extreme(float(depth[row]), float(forecast.times[row]))


def _first_warning(forecast: Forecast) -> LimitAhead | None:
    warnings = [each for each in forecast.limits if each.stage >= Stage.WARNING and each.expected is not None]
    return min(warnings, key=lambda limit: limit.expected or np.inf, default=None)


def _why_not_held(side: Side) -> str:
    arrangement = side.basis.arrangement
    if not len(arrangement.fenders):
        return "no fenders at the berth"
    return "wind areas of the ship not given" if arrangement.exposure.wind is None else "holding not known"


def _file_names(sides: Sequence[Side]) -> list[str]:
    """Return the names of the files; with their folders where both have one name."""
    names = [safe(Path(side.basis.stay.file).name) for side in sides]
    return names if len(set(names)) == len(names) else [safe(str(side.basis.stay.file)) for side in sides]
