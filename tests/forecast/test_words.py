"""The hours ahead in words: limits and when, rounds, what no tending cures, how far a plan is sure."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from alongside.alerts.model import Alert, Standing
from alongside.forecast.model import (
    ChoiceAhead,
    Incurable,
    LimitAhead,
    MoveAhead,
    PartialDeed,
    RoundAhead,
    Tending,
)
from alongside.forecast.round_words import chance_text, holds_text, moves_text
from alongside.forecast.words import AheadWords, limit_name, past_limits, titled
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


def no_limits():
    """A forecast known to its end in which no limit is reached."""
    forecast = invented.forecast(invented.invented_stay())
    return replace(forecast, tending=Tending(), limits=(), known_until=np.inf)


def an_alert(cause, line, stage):
    return Alert(cause, line, line, stage, Standing.UNACKNOWLEDGED, NOW, NOW, 0.9, 0.85, "", "")


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


HELPS = PartialDeed(0.6, NOW + HOUR, inf, "stretch", 0.92, NOW + 2 * HOUR, 1.04, 0.85)


@pytest.mark.parametrize(
    ("why", "helps", "words"),
    [
        (
            "empty",
            HELPS,
            "Slack 2 by 0.60 m at 03:00 helps: stretch 92 % at 04:00 (limit 85 %), without it 104 %. "
            "Not cured: call terminal, shift",
        ),
        (
            "wind",
            replace(HELPS, at=NOW, undone_at=NOW + 3 * HOUR),
            "Slack 2 by 0.60 m now, heave it back at 05:00 helps: stretch 92 % at 04:00 (limit 85 %), "
            "without it 104 %. Not cured: call master",
        ),
        (
            "together",
            replace(HELPS, share=0.84),
            "Slack 2 by 0.60 m at 03:00 helps: stretch 84 % at 04:00 (limit 85 %), without it 104 %",
        ),
        (
            "pace",
            PartialDeed(-0.3, NOW + HOUR, inf, "slack", 0.02, NOW + 2 * HOUR, 0.0, 0.03),
            "Heave 2 by 0.30 m at 03:00 helps: load 2 % at 04:00 (limit 3 %), without it 0 %. "
            "Not cured: call terminal, shift",
        ),
    ],
)
def test_what_helps_all_the_same_says_what_it_does_and_what_it_does_not_cure(why, helps, words):
    cure = Incurable("2", NOW + HOUR, NOW + 2 * HOUR, 0.29, why, helps=helps)
    forecast = replace(no_limits(), tending=Tending(cannot_cure=(cure,)))
    rows = WORDS.tending(forecast)
    assert rows == [("cannot_cure", WORDS.cannot_cure(cure)), ("helps", words)]
    assert not WORDS.cannot_cure(cure).startswith("Do not")


def test_nothing_that_is_past_its_limit_now_stands_beside_no_tending_needed():
    standing = an_alert("stretch", "4", Stage.WARNING)
    over = past_limits([standing, an_alert("steep", "4", Stage.ALARM)], "warning")
    assert over == ("line 4 stretch",)
    assert past_limits([an_alert("stretch", "4", Stage.CAUTION)], "warning") == ()
    assert past_limits([replace(standing, standing=Standing.RECTIFIED)], "warning") == ()
    assert WORDS.tending(no_limits(), over) == [
        ("check", "No round planned, but now at warning or worse: line 4 stretch")
    ]


def test_a_plan_without_rounds_that_holds_in_few_cases_is_not_called_enough():
    few = replace(no_limits(), tending=Tending(holds=0.6))
    assert WORDS.tending(few) == [
        (
            "check",
            "No round planned: stretch, load, brakes and slack stay below warning only in 6 of 10 cases",
        )
    ]
    failed = replace(no_limits(), tending=Tending(untried=True))
    assert WORDS.tending(failed) == [("check", "No round: calculation failed, not tried in the wind of now")]


def test_rounds_that_are_no_plan_yet_are_said_once():
    unsure = [replace(ROUND, holds=0.6, latest=NOW + hours * HOUR) for hours in (2.0, 4.0, 6.0)]
    forecast = replace(
        no_limits(), tending=Tending(rounds=(replace(ROUND, holds=0.9), *unsure), verified=True)
    )
    rows = WORDS.tending(forecast)
    assert [kind for kind, _ in rows][:3] == ["round", "unsure", "more"]
    assert rows[2] == ("more", "Then 2 more rounds until 08:00, no plan yet: look again after round 2")
    assert sum("Look again" in text for _, text in rows) == 1
    assert WORDS.then_more(unsure[:1]) == ""
    assert WORDS.then_more(unsure[:2]).startswith("Then 1 more round until 06:00")
    assert WORDS.then_more([ROUND, ROUND]) == ""


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
        "Plan checked by calculation: stretch, load, brakes and slack stay below warning in 8 of 10 cases, "
        "except as above",
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
