"""The self-test: bell, colours, gauges, record and clock on one key; what a human says of it on record."""

from dataclasses import replace

import pytest

from alongside.actions import SelfTest
from alongside.actions.controls import TryRecord
from alongside.cycle.picture import Picture, RecordTried
from alongside.cycle.watchkeeping import LastHandOver, LastSelfTest, Watchkeeping
from alongside.reports.self_test import findings
from alongside.screens.app import ConsoleApp
from alongside.screens.open_form import LOOKS_ONLY
from alongside.stay.stage import Stage
from alongside.wording.marks import stage_text
from tests.screens import invented
from tests.screens.shown import console


@pytest.fixture
def bells(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    rung: list[int] = []
    monkeypatch.setattr(ConsoleApp, "bell", lambda _app: rung.append(1))
    return rung


def answered(picture: Picture, **tried: object) -> Picture:
    return replace(picture, record_tried=RecordTried(1, **{"seconds": 0.0034, "free": 12.2e9, **tried}))  # type: ignore[arg-type]


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (250, 70)])
async def test_one_key_shows_all_stages_and_rings_once(size: tuple[int, int], bells: list[int]) -> None:
    async with console(invented.normal(), size=size) as shown:
        await shown.press("c")
        assert bells == [1]
        assert shown.desk.controls == [TryRecord()]
        for stage in Stage:
            assert stage_text(stage) in shown.text
        assert "record not tried" in shown.text
        await shown.deliver(answered(invented.normal()))
        assert "record 3 ms, 12 GB free" in shown.text
        assert "Bell heard? y/n" in shown.text


@pytest.mark.slow
async def test_what_was_heard_and_seen_goes_on_record_once_the_record_has_answered(bells: list[int]) -> None:
    picture = invented.normal()
    async with console(picture, size=(120, 30)) as shown:
        await shown.press("c")
        await shown.type("y")
        await shown.press("tab")
        await shown.type("maybe")
        await shown.press("enter")
        assert "expected y or n" in shown.text
        await shown.press(*["backspace"] * 5, "n", "tab")
        await shown.press("enter")
        assert "no initials" in shown.text
        await shown.type("ab")
        await shown.press("enter")
        assert "the record has not answered yet" in shown.text
        assert shown.desk.actions == []
        await shown.deliver(answered(picture))
        await shown.press("enter")
        (test,) = shown.desk.actions
        assert isinstance(test, SelfTest)
        assert (test.bell, test.colours, test.by) == (True, False, "ab")
        assert test.findings == findings(answered(picture), "day")
        assert "record 3 ms" in test.findings
        assert shown.app.view.part == "lines", "back where it was pressed"


async def test_an_answer_of_the_record_to_an_earlier_test_is_none(bells: list[int]) -> None:
    earlier = answered(invented.normal())
    async with console(earlier, size=(120, 30)) as shown:
        await shown.press("c")
        await shown.type("y")
        await shown.press("tab")
        await shown.type("y")
        await shown.press("tab")
        await shown.type("ab")
        await shown.press("enter")
        assert "the record has not answered yet" in shown.text
        assert shown.desk.actions == []
        await shown.deliver(replace(earlier, record_tried=RecordTried(2, 0.004, 12.2e9)))
        await shown.press("enter")
        assert len(shown.desk.actions) == 1


@pytest.mark.slow
async def test_escape_leads_back_to_what_was_in_sight(bells: list[int]) -> None:
    async with console(invented.normal()) as shown:
        await shown.press("3", "c")
        assert shown.app.view.part == "self_test"
        await shown.press("escape")
        assert shown.app.view.part == "wind"


@pytest.mark.slow
async def test_a_console_that_only_looks_makes_none(bells: list[int]) -> None:
    async with console(replace(invented.normal(), look_only=True)) as shown:
        await shown.press("c")
        assert LOOKS_ONLY in shown.text
        assert not bells
        assert not shown.desk.controls


async def test_it_reminds_quietly_half_an_hour_after_taking_over() -> None:
    picture = invented.normal()
    keeping = Watchkeeping(hand_over=LastHandOver("ab", picture.time - 1700.0))
    async with console(replace(picture, watchkeeping=keeping)) as shown:
        assert "self-test due" not in shown.text
        late = replace(keeping, hand_over=LastHandOver("ab", picture.time - 1900.0))
        due = replace(picture, watchkeeping=late, time=picture.time + 1.0)
        await shown.deliver(due)
        await shown.pass_time(3.0)
        assert "c self-test due" in shown.text
        tested = replace(late, self_test=LastSelfTest("bell heard", picture.time, "ab"))
        await shown.deliver(replace(picture, watchkeeping=tested, time=picture.time + 2.0))
        await shown.pass_time(3.0)
        assert "self-test due" not in shown.text


def test_gauges_that_are_not_good_and_a_record_that_fails_are_named() -> None:
    said = findings(answered(invented.normal()), "night")
    assert said.endswith("record 3 ms, 12 GB free, palette night")
    failed = answered(invented.normal(), seconds=float("nan"), fault="journal (disk full)")
    assert "record FAILED: journal (disk full), 12 GB free" in findings(failed, "day")
    assert "no record in a replay" in findings(replace(invented.normal(), replay=True), "day")
