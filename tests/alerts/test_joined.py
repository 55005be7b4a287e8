"""Cautions of one cause on several lines within an hour are one row; nothing worse is ever in it.

What one situation is: common practice (EEMUA 191, ISA 18.2), the hour is ours.
"""

from dataclasses import replace
from itertools import pairwise
from math import isnan, nan

from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.joined import APART_S, JOINED, can_join, nearness, row_of, row_text, rows_of
from alongside.alerts.model import Acceptance, Alert, Standing, Watchlist
from alongside.alerts.order import worst_first
from alongside.alerts.rule_model import DueBy
from alongside.stay.stage import Stage
from tests.berth import START

CAUSES = ("steep", "stretch", "slack", "holding", "ahead", "tension")


def an_alert(cause: str = "steep", line: str | None = "4", **how) -> Alert:
    stage = how.get("stage", Stage.CAUTION)
    alert = Alert(
        *(cause, line or "", line, stage, Standing.UNACKNOWLEDGED, START, START, 27.0, 25.0, "deg"),
        f"Line {line} {cause}: 27° down (limit 25°)",
    )
    return replace(alert, **how)


def subjects(*alerts: Alert) -> list[list[str]]:
    return [[alert.subject for alert in row] for row in rows_of(alerts)]


def test_lines_that_go_steep_one_after_the_other_are_one_row_the_worst_first() -> None:
    alerts = [
        an_alert(line="5", raised_at=START + 5000.0),
        an_alert(line="13", raised_at=START + 1500.0, value=35.0, text="Line 13 steep: 35° down (limit 25°)"),
        an_alert(line="12", raised_at=START),
    ]
    (row,) = rows_of(alerts)
    assert [alert.subject for alert in row] == ["13", "12", "5"]
    assert row_text(row) == "Lines 13, 12, 5 steep: worst 35° down (limit 25°)"


def test_of_orders_of_one_stage_the_one_due_first_stands_first() -> None:
    deeds = ("disconnect", "leave", "stop_cargo", "tugs")
    due = {"leave": START - 60.0, "stop_cargo": START - 900.0, "tugs": START - 300.0}
    alerts = {
        ("decide", do): an_alert("decide", None, subject=do, stage=Stage.ALARM, changed_at=START + at)
        for at, do in enumerate(deeds)
    }
    holding = an_alert("holding", None, stage=Stage.ALARM, changed_at=START + 1.5)
    watch = Watchlist({**alerts, holding.key: holding})
    by = tuple(DueBy(do, do, do, at, 900.0, START, 1.0, (20.0, 200.0, START), 15.0) for do, at in due.items())
    assert [alert.subject for alert in worst_first(watch, by)] == [
        "stop_cargo",
        "tugs",
        "",
        "leave",
        "disconnect",
    ]
    warned = replace(alerts["decide", "stop_cargo"], stage=Stage.WARNING)
    eased = Watchlist({**watch.alerts, warned.key: warned})
    assert worst_first(eased, by)[-1].subject == "stop_cargo", "a worse stage goes first all the same"


def test_the_slackest_line_is_the_worst() -> None:
    row = rows_of(
        [
            an_alert("slack", "4", value=0.03, limit=0.04),
            an_alert("slack", "12", value=0.0, limit=0.04, text="Line 12 slack: no load (limit 4 % of WLL)"),
        ]
    )[0]
    assert row_text(row) == "Lines 12, 4 slack: worst no load (limit 4 % of WLL)"


def test_a_line_that_carries_too_much_is_one_row_by_whatever_cause() -> None:
    stretch = an_alert("stretch", "4", value=0.71, limit=0.70, text="Line 4 stretch 71 % (limit 70 %)")
    brake = an_alert("brake", "4", value=0.80, limit=0.70, text="Line 4 brake 80 %: 21 of 26 t (limit 70 %)")
    (row,) = rows_of([stretch, brake])
    assert row_text(row) == "Line 4 brake 80 %: 21 of 26 t (limit 70 %); stretch 71 % (limit 70 %)"
    other = an_alert("stretch", "10", value=0.71, limit=0.70, text="Line 10 stretch 71 % (limit 70 %)")
    (row,) = rows_of([stretch, other, brake])
    assert row_text(row) == "Lines 4, 10 tight: worst line 4 brake 80 %: 21 of 26 t (limit 70 %)"


def test_of_what_is_expected_the_first_is_the_worst() -> None:
    late = an_alert("ahead", "4", value=50.0, limit=60.0, text="Line 4 stretch: warning expected 03:40")
    soon = an_alert("ahead", "9", value=10.0, limit=60.0, text="Line 9 stretch: warning expected 03:00")
    (row,) = rows_of([late, soon])
    assert row_text(row) == "Lines 9, 4: limits expected, first line 9 stretch: warning expected 03:00"


def test_what_comes_more_than_an_hour_later_is_another_row() -> None:
    early, late = an_alert(line="4"), an_alert(line="5", raised_at=START + APART_S + 1.0)
    assert subjects(early, late) == [["4"], ["5"]]
    assert subjects(early, replace(late, raised_at=START + APART_S)) == [["4", "5"]]


def test_a_line_that_is_worse_or_waits_for_an_answer_has_a_row_of_its_own() -> None:
    until = Acceptance(Stage.CAUTION, 27.0, START + 3600.0, "ebb soon", "KM", START)
    for alone in (
        {"stage": Stage.WARNING},
        {"stage": Stage.ALARM},
        {"owed": Stage.WARNING},
        {"standing": Standing.RECTIFIED, "stage": Stage.WARNING},
        {"acceptance": until},
        {"suspended": True},
        {"cause": "slack"},
    ):
        assert subjects(an_alert(line="4", **alone), an_alert(line="5")) == [["4"], ["5"]], alone


def test_ships_and_gauges_are_never_joined() -> None:
    for cause in ("holding", "tension", "feed", "not_known"):
        assert len(rows_of([an_alert(cause, "4"), an_alert(cause, "5")])) == 2
    assert len(rows_of([an_alert("ahead", "4"), an_alert("ahead", None)])) == 2


def test_a_value_that_is_not_known_stands_last() -> None:
    unknown, known = an_alert(line="1", value=nan), an_alert(line="2", value=26.0)
    assert isnan(nearness(unknown))
    assert row_of(unknown, [unknown, known]) == (known, unknown)


@given(
    st.lists(
        st.builds(
            an_alert,
            st.sampled_from(CAUSES),
            st.sampled_from("123456"),
            stage=st.sampled_from(Stage),
            value=st.floats(0.0, 90.0) | st.just(nan),
            raised_at=st.floats(0.0, 4.0 * APART_S).map(lambda after: START + after),
            owed=st.sampled_from((Stage.NORMAL, Stage.WARNING)),
        ),
        unique_by=lambda alert: alert.key,
    )
)
def test_every_alert_stands_in_one_row_and_what_is_joined_is_of_one_cause(alerts: list[Alert]) -> None:
    rows = rows_of(alerts)
    assert sorted(alert.key for row in rows for alert in row) == sorted(alert.key for alert in alerts)
    for row in rows:
        times = sorted(alert.raised_at for alert in row)
        causes = {alert.cause for alert in row}
        assert len(row) == 1 or any(causes <= some for some in JOINED)
        assert all(later - time <= APART_S for time, later in pairwise(times))
        assert len(row) == 1 or all(can_join(alert) for alert in row)
        assert row[0].stage >= max(alert.stage for alert in row)
    order = [alerts.index(min(row, key=alerts.index)) for row in rows]
    assert order == sorted(order)
