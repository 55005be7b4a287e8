"""The gangway out of reach: alerted live, and expected ahead, by the same rules."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.alerts.rules import rules_of
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import Gangway, GangwayKind, Stay
from alongside.stay.stage import Stage
from tests.berth import START, a_stay
from tests.forecast.scene import looked, stay_ahead
from tests.worlds import AWKWARD_TEXT, awkward_stay, readings, watched

CHANNELS = ("tide", "draught_fwd", "draught_aft")


@pytest.fixture
def stay(tmp_path: Path) -> Stay:
    """A tide of 4 m lifts the rail, 9 m above the keel, over 3 m above a quay of 4 m."""
    plain = stay_ahead(tmp_path, cargo=())
    return replace(plain, outlook=replace(plain.outlook, gangway=Gangway(40.0, 9.0, 4.0, 0.5, 3.0)))


def test_out_of_reach_is_a_warning_now(tmp_path: Path) -> None:
    there = watched(awkward_stay(tmp_path))
    (raised,) = [event for event in there.block.events if event.alert == "gangway"]
    assert (raised.event, raised.subject, raised.stage, raised.limit) == (
        "raised",
        "high",
        Stage.WARNING,
        1.5,
    )
    # tide 3.0 + rail 8.0 - draught 4.3158 at 30 m forward of the AP - quay 5.0, ours
    assert raised.value == pytest.approx(3.0 + 8.0 - (4.5 - 28.0 * 0.5 / 76.0) - 5.0, abs=1e-9)
    assert there.picture().stages["gangway", "high"] is Stage.WARNING


def test_within_reach_nothing_is_raised(tmp_path: Path) -> None:
    low = watched(awkward_stay(tmp_path), readings(tide=2.5))
    assert not [event for event in low.block.events if event.alert == "gangway"]
    assert low.picture().stages["gangway", "high"] is Stage.NORMAL


def test_a_gangway_without_ends_has_no_rules(stay: Stay) -> None:
    bare = replace(stay, outlook=replace(stay.outlook, gangway=Gangway(40.0, 9.0, 4.0)))
    assert not [rule for rule in rules_of(bare) if rule.cause == "gangway"]
    assert [rule.subject for rule in rules_of(stay) if rule.cause == "gangway"] == ["low", "high"]


def test_what_is_expected_ahead_is_what_is_alerted_when_it_comes(stay: Stay) -> None:
    """The tide that the look ahead expects, played as a log, reaches each end when it was expected to."""
    forecast = looked(stay, hours=12.0, members=1)
    expected = {
        limit.subject: limit.expected
        for limit in forecast.limits
        if limit.cause == "gangway" and limit.expected is not None and not limit.standing
    }
    time = np.arange(forecast.times[0], forecast.times[-1], 10.0)
    channels = (forecast.tide.expected, forecast.draught_fwd.expected, forecast.draught_aft.expected)
    value = np.column_stack([np.interp(time, forecast.times, each) for each in channels])
    good = np.full(value.shape, Quality.GOOD, dtype=np.int8)
    no_reason = np.full(value.shape, Reason.NONE, dtype=np.int8)
    basis = Basis.of(stay)
    heard = Readings(time, CHANNELS, value, good, no_reason, np.zeros(value.shape))
    _, block = advance(basis, Memory.at_start(stay), heard)
    first = {
        rule.subject: float(time[block.assessment.level[:, at] >= Stage.WARNING][0])
        for at, rule in enumerate(basis.rules)
        if rule.cause == "gangway" and block.assessment.level[:, at].any()
    }
    assert expected
    assert set(expected) <= set(first)
    for end, at in expected.items():
        assert first[end] == pytest.approx(at, abs=10.0)
    raised = {event.subject for event in block.events if (event.alert, event.event) == ("gangway", "raised")}
    assert set(expected) <= raised
    assert min(expected.values()) >= START


@pytest.mark.parametrize(
    ("kind", "length", "steepest", "slope", "text"),
    [
        ("gangway", 3.2, None, 34.1, "Gangway 34° (limit 30°)"),
        ("ladder", 2.1, None, 58.6, "Ladder 59° (limit 55°)"),
        ("ramp", 14.0, None, 7.36, "Ramp 7.4°, 1 in 7.7 (limit 5.7°, 1 in 10)"),
        ("gangway", 3.2, 40.0, None, None),
        ("gangway", 1.5, None, 90.0, "Gangway 90° (limit 30°)"),
    ],
)
def test_a_slope_is_a_warning_at_what_its_kind_allows(
    tmp_path: Path, kind: GangwayKind, length: float, steepest: float | None, slope: float | None, text: str
) -> None:
    """The rail stands 1.793 m over the quay: asin(1.793 / 3.2) = 34.1 deg. By hand; limits as read."""
    plain = awkward_stay(tmp_path)
    gangway = Gangway(30.0, 8.109, 5.0, kind=kind, length=length, steepest_deg=steepest)
    there = watched(replace(plain, outlook=replace(plain.outlook, gangway=gangway)))
    raised = [event for event in there.block.events if event.alert == "gangway"]
    if slope is None:
        assert not raised
        return
    (event,) = raised
    assert (event.subject, event.stage, event.text) == ("slope", Stage.WARNING, text)
    assert event.value == pytest.approx(slope, abs=0.05)


def test_a_slope_without_a_length_is_refused(tmp_path: Path) -> None:
    where = "quay_z: 5.0, highest: 1.5}"
    text = AWKWARD_TEXT.replace(where, "quay_z: 5.0, steepest_deg: 35}")
    with pytest.raises(WrongInput, match="steepest_deg: a slope without a length"):
        a_stay(tmp_path, text)
    read = a_stay(tmp_path, AWKWARD_TEXT.replace(where, "quay_z: 5.0, kind: ramp, length: 14}"))
    assert read.outlook.gangway == Gangway(30.0, 8.0, 5.0, kind="ramp", length=14.0)


def test_the_slope_is_expected_ahead(stay: Stay) -> None:
    """A rail 3 m over the quay at high water on a gangway of 5 m: 36.9 deg, over 30 from 2.5 m on."""
    at = replace(Gangway(40.0, 9.0, 4.0), length=5.0)
    forecast = looked(replace(stay, outlook=replace(stay.outlook, gangway=at)), hours=12.0, members=1)
    (limit,) = [each for each in forecast.limits if each.cause == "gangway"]
    assert (limit.subject, limit.stage) == ("slope", Stage.WARNING)
    when = float(limit.expected or 0.0)
    rail = np.interp(when, forecast.times, forecast.rail_over_quay.expected)
    assert rail == pytest.approx(2.5, abs=0.02)
