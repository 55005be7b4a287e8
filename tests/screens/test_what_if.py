"""What if, at the screen: how it is typed, and what comes of it by the mechanics themselves."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.cycle.picture import Advice, Picture
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.what_if.changes import LetGo, OtherWind, PayOut, Shift, StopCargo
from alongside.screens.question import answered, question
from alongside.screens.refusal import Refused
from alongside.screens.what_if_lines import changes_of
from alongside.screens.what_if_page import _wrapped
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import KNOT
from tests.screens import invented
from tests.screens.shown import Shown, console

STAY = Path(__file__).parents[2] / "configs" / "product_jetty.yaml"


@pytest.fixture(scope="module")
def picture() -> Picture:
    """Before arrival, by the plan alone, few members: quick."""
    stay = read_stay(STAY)
    stay = replace(stay, outlook=replace(stay.outlook, hours=12.0, every_min=30.0, members=4))
    basis = Basis.of(stay)
    present = planned_present(stay, basis.arrangement, when_fast(stay))
    forecast = look_ahead(basis, present, Far.of(stay))
    return replace(
        invented.normal(), stay=stay, time=forecast.time, present=present, forecast=forecast, log=()
    )


@pytest.mark.parametrize(
    ("typed", "changes"),
    [
        ("slack 3 0.4", (PayOut("3", 0.4),)),
        ("heave 3 0,4", (PayOut("3", -0.4),)),
        ("3 out 0.4", (PayOut("3", 0.4),)),
        ("out 3 0.4", (PayOut("3", 0.4),)),
        ("3 in 0.4", (PayOut("3", -0.4),)),
        ("let go 5", (LetGo("5"),)),
        ("shift 4 to MD4", (Shift("4", "MD4"),)),
        ("stop cargo; let go 5", (StopCargo(), LetGo("5"))),
    ],
)
def test_what_can_be_typed(picture: Picture, typed: str, changes: tuple[object, ...]) -> None:
    assert question(typed, picture.stay).changes == changes


@pytest.mark.parametrize(
    ("typed", "ms"),
    [("wind 40 from 210", 40 * KNOT), ("wind 40kn from 210", 40 * KNOT), ("wind 20 m/s from 210", 20.0)],
)
def test_wind_is_in_the_unit_of_the_display_unless_it_says_so(
    picture: Picture, typed: str, ms: float
) -> None:
    (change,) = question(typed, picture.stay).changes
    assert isinstance(change, OtherWind)
    assert (change.speed, change.come_from) == (pytest.approx(ms), 210.0)


@pytest.mark.parametrize("typed", ["", "slack it", "slack 99 0.4", "wind hard from 210"])
def test_what_cannot_is_refused_in_words(picture: Picture, typed: str) -> None:
    with pytest.raises(Refused):
        question(typed, picture.stay)


def test_slacking_eases_the_line_and_loads_its_fellows(picture: Picture) -> None:
    assert picture.forecast is not None
    answer = answered(question("slack 3 0.4", picture.stay), picture)
    assert answer.result is not None
    by_line = {change.line: change for change in changes_of(answer.result)}
    assert by_line["3"].now[1] < by_line["3"].now[0]
    assert by_line["4"].now[1] > by_line["4"].now[0]


def test_a_wrong_bollard_is_told_not_raised(picture: Picture) -> None:
    assert picture.forecast is not None
    answer = answered(question("shift 4 to Nowhere", picture.stay), picture)
    assert answer.result is None
    assert "no bollard Nowhere" in answer.why_not


async def asked(shown: Shown, text: str) -> None:
    await shown.press("i")
    await shown.type(text)
    await shown.press("enter")
    await shown.app.workers.wait_for_complete()
    await shown.pilot.pause()


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30)])
async def test_the_answer_stands_beside_the_plan(picture: Picture, size: tuple[int, int]) -> None:
    async with console(picture, size=size) as shown:
        await asked(shown, "let go 3")
        assert shown.app.view.part == "what_if"
        assert "What if: let go 3" in shown.text
        assert "WORSE: " in shown.text
        assert "LOST" in next(row for row in shown.rows if row.startswith("  Hold, square off"))
        seen = list(shown.rows)
        for _ in range(40):
            await shown.press("down")
            assert "WORSE: " in shown.text, "the verdict stays in sight"
            seen += shown.rows
        row = next(row for row in seen if row.startswith("  3 "))
        assert row.count("→ —") >= 3
        assert any("Rounds as planned" in row for row in seen)
        assert any("Rounds with this change" in row for row in seen)
        assert shown.desk.actions == []
        await shown.press("escape")
        assert shown.app.view.part == "lines"


@pytest.mark.slow
async def test_a_question_that_is_refused_stays_in_the_form(picture: Picture) -> None:
    async with console(picture) as shown:
        await asked(shown, "slack everything")
        assert "Not done: 'slack everything': not complete, or too much, expected slack LINE" in shown.text
        assert shown.app.form.name == "what_if_form"


@pytest.mark.slow
async def test_before_the_first_figures_there_is_no_answer() -> None:
    async with console(replace(invented.normal(), forecast=None, present=None)) as shown:
        await asked(shown, "stop cargo")
        assert "No answer: nothing known of this instant yet" in shown.text


async def test_a_question_that_fails_is_told_and_the_console_lives_on(
    picture: Picture, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_args: object) -> None:
        raise FloatingPointError("overflow")

    monkeypatch.setattr("alongside.screens.question.answered", fail)
    async with console(picture) as shown:
        await asked(shown, "stop cargo")
        assert "No answer: it failed: FloatingPointError('overflow'), see the log" in shown.text
        assert shown.app.is_running


@pytest.mark.slow
async def test_advice_not_to_slack_stands_beside_an_answer_that_eases(picture: Picture) -> None:
    """What a change eases is no leave to do it."""
    refused = Advice("its text", Stage.WARNING, "Do not slack, wind 37 kn", large="DO NOT SLACK")
    for advice in (refused, picture.advice):
        async with console(replace(picture, advice=advice)) as shown:
            await asked(shown, "slack 3 0.4")
            stands = "The advice of now stands: Do not slack, wind 37 kn" in shown.text
            assert stands == (advice is refused)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_a_ship_that_passes_is_asked_the_same_way(picture: Picture, size: tuple[int, int]) -> None:
    async with console(picture, size=size) as shown:
        await asked(shown, "passing 120x18x4 at 60 m 8 kn depth 12")
        assert shown.app.view.part == "what_if"
        text = shown.text
        for words in ("passing 120x18x4 at 60 m 8 kn", "with twice the pull"):
            assert words in text
        await asked(shown, "passing 120x18 at 60 m")
        assert shown.app.form.name == "what_if_form"


@pytest.mark.slow
async def test_a_wave_is_asked_the_same_way(picture: Picture) -> None:
    async with console(picture, size=(120, 30)) as shown:
        await asked(shown, "wave 40 to 45")
        assert shown.app.view.part == "what_if"
        for words in ("wave 40 to 45 s", "SHE WILL RANGE", "springs tighter, 1.5 x"):
            assert words in shown.text


def test_a_row_that_goes_on_keeps_its_columns() -> None:
    row = "1    5       forward     5.1       11  77 kn from 255; now at 31 % of a limit"
    first, second = _wrapped(row, 60)
    assert first == "1    5       forward     5.1       11  77 kn from 255; now"
    assert second == "  at 31 % of a limit"
    assert _wrapped(row, 100) == [row]
    assert [each.split() for each in _wrapped("  " + "x" * 90, 40)] == [["x" * 36], ["x" * 36], ["x" * 18]]
