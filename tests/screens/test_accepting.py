"""The key that accepts: the alert of each line of the chosen row, by the fields of its form."""

from dataclasses import replace

import pytest
from textual.events import Key

from alongside.actions import Accept
from alongside.alerts.model import Acceptance, Alert, Standing
from alongside.cycle.picture import Advice, Picture
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import Shown, console

SIZES = ((80, 24), (120, 30), (160, 50))


def slack_lines(*stages: Stage) -> Picture:
    """Neighbours that came slack in the same minutes, one for each stage."""
    picture = invented.normal()
    lines = [row.id for row in picture.lines][: len(stages)]
    alerts = [
        replace(
            invented.alert("slack", line, stage, f"Line {line} slack: 1.{at} t (limit 4 % of WLL)"),
            value=0.03 + at / 1000.0,
            limit=0.04,
        )
        for at, (line, stage) in enumerate(zip(lines, stages, strict=True))
    ]
    return replace(picture, alerts=tuple(alerts))


async def typed(shown: Shown, text: str) -> None:
    for char in text:
        shown.app.post_message(Key({" ": "space"}.get(char, char), char))
    await shown.pilot.pause()


def accepts(shown: Shown) -> list[Accept]:
    return [action for action in shown.desk.actions if isinstance(action, Accept)]


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_each_line_of_a_row_is_accepted(size: tuple[int, int]) -> None:
    picture = slack_lines(Stage.CAUTION, Stage.CAUTION)
    first, second = (alert.subject for alert in picture.alerts)
    async with console(picture, size=size) as shown:
        await shown.turn("alerts")
        assert f"Lines {first}, {second} slack: worst 1.0 t" in shown.text
        assert f"Line {second} slack: 1.1 t" in shown.text, "below the list each by itself"
        await shown.press("z")
        await typed(shown, "+2:00")
        await shown.press("tab")
        await typed(shown, "ebb soon")
        await shown.press("tab")
        await typed(shown, "KM")
        await shown.press("enter", "enter")
        assert [(each.cause, each.subject, each.reason, each.by) for each in accepts(shown)] == [
            ("slack", first, "ebb soon", "KM"),
            ("slack", second, "ebb soon", "KM"),
        ]
        assert {each.until - picture.time for each in accepts(shown)} == {7200.0}


async def test_a_line_that_got_worse_meanwhile_is_not_accepted_with_the_others() -> None:
    async with console(slack_lines(Stage.CAUTION, Stage.CAUTION)) as shown:
        await shown.press("z")
        await typed(shown, "+2:00")
        await shown.press("tab")
        await typed(shown, "ebb soon")
        await shown.press("tab")
        await typed(shown, "KM")
        await shown.press("enter")
        await shown.deliver(slack_lines(Stage.CAUTION, Stage.WARNING))
        await shown.press("enter")
        assert accepts(shown) == []
        assert "the alert has changed meanwhile" in shown.text


async def test_escape_accepts_nothing() -> None:
    async with console(slack_lines(Stage.CAUTION)) as shown:
        await shown.press("z")
        await typed(shown, "+2:00")
        await shown.press("escape")
        assert accepts(shown) == []
        assert "Accept until" not in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_where_only_what_is_accepted_stands_the_word_normal_does_not(size: tuple[int, int]) -> None:
    def accepted(alert: Alert) -> Alert:
        until = Acceptance(alert.stage, alert.value, alert.raised_at + 36000.0, "ebb", "KM", alert.raised_at)
        return replace(alert, standing=Standing.ACKNOWLEDGED, acceptance=until)

    picture = slack_lines(Stage.CAUTION)
    words = "Accepted: line 1 slack until 14:00; nothing else to do"
    picture = replace(
        picture,
        alerts=tuple(accepted(each) for each in picture.alerts),
        advice=Advice(words, Stage.NORMAL, words, ""),
    )
    async with console(picture, size=size) as shown:
        band = "\n".join(shown.text.splitlines()[:8])
        assert "· accepted" in band
        assert "normal" not in band
