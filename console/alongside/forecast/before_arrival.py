"""Before arrival: the present as the stay file plans it, without any feed."""

from dataclasses import replace

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.expected.draughts import (
    displacement_of,
    draughts_with_masses,
    heel_with_masses,
    masses_on_board,
)
from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.present import Present, nothing_heard
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.situation import Situation, expected_current
from alongside.readings import Floats, Quality
from alongside.stay.model import Line, Stay
from alongside.units import iso_time


def when_fast(stay: Stay) -> float:
    """Return when the last line is made fast by the stay file, UNIX s."""
    return max(line.made_fast.at for line in stay.lines)


def planned_present(stay: Stay, arrangement: Arrangement, at: float) -> Present:
    """Return the present at `at` by the plan alone.

    Tide by the port's prediction; draughts as stated with the lines (or where a simulated log of the stay
    begins) and the cargo planned since; wind of the scenario, else calm. Every line counts as made fast as
    stated and tended by the file up to then.

    Raises WrongInput where the plan leaves something open, with what is missing.
    """
    lengths = planned_lengths(stay, arrangement, at)
    impossible = np.full(len(lengths), NoLength.IMPOSSIBLE, dtype=np.int8)
    here = planned_situation(stay, at)
    return Present.of(here, lengths, nothing_heard(), planned=True, no_length=impossible)


def planned_situation(stay: Stay, at: float) -> Situation:
    """Return where the ship floats at `at` by the plan and the wind of the scenario, one row."""
    tide = _planned_tide(stay, at)
    fwd, aft, heel = _planned_draughts(stay, at)
    speed, come_from = _planned_wind(stay, at)
    one = np.ones(1)
    current_speed, current_to = expected_current(stay.current, at * one) if stay.current else (np.nan, np.nan)
    return Situation(
        time=at * one,
        tide=tide * one,
        draught_fwd=fwd * one,
        draught_aft=aft * one,
        heel_deg=heel * one,
        heel_measured=True,
        wind_speed=speed * one,
        wind_gust=speed * one,
        wind_from=come_from * one,
        current_speed=current_speed * one,
        current_to=current_to * one,
        quality=np.full(1, Quality.SUSPECT, dtype=np.int8),
    )


def planned_lengths(stay: Stay, arrangement: Arrangement, at: float) -> Floats:
    """Return unstretched main rope (lines,) m, made fast as stated and tended by the file up to `at`."""
    lengths = np.array([_made_fast(stay, arrangement, k, line) for k, line in enumerate(stay.lines)])
    tends = sorted((tend.at, k, tend) for k, line in enumerate(stay.lines) for tend in line.tended)
    for when, k, tend in tends:
        if when > at:
            break
        if tend.paid_out is not None:
            lengths[k] += tend.paid_out
        else:
            pose = hold(arrangement, planned_situation(stay, when), lengths).pose
            tension = np.full(len(lengths), tend.to_tension_kn)
            lengths[k] = unstretched_for(arrangement, pose, tension)[0, k]
    return lengths


def _made_fast(stay: Stay, arrangement: Arrangement, k: int, line: Line) -> float:
    made = line.made_fast
    stated = (made.tide, made.draught_fwd, made.draught_aft, made.heel_deg)
    then = in_place(planned_situation(stay, made.at)) if None in stated else None

    def or_planned(value: float | None, name: str) -> Floats:
        return getattr(then, name) if value is None else np.array([value])

    pose = in_place(_nowhere(made.at))
    pose = replace(
        pose,
        tide=or_planned(made.tide, "tide"),
        draught_fwd=or_planned(made.draught_fwd, "draught_fwd"),
        draught_aft=or_planned(made.draught_aft, "draught_aft"),
        heel_deg=or_planned(made.heel_deg, "heel_deg"),
    )
    return float(unstretched_for(arrangement, pose, np.full(len(stay.lines), made.tension_kn))[0, k])


def _nowhere(at: float) -> Situation:
    unknown = np.full(1, np.nan)
    names = ("tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_gust", "wind_from")
    values = dict.fromkeys((*names, "current_speed", "current_to"), unknown)
    quality = np.full(1, Quality.LOST, dtype=np.int8)
    return Situation(time=np.array([at]), heel_measured=False, quality=quality, **values)


def _planned_tide(stay: Stay, at: float) -> float:
    if stay.tide is None:
        raise WrongInput(f"{stay.file}: tide: missing, expected high and low waters or constituents")
    level = float(expected_level(tide_table(stay.tide), [at], nodes_of(stay)).metres[0])
    if np.isnan(level):
        raise WrongInput(f"{stay.file}: tide.high_low: does not cover {iso_time(at)}")
    return level


def _planned_draughts(stay: Stay, at: float) -> tuple[float, float, float]:
    """Return draughts at the marks, m, and heel, deg."""
    begun, fwd, aft, heel = _stated(stay, at)
    if not stay.cargo:
        return fwd, aft, heel
    if not stay.ship.hydrostatics:
        raise WrongInput(f"{stay.file}: ship.hydrostatics: missing, a cargo plan needs the table")
    moved = masses_on_board(stay.cargo, [at]) - masses_on_board(stay.cargo, [begun])
    new_fwd, new_aft = draughts_with_masses(stay.ship, fwd, aft, moved, [each.x for each in stay.cargo])
    if np.isnan(new_fwd + new_aft).any():
        raise WrongInput(
            f"{stay.file}: ship.hydrostatics: the table does not reach the draught of {iso_time(at)}"
        )
    if stay.simulate is not None:
        displacement = displacement_of(stay.ship, fwd, aft) + moved.sum(axis=1)
        y = [each.y for each in stay.cargo]
        heel += float(heel_with_masses(moved, y, displacement, stay.simulate.gm)[0])
    return float(new_fwd[0]), float(new_aft[0]), heel


def _stated(stay: Stay, at: float) -> tuple[float, float, float, float]:
    """Return (when, forward, aft, heel) of the last draughts that the file states up to `at`, else of the
    first."""
    stated = [
        (made.at, made.draught_fwd, made.draught_aft, made.heel_deg or 0.0)
        for made in (line.made_fast for line in stay.lines)
        if made.draught_fwd is not None and made.draught_aft is not None
    ]
    if not stated and stay.simulate is not None:
        begin = stay.simulate
        stated = [(begin.start, begin.draught_fwd, begin.draught_aft, 0.0)]
    if not stated:
        raise WrongInput(
            f"{stay.file}: lines[0].made_fast: no line states draughts, expected draught_fwd and draught_aft"
        )
    before = [each for each in stated if each[0] <= at]
    return max(before) if before else min(stated)


def _planned_wind(stay: Stay, at: float) -> tuple[float, float]:
    """Return mean wind of the scenario, m/s and deg; calm where the file has none."""
    changes = stay.simulate.wind if stay.simulate is not None else ()
    now = [change for change in changes if change.at <= at] or list(changes[:1])
    return (now[-1].mean_ms, now[-1].from_deg) if now else (0.0, 0.0)
