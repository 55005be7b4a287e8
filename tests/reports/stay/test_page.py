"""The page: whole by itself, harmless whatever things are called, and true to the journal."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.alerts.model import Event
from alongside.record.reader import RecordReader
from alongside.reports.stay.line_figures import line_figures
from alongside.reports.stay.page import page as page_of
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.reports.stay.write import write_report
from alongside.stay.stage import Stage
from tests.reports.stay.conftest import NASTY
from tests.reports.stay.strict import Page

TONNE_KN = 9.80665
"""kN in a tonne-force, ISO 80000-3."""


@pytest.fixture(scope="session")
def html(flood: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    return write_report(flood, tmp_path_factory.mktemp("page") / "report.html").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def page(html: str) -> Page:
    return Page(html)


def test_the_page_is_whole_and_fetches_nothing(html: str, page: Page) -> None:
    page.harmless()
    assert "://" not in html
    policy = next(a["content"] for tag, a in page.tags if a.get("http-equiv") == "Content-Security-Policy")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"


def test_names_from_outside_are_text(html: str, page: Page) -> None:
    assert "<script" not in html
    assert "<img" not in html
    assert "<b>P1" not in html
    assert NASTY in page.text["summary"]
    assert any("<b>P1</b>" in cell for row in page.rows["lines"] for cell in row)
    assert ["note", f"=1+1 {NASTY} (R&B)"] in [[row[1], row[4]] for row in page.rows["events"][1:]]


def test_the_same_record_gives_the_same_page(flood: Path, html: str, tmp_path: Path) -> None:
    assert write_report(flood, tmp_path / "again.html").read_text(encoding="utf-8") == html


def test_the_charts_are_there(page: Page) -> None:
    """Plan, water, and for each of three lines stretch, load and steepness with bands of the stages."""
    assert len(page.svgs) == 1 + 1 + 3
    ids = [{i.partition("-")[2] for i in page.ids if i.startswith(f"c{at}-")} for at in range(1, 5)]
    assert {"tide", "draught_fwd", "draught_aft", "trim"} <= ids[0]
    for chart in ids[1:]:
        assert {"stretch_share", "tension_kn", "vertical_deg"} <= chart
    assert sum(i.endswith(("stretch_alarm", "load_alarm", "steep_alarm")) for i in page.ids) == 9


def test_peaks_are_those_of_the_journal(flood: Path, page: Page) -> None:
    """Read here from the journal itself, shown in tonnes to one decimal and in whole percent."""
    with RecordReader(flood) as record:
        pieces = list(record.states())
    rows = {row[0].split()[0]: row for row in page.rows["lines"][1:]}
    assert list(rows) == ["1", "2", "3"]
    for line, row in rows.items():
        load, stretch = (
            max(float(np.nanmax(piece.numbers(f"{name}.{line}"))) for piece in pieces)
            for name in ("tension_kn", "stretch_share")
        )
        assert row[3].startswith(f"{load / TONNE_KN:.1f} t")
        assert row[5].startswith(f"{100.0 * stretch:.0f} %")


def test_events_actions_and_tendings_are_those_of_the_journal(flood: Path, page: Page) -> None:
    with RecordReader(flood) as record:
        events = [event for _, event in record.events()]
        actions = list(record.actions())
    shown = [(row[1], row[4]) for row in page.rows["events"][1:]]
    assert shown == [(event.event.replace("_", " "), event.text) for event in events]
    assert [row[3] for row in page.rows["actions"][1:]] == [done.action.by for done in actions]
    (tending,) = page.rows["tendings"][1:]
    assert (tending[1], tending[5]) == ("2", "TK")
    before, after = (float(cell.split()[0]) for cell in tending[3:5])
    assert after < before, "paying out takes load off"


def test_alerts_say_how_soon_and_by_whom(page: Page) -> None:
    stretch = next(row for row in page.rows["alerts"][1:] if "Line 2" in row[2] and "stretch" in row[2])
    assert "alarm" in stretch[1]
    assert stretch[4] == "TK"


def test_the_source_is_the_stay_file(flood: Path, page: Page) -> None:
    from alongside.record.entries import stay_hash

    with RecordReader(flood) as record:
        (run,) = record.runs()
    (row,) = page.rows["source"][1:]
    assert row[1:3] == ["stay.yaml", stay_hash(run.stay)]


def test_an_alert_that_rose_again_is_not_shown_as_over(arrays: RecordArrays) -> None:
    """Over at 100 and raised again at 200, acknowledged as a warning at 230, an alarm at 300 to the end."""
    went = (
        (10.0, "raised", Stage.WARNING),
        (100.0, "rectified", Stage.WARNING),
        (200.0, "raised", Stage.WARNING),
        (230.0, "acknowledged", Stage.WARNING),
        (300.0, "worsened", Stage.ALARM),
    )
    events = tuple(
        Event(arrays.begin + at, word, "stretch", "2", stage, "2", text=word) for at, word, stage in went
    )
    shown = replace(arrays, events=events, actions=())
    first, second = Page(page_of(shown, line_figures(shown), None)).rows["alerts"][1:]
    assert first[3] == "4 min", "220 s"
    assert first[5].startswith("within limits from ")
    assert "raised again" in first[5]
    assert (second[3], second[5]) == ("warning 30 s, alarm never", "still standing")


def test_a_chart_says_what_it_shows_to_those_who_do_not_see_it(html: str) -> None:
    labels = re.findall(r'aria-label="([^"]*)"', html)
    assert len(set(labels)) == len(labels) == 4
    assert re.search(
        r"line 2 over the stay: highest stretch \d+ %, highest load \d+\.\d t, steepest lead \d+° (up|down)",
        labels[2],
    )


def test_the_summary_says_what_came_to_alarm_and_what_was_not_known(page: Page) -> None:
    said = " ".join(page.text["summary"].split())
    assert re.search(r"Alarms: [^.]*Line 2 ", said)
    assert re.search(r"Not known: tide for \d+ (s|min)", said), "six minutes without gauges"
    assert "=1+1" not in said, "a note of the watch is no event of a line"
