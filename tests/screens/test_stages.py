"""Screens compare nothing: what a line is coloured by, and said to be, comes from the Picture alone."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from rich.style import Style

from alongside.alerts.assess import stages_of
from alongside.cycle.picture import History, Picture
from alongside.screens import app
from alongside.screens.chart_series import past_of, trace_of
from alongside.screens.palettes import PALETTES
from alongside.screens.parts import PARTS
from alongside.screens.view import View
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import Shown, console

DAY = PALETTES["day"]
SCREENS = Path(app.__file__).parent


def style_in(shown: Shown, line: str, text: str) -> Style:
    """Style of the piece with this text in the row of a line."""
    for strip in shown.app.screen._compositor.render_strips():
        row = "".join(segment.text for segment in strip)
        if re.match(rf"[▸ ] . \w+ +{line} ", row):
            return next(segment.style or Style() for segment in strip if segment.text.strip() == text)
    raise AssertionError(f"no row of line {line}")


def colour(stage: Stage) -> str:
    return DAY.ink if stage == Stage.NORMAL else DAY.stage(stage)


def is_in(style: Style, stage: Stage) -> bool:
    return style.color is not None and style.color.name == colour(stage)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_a_line_that_leads_up_is_an_alarm_in_colour_and_words(size: tuple[int, int]) -> None:
    async with console(invented.awkward(), size=size) as shown:
        await shown.turn("table")
        row = next(row for row in shown.rows if "▲ ALARM" in row and "steep " in row)
        assert " H1 " in row
        assert "steep" in row
        assert "50° up" in row
        assert is_in(style_in(shown, "H1", "50° up"), Stage.ALARM)
        await shown.press("home", "enter")
        assert "▲ ALARM steep" in shown.text
        assert re.search(r"▸▲ +steep +50° up", shown.text)
        assert "down" not in next(row for row in shown.rows if "▸▲ " in row and "steep" in row)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_a_slack_line_at_fifty_degrees_is_plain_and_said_to_be_slack(size: tuple[int, int]) -> None:
    async with console(invented.awkward(), size=size) as shown:
        await shown.turn("table")
        row = next(row for row in shown.rows if "● WARNING" in row and "breast" in row)
        assert " B1 " in row
        assert "slack" in row
        assert is_in(style_in(shown, "B1", "50°"), Stage.NORMAL)
        await shown.press("down", "enter")
        assert "● WARNING slack" in shown.text
        assert re.search(r" · +steep +50° down", shown.text)
        assert "slack, drawn straight" in shown.text


@pytest.mark.slow
async def test_a_line_not_made_fast_says_so_and_is_never_normal() -> None:
    async with console(invented.awkward(), size=(120, 30)) as shown:
        row = next(row for row in shown.rows if "not made fast" in row)
        assert "— unknown" in row
        assert " S1 " in row
        await shown.press("end", "enter")
        shown.app.show(replace(shown.app.view, line="S1"))
        await shown.pilot.pause()
        assert "Line S1, spring   — unknown: not made fast" in shown.text


@pytest.mark.slow
async def test_port_side_to_in_an_unknown_zone_all_pages_are_drawn() -> None:
    async with console(invented.awkward(), size=(120, 30)) as shown:
        assert "02:12:18" in shown.text, "UTC, where the zone is not known"
        assert "← bow 248°" in shown.text
        assert "7.2 m/s" in shown.text
        for part in PARTS:
            await shown.turn(part)
            assert "could not be drawn" not in shown.text
            assert shown.app.view.fault == ""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cause", "mark", "words"),
    [(("under_keel", ""), "●", "UKC ● 7.3"), (("drift", "surge"), "●", "Ship ● 0.10 m")],
)
async def test_the_ship_bears_the_mark_of_its_stage(cause: tuple[str, str], mark: str, words: str) -> None:
    picture = invented.normal()
    async with console(picture, size=(120, 30)) as shown:
        assert mark not in words.replace(mark, "")
        assert words not in shown.text
    stages = {**picture.stages, cause: Stage.WARNING}
    async with console(replace(picture, stages=stages), size=(120, 30)) as shown:  # type: ignore[arg-type]
        assert words in shown.text or cause[0] == "under_keel"
        await shown.turn("wind" if cause[0] == "drift" else "alerts")
        assert words in shown.text


def with_past(vertical: float, load: float) -> Picture:
    """Line H1 at an angle with a load, as a share of its WLL, for an hour."""
    picture = invented.normal()
    time = np.arange(invented.NOW - 3600.0, invented.NOW, 60.0)
    series = {"vertical_deg.H1": np.full(time.size, vertical), "load_share.H1": np.full(time.size, load)}
    return replace(picture, history=History(time, series))


@pytest.mark.parametrize(
    ("vertical", "load", "stage"),
    [
        (50.0, 0.3, Stage.ALARM),
        (-50.0, 0.3, Stage.ALARM),
        (50.0, 0.0, Stage.NORMAL),
        (31.0, 0.3, Stage.WARNING),
        (float("nan"), 0.3, Stage.NORMAL),
    ],
)
def test_the_chart_colours_by_the_rule_up_and_down_alike(vertical: float, load: float, stage: Stage) -> None:
    """By the default limits of 25, 30 and 45 deg."""
    picture = with_past(vertical, load)
    view = View(picture.stay, DAY, picture, picture, line="H1", series="vertical_deg")
    trace = trace_of(view)
    past = past_of(view, trace)
    assert trace.rule is not None
    assert set(stages_of(trace.rule, past.watched).tolist()) == {stage}
    assert np.array_equal(past.value[:, 0], np.full(60, abs(vertical)), equal_nan=True)


def test_no_screen_compares_a_value_with_a_limit() -> None:
    """Limits are read for ticks, lines and words alone, in these places."""
    reads = {
        path.name
        for path in SCREENS.glob("*.py")
        if re.search(r"\.limits\.\w|as_tuple\(\)", path.read_text(encoding="utf-8"))
    }
    assert reads <= {"line_cells.py", "line_figures.py", "stretch_bar.py"}
