"""The sentence always in sight."""

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.model import Acceptance, Alert, Standing
from alongside.alerts.rule_model import DueBy
from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.by_cause import sentence_of
from alongside.cycle.advice.headlines import HEADLINES, LINE_HEADLINES, LineHeadline, of_lines
from alongside.cycle.advice.scene import Scene
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Advice, ChannelRow, FeedRow
from alongside.mechanics.reasons import NoLength
from alongside.readings import Quality, Reason
from alongside.stay.causes import CAUSES, Cause
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.cells import cells
from tests.alerts.scene import invented

NAN = float("nan")
STAY = replace(invented(), display=Display(zone="+02:00"))
NOW = 1_772_424_000.0  # 2026-03-02T04:00:00Z
LIMIT = {"steep": (25, 30, 45), "slack": (0.04, 0.01, 0.01), "under_keel": (1.0, 0.6, 0.3)}


def line(name: str, share: float = 0.5, trend: float = 0.0, **changed: float) -> LineRow:
    numbers = dict.fromkeys(
        ("horizontal_deg", "outboard_m", "path_m", "elongation_pct", "ahead_kn", "in_kn", "down_kn"), 1.0
    )
    numbers |= {"vertical_deg": 12.0, "unstretched_m": 30.0, "load_share": 0.3, "tension_kn": 90.0} | changed
    stage = Stage(sum(share >= limit for limit in (0.70, 0.85, 1.00)))
    return LineRow(name, "breast", stretch_share=share, stage=stage, trend_per_h=trend, **numbers)


def alert(cause: str, subject: str, stage: Stage, value: float, **changed: object) -> Alert:
    owned = subject if cause not in ("bollard", "feed", "under_keel", "calculation") else None
    limit = LIMIT.get(cause, (0.70, 0.85, 1.00))[stage - 1]
    unit = {"steep": "deg", "under_keel": "m", "drift": "m", "off_fenders": "m"}.get(cause, "")
    plain = Alert(
        cause,
        subject,
        owned,
        stage,
        Standing.UNACKNOWLEDGED,
        NOW - 3000,
        NOW - 60,
        value,
        limit,
        unit,
        "its text",
    )
    return replace(plain, **changed)  # type: ignore[arg-type]


def channel(name: str, reason: Reason = Reason.NONE, age: float = 1.0, feed: str = "gauges") -> ChannelRow:
    lost = reason in (Reason.WAITING, Reason.SILENT)
    quality = Quality.LOST if lost else Quality.SUSPECT if reason else Quality.GOOD
    return ChannelRow(name, feed, NAN if lost else 2.0, quality, reason, age)


GOOD = [channel("tide"), channel("draught_fwd"), channel("draught_aft")]


def said(
    alerts: Sequence[Alert] = (),
    lines: Sequence[LineRow] = (line("1"), line("2"), line("3", 0.54)),
    channels: Sequence[ChannelRow] = GOOD,
    tide: float = 0.0,
    draught: float = 0.0,
    **more: object,
) -> Advice:
    scene = Scene(STAY, NOW, lines, alerts, channels, tide_rate=tide, draught_rate=draught)
    return advise(replace(scene, **more))  # type: ignore[arg-type]


def test_nothing_to_do() -> None:
    advice = said()
    assert advice.text == "Nothing to do: 3 lines within limits, highest stretch 54 % (line 3)"
    assert advice.stage is Stage.NORMAL
    assert advice.large == "ALL NORMAL"


def test_a_ship_back_on_her_fenders_needs_no_tug() -> None:
    """A value of nothing is known: it is better than its limit."""
    off = alert(
        "off_fenders", "", Stage.ALARM, 0.0, line=None, limit=0.5, text="Ship easing: 0.00 m off fenders"
    )
    advice = said([off])
    assert (advice.large, advice.stage) == ("CHECK LINES", Stage.ALARM)
    assert advice.text.startswith("Ship easing")
    assert said([replace(off, value=0.6)]).large == "CALL MASTER"
    assert said([replace(off, value=NAN)]).large == "CALL MASTER"


def test_all_normal_only_while_no_alert_stands_and_every_channel_is_good() -> None:
    eases = alert("stretch", "2", Stage.WARNING, 0.6)
    assert said([eases]).large == "EASING 2"
    doubtful = [*GOOD, channel("wind_speed", Reason.STALE)]
    assert said(channels=doubtful).large == "CHECK GAUGES"
    assert said(channels=doubtful).text.startswith("Check gauges: "), "not: nothing to do"
    assert said(channels=doubtful).stage == Stage.CAUTION, "nothing that is doubtful is normal"
    suspended = alert("stretch", "2", Stage.WARNING, 0.9, suspended=True)
    assert said([suspended]).large != "ALL NORMAL"


def test_nothing_to_do_yet_where_a_limit_is_reached_but_not_for_long() -> None:
    advice = said(lines=[line("1"), line("3", 0.71)])
    assert advice.text == "Nothing to do yet: 1 of 2 lines within limits, highest stretch 71 % (line 3)"
    assert advice.large == "WATCH LINE 3"


def test_lines_not_made_fast_are_not_counted_in_band() -> None:
    loose = line("2", NAN, unstretched_m=NAN, tension_kn=NAN)
    loose = replace(loose, stage=None, why="not made fast", no_length=NoLength.NOT_FAST)
    beside = said(lines=[line("1"), loose])
    assert beside.text.startswith("Watch line 2 (not made fast) by eye; 1 of 2 lines within limits")
    assert (beside.stage, beside.large) == (Stage.CAUTION, "WATCH LINE 2")
    assert said(lines=[loose]).text == "No line is made fast yet"


@pytest.mark.parametrize(
    ("trend", "vertical", "tide", "draught", "why"),
    [
        (0.06, 20.0, 0.5, 0.0, "rising with the tide"),
        (0.06, 20.0, 0.0, -0.2, "rising as draught decreases"),
        (0.06, -20.0, -0.5, 0.0, "rising as tide falls"),
        (0.06, -20.0, 0.0, 0.2, "rising as draught increases"),
        (0.06, 20.0, 0.2, -0.4, "rising as draught decreases"),  # the stronger of two that agree
        (0.06, 20.0, -0.5, 0.0, "rising"),  # the tide does not explain it
        (0.06, 20.0, NAN, NAN, "rising"),
        (0.0, 20.0, 0.5, 0.0, "steady"),
    ],
)
def test_what_moves_a_line_is_named_where_it_explains(
    trend: float, vertical: float, tide: float, draught: float, why: str
) -> None:
    rows = [line("3", 0.88, trend, vertical_deg=vertical)]
    advice = said([alert("stretch", "3", Stage.WARNING, 0.88)], rows, tide=tide, draught=draught)
    assert advice.text == f"Slack line 3: stretch 88 % (limit 85 %), {why}"
    assert advice.stage is Stage.WARNING


@pytest.mark.parametrize(
    ("stage", "trend", "start"),
    [
        (Stage.CAUTION, 0.05, "Stand by to slack line 3: "),
        (Stage.CAUTION, -0.05, "Watch line 3: "),
        (Stage.WARNING, NAN, "Slack line 3: "),
        (Stage.WARNING, -0.05, "Watch line 3: "),
        (Stage.ALARM, -0.05, "Slack line 3 now: "),
    ],
)
def test_a_line_that_eases_by_itself_is_watched_except_in_alarm(
    stage: Stage, trend: float, start: str
) -> None:
    share = 1.02 if stage is Stage.ALARM else 0.9
    assert said([alert("stretch", "3", stage, share)], [line("3", share, trend)]).text.startswith(start)


def test_slack_lines() -> None:
    slack = alert("slack", "8", Stage.WARNING, 0.0)
    assert said([slack], [line("8")]).text == "Heave line 8: slack, no load (limit 1 % of WLL)"
    of_three = alert("slack", "3", Stage.WARNING, 0.0)
    with_cell = said([of_three], [line("3", measured_kn=18.0)])
    assert with_cell.text == "Look at line 3: slack, no load (limit 1 % of WLL), but its cell 1.8 t"
    assert with_cell.large == "LOOK AT LINE 3", "nobody heaves on a line that may be tight"
    assert said([of_three], [line("3", measured_kn=0.4)]).text.startswith("Heave line 3")
    early = alert("slack", "8", Stage.CAUTION, 0.03)
    easing = said([early], [line("8", trend=-0.1, tension_kn=9.8)])
    assert easing.text == "Heave line 8: slack, 1.0 t (limit 4 % of WLL)"
    assert easing.large == "HEAVE 8"
    taking_up = said([early], [line("8", trend=0.1, tension_kn=9.8)], tide=0.4)
    assert taking_up.text == "Watch line 8: slack, 1.0 t (limit 4 % of WLL), taking up with the tide"
    assert taking_up.large == "WATCH LINE 8"


def test_steepness_is_cured_by_height_or_a_longer_lead_not_by_slackening() -> None:
    steep = alert("steep", "5", Stage.WARNING, 34.0)
    down, up = [line("5", vertical_deg=34.0)], [line("5", vertical_deg=-34.0)]
    move = "Move line 5 farther along, a second line out first: 34° "
    assert said([steep], down).text == f"{move}down (limit 30°), or wait for the ebb"
    assert said([steep], down).large == "MOVE LINE 5"
    assert said([steep], up).text == f"{move}up (limit 30°), or wait for the flood"
    eases = said([steep], down, tide=-0.5)
    assert eases.text == "Watch line 5: steep, 34° down (limit 30°), easing as tide falls"
    assert eases.large == "WATCH LINE 5"
    assert said([steep], down, tide=0.5).text == f"{move}down (limit 30°), steeper with the tide"


def test_a_line_that_pulls_more_down_than_in_is_moved() -> None:
    for angle, way in ((47.0, "down"), (-47.0, "up")):
        text = said([alert("steep", "5", Stage.ALARM, 47.0)], [line("5", vertical_deg=angle)]).text
        assert text == (
            f"Move line 5 farther along, a second line out first: 47° {way} (limit 45°); "
            f"it pulls {way} more than in"
        )


def test_load_brake_bollard_and_clearance() -> None:
    rows = [line("1", tension_kn=200.0), line("2", tension_kn=250.0), line("3", trend=NAN)]
    assert said([alert("load", "3", Stage.WARNING, 0.9)], rows).text == (
        "Slack line 3: load 9.2 t, 90 % of WLL (limit 85 %)"
    )
    assert said([alert("brake", "3", Stage.ALARM, 1.0)], rows).text == (
        "Slack line 3 now: brake 100 % (limit 100 %)"
    )
    assert said([alert("bollard", "B1", Stage.WARNING, 0.9)], rows).text == (
        "Slack line 2: bollard B1 load 90 % (limit 85 %), steady"
    )
    assert said([alert("under_keel", "", Stage.WARNING, 0.55)], rows, tide=-0.1, draught=0.3).text == (
        "Call the master, stop cargo: UKC 0.55 m (limit 0.60 m), falling as draught increases"
    )


def test_the_worst_is_said_and_how_many_more() -> None:
    alerts = [
        alert("steep", "5", Stage.WARNING, 44.0),
        alert("stretch", "1", Stage.WARNING, 0.88),
        alert("stretch", "2", Stage.WARNING, 0.93),
        alert("slack", "3", Stage.WARNING, 0.0),
        alert("stretch", "4", Stage.CAUTION, 0.8),
        alert("stretch", "6", Stage.ALARM, 1.1, standing=Standing.RECTIFIED),
    ]
    assert said(alerts).text == "Slack line 2: stretch 93 % (limit 85 %), steady; 4 more alerts"


def test_a_cause_without_a_deed_says_its_own_text() -> None:
    assert said([alert("sinking", "", Stage.ALARM, 3.0, text="She is 3.0 m lower")]).text == (
        "She is 3.0 m lower"
    )


def test_waiting_is_not_blind() -> None:
    waits = [channel("tide", Reason.WAITING, NAN), channel("draught_fwd"), channel("draught_aft")]
    unknown = [line("1", NAN, tension_kn=NAN)]
    feed = alert("feed", "gauges", Stage.CAUTION, NAN)
    advice = said([], unknown, waits)
    assert (advice.text, advice.stage, advice.large) == ("Waiting for tide", Stage.CAUTION, "CHECKING")
    advice = said([feed], unknown, waits)
    assert advice.text == "Read the tide board, check gauges: tide not heard yet"
    assert (advice.stage, advice.large) == (Stage.CAUTION, "READ TIDE BOARD")


def test_blind() -> None:
    lost = [channel("tide", Reason.SILENT, 3000.0), *GOOD[1:]]
    feed = alert("feed", "gauges", Stage.WARNING, 3000.0)
    stood = alert("stretch", "3", Stage.ALARM, 1.04, suspended=True)
    unknown = [line("1", NAN, tension_kn=NAN)]
    advice = said([feed], unknown, lost)
    assert advice.text == "Check lines by eye: tide no signal since 05:10"
    assert (advice.stage, advice.large) == (Stage.WARNING, "CHECK LINES")
    assert said([stood, feed], unknown, lost).text == (
        "Check lines by eye: tide no signal since 05:10; line 3 was in alarm"
    )


def test_an_alarm_that_is_still_known_goes_before_blindness() -> None:
    lost = [channel("tide", Reason.SILENT, 3000.0), *GOOD[1:]]
    failed = alert("calculation", "", Stage.ALARM, 1.0)
    advice = said([failed], channels=lost)
    assert advice.text == "Watch lines by eye: calculation failed since 05:10; 1 more alert"
    assert advice.large == "CHECK LINES"


def test_a_lost_wind_gauge_blinds_only_the_wind() -> None:
    calm = [*GOOD, channel("wind_speed", Reason.SILENT, 3000.0, "anemometer")]
    advice = said([alert("feed", "anemometer", Stage.WARNING, 3000.0)], channels=calm)
    assert advice.text == "Check anemometer: wind no signal since 05:10; not watched: wind"
    assert advice.large == "CHECK GAUGES"


def test_what_is_owed_when_all_is_well_again() -> None:
    gone = alert("stretch", "3", Stage.ALARM, 0.6, standing=Standing.RECTIFIED)
    assert said([gone]).text.startswith("Acknowledge 1 alert: nothing else to do; 3 lines within limits")
    assert said([gone]).large == "WATCH LINE 3"


def test_too_much_wind_names_what_gives_and_what_to_heave() -> None:
    idle = [line("2", load_share=0.02), line("4"), line("5", load_share=0.03)]
    text = "Wind 46 kn, lines hold 39 kn (fenders)"
    wind = alert("holding", "", Stage.ALARM, 1.18, text=text)
    first = said([wind], idle)
    assert first.text == (
        "Call the master, order tugs: wind 46 kn, lines hold 39 kn (fenders); heave lines 2 and 5"
    )
    assert first.large == "CALL MASTER"
    early = replace(wind, stage=Stage.WARNING, value=0.82, limit=0.75)
    assert said([early]).text == "Call the master: wind 46 kn, lines hold 39 kn (fenders)"
    assert said([early], idle).text.startswith("Heave lines 2 and 5: wind 46 kn, lines hold 39 kn (fenders)")
    assert said([early], idle).large == "HEAVE 2, 5"


def test_wind_goes_before_a_brake_only_at_alarm() -> None:
    wind = alert("holding", "", Stage.ALARM, 1.18, text="Wind 46 kn, lines hold 39 kn")
    brake = alert("brake", "3", Stage.ALARM, 1.0)
    assert said([brake, wind]).large == "CALL MASTER"
    early = [replace(each, stage=Stage.WARNING) for each in (wind, brake)]
    assert said(early).large == "SLACK 3"


def test_off_fenders_only_breasts_with_room_are_heaved() -> None:
    off = alert("off_fenders", "", Stage.WARNING, 0.29, limit=0.15)
    light = [line("4", share=0.2), line("10", share=0.3), line("7", share=0.7)]
    advice = said([off], light)
    assert advice.text == (
        "Heave lines 4 and 10 evenly: ship 0.29 m off fenders (limit 0.15 m); call the master"
    )
    assert advice.large == "HEAVE 4, 10"
    heavy = said([off], [line("4", share=0.8)])
    assert heavy.text == "Call the master, order tugs: ship 0.29 m off fenders (limit 0.15 m)"
    assert heavy.large == "CALL MASTER"


def test_slack_breasts_are_heaved_as_soon_as_she_comes_off() -> None:
    early = alert("off_fenders", "", Stage.CAUTION, 0.12, limit=0.02)
    slack = alert("slack", "4", Stage.CAUTION, 0.0)
    advice = said([early, slack], [line("4", share=0.0, load_share=0.0), line("10", share=0.3)])
    assert advice.text == "Heave line 4 evenly: ship 0.12 m off fenders (limit 0.02 m); 1 more alert"
    assert said([early], [line("4", share=0.3)]).text == (
        "Watch the ship's side: ship 0.12 m off fenders (limit 0.02 m)"
    )


def test_several_that_stand_are_said_in_order() -> None:
    """Parted; holding at alarm; brake; stretch and load by how near they are; drift."""
    parted = alert("parted", "9", Stage.ALARM, 1.0, text="Line 9 parted 05:10")
    wind = alert("holding", "", Stage.ALARM, 1.18, line=None, text="Wind 46 kn, lines hold 39 kn")
    brake = alert("brake", "3", Stage.ALARM, 1.0)
    stretch, load = alert("stretch", "1", Stage.ALARM, 1.0), alert("load", "2", Stage.ALARM, 1.1)
    drift = alert("drift", "surge", Stage.ALARM, 2.0, line=None)
    order = [parted, wind, brake, load, stretch, drift]
    larges = ["LINE 9 PARTED", "CALL MASTER", "SLACK 3", "SLACK 2", "SLACK 1", "STOP CARGO"]
    rows = [line("1"), line("2"), line("3")]
    assert [said(order[k:][::-1], rows).large for k in range(6)] == larges


def test_a_lull_does_not_take_back_the_call_and_a_warning_goes_on() -> None:
    """The words are those of the wind now, never "easing" beside an order."""
    wind = alert("holding", "", Stage.ALARM, 0.82, line=None, limit=0.9, text="Wind easing: 41 kn, was 91 %")
    now = {"stages": {("holding", ""): Stage.WARNING}, "wind_text": "Wind 41 kn, lines hold 50 kn"}
    lull = said([wind], **now)
    assert (lull.large, lull.text) == ("CALL MASTER", "Call the master: wind 41 kn, lines hold 50 kn")
    over = said([replace(wind, value=0.5)], stages={("holding", ""): Stage.NORMAL})
    assert (over.large, over.text) == ("CHECK LINES", "Wind easing: 41 kn, was 91 %")


def test_below_its_limit_a_deed_is_taken_back_unless_it_rises() -> None:
    stood = alert("stretch", "4", Stage.WARNING, 0.83, text="Line 4 stretch easing: 83 %, was 88 %")
    rows = {trend: [line("4", 0.83, trend)] for trend in (-0.1, 0.0, 0.1)}
    assert said([stood], rows[-0.1]).large == "EASING 4"
    assert said([stood], rows[0.0]).large == "EASING 4"
    assert said([stood], rows[0.1]).large == "SLACK 4", "it comes and goes about its limit"


def test_no_line_is_moved_in_a_wind_that_is_a_warning() -> None:
    steep = alert("steep", "5", Stage.WARNING, 34.0)
    wind = alert("holding", "", Stage.WARNING, 0.8, line=None, standing=Standing.ACKNOWLEDGED)
    assert said([steep], [line("5", vertical_deg=34.0)]).large == "MOVE LINE 5"
    scene = Scene(STAY, NOW, [line("5", vertical_deg=34.0)], [wind, steep])
    assert sentence_of(steep, scene).large == "WATCH LINE 5"


def test_a_gangway_out_of_reach_is_closed() -> None:
    high = alert("gangway", "high", Stage.WARNING, 3.2, limit=3.0, unit="m", line=None)
    assert said([high]).text == "Shift or close the gangway: rail 3.20 m over quay (limit 3.00 m)"
    assert said([high]).large == "CLOSE GANGWAY"


def test_drift_says_which_way() -> None:
    sway = alert("drift", "sway", Stage.WARNING, 1.08)
    assert said([sway], sway=1.08).text == "Check lines: ship 1.08 m off the berth (limit 0.85 m)"
    assert said([sway], sway=-1.08).text == "Check lines: ship 1.08 m onto the berth (limit 0.85 m)"
    surge = alert("drift", "surge", Stage.ALARM, 2.0)
    assert said([surge], surge=-2.0).text == (
        "Stop cargo, heave ship back: ship 2.00 m astern of place (limit 1.00 m)"
    )


def test_a_slack_line_is_heaved_whatever_its_lead() -> None:
    steep = alert("steep", "2", Stage.ALARM, 62.0)
    slack = alert("slack", "2", Stage.CAUTION, 0.02)
    rows = [line("2", vertical_deg=62.0, load_share=0.02, tension_kn=9.8)]
    assert said([steep, slack], rows).text == "Heave line 2: slack, 1.0 t (limit 4 % of WLL)"


def test_a_port_that_does_not_open_is_said_at_once() -> None:
    note = "/dev/ttyUSB0 is in use by another program, tried again in 2 s"
    shut = [FeedRow("gauges", "serial:/dev/ttyUSB0", False, note)]
    waits = [channel(name, Reason.WAITING, NAN) for name in ("tide", "draught_fwd", "draught_aft")]
    assert said(channels=waits, feeds=shut).text == (
        "Check gauges: /dev/ttyUSB0 is in use by another program; "
        "waiting for tide, draught forward and draught aft"
    )
    new = [replace(shut[0], note="not opened yet")]
    assert said(channels=waits, feeds=new).text == "Waiting for tide, draught forward and draught aft"


def test_a_feed_that_is_back_asks_for_nothing() -> None:
    assert said([alert("feed", "gauges", Stage.WARNING, 1.0)]).text.startswith("Nothing to do")


def test_a_predicted_tide_that_stands_in_is_told() -> None:
    rows = [channel("tide", Reason.EXPECTED, 3000.0), *GOOD[1:]]
    assert said([alert("feed", "gauges", Stage.WARNING, 3000.0)], channels=rows).text == (
        "Read the tide board, check gauges: tide no signal since 05:10, expected from table"
    )


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=150)


@given(
    NAMES,
    st.sampled_from(["stretch", "steep", "slack", "bollard", "feed"]),
    st.floats(0, 60),
    st.integers(0, 9),
)
def test_it_always_fits(name: str, cause: str, value: float, others: int) -> None:
    alerts = [alert(cause, name, Stage.ALARM, value)]
    alerts += [alert("stretch", str(k), Stage.CAUTION, 0.7) for k in range(others)]
    advice = said(alerts, [line(name, 0.9, 0.05)], tide=0.4)
    assert 0 < len(advice.text) <= 110
    assert 0 < len(advice.short) <= 70
    assert 0 < cells(advice.large) <= 20
    assert is_of_the_list(advice.large)


def is_of_the_list(large: str) -> bool:
    """Whether a headline is one of the closed list, whatever lines it names."""
    forms = [re.escape(form).replace(r"\{\}", ".+") for form in LINE_HEADLINES]
    return large in HEADLINES or any(re.fullmatch(form, large) for form in forms)


@given(st.sampled_from(CAUSES), st.sampled_from(Stage), st.floats(0, 2), st.sampled_from(Stage))
def test_every_cause_has_a_deed_with_a_headline_of_the_list(
    cause: Cause, stage: Stage, value: float, now: Stage
) -> None:
    of_ship = {"holding": "", "under_keel": "", "off_fenders": "", "drift": "surge", "gangway": "high"}
    subject = of_ship.get(cause, "4")
    stood = alert(cause, subject, stage, value, line=None if cause in of_ship else "4")
    advice = said([stood], [line("4", 0.9), line("5", load_share=0.01)], stages={(cause, subject): now})
    assert is_of_the_list(advice.large)
    assert "nan" not in advice.text
    assert (stage is Stage.ALARM) <= (advice.large != "ALL NORMAL")


@given(st.lists(NAMES, min_size=1, max_size=9), st.sampled_from(LINE_HEADLINES))
def test_a_headline_fits_whatever_lines_it_names(names: list[str], form: LineHeadline) -> None:
    assert 0 < cells(of_lines(form, names)) <= 20


def test_headlines_name_three_lines_and_count_the_rest() -> None:
    assert of_lines("SLACK {}", ["4", "10", "12"]) == "SLACK 4, 10, 12"
    assert of_lines("SLACK {}", ["4", "10", "12", "13"]) == "SLACK 4, 10, 12 +1"
    assert of_lines("LOOK AT WINCH {}", ["4", "10", "12"]) == "LOOK AT WINCH 4 +2"
    assert all(len(each) <= 20 for each in HEADLINES)


def test_an_alert_that_only_runs_out_asks_for_no_deed() -> None:
    """Line 2 was slacked as told: its alert clears in a minute, and slacked again it hangs slack."""
    eased = said([alert("stretch", "2", Stage.WARNING, 0.12)], [line("2", 0.12)])
    assert eased.text == "Nothing to do: 1 line within limits, highest stretch 12 % (line 2)"
    text = "Line 2 stretch easing: 72 %, was 88 %"
    still = said([alert("stretch", "2", Stage.WARNING, 0.72, text=text)], [line("2", 0.72)])
    assert (still.text, still.large) == (text, "EASING 2"), "the deed is taken back"


def test_what_has_eased_to_a_lower_stage_asks_for_the_deed_of_that_stage() -> None:
    stood = alert("stretch", "3", Stage.ALARM, 0.9)
    advice = said([stood], [line("3", 0.9)], stages={("stretch", "3"): Stage.WARNING})
    assert advice.text == "Slack line 3: stretch 90 %, steady"
    assert (advice.stage, advice.large) == (Stage.ALARM, "SLACK 3")


def test_a_limit_that_is_reached_and_not_alerted_yet_is_not_nothing() -> None:
    advice = said([], [line("2", 1.02)])
    assert advice.text == "Watch line 2: alarm reached, alert follows if it lasts"
    assert advice.stage is Stage.CAUTION


def test_what_is_accepted_is_said_where_nothing_else_stands() -> None:
    """It has no headline, and not all is normal."""

    def accepted(subject: str, until_s: float) -> Alert:
        acceptance = Acceptance(Stage.WARNING, 32.0, NOW + until_s, "ebb soon", "KM", NOW)
        answered = {"standing": Standing.ACKNOWLEDGED, "acceptance": acceptance}
        return alert("steep", subject, Stage.WARNING, 32.0, **answered)

    one = said([accepted("1", 8 * 3600.0)])
    assert (one.stage, one.large) == (Stage.NORMAL, "")
    assert one.text.startswith(
        "Accepted: line 1 steep until 14:00; nothing else to do: 3 lines within limits"
    )
    both = said([accepted("1", 8 * 3600.0), accepted("2", 3600.0)])
    assert both.short.startswith("Accepted: line 2 steep until 07:00 and 1 more")


def test_lines_of_one_row_are_named_together_and_counted_once() -> None:
    slack = [alert("slack", name, Stage.CAUTION, value) for name, value in (("1", 0.02), ("2", 0.03))]
    loose = [line("1", 0.0, tension_kn=2.0), line("2", 0.0, tension_kn=2.0), line("3")]
    assert said(slack, lines=loose).text.endswith("; line 2 too")
    late = replace(slack[1], raised_at=NOW)
    early = replace(slack[0], raised_at=NOW - 7200.0)
    assert said([early, late], lines=loose).text.endswith("; 1 more alert")


def test_of_what_is_late_all_the_same_cargo_is_stopped_before_she_is_disconnected() -> None:
    """The headline goes by when each is due, as the row NEXT does, not by name."""
    text = {"disconnect": "Disconnect now, due 01:55", "stop_cargo": "Stop cargo now, due 01:40"}
    late = [alert("decide", do, Stage.ALARM, 0.0, line=None, limit=0.0, text=text[do]) for do in text]
    due = [
        DueBy(do, "disconnect", do, NOW - before, 2700.0, NOW + 60.0, 1.0, (20.0, 260.0, NOW), 17.0)
        for do, before in (("disconnect", 900.0), ("stop_cargo", 1800.0))
    ]
    advice = said(late, due=due)
    assert (advice.large, advice.text) == ("STOP CARGO", "Stop cargo now, due 01:40; 1 more alert")
    stopped = [due[0], replace(due[1], answered=NOW - 60.0)]
    assert said(late, due=stopped).large == "DISCONNECT"
    assert said(late[::-1], due=due).large == "STOP CARGO", "in whatever order they stand"
