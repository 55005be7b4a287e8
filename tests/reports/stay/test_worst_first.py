"""What stands first on the page: worked small cases, and the plan and the charts that go with it."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.alerts.model import Event
from alongside.reports.stay.alert_history import alert_histories
from alongside.reports.stay.line_figures import line_figures
from alongside.reports.stay.page import page as page_of
from alongside.reports.stay.plan import plan_of_stay
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.reports.stay.worst_first import MOST, lasted_words, worst_first
from alongside.reports.stay.write import write_report
from alongside.stay.model import Feed, Source
from alongside.stay.stage import Stage
from tests.reports.stay.strict import Page


def raised(time: float, cause: str, subject: str, stage: Stage, ends: float) -> list[Event]:
    text = f"{cause} {subject}"
    return [
        Event(time, "raised", cause, subject, stage, text=text),
        Event(ends, "rectified", cause, subject, Stage.NORMAL, text=text),
        Event(ends, "cleared", cause, subject, Stage.NORMAL, text=text),
    ]


def rows_of(arrays: RecordArrays, events: list[Event]) -> list[tuple[str, float]]:
    changed = replace(arrays, events=tuple(sorted(events, key=lambda event: event.time)))
    rows, _ = worst_first(changed, alert_histories(changed.events, ()))
    return [(row.text, row.lasted_s) for row in rows if "without wind" not in row.text]


def test_what_parted_comes_before_what_alarmed_and_the_ship_before_a_line(arrays: RecordArrays) -> None:
    at = arrays.begin
    events = [
        *raised(at + 1.0, "stretch", "2", Stage.ALARM, at + 11.0),
        *raised(at + 2.0, "holding", "", Stage.WARNING, at + 32.0),
        *raised(at + 3.0, "off_fenders", "", Stage.ALARM, at + 63.0),
        *raised(at + 4.0, "steep", "3", Stage.WARNING, at + 5.0),
        Event(at + 500.0, "gap", value=120.0),
        Event(at + 600.0, "brake_slipped", line="4", text="Line 4 ran out 0.20 m over its brake"),
        Event(at + 700.0, "parted", line="1", text="Line 1 parted"),
    ]
    assert rows_of(arrays, events) == [
        ("Line 1 parted", pytest.approx(float("nan"), nan_ok=True)),
        ("Line 4 ran out 0.20 m over its brake", pytest.approx(float("nan"), nan_ok=True)),
        ("off_fenders ", 60.0),
        ("stretch 2", 10.0),
        ("holding ", 30.0),
        ("Nobody watched: no states", 120.0),
    ]


def test_what_still_stands_at_the_end_is_said_so(arrays: RecordArrays) -> None:
    event, *_ = raised(arrays.begin + 1.0, "stretch", "2", Stage.ALARM, arrays.end)
    happened = Event(arrays.begin + 2.0, "parted", line="1", text="Line 1 parted")
    changed = replace(arrays, events=(event, happened))
    rows, _ = worst_first(changed, alert_histories(changed.events, ()))
    lasted = {row.text: lasted_words(row) for row in rows}
    assert lasted["stretch 2"] == "still standing"
    assert lasted["Line 1 parted"] == ""


def test_a_watch_without_wind_is_said_where_wind_was_heard_at_all(arrays: RecordArrays) -> None:
    wind = np.full(arrays.time.size, 8.0, dtype=np.float32)
    wind[10:80] = np.nan
    some = replace(arrays, events=(), number={**arrays.number, "wind_ms": wind})
    rows, _ = worst_first(some, ())
    assert [(row.time, row.lasted_s) for row in rows] == [
        (arrays.time[10], pytest.approx(arrays.stands[10:80].sum()))
    ]
    wind[:] = np.nan
    assert worst_first(some, ()) == ((), 0), "no gauge, nothing to miss"
    *before, last = arrays.runs
    feeds = *last.stay.feeds, Feed("wind", "udp:1", (Source("wind_speed", "MWV"),))
    fitted = replace(some, runs=(*before, replace(last, stay=replace(last.stay, feeds=feeds))))
    (row,), _ = worst_first(fitted, ())
    assert row.lasted_s == pytest.approx(arrays.stands.sum()), "a gauge that was never heard"


def test_a_watch_in_which_nothing_could_be_known_is_no_quiet_one(arrays: RecordArrays) -> None:
    tide = arrays.number["tide"].copy()
    tide[20:90] = np.nan
    wind = np.full(arrays.time.size, 8.0, dtype=np.float32)
    blind = replace(arrays, events=(), number={**arrays.number, "tide": tide, "wind_ms": wind})
    (row,), _ = worst_first(blind, ())
    assert row.text == "Watch without tide or draughts: nothing was known of any line"
    assert (row.time, row.lasted_s) == (arrays.time[20], pytest.approx(arrays.stands[20:90].sum()))


def test_more_than_fit_are_counted(arrays: RecordArrays) -> None:
    events = [
        event
        for at in range(MOST + 3)
        for event in raised(arrays.begin + at, "stretch", str(at), Stage.ALARM, arrays.begin + 60.0 + at)
    ]
    changed = replace(arrays, events=tuple(sorted(events, key=lambda event: event.time)))
    rows, more = worst_first(changed, alert_histories(changed.events, ()))
    assert (len(rows), more) == (MOST, 3)


def test_the_plan_has_each_line_by_its_worst_stage(arrays: RecordArrays) -> None:
    lines = line_figures(arrays)
    drawn = re.findall(r'<polyline class="line (\w+)"', plan_of_stay(arrays.stay, lines))
    expected = ["unknown" if one.worst is None else one.worst.word for one in lines]
    assert sorted(drawn) == sorted(expected)
    assert "://" not in plan_of_stay(arrays.stay, lines)


@pytest.mark.slow
def test_lines_that_asked_for_nothing_are_named_and_drawn_by_choice(arrays: RecordArrays) -> None:
    lines = line_figures(arrays)
    quiet = replace(lines[0], stage_s=(100.0, 0.0, 0.0, 0.0), unknown_s=0.0, tendings=0)
    some = Page(page_of(arrays, [quiet, *lines[1:]], None))
    assert "not tended: 1." in some.text["charts"]
    every = Page(page_of(arrays, [quiet, *lines[1:]], None, all_lines=True))
    assert len(every.svgs) == len(some.svgs) + 1
    assert "not tended: 1." not in every.text["charts"]


def test_limits_ropes_and_room_to_sign_stand_on_the_page(flood: Path, tmp_path: Path) -> None:
    page = Page(write_report(flood, tmp_path / "page.html").read_text(encoding="utf-8"))
    limits = {row[0]: row[1:] for row in page.rows["limits"][1:]}
    assert limits["stretch"] == ["70 %", "85 %", "100 %"]
    assert limits["slack"][2] == "—"
    assert any("<b>P1</b>" in cell for row in page.rows["ropes"] for cell in row)
    assert [row[0] for row in page.rows["signed"][1:]] == [
        "Made up by",
        "Seen by the master",
        "For the terminal",
    ]
