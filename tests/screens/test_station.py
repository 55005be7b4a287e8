"""The instructor's console: what the trainee has in sight, what he cannot see, and keys of its own."""

from dataclasses import replace

import pytest

from alongside.actions import Note
from alongside.actions.controls import Inject, InSight, Pause
from alongside.cycle.picture import Instructing, Picture
from alongside.screens.parts import STATION
from tests.screens import invented
from tests.screens.shown import check_snapshot, console

SIZES = ((80, 24), (120, 30), (160, 50))
SECTIONS = (
    (
        "How it goes",
        ("cost so far 34; with nothing done 120, by the best plan 8 (minutes by their weights)",),
    ),
    ("Not what the gauges show", ("tide: 2.10, really 3.60",)),
    ("To come", ("15:10:00  tide silent for 25 min, in 93 min", "19:00:00  the exercise ends")),
    ("What was ordered, newest first", ("14:20:00  line 4 slacked 0.30 m: at work until 14:31:05",)),
)


def followed(picture: Picture, in_sight: InSight | None = None) -> Picture:
    instructing = Instructing("A. [b]Example, exam, 3 h 05 min to go", in_sight, SECTIONS)
    return replace(picture, replay=True, exercise=True, speed=10.0, instructing=instructing)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_what_the_trainee_cannot_see(size: tuple[int, int]) -> None:
    async with console(followed(invented.one_warning()), size=size) as shown:
        check_snapshot(f"instructor_{size[0]}x{size[1]}", shown.text)
        await shown.press("0")
        check_snapshot(f"station_{size[0]}x{size[1]}", shown.text)
        assert "tide: 2.10, really 3.60" in shown.text
        assert "A. [b]Example" in shown.text


async def test_it_follows_the_trainee_until_it_turns_elsewhere() -> None:
    picture = invented.one_warning()
    async with console(followed(picture, InSight("lines", "lines"))) as shown:
        await shown.deliver(followed(picture, InSight("ahead", "lines", line="B3", form="tend")))
        assert (shown.app.view.part, shown.app.view.line) == ("ahead", "B3")
        assert "at Hours, form tend" in shown.text
        await shown.press("2")
        await shown.deliver(followed(picture, InSight("log", "lines")))
        assert shown.app.view.part == "line"
        assert "f follows" in shown.text
        await shown.press("f")
        assert shown.app.view.part == "log"


@pytest.mark.slow
async def test_what_is_no_part_is_not_followed() -> None:
    picture = invented.one_warning()
    async with console(followed(picture)) as shown:
        await shown.deliver(followed(picture, InSight("nowhere", "lines")))
        assert shown.app.view.part == "lines"


@pytest.mark.slow
async def test_its_deeds_are_its_own() -> None:
    """Space, a mark and an injection reach the desk; what a watch does, does not."""
    async with console(followed(invented.one_warning())) as shown:
        await shown.press("space")
        await shown.press("w")
        await shown.type("saw it late [/]")
        await shown.press("enter")
        await shown.press("e")
        await shown.type("gust 35 from 210 for 10 min")
        await shown.press("enter")
        assert "Will record: gust of 35 kn from 210° for 10 min, at once" in shown.text
        await shown.press("enter")
        (inject,) = [each for each in shown.desk.controls if isinstance(each, Inject)]
        assert dict(inject.injection)["kind"] == "gust"
        assert Pause(True) in shown.desk.controls
        assert shown.desk.actions == [Note("saw it late [/]")]
        for key in "txrkcz":
            await shown.press(key)
            assert not shown.app.form.name, key
            assert "orders are the trainee's" in shown.text
        await shown.press("g")
        assert not shown.app.form.name
        keys = "".join(shown.rows[-2:])
        assert "e inject" in keys
        assert "t tend" not in keys


@pytest.mark.slow
async def test_no_other_console_has_it() -> None:
    async with console(invented.one_warning()) as shown:
        for key in "0ef":
            await shown.press(key)
        assert shown.app.view.part != STATION
        assert not shown.app.form.name
        assert "inject" not in shown.text


@pytest.mark.slow
async def test_a_console_that_is_followed_tells_what_is_in_sight() -> None:
    picture = replace(invented.one_warning(), replay=True, exercise=True)
    async with console(replace(picture, stationed=True)) as shown:
        await shown.press("4")
        await shown.press("t")
        told = [each for each in shown.desk.controls if isinstance(each, InSight)]
        assert told[-1] == InSight(
            "ahead",
            "lines",
            hours=6,
            series="stretch_share",
            chart_lines="one",
            form="tend",
            size=(80, 24),
        )
    async with console(picture) as shown:
        await shown.press("4")
        assert not [each for each in shown.desk.controls if isinstance(each, InSight)]


async def test_what_has_come_stands_in_sight_and_is_no_markup() -> None:
    picture = replace(invented.one_warning(), replay=True, exercise=True)
    async with console(replace(picture, told="Terminal: cargo [bold]stops[/] at 06:00")) as shown:
        for key in "12345":
            await shown.press(key)
            assert "Terminal: cargo [bold]stops[/] at 06:00" in shown.text
