"""The sentence always in sight."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.model import Alert, Standing
from alongside.cycle.advice.advise import advise
from alongside.cycle.picture import Advice, ChannelRow, FeedRow, LineRow
from alongside.mechanics.holding import WeakSpot
from alongside.readings import Quality, Reason
from alongside.stay.model import Display
from alongside.stay.stage import Stage
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
        "",
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
    return advise(STAY, NOW, lines, alerts, channels, tide, draught, **more)  # type: ignore[arg-type]


def test_nothing_to_do() -> None:
    advice = said()
    assert advice.text == "Nothing to do: 3 lines within limits, worst line 3 at 54 % of its stretch"
    assert advice.stage is Stage.NORMAL


def test_nothing_to_do_yet_where_a_limit_is_reached_but_not_for_long() -> None:
    advice = said(lines=[line("1"), line("3", 0.71)])
    assert advice.text == "Nothing to do yet: 1 of 2 lines within limits, worst line 3 at 71 % of its stretch"


def test_lines_not_made_fast_are_not_counted_in_band() -> None:
    loose = line("2", NAN, unstretched_m=NAN, tension_kn=NAN)
    assert said(lines=[line("1"), loose]).text.startswith(
        "Nothing to do: 1 line within limits, 1 not made fast"
    )
    assert said(lines=[loose]).text == "No line is made fast yet"


@pytest.mark.parametrize(
    ("trend", "vertical", "tide", "draught", "why"),
    [
        (0.06, 20.0, 0.5, 0.0, "rising with the tide"),
        (0.06, 20.0, 0.0, -0.2, "rising as she lightens"),
        (0.06, -20.0, -0.5, 0.0, "rising as the tide falls"),
        (0.06, -20.0, 0.0, 0.2, "rising as she settles deeper"),
        (0.06, 20.0, 0.2, -0.4, "rising as she lightens"),  # the stronger of two that agree
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
    assert advice.text == f"Slack line 3: 88 % of its stretch, {why}"
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
    assert said([alert("stretch", "3", stage, 0.9)], [line("3", 0.9, trend)]).text.startswith(start)


def test_slack_lines() -> None:
    slack = alert("slack", "8", Stage.WARNING, 0.0)
    assert said([slack], [line("8")]).text == "Heave line 8: hangs slack"
    early = alert("slack", "8", Stage.CAUTION, 0.03)
    assert said([early], [line("8", trend=-0.1)]).text == "Heave line 8: nearly slack"
    assert (
        said([early], [line("8", trend=0.1)], tide=0.4).text
        == "Watch line 8: nearly slack, taking up with the tide"
    )


def test_steepness_is_cured_by_height_or_a_longer_lead_not_by_slackening() -> None:
    steep = alert("steep", "5", Stage.WARNING, 34.0)
    down, up = [line("5", vertical_deg=34.0)], [line("5", vertical_deg=-34.0)]
    assert said([steep], down).text == (
        "Watch line 5: leads 34° down; shift it farther along or wait for the ebb"
    )
    assert said([steep], up).text.endswith("leads 34° up; shift it farther along or wait for the flood")
    assert said([steep], down, tide=-0.5).text == "Watch line 5: leads 34° down, easing as the tide falls"
    assert said([steep], down, tide=0.5).short == "Watch line 5: leads 34° down, steeper with the tide"


def test_slackening_is_no_cure_of_a_lead_even_of_a_loaded_line() -> None:
    loaded = [line("5", vertical_deg=34.0, load_share=0.62)]
    steep = alert("steep", "5", Stage.WARNING, 34.0)
    assert said([steep], loaded).text == (
        "Watch line 5: leads 34° down at 62 % of its working load; shift it farther along or wait for the ebb"
    )
    assert said([steep], loaded, tide=-0.5).text == (
        "Watch line 5: leads 34° down at 62 % of its working load, easing as the tide falls"
    )


def test_a_line_that_pulls_more_down_than_in_is_shifted() -> None:
    assert said([alert("steep", "5", Stage.ALARM, 47.0)], [line("5", vertical_deg=47.0)]).text == (
        "Shift line 5 farther along: leads 47° down, pulls down more than in"
    )


def test_load_brake_bollard_and_clearance() -> None:
    rows = [line("1", tension_kn=200.0), line("2", tension_kn=250.0), line("3", trend=NAN)]
    assert said([alert("load", "3", Stage.WARNING, 0.9)], rows).text == (
        "Slack line 3: 90 % of its working load, 9.2 t"
    )
    assert said([alert("brake", "3", Stage.ALARM, 1.0)], rows).text == (
        "Slack line 3 now: 100 % of what its brake holds"
    )
    assert said([alert("bollard", "B1", Stage.WARNING, 0.9)], rows).text == (
        "Slack line 2: its bollard B1 bears 90 % of its safe working load, steady"
    )
    assert said([alert("under_keel", "", Stage.WARNING, 0.55)], rows, tide=-0.1, draught=0.3).text == (
        "Call the master: 0.55 m under the keel, falling as she settles deeper; stop loading"
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
    assert said(alerts).text == "Slack line 2: 93 % of its stretch, steady, and 4 more"


def test_a_cause_without_a_deed_says_its_own_text() -> None:
    assert said([alert("sinking", "", Stage.ALARM, 3.0, text="She is 3.0 m lower")]).text == (
        "She is 3.0 m lower"
    )


def test_waiting_is_not_blind() -> None:
    waits = [channel("tide", Reason.WAITING, NAN), channel("draught_fwd"), channel("draught_aft")]
    unknown = [line("1", NAN, tension_kn=NAN)]
    feed = alert("feed", "gauges", Stage.CAUTION, NAN)
    for alerts in ([], [feed]):
        advice = said(alerts, unknown, waits)
        assert (advice.text, advice.stage) == ("Waiting for tide", Stage.CAUTION)


def test_blind() -> None:
    lost = [channel("tide", Reason.SILENT, 3000.0), *GOOD[1:]]
    feed = alert("feed", "gauges", Stage.WARNING, 3000.0)
    stood = alert("stretch", "3", Stage.ALARM, 1.04, suspended=True)
    unknown = [line("1", NAN, tension_kn=NAN)]
    advice = said([feed], unknown, lost)
    assert advice.text == "Blind: tide silent since 05:10; look over the side"
    assert advice.stage is Stage.WARNING
    assert said([stood, feed], unknown, lost).text == (
        "Blind: tide silent since 05:10; look over the side; line 3 was in alarm"
    )


def test_an_alarm_that_is_still_known_goes_before_blindness() -> None:
    lost = [channel("tide", Reason.SILENT, 3000.0), *GOOD[1:]]
    failed = alert("calculation", "", Stage.ALARM, 1.0)
    assert said([failed], channels=lost).text == "Calculation failed since 05:10: tend by eye, and 1 more"


def test_a_lost_wind_gauge_blinds_only_the_wind() -> None:
    calm = [*GOOD, channel("wind_speed", Reason.SILENT, 3000.0, "anemometer")]
    advice = said([alert("feed", "anemometer", Stage.WARNING, 3000.0)], channels=calm)
    assert advice.text == "Check anemometer: wind speed silent since 05:10; blind: wind"


def test_what_is_owed_when_all_is_well_again() -> None:
    gone = alert("stretch", "3", Stage.ALARM, 0.6, standing=Standing.RECTIFIED)
    assert said([gone]).text.startswith("Acknowledge 1 alert: nothing else to do: 3 lines within limits")


def test_too_much_wind_names_what_gives_and_what_to_heave() -> None:
    idle = [line("2", load_share=0.02), line("4"), line("5", load_share=0.03)]
    wind = alert("holding", "", Stage.ALARM, 1.18)
    fenders, rope = WeakSpot("off_fenders"), WeakSpot("wll", "4")
    assert said([wind], idle, weak=fenders).text == (
        "Heave lines 2 and 5: wind takes 118 % of what keeps her on her fenders; call the master"
    )
    early = replace(wind, stage=Stage.WARNING, value=0.82)
    assert said([early], weak=rope).text == (
        "Call the master, more lines: wind takes 82 % of what line 4 can bear"
    )


def test_drift_says_which_way() -> None:
    sway = alert("drift", "sway", Stage.WARNING, 1.08)
    assert said([sway], sway=1.08).text == "Check the lines: she is 1.08 m off the berth"
    assert said([sway], sway=-1.08).text == "Check the lines: she is 1.08 m onto the berth"
    surge = alert("drift", "surge", Stage.ALARM, 2.0)
    assert said([surge], surge=-2.0).text == (
        "Stop cargo and tend her back: she is 2.00 m astern of her place"
    )


def test_a_slack_line_is_heaved_whatever_its_lead() -> None:
    steep = alert("steep", "2", Stage.ALARM, 62.0)
    slack = alert("slack", "2", Stage.CAUTION, 0.02)
    rows = [line("2", vertical_deg=62.0, load_share=0.02)]
    assert said([steep, slack], rows).text == "Heave line 2: nearly slack"


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
        "Check gauges: tide gauge silent since 05:10, predicted tide stands in"
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


def test_an_alert_that_only_runs_out_asks_for_no_deed() -> None:
    """Line 2 was slacked as told: its alert clears in a minute, and slacked again it hangs slack."""
    eased = said([alert("stretch", "2", Stage.WARNING, 0.12)], [line("2", 0.12)])
    assert eased.text == "Nothing to do: 1 line within limits, worst line 2 at 12 % of its stretch"
    still = said([alert("stretch", "2", Stage.WARNING, 0.72)], [line("2", 0.72)])
    assert "line 2" in still.text
    assert "Nothing to do" not in still.text


def test_a_limit_that_is_reached_and_not_alerted_yet_is_not_nothing() -> None:
    advice = said([], [line("2", 1.02)])
    assert advice.text == "Watch line 2: alarm reached, alerted if it lasts"
    assert advice.stage is Stage.CAUTION
