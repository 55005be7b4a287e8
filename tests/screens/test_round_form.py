"""One key on the page Ahead records the next round as done as advised."""

from dataclasses import replace

import pytest

from alongside.actions import TendLine
from alongside.forecast.model import MoveAhead, RoundAhead, Tending
from tests.screens import invented
from tests.screens.shown import console


def with_round(**settings):
    picture = invented.one_warning()
    now = picture.time
    lines = [row.id for row in picture.lines if row.unstretched_m == row.unstretched_m][:2]
    steps = ((now - 600.0, 0.10), (now + 1800.0, 0.30))
    moves = (MoveAhead(lines[0], 0.30, steps), MoveAhead(lines[1], 0.15))
    each = RoundAhead(now - 600.0, now + 3600.0, now + 1800.0, now + 9000.0, 600.0, moves)
    tending = Tending(rounds=(replace(each, **settings),), verified=True, holds=0.9)
    forecast = picture.forecast or invented.forecast(picture.stay)
    return replace(picture, forecast=replace(forecast, tending=tending)), lines


async def test_one_key_and_initials_record_every_line_with_the_metres_of_now() -> None:
    picture, lines = with_round()
    async with console(picture) as shown:
        await shown.press("T", "r", "v", "enter")
        assert shown.desk.actions == [
            TendLine(lines[0], paid_out=0.10, by="rv"),
            TendLine(lines[1], paid_out=0.15, by="rv"),
        ]


async def test_without_initials_nothing_is_recorded() -> None:
    picture, _ = with_round()
    async with console(picture) as shown:
        await shown.press("T", "enter")
        assert shown.desk.actions == []


@pytest.mark.slow
async def test_the_round_is_in_sight_while_it_is_recorded() -> None:
    picture, _ = with_round()
    async with console(picture) as shown:
        await shown.press("T")
        assert shown.app.view.part == "rounds"
        assert "ROUND 1: begin" in shown.text


@pytest.mark.slow
async def test_what_is_no_plan_or_not_yet_due_cannot_be_recorded_so() -> None:
    for settings in (
        {"holds": 0.6},
        {"not_before": with_round()[0].time + 600.0},
    ):
        picture, _ = with_round(**settings)
        async with console(picture) as shown:
            await shown.press("T", "r", "v", "enter")
            assert shown.desk.actions == [], settings
