"""The hours ahead in words: limits and when, rounds, what no tending cures, how far a plan is sure."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.forecast.model import (
    ChoiceAhead,
    Incurable,
    LimitAhead,
    MoveAhead,
    RoundAhead,
    Tending,
)
from alongside.forecast.round_words import chance_text, holds_text, moves_text
from alongside.forecast.words import AheadWords, limit_name, titled
from alongside.mechanics.holding import WeakSpot
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.units import unix_time
from tests.screens import invented

NOW = unix_time("2026-03-03T02:00:00Z")
HOUR, MINUTE = 3600.0, 60.0
WORDS = AheadWords(Display(zone="UTC"), NOW)
STRETCH = LimitAhead(
    "stretch", "4", "4", Stage.ALARM, NOW + 80 * MINUTE, NOW + 100 * MINUTE, NOW + 125 * MINUTE
)
ROUND = RoundAhead(
    not_before=NOW + 10 * MINUTE,
    latest=NOW + 95 * MINUTE,
    lengths_from=NOW + 70 * MINUTE,
    serves_until=NOW + 9 * HOUR,
    duration_s=0.0,
    moves=(MoveAhead("4", 0.8),),
)


def test_a_limit_says_what_stage_and_when():
    assert WORDS.limit(STRETCH) == "Line 4 stretch: alarm expected 03:40 (03:20 to 04:05)"


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        (replace(STRETCH, standing=True), "now"),
        (replace(STRETCH, expected=None, no_later=None), "possible from 03:20"),
        (replace(STRETCH, no_later=None), "expected 03:40 (from 03:20, perhaps never)"),
        (replace(STRETCH, expected=NOW + 23 * HOUR), "expected 04 Mar 01:00 (03:20 to 04:05)"),
    ],
)
def test_a_limit_that_is_not_sure_says_so(limit, words):
    assert WORDS.when(limit) == words


def test_a_limit_of_holding_says_what_gives_first():
    wind = replace(STRETCH, cause="holding", subject="", line=None, weak=WeakSpot("brake", "4"))
    assert WORDS.limit(wind) == "Holding: alarm expected 03:40 (03:20 to 04:05), gives first: brake of line 4"
    assert WORDS.reached(wind) == "alarm 03:40 (brake of line 4)"
    assert WORDS.reached(None) == "none"


@pytest.mark.parametrize(
    ("cause", "subject", "line", "name"),
    [
        ("steep", "10", "10", "Line 10 steep"),
        ("bollard", "B12", None, "Bollard B12 load"),
        ("under_keel", "", None, "UKC"),
        ("drift", "surge", None, "Ship off place along the berth"),
        ("off_fenders", "", None, "Ship off fenders"),
        ("gangway", "low", None, "Gangway too low"),
        ("steep", "[/]\x1b[2J", "[/]\x1b[2J", "Line [/]·[2J steep"),
    ],
)
def test_what_reaches_a_limit_has_a_name_that_is_safe_to_show(cause, subject, line, name):
    assert limit_name(LimitAhead(cause, subject, line, Stage.CAUTION, NOW, NOW, NOW)) == name


@pytest.mark.parametrize(
    ("each", "window"),
    [
        (ROUND, "between 03:10 and 03:35"),
        (replace(ROUND, not_before=NOW + 80 * MINUTE), "between 03:20 and 03:35"),
        (replace(ROUND, lengths_from=NOW + 95 * MINUTE), "at 03:35"),
        (replace(ROUND, not_before=NOW - 60.0, lengths_from=NOW), "before 03:35"),
        (replace(ROUND, overdue=True), "now"),
        (replace(ROUND, latest=NOW - MINUTE), "now, overdue"),
    ],
)
def test_the_window_of_a_round_is_that_of_its_very_metres(each, window):
    assert WORDS.window(each) == window


def test_a_round_says_moves_window_and_what_it_leads_to():
    each = replace(ROUND, duration_s=1200.0, holds_before_ms=28.0, holds_after_ms=20.0)
    assert WORDS.round(ROUND) == "Slack 4 by 0.80 m between 03:10 and 03:35, good until 11:00"
    assert WORDS.round(each) == (
        "Slack 4 by 0.80 m between 03:10 and 03:35, takes 20 min, good until 11:00; "
        "lines then hold 38 kn, without it 54 kn"
    )


def test_what_is_held_is_rounded_down_and_the_end_of_the_search_is_more_than():
    each = replace(ROUND, holds_before_ms=60.0, holds_after_ms=20.55)
    assert holds_text(each, Display()) == "lines then hold 39 kn, without it more than 116 kn"
    assert holds_text(replace(each, holds_after_ms=60.0), Display()) == ""
    assert holds_text(ROUND, Display()) == ""


def test_moves_with_one_deed_and_length_stand_together():
    moves = [MoveAhead("3", 0.4), MoveAhead("7", -0.2), MoveAhead("4", 0.4), MoveAhead("5", 0.15)]
    assert moves_text(moves) == "Slack 3 and 4 by 0.40 m, heave 7 by 0.20 m, slack 5 by 0.15 m"


@pytest.mark.parametrize(
    ("why", "words"),
    [
        ("empty", "No length keeps line 2 within limits, 03:00 to 04:00: 0.29 m short"),
        ("pace", "Rounds cannot keep up with line 2, 03:00 to 04:00: 0.29 m short"),
        ("together", "Line 2 leaves its limits in spite of the rounds, 03:00 to 04:00: 0.29 m short"),
        ("wind", "Do not slack: line 2 by 0.29 m, 03:00 to 04:00"),
    ],
)
def test_what_no_tending_cures(why, words):
    assert WORDS.cannot_cure(Incurable("2", NOW + HOUR, NOW + 2 * HOUR, 0.29, why)) == words


def test_a_chance_is_in_so_many_of_ten_cases_and_rounded_down():
    assert [chance_text(share) for share in (1.0, 0.82, 0.3, 0.05)] == [
        "in 10 of 10 cases",
        "in 8 of 10 cases",
        "in 3 of 10 cases",
        "in fewer than 1 of 10 cases",
    ]


def test_no_tending_is_needed_only_where_nothing_is_left_to_cure():
    forecast = invented.forecast(invented.invented_stay())
    reached = replace(forecast, tending=Tending(), known_until=np.inf)
    ((_, words),) = WORDS.tending(reached)
    assert words.startswith("No round helps: line B1 stretch: warning expected"), "a limit is reached"
    nothing = replace(reached, limits=())
    assert WORDS.tending(nothing) == [
        ("check", "No tending needed: stretch, load, brakes and slack stay below warning")
    ]
    cure = Incurable("2", NOW + HOUR, NOW + 2 * HOUR, 0.29, "empty")
    kinds = [kind for kind, _ in WORDS.tending(replace(nothing, tending=Tending(cannot_cure=(cure,))))]
    assert kinds == ["cannot_cure"]


def test_how_far_a_plan_can_be_relied_on():
    forecast = invented.forecast(invented.invented_stay())
    tending = Tending(
        rounds=(ROUND, ROUND), verified=True, holds=0.82, is_fewest=False, choices=(ChoiceAhead(3, 0.14),)
    )
    plan = replace(forecast, tending=tending, known_until=np.inf, followed=(STRETCH,))
    texts = titled(WORDS.tending(plan))
    assert [text[:10] for text in texts[:2]] == ["1  Slack 4", "2  Slack 4"]
    assert texts[2:] == [
        "Not prevented by these rounds: Line 4 stretch: alarm expected 03:40 (03:20 to 04:05)",
        "Plan checked by calculation: stretch, load, brakes and slack stay below warning in 8 of 10 cases",
        "Fewer rounds may be possible",
        "3 rounds leave 0.14 m to spare",
    ]
    wrong = replace(plan, tending=replace(tending, verified=False))
    assert "Plan checked by calculation: does NOT keep lines below warning" in titled(WORDS.tending(wrong))
    short = titled(WORDS.tending(replace(plan, known_until=NOW + HOUR)))
    assert short[0] == "Not known after 03:00: tide or draughts end there"
    assert "Plan not checked to its end: tide or draughts not known" in short
    waiting = replace(plan, tending=Tending(pending=True))
    assert titled(WORDS.tending(waiting)) == ["Lines were tended: rounds are being planned anew"]
