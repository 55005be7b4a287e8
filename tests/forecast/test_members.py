"""States of all members in blocks of time: the same as all at once. Expected values: ours."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.alerts.rule_model import Rule
from alongside.forecast import members
from alongside.forecast.first_times import FirstTimes, limits_ahead
from alongside.forecast.model import Forecast
from alongside.record.codec import to_plain
from tests.forecast.scene import LOADING, looked, stay_ahead

CARGO = (replace(LOADING[0], tonnes=2400.0, rate=150.0),)
SPREADS = ("vertical_spread", "stretch_spread", "load_spread", "under_keel", "holding_share", "surge", "sway")


def assert_same(one: Forecast, other: Forecast, tolerance: float) -> None:
    for name in SPREADS:
        for end in ("expected", "low", "high"):
            ours, theirs = (getattr(getattr(each, name), end) for each in (one, other))
            np.testing.assert_allclose(ours, theirs, rtol=tolerance, atol=tolerance, err_msg=f"{name} {end}")
    for name in ("stage", "stage_worst", "cause"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    assert one.known_until == other.known_until


@pytest.mark.slow
@pytest.mark.parametrize(("balance", "tolerance"), [(False, 0.0), (True, 1e-8)])
def test_blocks_of_time_are_all_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, balance: bool, tolerance: float
) -> None:
    """To the last digit where she is held in place; in balance as exactly as that is found."""
    stay = stay_ahead(tmp_path, balance=balance, cargo=CARGO)
    whole = looked(stay, hours=12.0, members=12)
    monkeypatch.setattr(members, "WHOLE", 0)
    monkeypatch.setattr(members, "AT_ONCE", 12 * 17 * len(stay.lines))
    cut = looked(stay, hours=12.0, members=12)
    assert whole.limits, "there is something to come"
    assert whole.tending.rounds, "and something to do about it"
    assert_same(whole, cut, tolerance)
    if not balance:
        assert to_plain((cut.limits, cut.tending)) == to_plain((whole.limits, whole.tending))
        assert cut.followed == whole.followed
        return
    assert len(cut.limits) == len(whole.limits)
    for one, other in zip(whole.limits, cut.limits, strict=True):
        assert other.not_before == pytest.approx(one.not_before, abs=1e-3)
    assert len(cut.tending.rounds) == len(whole.tending.rounds)


def test_first_times_do_not_depend_on_where_time_is_cut() -> None:
    rng = np.random.default_rng(3)
    time = 300.0 * np.arange(60)
    value = np.cumsum(rng.normal(0.02, 0.1, (20, 60, 2)), axis=1)
    value[3, 20:30] = np.nan
    rules = [Rule("stretch", "1", (0.4, 0.8, 1.2), line="1"), Rule("load", "2", (0.5, np.nan, 1.0), line="2")]
    whole = limits_ahead(rules, time, value)
    assert len(whole) > 3
    for cuts in ([1], [7, 8, 31], list(range(1, 60))):
        sought = FirstTimes(rules)
        for rows in np.split(np.arange(60), cuts):
            sought.add(time[rows], value[:, rows])
        assert sought.limits() == whole
