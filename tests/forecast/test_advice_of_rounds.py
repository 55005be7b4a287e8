"""The next round in the sentence always in sight."""

from dataclasses import replace

import pytest

from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.rounds import in_short
from alongside.cycle.advice.scene import Scene
from alongside.forecast.model import MoveAhead, RoundAhead
from alongside.stay.stage import Stage
from alongside.units import unix_time
from tests.cycle.test_advice import alert
from tests.forecast.scene import looked, stay_ahead


def at(clock):
    return unix_time(f"2026-03-02T{clock}:00Z")


def a_round(latest="14:20", lengths_from="04:00", overdue=False):
    moves = (MoveAhead("3", 0.40), MoveAhead("4", 0.40))
    return RoundAhead(at("04:00"), at(latest), at(lengths_from), at("18:05"), 600.0, moves, overdue)


def said(folder, each, alerts=(), now="04:00"):
    stay = stay_ahead(folder)
    forecast = looked(stay, hours=1.0, members=3)
    forecast = replace(forecast, tending=replace(forecast.tending, rounds=(each,)))
    return advise(Scene(stay, at(now), alerts=alerts, forecast=forecast))


def test_the_next_round_is_said_with_its_time_and_how_long_it_is_good(tmp_path):
    advice = said(tmp_path, a_round())
    assert advice.text == "Slack 3 and 4 by 0.40 m before 14:20, good until 18:05"
    assert advice.stage is Stage.NORMAL
    assert len(advice.short) <= 70


@pytest.mark.parametrize(
    ("each", "text"),
    [
        (a_round(overdue=True), "Slack 3 and 4 by 0.40 m now, good until 18:05"),
        (
            a_round(lengths_from="13:10"),
            "Slack 3 and 4 by 0.40 m between 13:10 and 14:20, good until 18:05",
        ),
    ],
)
def test_a_round_that_is_due_now_or_only_later(tmp_path, each, text):
    assert said(tmp_path, each).text == text


def test_a_round_whose_time_has_passed_is_overdue_not_forgotten(tmp_path):
    late = said(tmp_path, a_round(), now="15:00")
    assert late.text == "Slack 3 and 4 by 0.40 m now, overdue, good until 18:05"


def test_what_is_worse_goes_before(tmp_path):
    worse = alert("stretch", "3", Stage.WARNING, 0.88)
    assert "good until" not in said(tmp_path, a_round(), (worse,)).text
    soon = alert("ahead", "3", Stage.CAUTION, 44.0)
    advice = said(tmp_path, a_round(), (soon,))
    assert advice.text.startswith("Slack 3 and 4 by 0.40 m before 14:20")
    assert advice.stage is Stage.CAUTION


def test_a_round_that_is_due_soon_goes_before_a_caution(tmp_path):
    """The lead that is steep already is no reason to let the time of the round go by."""
    steep = alert("steep", "4", Stage.CAUTION, 26.0)
    early = said(tmp_path, a_round(latest="14:20"), (steep,), now="13:00")
    assert "good until" not in early.text, "an hour and more to go: the caution first"
    near = said(tmp_path, a_round(latest="14:20"), (steep,), now="13:55")  # 10 min of work and 15 before
    assert near.text == "Slack 3 and 4 by 0.40 m before 14:20, good until 18:05; 1 more alert"
    assert near.stage is Stage.CAUTION


def test_a_round_that_is_due_is_a_caution_though_no_alert_stands(tmp_path):
    """From across the room: what to do, not the word normal."""
    due = said(tmp_path, a_round(latest="14:20"), now="13:55")
    assert due.stage is Stage.CAUTION
    assert (due.large, due.by) == ("SLACK 3, 4", "0.40 m")
    early = said(tmp_path, a_round(latest="14:20"), now="13:54")
    assert early.stage is Stage.NORMAL
    assert (early.large, early.by) == ("CHECKING", ""), "no deed yet: that of the lines stands large"


@pytest.mark.parametrize(
    ("moves", "words"),
    [
        ((("3", 0.4), ("4", 0.2)), "SLACK 3, 4"),
        ((("7", -0.2),), "HEAVE 7"),
        ((("3", 0.4), ("7", -0.2)), "TEND 3, 7"),
        (tuple((str(k), 0.3) for k in range(5)), "SLACK 0, 1, 2 +2"),
    ],
)
def test_a_round_in_two_words(moves, words):
    assert in_short([MoveAhead(*move) for move in moves]) == words
