"""The printed debrief: whole by itself, harmless whatever things are called, the same for the same deeds, and
true to the debrief. Expected values: those of the debrief itself, and ours."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.stay.stage import Stage
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.page.page import page as page_of
from tests.reports.stay.conftest import NASTY
from tests.reports.stay.strict import Page
from tests.training.exercise.lived import flood, write_exercise
from tests.training.exercise.page.conftest import ATTEMPT, ORDERS


@pytest.fixture(scope="module")
def html(debriefed: Debrief) -> str:
    return page_of(debriefed)


@pytest.fixture(scope="module")
def page(html: str) -> Page:
    return Page(html)


@pytest.mark.slow
def test_the_page_is_whole_and_fetches_nothing(html: str, page: Page) -> None:
    page.harmless()
    assert "://" not in html
    policy = next(a["content"] for tag, a in page.tags if a.get("http-equiv") == "Content-Security-Policy")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"


@pytest.mark.slow
def test_names_from_outside_are_text(html: str, page: Page) -> None:
    assert "<script" not in html
    assert "<img" not in html
    assert any(NASTY in cell for row in page.rows["lessons"] for cell in row), "why it is expected"
    assert html.count("&lt;script&gt;") >= 4, "name, aims, story, trainee"


@pytest.mark.slow
def test_the_same_deeds_give_the_same_bytes(debriefed: Debrief, html: str) -> None:
    again = debrief(debriefed.exercise, ORDERS, attempt=ATTEMPT)
    assert page_of(again) == html


@pytest.mark.slow
def test_points_and_pass_mark_are_those_of_the_debrief(debriefed: Debrief, page: Page, html: str) -> None:
    points = debriefed.points
    rows = page.rows["points"][1:]
    assert [row[1] for row in rows[:-1]] == [f"{part.points:.1f}" for part in points.parts]
    assert rows[-1][1:3] == [str(points.total), "100"]
    assert f"<b>{points.total} of 100 points</b>" in html
    assert ("NOT PASSED, from 60 on" in html) == (not points.passed)


@pytest.mark.slow
def test_each_lesson_is_a_chain(debriefed: Debrief, page: Page) -> None:
    text = page.text["lessons"]
    assert debriefed.lessons
    for about in ("To be seen", "A good watch", "Done", "What that changed"):
        assert text.count(about) >= len(debriefed.lessons)
    gauge = next(each for each in debriefed.lessons if each.cause == "feed")
    assert [type(each.order.action).__name__ for each in gauge.answers] == ["CallOut", "ReadByHand"]


@pytest.mark.slow
def test_what_was_put_in_and_ordered_is_listed_and_marked(page: Page, html: str) -> None:
    rows = page.rows["happened"]
    put_in = [row for row in rows if re.fullmatch(r"\d+", row[0])]
    assert [row[0] for row in put_in] == ["1", "2", "3", "4"]
    assert put_in[0][2] == "draught forward silent for 10 min"
    assert put_in[1][2] == "gust of 45 kn from 180° for 10 min"
    assert put_in[2][2] == "water 0.30 m higher for 15 min"
    assert put_in[3][2] == "line 1 parts"
    orders = [row for row in rows if re.fullmatch("[a-z]", row[0])]
    assert [row[0] for row in orders] == list("abcdef"), "an acknowledgement is no order"
    assert orders[0][2] == "line 2 slacked 0.40 m"
    assert orders[-1][4] == "not done before the end"
    rail, *charts = re.findall(r"<svg.*?</svg>", html, re.DOTALL)
    marks = set(re.findall(r"<text[^>]*>([^<]+)</text>", rail))
    assert {"put in", "ordered", "read", "1", "2,3", "4", "a–c", "d", "e", "f"} <= marks
    for chart in charts:
        assert {"1", "2,3", "4"} <= set(re.findall(r"<text[^>]*>([^<]+)</text>", chart))


@pytest.mark.slow
def test_highest_figures_are_those_of_the_runs(debriefed: Debrief, page: Page) -> None:
    rows = {row[0]: row[1:] for row in page.rows["highest"][1:]}
    at = debriefed.as_done.run.lines.index("2")
    for cell, way in zip(rows["line 2 stretch"], debriefed.outcomes, strict=True):
        assert cell.startswith(f"{100.0 * way.run.stretch[at]:.0f} % ")
    assert "line 1 not known" in rows, "it parted"
    work = {row[0]: row[1:] for row in page.rows["work"][1:]}
    assert work["slacked"][0] == f"{sum(_slacked(debriefed)):.2f} m"
    assert work["orders"][1] == "0"


def _slacked(debriefed: Debrief) -> list[float]:
    run = debriefed.as_done.run
    return [each.value for each in run.events if each.event == "tended" and each.value and each.value > 0.0]


@pytest.mark.slow
def test_crew_minutes_are_hands_by_time_away(debriefed: Debrief, page: Page) -> None:
    """Two hands for each line, one for a reading, from leaving to the end of the work."""
    run = debriefed.as_done.run
    lasted = [(each.hands, each.leave, min(each.end, run.end)) for each in run.works if each.hands]
    minutes = sum(hands * (end - leave) for hands, leave, end in lasted if leave < run.end) / 60.0
    work = {row[0]: row[1:] for row in page.rows["work"][1:]}
    assert work["crew"][0] == f"{minutes:.0f} min"


@pytest.mark.slow
def test_curves_of_what_mattered_each_way_differ(debriefed: Debrief, page: Page, html: str) -> None:
    figures = re.findall(r'<figure class="curve"><h3>(.*?)</h3>\s*(<svg.*?</svg>)', html, re.DOTALL)
    assert len(figures) >= 2
    for _, svg in figures:
        names = re.findall(r'id="c\d+-(as_done|nothing_done|best_plan)"', svg)
        assert names, "at least one curve"
        dashes = re.findall(r'id="c\d+-(as_done|nothing_done|best_plan)">\s*<path [^>]*style="([^"]*)"', svg)
        looks = {name: re.findall(r"stroke-dasharray: ([\d., ]+)", style) for name, style in dashes}
        assert len({str(look) for look in looks.values()}) == len(looks), "each another kind of line"
    drawn = {words.partition(",")[0] for words, _ in figures}
    assert {f"Line {each.line}" for each in debriefed.lessons if each.line} <= drawn


@pytest.mark.slow
def test_all_lines_are_drawn_by_choice(debriefed: Debrief, unknown: Debrief) -> None:
    def lines(html: str) -> int:
        return len(re.findall(r'<figure class="curve"><h3>Line ', html))

    assert lines(page_of(debriefed, all_lines=True)) == 3
    assert lines(page_of(unknown)) == 0
    assert lines(page_of(unknown, all_lines=True)) == 3


def test_what_is_not_known_is_said(unknown: Debrief) -> None:
    html = page_of(unknown)
    page = Page(html)
    page.harmless()
    assert html.count("<dd>—</dd>") == 4, "trainee, date, real time, kind"
    assert "Name, date and time kept are not known" in html
    assert "no pass mark" in html
    assert "Nothing was put in by the trainer." in html
    assert "Nothing was ordered." in html
    assert "Nothing came near a limit" in html


@pytest.mark.slow
def test_left_early_is_said(debriefed: Debrief) -> None:
    left = replace(ATTEMPT, left_at=ATTEMPT.left_at - 900.0, pauses=2)
    html = page_of(debrief(debriefed.exercise, ORDERS, attempt=left))
    assert "15 min before the end" in html
    assert "NOT PASSED, from 60 on: left before the end" in html
    assert "2 pauses, 2 keys that an exam refuses" in html


def test_a_line_that_parts_has_no_curve_after_it(debriefed: Debrief) -> None:
    """Broken, not drawn on at a value: nothing is known of it."""
    course = debriefed.as_done.run.course
    bars = course.line_bar[:, course.lines.index("1")]
    parted = round((3000 - 900) / 60)
    assert bars[parted - 1] == bars[parted - 1]
    assert all(bar != bar for bar in bars[parted + 1 :])
    assert "not known later" in page_of(debriefed)


@pytest.mark.slow
def test_the_command_writes_it_and_replaces_no_other_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, done, out = write_exercise(tmp_path, "", tide=flood), tmp_path / "done.jsonl", tmp_path / "p.html"
    write_actions(done, ORDERS[:1], ATTEMPT)
    for _ in range(2):  # an earlier one of the same kind is replaced
        assert main(["debrief", str(path), str(done), "--out", str(out)]) == 0
        assert capsys.readouterr().out.rstrip().endswith(str(out))
    Page(out.read_text(encoding="utf-8")).harmless()
    report = tmp_path / "report.html"
    text = out.read_text(encoding="utf-8")
    made_by = '<meta name="generator" content="alongside debrief">'
    assert made_by in text
    report.write_text(text.replace(made_by, ""), encoding="utf-8")
    assert main(["debrief", str(path), str(done), "--out", str(report)]) == 2
    assert main(["report", str(tmp_path / "none"), "--out", str(out)]) == 2
    assert "expected" in capsys.readouterr().err
    assert out.read_text(encoding="utf-8") == text


def test_a_page_is_of_the_console_or_of_debrief(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_exercise(tmp_path, "")
    assert main(["exercise", str(path), "--headless", "--out", str(tmp_path / "p.html")]) == 2
    assert "expected `debrief --out`" in capsys.readouterr().err


@pytest.mark.slow
def test_each_chart_has_a_band_for_each_stage(html: str) -> None:
    for svg in re.findall(r'<figure class="curve">.*?(<svg.*?</svg>)', html, re.DOTALL):
        for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
            assert f"stage_{stage.word}" in svg
            assert f" {stage.word}</text>" in svg
