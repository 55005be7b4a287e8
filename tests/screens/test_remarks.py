"""The remarks on the stay file at the console: their number at the start, and their page."""

from pathlib import Path

import pytest

from alongside.errors import Fault
from alongside.reports.remarks.text import Remarks, remarks_on
from alongside.screens.messages import RemarksFound
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.screens import invented
from tests.screens.shown import Shown, check_snapshot, console

SIZES = ((80, 24), (120, 30), (160, 50))
CONFIGS = Path(__file__).parents[2] / "configs"


def three(_stay: Stay) -> Remarks:
    places = [("lines[3].role", 41), ("ship.wind.side_m2", 12), ("berth.bollards.B[red]2\x1b[31m", 77)]
    said = "a breast that leads 172°: expected 60 to 120°; a stern line?"
    faults = [Fault("/stays/stay.yaml", line, 5, path, f"remark: {said}") for path, line in places]
    return Remarks(tuple(faults), ("brakes of lines 4 and 5: no winch with brake_kn",))


async def looked(shown: Shown) -> None:
    await shown.app.workers.wait_for_complete()
    await shown.pilot.pause()
    await shown.pilot.pause()


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_their_number_is_said_and_the_page_shows_them(size: tuple[int, int]) -> None:
    async with console(invented.normal(), size=size, look_through=three) as shown:
        await looked(shown)
        assert "3 remarks on the stay file, page 5" in shown.text
        await shown.turn("remarks")
        check_snapshot(f"remarks_{size[0]}x{size[1]}", shown.text)
        words = " ".join(shown.text.split())
        assert "stay.yaml:41:5 lines[3].role a breast that leads 172°: expected 60 to 120°" in words
        assert "brakes of lines 4 and 5: no winch with brake_kn" in words
        assert "\x1b" not in shown.text
        assert "B[red]2" in shown.text
        await shown.press("escape")
        assert "remarks on the stay file" not in shown.text, "said until they were read"


async def test_their_number_is_not_said_to_who_has_them_before_his_eyes() -> None:
    async with console(invented.normal()) as shown:
        await looked(shown)
        await shown.turn("remarks")
        shown.app.post_message(RemarksFound(three(invented.normal().stay)))
        await shown.pilot.pause()
        assert "remarks on the stay file, page 5" not in shown.text
        assert "3 remarks on the stay file stay.yaml" in shown.text


@pytest.mark.slow
async def test_their_number_goes_after_a_minute() -> None:
    async with console(invented.normal(), look_through=three) as shown:
        await looked(shown)
        for _ in range(7):
            await shown.pass_time(8.0)
            await shown.deliver(invented.normal())
        assert "3 remarks" in shown.text
        await shown.pass_time(5.0)
        assert "3 remarks" not in shown.text


@pytest.mark.slow
async def test_a_reply_goes_before_it() -> None:
    async with console(invented.normal(), look_through=three) as shown:
        await looked(shown)
        await shown.press("d")
        assert "Colours: dusk" in shown.text
        assert "3 remarks" not in shown.text
        await shown.pass_time(7.0)
        assert "3 remarks" in shown.text


@pytest.mark.slow
async def test_one_that_fails_is_said_and_the_console_lives_on() -> None:
    def fails(_stay: Stay) -> Remarks:
        raise RuntimeError("[/] no such line")

    async with console(invented.normal(), look_through=fails) as shown:
        await looked(shown)
        await shown.turn("remarks")
        assert "The stay file was not looked through: RuntimeError('[/] no such line')" in shown.text


async def test_nothing_is_said_where_nothing_is_odd() -> None:
    async with console(invented.normal()) as shown:
        await looked(shown)
        assert "remark" not in shown.text
        await shown.turn("remarks")
        assert "No remarks on the stay file" in shown.text


def test_they_are_those_of_check(tmp_path: Path) -> None:
    stay = read_stay(CONFIGS / "coaster_quay.yaml")
    assert not remarks_on(stay).remarks
    assert any("brakes of lines 2, 3, 4 and 5" in row for row in remarks_on(stay).not_watched)
    text = (CONFIGS / "coaster_quay.yaml").read_text(encoding="utf-8")
    odd = tmp_path / "odd.yaml"
    odd.write_text(text.replace("side_m2: ", "side_m2: 1"), encoding="utf-8")
    found = remarks_on(read_stay(odd))
    assert [remark.path for remark in found.remarks] == ["ship.wind.side_m2"]
    assert found.remarks[0].line > 1
    gone = read_stay(odd)
    odd.unlink()
    assert [remark.line for remark in remarks_on(gone).remarks] == [0], "without its place, not without it"
