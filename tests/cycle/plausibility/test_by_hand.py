"""Somebody looked: the gauge is right, or its witness is. Either ends the doubt."""

import numpy as np
import pytest

from alongside.actions import JudgeChannel
from alongside.readings import Quality, Reason
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet

STEP, SAID = 60, 120


def stepped(right: str | None, size: float = 1.2, back: int | None = None) -> Heard:
    time = instants(9.0)
    columns = quiet(time)
    columns["tide"][STEP:back] += size
    actions = {} if right is None else {SAID: [JudgeChannel("tide", right, "AB")]}  # type: ignore[arg-type]
    return hear(COASTER, as_readings(time, columns), actions=actions)


def test_without_a_word_the_doubt_stays() -> None:
    assert (stepped(None).readings.quality[STEP + 10 :, 0] == Quality.SUSPECT).all()


def test_the_gauge_is_right() -> None:
    heard = stepped("gauge")
    assert heard.readings.quality[SAID - 1, 0] == Quality.SUSPECT
    assert (heard.readings.quality[SAID:, 0] == Quality.GOOD).all(), "what it differs by now is accepted"


def test_the_table_is_right() -> None:
    heard, right = stepped("witness"), stepped(None, size=0.0)
    after = slice(SAID, None)
    assert (heard.readings.quality[after, 0] == Quality.EXPECTED).all()
    assert (heard.readings.reason[after, 0] == Reason.EXPECTED).all()
    assert heard.readings.value[after, 0] == pytest.approx(right.readings.value[after, 0], abs=0.05)
    assert not heard.last, "no doubt any more"


def test_the_table_is_right_just_after_a_fresh_start() -> None:
    """Most of what was heard so far was wrong already: none of it is weather."""
    time = instants(3.0)
    columns, right = quiet(time), quiet(time)
    columns["tide"][3:] += 1.6
    heard = hear(COASTER, as_readings(time, columns), actions={14: [JudgeChannel("tide", "witness", "AB")]})
    assert (heard.readings.quality[14:, 0] == Quality.EXPECTED).all()
    assert heard.readings.value[14:60, 0] == pytest.approx(right["tide"][14:60], abs=0.3)


def test_a_gauge_set_aside_is_heard_again_once_it_agrees_for_an_hour() -> None:
    heard = stepped("witness", back=300)
    assert (heard.readings.quality[SAID:300, 0] == Quality.EXPECTED).all()
    assert (heard.readings.quality[420:, 0] == Quality.GOOD).all()


def test_an_accepted_difference_is_no_leave_for_another() -> None:
    time = instants(9.0)
    columns = quiet(time)
    columns["tide"][STEP:] += 1.2
    columns["tide"][300:] += 1.0
    heard = hear(COASTER, as_readings(time, columns), actions={SAID: [JudgeChannel("tide", "gauge")]})
    assert (heard.readings.quality[SAID:300, 0] == Quality.GOOD).all()
    assert (heard.readings.quality[310:, 0] == Quality.SUSPECT).all()


def test_a_word_on_a_good_gauge_or_none_changes_nothing() -> None:
    time = instants(5.0)
    readings = as_readings(time, quiet(time))
    for channel in ("tide", "heading", "no such"):
        for right in ("gauge", "witness"):
            heard = hear(COASTER, readings, actions={SAID: [JudgeChannel(channel, right)]})  # type: ignore[arg-type]
            np.testing.assert_array_equal(heard.readings.quality, readings.quality)
