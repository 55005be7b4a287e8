"""The report and the hand-over of a stay with everything that is easily got wrong."""

import re
from pathlib import Path

import pytest

from alongside.reports.handover import handover_text
from alongside.reports.stay.write import write_report
from alongside.units import unix_time
from tests.berth import START, STAY_TEXT, a_stay, gauges, tagged
from tests.reports.stay.records import recorded
from tests.reports.stay.strict import Page
from tests.worlds import LEADS_UP, NOT_FAST, awkward_stay, watched


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Page:
    folder = tmp_path_factory.mktemp("awkward")
    log = folder / "gauges.log"
    lines = []
    for second in range(240):
        last = 0.001 * (second % 2)
        levels = f"IIXDR,D,{3.0 + last:.3f},M,TIDE,D,{4.0 + last:.3f},M,DRF,D,{4.5 + last:.3f},M,DRA"
        lines.append(tagged(START + second, levels))
        lines.append(tagged(START + second, f"WIMWV,{250 + second % 2},R,{6.0 + 0.1 * (second % 3):.1f},M,A"))
    log.write_bytes(b"".join(lines))
    record = recorded(awkward_stay(folder), log, folder / "record")
    return Page(write_report(record, folder / "page.html").read_text(encoding="utf-8"))


@pytest.mark.slow
def test_times_of_a_zone_that_this_machine_does_not_know_are_utc_and_say_so(page: Page) -> None:
    assert re.search(r"from 02 March 2026 04:00 to 02 March 2026 04:03 UTC \(", page.text["summary"])


@pytest.mark.slow
def test_a_line_that_leads_up_says_so_on_bands_that_go_up(page: Page) -> None:
    rows = {row[0].split()[0]: row for row in page.rows["lines"][1:]}
    assert re.match(r"\d+° up", rows[LEADS_UP][6])
    assert re.match(r"\d+° down", rows["3"][6])
    charts = [i for i in page.ids if i.endswith("steep_alarm_up")]
    assert charts, "bands below the level"
    assert len(charts) < len(rows), "only where a line leads up"


@pytest.mark.slow
def test_a_line_that_is_not_fast_is_not_known(page: Page) -> None:
    rows = {row[0].split()[0]: row for row in page.rows["lines"][1:]}
    assert rows[NOT_FAST][3] == rows[NOT_FAST][5] == "—"
    assert "not known" in rows[NOT_FAST][8]


def test_the_hand_over_of_it(tmp_path: Path) -> None:
    rows = handover_text(watched(awkward_stay(tmp_path)).picture(), START)
    lines = {row.split()[0]: row for row in rows[rows.index("LINES") + 2 :] if row.startswith("  ")}
    assert re.search(r"\d+° up", lines[LEADS_UP])
    assert lines[NOT_FAST].endswith("not made fast")
    assert rows[1].startswith("2026-03-02 04:01 +0000")


@pytest.mark.slow
def test_the_charts_of_a_night_on_which_the_clocks_are_put_back(tmp_path: Path) -> None:
    """London, 25 October 2026, 01:00 UTC: the ticks and the summary say which of two hours is meant."""
    begin = unix_time("2026-10-24T23:40:00Z")
    text = STAY_TEXT.replace("2026-03-02T0", "2026-10-24T0") + "display: {zone: Europe/London}\n"
    log = tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(begin + 20.0 * k, 2.0 + 0.001 * (k % 7)) for k in range(600)))
    record = recorded(a_stay(tmp_path, text), log, tmp_path / "record")
    html = write_report(record, tmp_path / "page.html").read_text(encoding="utf-8")
    ticks = re.findall(r">\s*(\d\d:\d\d(?: [+-]\d{4})?)\s*<", html)
    assert {"01:00 +0100", "02:00 +0000"} <= set(ticks)
    assert not [tick for tick in ticks if len(tick) == 5], "none without"
    assert "from 25 October 2026 00:40 +0100 to 25 October 2026 02:59 +0000" in Page(html).text["summary"]
