"""A level that is metres off within a minute is doubtful in the cycle in which it is."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import JudgeChannel
from alongside.readings import Quality, Reason
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet
from tests.cycle.plausibility.test_cuts import same

STEP_S = 10.0
AT = 6 * 40 + 2
"""Twenty seconds into a minute."""


def stepped(channel: str, by: float, until: int | None = None, age: float = 0.0) -> Heard:
    time = instants(2.0, STEP_S)
    columns = quiet(time)
    columns[channel][AT:until] += by
    readings = as_readings(time, columns)
    readings.age[:, readings.channels.index(channel)] = age
    return hear(COASTER, readings)


def doubtful(heard: Heard, channel: str) -> list[bool]:
    column = heard.readings.quality[:, heard.readings.channels.index(channel)]
    return (column == Quality.SUSPECT).tolist()  # type: ignore[no-any-return]


@pytest.mark.parametrize(("channel", "by"), [("draught_aft", 7.5), ("draught_fwd", -1.3), ("tide", 1.2)])
def test_it_is_doubtful_at_once_and_stays_so(channel: str, by: float) -> None:
    heard = stepped(channel, by)
    seen = doubtful(heard, channel)
    assert not any(seen[:AT])
    assert all(seen[AT:])
    (_, doubt) = next(each for each in heard.of(channel) if each[1].reason is Reason.JUMPED)
    assert doubt.off == pytest.approx(by, abs=0.05)


def test_one_that_comes_back_within_the_minute_leaves_no_doubt() -> None:
    seen = doubtful(stepped("draught_aft", 7.5, AT + 3), "draught_aft")
    assert [at for at, each in enumerate(seen) if each] == [AT, AT + 1, AT + 2]


def test_what_a_ship_or_the_sea_can_do_is_believed() -> None:
    assert not doubtful(stepped("draught_aft", 0.8), "draught_aft")[AT]


def test_a_tide_gauge_of_few_values_steps_by_nature() -> None:
    assert not doubtful(stepped("tide", 1.2, age=600.0), "tide")[AT]


@pytest.mark.slow
@settings(max_examples=15)
@given(st.lists(st.integers(1, 719), max_size=12), st.integers(200, 260), st.floats(-9.0, 9.0))
def test_cuts_make_no_difference(cuts: list[int], at: int, by: float) -> None:
    columns = quiet(instants(2.0, STEP_S))
    columns["draught_aft"][at:] += by
    columns["tide"][at + 7 : at + 90] -= by
    readings = as_readings(instants(2.0, STEP_S), columns)
    actions = {300: [JudgeChannel("draught_aft", "gauge")]}
    whole = hear(COASTER, readings, [300], actions)
    same(hear(COASTER, readings, sorted({*cuts, 300}), actions), whole)
    same(hear(COASTER, readings, list(range(1, len(readings))), actions), whole)
    assert np.isfinite(whole.readings.value).any()
