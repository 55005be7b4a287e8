"""Rounds begun before she leaves her fenders or her place, and only where that keeps her there."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far
from alongside.forecast.members import Members
from alongside.forecast.off_place import before_she_is_off
from alongside.forecast.rounds.bands_ready import Barrier
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.tending_job import Job, Tried
from alongside.forecast.tending_plan import crew_of, within_of
from alongside.mechanics.hold import hold, standing_off
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.forecast.rounds.test_rounds import HOUR, rising

WIND_MS, FROM_DEG = 10.0, 340.0
"""Off the quay of the coaster: she leaves her fenders for a while before a line of hers needs tending."""


@dataclass
class Scene:
    basis: Basis
    job: Job
    times: np.ndarray
    best: Tried

    def off_m(self, tried: Tried) -> np.ndarray:
        """Her side off the nearest fender, as expected, with lengths of a test's own book-keeping."""
        lengths = np.tile(self.job.present.unstretched, (self.times.size, 1))
        for each in tried.plan.rounds:
            for move in each.moves:
                lengths[self.times >= each.latest, move.line] += move.pay_out_m
        situation = self.job.expected.situation(1)
        return standing_off(self.basis.arrangement, hold(self.basis.arrangement, situation, lengths).pose)


def scene_of(stay: Stay, wind_ms: float = WIND_MS) -> Scene:
    basis = Basis.of(stay)
    present = planned_present(stay, basis.arrangement, when_fast(stay)).in_wind(wind_ms, FROM_DEG)
    times = Far(8.0, 600.0, 1).times(present.time)
    expected = expected_situations(stay, present, times, 1)
    job = Job(basis, present, expected, within_of(stay), crew_of(stay.outlook))
    ends = job.ends_of(Members(basis, expected, present.unstretched))
    return Scene(basis, job, times, job.until_it_holds(ends))


@pytest.fixture(scope="module")
def coaster() -> Stay:
    return read_stay(example_stay("coaster_quay"))


@pytest.fixture(scope="module")
def scene(coaster) -> Scene:
    return scene_of(coaster)


def with_limit(stay: Stay, warning_m: float) -> Stay:
    off = replace(
        stay.limits.off_fenders_m, caution=warning_m / 2.0, warning=warning_m, alarm=3.0 * warning_m
    )
    return replace(stay, limits=replace(stay.limits, off_fenders_m=off))


def test_a_round_is_begun_before_she_leaves_her_fenders(scene):
    limit = scene.basis.stay.limits.off_fenders_m.warning
    at = int(np.argmax(scene.off_m(scene.best) >= limit))
    assert at > 0
    late = scene.best.plan.rounds[0]
    assert late.latest + late.duration_s > scene.times[at], "by its lines alone the round comes too late"
    then = before_she_is_off(scene.basis, scene.job, scene.best)
    first = then.plan.rounds[0]
    assert first.latest + first.duration_s <= scene.times[at]
    assert (scene.off_m(then)[: at + 1] < limit).all()
    assert then.missing <= scene.best.missing


def test_a_plan_that_keeps_her_on_her_fenders_is_left_as_it_is(coaster):
    wide = scene_of(with_limit(coaster, 2.0))
    assert wide.best.plan.rounds
    assert (wide.off_m(wide.best) < 2.0).all()
    assert before_she_is_off(wide.basis, wide.job, wide.best) is wide.best


def test_no_round_is_hurried_for_a_ship_that_is_off_already(coaster):
    off = scene_of(with_limit(coaster, 1e-6), wind_ms=14.0)
    assert off.off_m(off.best)[0] >= 1e-6
    assert before_she_is_off(off.basis, off.job, off.best) is off.best


def test_lengths_serve_no_farther_than_a_barrier():
    time, lo, hi, present = rising()
    free = plan_rounds(time, lo, hi, present)
    first, second = free.rounds[:2]
    until = first.latest - HOUR
    early = plan_rounds(time, lo, hi, present, barriers=(Barrier(-np.inf, until),))
    assert early.rounds[0].latest <= until
    between = second.latest - HOUR
    again = plan_rounds(time, lo, hi, present, barriers=(Barrier(first.latest, between),))
    assert any(first.latest < each.latest <= between for each in again.rounds)
    past = plan_rounds(time, lo, hi, present, barriers=(Barrier(-np.inf, float(time[-1]) + HOUR),))
    assert past.rounds == free.rounds
