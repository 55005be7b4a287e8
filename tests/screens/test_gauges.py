"""The page of gauges, and what somebody says who has looked at one."""

from dataclasses import replace
from math import nan

import pytest

from alongside.actions import JudgeChannel
from alongside.cycle.picture import AlertsPort, Picture
from alongside.cycle.plausibility.model import Doubt
from alongside.readings import LineNumbers, Quality, Reason
from tests.screens import invented
from tests.screens.shown import check_snapshot, console

SIZES = ((80, 24), (120, 30), (160, 50))
WHY = "1.5 m above the table since 02:30: datum, port or unit?"


def in_doubt() -> Picture:
    """The tide gauge stands 1.50 m above the table, the rest is as in the scene `one_warning`."""
    picture = invented.one_warning()
    rows = tuple(
        replace(row, quality=Quality.SUSPECT, reason=Reason.DIFFERS, why=WHY)
        if row.channel == "tide"
        else row
        for row in picture.channels
    )
    doubt = Doubt("tide", Reason.DIFFERS, invented.NOW - 6138.0, 1.5, "table", "datum")
    return replace(picture, channels=rows, doubts=(doubt,), residual=1.5)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_the_page_shows_both_values_the_difference_and_the_cause(size: tuple[int, int]) -> None:
    async with console(in_doubt(), size=size) as shown:
        await shown.turn("gauges")
        check_snapshot(f"gauges_{size[0]}x{size[1]}", shown.text)
        words = " ".join(shown.text.split())
        assert "Gauge: tide 3.42 m; by the table 1.92 m; the gauge stands 1.50 m above" in words
        assert "Likely cause: datum, port or unit?" in words
        await shown.press("escape")
        assert shown.app.view.part == "lines"


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_it_says_what_is_missing_of_numbered_lines(size: tuple[int, int]) -> None:
    sources = (LineNumbers("WI0001", "10.0.0.5", 1203, 3, 1, 0, 0), LineNumbers("TI0001", "", 9, 0, 0, 0, 0))
    picture = invented.one_warning()
    feeds = (replace(picture.feeds[0], numbers=sources), *picture.feeds[1:])
    async with console(replace(picture, feeds=feeds), size=size) as shown:
        await shown.turn("gauges")
        words = " ".join(shown.text.split())
        assert "Feed gauges, WI0001 from 10.0.0.5: 3 of 1206 numbered lines missing, 1 repeated" in words
        assert "TI0001" not in words


@pytest.mark.slow
@pytest.mark.parametrize(("typed", "right"), [("right", "gauge"), ("WRONG", "witness"), ("table", "witness")])
async def test_who_has_looked_says_which_is_right(typed: str, right: str) -> None:
    async with console(in_doubt()) as shown:
        await shown.press("y", *typed, "tab", "e", "k", "enter")
        assert shown.desk.actions == []
        assert f"Will record: gauge tide is {'right' if right == 'gauge' else 'wrong'}" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [JudgeChannel("tide", right, "ek")]  # type: ignore[arg-type]
        assert "Kept: gauge tide is" in shown.text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("gauge", "word", "by", "refusal"),
    [
        ("tide", "perhaps", "ek", "expected right or wrong"),
        ("tide", "right", "", "no initials; expected those of who looked"),
        ("draught aft", "wrong", "ek", "no witness doubts the gauge draught aft"),
        ("[red]", "wrong", "ek", "no gauge '[red]'; doubtful are tide"),
    ],
)
async def test_it_refuses_in_words(gauge: str, word: str, by: str, refusal: str) -> None:
    async with console(in_doubt(), size=(120, 30)) as shown:
        await shown.press("y", "shift+tab", *["backspace"] * 4)
        await shown.type(gauge)
        await shown.press("tab")
        await shown.type(word)
        await shown.press("tab")
        await shown.type(by)
        await shown.press("enter", "enter")
        assert f"Not done: {refusal}" in shown.text
        assert shown.desk.actions == []


@pytest.mark.slow
async def test_both_values_are_in_sight_while_one_is_judged() -> None:
    async with console(in_doubt()) as shown:
        await shown.press("y")
        assert shown.app.view.part == "gauges"


@pytest.mark.slow
async def test_the_arrows_choose_a_gauge_and_the_first_doubtful_is_chosen_at_first() -> None:
    picture = in_doubt()
    last = picture.channels[-1].channel
    async with console(picture) as shown:
        await shown.turn("gauges")
        await shown.press("end")
        assert shown.app.view.channel == last
        assert "No witness doubts this gauge" in shown.text
        await shown.press("home")
        assert shown.app.view.channel == picture.channels[0].channel


@pytest.mark.slow
async def test_a_doubt_without_a_figure_shows_none() -> None:
    picture = in_doubt()
    still = Doubt("tide", Reason.STILL, invented.NOW, nan, "itself")
    async with console(replace(picture, doubts=(still,))) as shown:
        await shown.turn("gauges")
        assert "Gauge: tide 3.42 m" in shown.text
        assert "stands" not in shown.text
        assert "nan" not in shown.text


async def test_before_anything_was_heard() -> None:
    async with console() as shown:
        await shown.turn("gauges")
        await shown.press("down")
        assert "No gauges heard yet" in shown.text


@pytest.mark.slow
async def test_the_page_of_a_line_marks_what_rests_on_a_doubtful_gauge() -> None:
    async with console(in_doubt(), size=(120, 30)) as shown:
        await shown.press("enter")
        rows = shown.text.splitlines()
        for words in ("●  steep   31° down?", "load    24.2 t? 74 %", "stretch 88 %?", "● 31° down?"):
            assert any(words in row for row in rows), words
    async with console(invented.one_warning(), size=(120, 30)) as shown:
        await shown.press("enter")
        assert "%?" not in shown.text


async def test_a_gauge_that_is_late_is_not_cleared_of_doubt() -> None:
    picture = in_doubt()
    rows = tuple(
        replace(row, quality=Quality.SUSPECT, reason=Reason.STALE) if row.channel == "draught_fwd" else row
        for row in invented.one_warning().channels
    )
    async with console(replace(picture, channels=rows, doubts=())) as shown:
        await shown.turn("gauges")
        assert "No witness says another figure: look at the gauge itself" in shown.text
        assert "No witness doubts" not in shown.text


@pytest.mark.slow
async def test_a_gauge_that_does_not_move_cannot_be_said_to_be_right() -> None:
    picture = in_doubt()
    frozen = replace(picture.doubts[0], reason=Reason.FROZEN, off=nan, against="itself")
    async with console(replace(picture, doubts=(frozen,)), size=(120, 30)) as shown:
        await shown.press("y", *"right", "tab", "e", "k", "enter")
        assert "a gauge that does not move" in shown.text
        assert shown.desk.actions == []
        assert "Will record" not in shown.text


@pytest.mark.slow
async def test_the_port_to_the_bridge_has_a_row_that_says_what_is_wrong() -> None:
    wrong = AlertsPort(False, "/dev/ttyUSB1 takes nothing, tried again in 4 s", 120, 12)
    picture = replace(invented.one_warning(), alerts_out=wrong)
    async with console(picture, size=SIZES[0]) as shown:
        await shown.turn("gauges")
        assert "Alerts to the bridge: /dev/ttyUSB1 takes nothing, tried again in 4 s" in shown.text
    async with console(replace(picture, alerts_out=AlertsPort(True, "", 1, 0))) as shown:
        await shown.turn("gauges")
        assert "Alerts to the bridge: 1 message sent" in shown.text
