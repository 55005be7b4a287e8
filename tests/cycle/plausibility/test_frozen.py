"""A gauge that says the same to the last digit: its witness speaks beside it, and by hand it is set aside."""

import numpy as np
import pytest

from alongside.actions import JudgeChannel
from alongside.cycle.plausibility.still import FROZEN_ENDS_S
from alongside.readings import Quality, Readings, Reason
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet, witnesses_of

STUCK, SEEN, MOVES = 60, 75, 360
"""Minutes from which the gauge sticks, its feed sees it, and its last digit moves again."""


def stuck(moves: int = MOVES) -> Readings:
    time = instants(9.0)
    columns = quiet(time)
    columns["tide"][STUCK:] = columns["tide"][STUCK]
    columns["tide"][moves:] += 0.001 * (np.arange(time.size - moves) % 2)
    readings = as_readings(time, columns)
    at = readings.channels.index("tide")
    readings.quality[SEEN:moves, at] = Quality.SUSPECT
    readings.reason[SEEN:moves, at] = Reason.FROZEN
    return readings


def doubts_at(minute: int, **by_hand: str) -> Heard:
    actions = {SEEN + 5: [JudgeChannel("tide", "witness", "AB")]} if by_hand else {}
    return hear(COASTER, stuck().rows(0, minute), actions=actions)


def test_a_frozen_gauge_has_a_doubt_from_when_it_stood() -> None:
    (doubt,) = doubts_at(SEEN + 5).last
    assert (doubt.channel, doubt.reason) == ("tide", Reason.FROZEN)
    time = stuck().time
    assert doubt.since == pytest.approx(time[SEEN] - witnesses_of().freeze_s("tide"))
    assert doubt.since < time[SEEN]


def test_its_table_does_not_follow_it() -> None:
    for minute in (MOVES - 1, MOVES + 3, MOVES + 60):
        heard = doubts_at(minute)
        assert heard.last, "a stuck gauge whose last digit moves is not good"
        assert abs(heard.memory.residual) < 0.4, "the surge believed before it stuck"


def test_no_minute_of_trust_when_its_last_digit_moves() -> None:
    quality = hear(COASTER, stuck()).readings.quality[:, 0]
    assert (quality[SEEN:] != Quality.GOOD).all()


def test_wrong_by_hand_the_table_stands_for_it() -> None:
    readings = doubts_at(MOVES, wrong="yes").readings
    assert (readings.quality[SEEN + 5 :, 0] == Quality.EXPECTED).all()
    table = witnesses_of().table(readings.time)[SEEN + 5 :]
    assert readings.value[SEEN + 5 :, 0] == pytest.approx(table, abs=0.4)


def test_one_that_moves_with_the_table_again_is_good() -> None:
    time = instants(9.0)
    readings = as_readings(time, quiet(time))
    readings.quality[SEEN : SEEN + 10, 0] = Quality.SUSPECT
    readings.reason[SEEN : SEEN + 10, 0] = Reason.FROZEN
    quality = hear(COASTER, readings).readings.quality[:, 0]
    ends = SEEN + 10 + int(FROZEN_ENDS_S / 60.0) + 1
    assert (quality[SEEN : ends - 2] == Quality.SUSPECT).all()
    assert (quality[ends:] == Quality.GOOD).all()
