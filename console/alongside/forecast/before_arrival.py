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
from alongside.forecast.expected.wind_forecast import known_forecast
from alongside.forecast.present import Present, nothing_heard
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bights import change_to
from alongside.mechanics.exposure import exposure_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.settled_lengths import make_fast
from alongside.mechanics.situation import Situation, expected_current, unknown_situation
from alongside.mechanics.wind_heel import wind_heel_deg
from alongside.readings import Floats, Quality
from alongside.stay.making_fast import MakingFast, makings_fast, times_fast
from alongside.stay.model import Stay, Tend
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
    present = Present.of(here, lengths, nothing_heard(), planned=True, no_length=impossible)
    return replace(present, wind_forecast=known_forecast(stay, (), at))


def planned_situation(stay: Stay, at: float) -> Situation:
    """Return where the ship floats at `at` by the plan and the wind of the scenario, one row."""
    tide = _planned_tide(stay, at)
    fwd, aft, heel = _planned_draughts(stay, at)
    one = np.ones(1)
    afloat = replace(
        _in_wind(stay, at),
        tide=tide * one,
        draught_fwd=fwd * one,
        draught_aft=aft * one,
        heel_deg=heel * one,
        quality=np.full(1, Quality.SUSPECT, dtype=np.int8),
    )
    return replace(afloat, heel_deg=afloat.heel_deg + wind_heel_deg(exposure_of(stay), afloat))


def planned_lengths(stay: Stay, arrangement: Arrangement, at: float) -> Floats:
    """Return unstretched main rope (lines,) m, made fast as stated and tended by the file up to `at`."""
    lengths = np.full(len(stay.lines), np.nan)
    deeds: list[tuple[float, int, MakingFast | Tend]] = [(each.at, 0, each) for each in makings_fast(stay)]
    for line, fast in zip(stay.lines, times_fast(stay), strict=True):
        deeds += [(max(tend.at, fast), 1, tend) for tend in line.tended if tend.at <= at]
    for _, _, deed in sorted(deeds, key=lambda each: each[:2]):
        if isinstance(deed, MakingFast):
            made = _made_fast(stay, arrangement, deed, lengths)
            lengths[list(deed.lines)] = made[list(deed.lines)]
            continue
        k = arrangement.ids.index(deed.line)
        if deed.paid_out is not None:
            lengths[k] += deed.paid_out
        else:
            pose = hold(arrangement, planned_situation(stay, deed.at), lengths).pose
            tension = np.full(len(lengths), deed.to_tension_kn)
            wanted = unstretched_for(arrangement, pose, tension)[0]
            lengths[k] += change_to(arrangement.partners, wanted, lengths, k)
    return lengths


def _made_fast(stay: Stay, arrangement: Arrangement, making: MakingFast, lengths: Floats) -> Floats:
    """Return the lengths (lines,) m of the lines that are made fast, NaN for others."""
    is_stated = None not in (making.tide, making.draught_fwd, making.draught_aft, making.heel_deg)
    then = _in_wind(stay, making.at) if is_stated else planned_situation(stay, making.at)
    return make_fast(stay, arrangement, making, then, lengths, making.lines).unstretched


def _in_wind(stay: Stay, at: float) -> Situation:
    """Return the wind and current of the plan, with nothing known of how the ship floats."""
    speed, come_from = _planned_wind(stay, at)
    current_speed, current_to = _planned_current(stay, at)
    one = np.ones(1)
    return replace(
        unknown_situation(at * one),
        wind_speed=speed * one,
        wind_gust=speed * one,
        wind_from=come_from * one,
        current_speed=current_speed,
        current_to=current_to,
    )


def _planned_current(stay: Stay, at: float) -> tuple[Floats, Floats]:
    unknown = np.full(1, np.nan)
    return expected_current(stay.current, np.array([at])) if stay.current else (unknown, unknown)


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
