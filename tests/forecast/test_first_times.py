"""When limits are reached, and what members together say of it. Values by hand: ours."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.rule_model import Rule
from alongside.forecast.first_times import EARLY, LATE, first_times, limits_ahead, quantile
from alongside.stay.stage import Stage

TIME = 1000.0 + 300.0 * np.arange(13)
NAN = float("nan")


def rising(start, end, members=1):
    return np.tile(np.linspace(start, end, TIME.size), (members, 1))[:, :, None]


def test_a_limit_is_reached_straight_between_samples():
    # 0.0 to 1.2 in 3600 s reaches 0.85 at 0.85 / 1.2 of it
    when = first_times(TIME, rising(0.0, 1.2), np.array([0.85]), np.array([1]))
    assert when[0, 0] == pytest.approx(TIME[0] + 3600.0 * 0.85 / 1.2, abs=1e-6)


def test_where_less_is_worse_it_is_reached_from_above():
    when = first_times(TIME, rising(2.0, 0.5), np.array([1.0]), np.array([-1]))
    assert when[0, 0] == pytest.approx(TIME[0] + 3600.0 * 1.0 / 1.5, abs=1e-6)


def test_never_reached_is_infinite_and_so_is_a_stage_not_used():
    when = first_times(TIME, np.repeat(rising(0.0, 0.5), 2, axis=2), np.array([0.85, NAN]), np.array([1, 1]))
    assert np.isinf(when).all()


def test_a_value_from_infinity_or_not_known_reaches_at_its_sample():
    value = rising(0.0, 1.2)
    value[0, 3, 0] = NAN
    value[0, 4, 0] = np.inf
    when = first_times(TIME, value, np.array([0.85]), np.array([1]))
    assert when[0, 0] == TIME[4]


def test_bands_of_twenty_one_members():
    # member k reaches 1 at a (k + 1) / 22 share of the hour: 5 %, half and 95 % of 21 are the 1st, 10th, 19th
    ends = 22.0 / (np.arange(21) + 1.0)
    value = np.linspace(0.0, 1.0, TIME.size)[None, :, None] * ends[:, None, None]
    rule = Rule("stretch", "3", (NAN, 1.0, NAN), line="3")
    (limit,) = limits_ahead((rule,), TIME, value)
    assert limit.stage is Stage.WARNING
    for found, k in ((limit.not_before, 2), (limit.expected, 11), (limit.no_later, 20)):
        assert found == pytest.approx(TIME[0] + 3600.0 * k / 22.0, abs=1e-6)


def test_ranks_between_members_go_outwards():
    # 11 members: 5 % and 95 % lie at ranks 0.5 and 9.5, so the first and the last bound the band
    ends = 12.0 / (np.arange(11) + 1.0)
    value = np.linspace(0.0, 1.0, TIME.size)[None, :, None] * ends[:, None, None]
    (limit,) = limits_ahead((Rule("stretch", "3", (NAN, 1.0, NAN), line="3"),), TIME, value)
    assert limit.not_before == pytest.approx(TIME[0] + 3600.0 * 1 / 12.0, abs=1e-6)
    assert limit.no_later == pytest.approx(TIME[0] + 3600.0 * 11 / 12.0, abs=1e-6)


@given(st.integers(1, 300))
def test_a_band_holds_at_least_nine_of_ten_members(members):
    values = np.arange(members, dtype=np.float64)
    low, high = quantile(values, EARLY), quantile(values, LATE)
    assert ((values >= low) & (values <= high)).sum() >= 0.9 * members


def test_what_some_members_never_reach_may_not_occur():
    value = np.concatenate([rising(0.0, 1.2, 4), rising(0.0, 0.5, 6)])
    rule = Rule("stretch", "3", (0.70, 0.85, 1.00), line="3")
    found = limits_ahead((rule,), TIME, value)
    assert {limit.stage for limit in found} == {Stage.CAUTION, Stage.WARNING, Stage.ALARM}
    assert all(limit.expected is None and limit.no_later is None for limit in found)


def test_what_no_member_reaches_is_not_told():
    assert limits_ahead((Rule("stretch", "3", (0.7, 0.85, 1.0)),), TIME, rising(0.0, 0.5, 20)) == []


def test_what_stands_already_is_marked():
    (limit,) = limits_ahead((Rule("steep", "4", (25.0, NAN, NAN)),), TIME, rising(30.0, 40.0, 20))
    assert limit.standing
    assert limit.not_before == limit.expected == limit.no_later == TIME[0]
