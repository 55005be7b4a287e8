"""When figures and alerts reach the screen."""

import asyncio
from dataclasses import replace

import pytest

from alongside.cycle.picture import Advice
from alongside.errors import FeedUnavailable
from alongside.screens.app import ConsoleApp
from alongside.screens.letters import large
from alongside.screens.messages import PictureArrived
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.invented import FakeDesk
from tests.screens.shown import console


async def test_digits_change_every_two_seconds_at_most() -> None:
    async with console(invented.normal()) as shown:
        for second, tide in ((1.0, 3.51), (1.4, 3.52)):
            shown.clock.seconds += second - 0.5
            await shown.deliver(replace(invented.normal(), tide=tide))
            assert all(row in shown.text for row in large("3.42")), second
        shown.clock.seconds += 1.0
        await shown.deliver(replace(invented.normal(), tide=3.60))
        assert all(row in shown.text for row in large("3.60"))


async def test_a_figure_that_waited_is_shown_though_nothing_more_comes() -> None:
    async with console(invented.normal()) as shown:
        shown.clock.seconds += 0.5
        await shown.deliver(replace(invented.normal(), tide=3.77))
        assert not all(row in shown.text for row in large("3.77"))
        await shown.pass_time(2.0)
        assert all(row in shown.text for row in large("3.77"))


@pytest.mark.slow
async def test_alerts_are_shown_at_once() -> None:
    async with console(invented.normal()) as shown:
        shown.clock.seconds += 0.1
        await shown.deliver(invented.one_warning())
        assert "Slack B1" in shown.text
        assert "Line B1 stretch 88 %" in shown.text


@pytest.mark.slow
async def test_advice_that_differs_in_figures_only_waits_its_turn() -> None:
    async with console(invented.one_warning()) as shown:
        shown.clock.seconds += 0.1
        later = replace(
            invented.one_warning(),
            advice=Advice(
                "Slack B1 by 0.80 m: stretch 89 % (limit 85 %)", Stage.WARNING, large="SLACK B1", by="0.80 m"
            ),
        )
        await shown.deliver(later)
        assert "stretch 88 %" in shown.text


@pytest.mark.slow
async def test_flashing_is_for_what_nobody_answered() -> None:
    async with console(invented.one_warning()) as shown:
        seen = set()
        for _ in range(4):
            await shown.pass_time(0.5)
            rows = shown.styles_of("● WARNING")
            seen.add(tuple(bool(style.reverse) for style in rows))  # type: ignore[union-attr]
        assert len(seen) == 2
    async with console(invented.normal()) as shown:
        before = shown.text
        await shown.pass_time(0.5)
        assert shown.text == before


@pytest.mark.slow
async def test_silence_of_the_watch_is_told() -> None:
    async with console(invented.normal()) as shown:
        await shown.pass_time(9.0)
        assert "NO NEW FIGURES" not in shown.text
        await shown.pass_time(4.0)
        assert "NO NEW FIGURES for 13 s" in shown.text
        await shown.deliver(invented.normal())
        await shown.pass_time(1.0)
        assert "NO NEW FIGURES" not in shown.text


async def test_a_stopped_replay_is_no_silence() -> None:
    async with console(replace(invented.normal(), replay=True, paused=True)) as shown:
        await shown.pass_time(60.0)
        assert "NO NEW FIGURES" not in shown.text
        assert "REPLAY stopped" in shown.text


@pytest.mark.slow
async def test_a_fault_in_one_part_leaves_the_others_alive() -> None:
    broken = replace(invented.one_warning(), tide="high")  # type: ignore[arg-type]
    async with console(broken) as shown:
        await shown.pilot.pause()
        assert "This part could not be drawn" in shown.text
        assert "Screen fault since 04:12:18 in vitals: TypeError" in shown.text
        assert "Slack B1" in shown.text
        assert shown.app.is_running
        await shown.pass_time(3.0)
        await shown.deliver(invented.one_warning())
        assert "TIDE m" in shown.text
        await shown.pass_time(61.0)
        await shown.deliver(invented.one_warning())
        assert "Screen fault" not in shown.text


async def test_a_fault_of_the_desk_is_told_and_the_console_lives_on() -> None:
    async with console(invented.one_warning()) as shown:

        def fail(action: object) -> None:
            raise OSError("no space left on device")

        shown.desk.act = fail  # type: ignore[method-assign]
        await shown.press("s")
        await shown.pilot.pause()
        assert "Screen fault since 04:12:18 in silence: OSError" in shown.text
        assert shown.app.is_running


def test_a_newer_picture_replaces_an_older_one_in_the_queue() -> None:
    older, newer = PictureArrived(invented.normal()), PictureArrived(invented.flood())
    assert older.can_replace(newer)


def test_what_keeps_the_desk_from_starting_comes_out_whole() -> None:
    """Out of the app it must come as it is, for the command line to tell it in one line."""

    class NoPort(FakeDesk):
        def start(self, deliver: object) -> None:
            raise FeedUnavailable("serial:/dev/ttyUSB9: no such port")

    async def start() -> ConsoleApp:
        app = ConsoleApp(NoPort(), invented.invented_stay())
        async with app.run_test() as pilot:
            await pilot.pause()
        return app

    app = asyncio.run(start())
    assert isinstance(app.failure, FeedUnavailable)
    assert app.return_code == 3
