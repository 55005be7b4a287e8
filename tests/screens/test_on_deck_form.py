"""What is typed to say what happened on deck: a line is gone or fast, a winch brake slipped, or held."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import (
    Action,
    AnswerBrake,
    CallOut,
    Correct,
    LineGone,
    MakeFast,
    NameRope,
    RenewLine,
    SayTransfer,
    ShiftLine,
)
from alongside.screens.deck_words import brake_answer, deck_deed
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from tests.berth import a_stay
from tests.record.kept import Watch
from tests.screens.shown import Shown, console


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("held", AnswerBrake("4", "held", by="RV")),
        (" HELD ", AnswerBrake("4", "held", by="RV")),
        ("slipped", AnswerBrake("4", "slipped", by="RV")),
        ("slipped 0.30", AnswerBrake("4", "slipped", 0.30, "RV")),
        ("slipped 0,3 m", AnswerBrake("4", "slipped", 0.30, "RV")),
        ("slipped 0", AnswerBrake("4", "slipped", 0.0, "RV")),
    ],
)
def test_what_is_understood(text: str, answer: AnswerBrake) -> None:
    assert brake_answer("4", text, "RV") == answer


@pytest.mark.parametrize("text", ["", "yes", "held 0.3", "slipped -1", "slipped 900", "slipped much", "0.3"])
def test_what_is_refused_says_what_is_expected(text: str) -> None:
    with pytest.raises(Refused, match=r"slipped 0\.30"):
        brake_answer("4", text)


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"))


@pytest.mark.parametrize(
    ("text", "action"),
    [
        ("parted", LineGone("2", "parted", "RV")),
        ("Let  go", LineGone("2", "let_go", "RV")),
        ("fast at 4", MakeFast("2", 4.0 * 9.80665, by="RV")),  # t to kN: standard gravity
        ("fast at 40 kN", MakeFast("2", 40.0, by="RV")),
        ("fast hand-tight", MakeFast("2", 20.0, by="RV")),  # a tenth of the MBL: common practice, no source
        ("fast 31,5 m", MakeFast("2", length_m=31.5, by="RV")),
        ("shift to B1", ShiftLine("2", bollard="B1", by="RV")),
        ("shift over FB to B1 at 4", ShiftLine("2", "FB", "B1", 4.0 * 9.80665, by="RV")),
        ("renew serial PL 22-13", RenewLine("2", by="RV", serial="PL 22-13")),
        (
            "renew rope polyester at 4 serial PL-7",
            RenewLine("2", "polyester", 4.0 * 9.80665, None, "RV", "PL-7"),
        ),
        ("serial  PL-7", NameRope("2", "PL-7", "RV")),
        ("take back", Correct(line="2", by="RV")),
    ],
)
def test_deeds_on_deck(stay: Stay, text: str, action: Action) -> None:
    display = replace(stay.display, force="kN") if "kN" in text else stay.display
    assert deck_deed(replace(stay, display=display), "2", text, "RV")[0] == action


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "parted, let go"),
        ("fast", "fast LINE at LOAD"),
        ("fast at 400", "at most"),
        ("held", "no winch"),
        ("shift to B2", "leads so already"),
        ("shift to B9", "no bollard"),
        ("serial", "the number on the rope"),
        ("renew serial " + "9" * 61, "up to 60"),
    ],
)
def test_what_is_no_deed_says_what_is_expected(stay: Stay, text: str, expected: str) -> None:
    with pytest.raises(Refused, match=expected):
        deck_deed(stay, "2", text, "RV")


@pytest.mark.slow
async def test_a_deed_is_shown_before_it_is_recorded_and_can_be_taken_back(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5)
    async with console(watch.last, size=(120, 30)) as shown:
        await shown.press("x", "shift+tab", "end", *["backspace"] * 3, "2", "tab", *"parted")
        await shown.press("tab", "r", "v", "enter")
        assert "Will record: line 2 parted" in shown.text
        assert "of WLL (now" in shown.text
        assert shown.desk.actions == []
        await shown.press("enter")
        assert shown.desk.actions == [LineGone("2", "parted", "rv")]
    watch.run(15, {6: LineGone("2", "parted", "rv")})
    assert [alert.text for alert in watch.last.alerts if alert.cause == "parted"] != []
    async with console(watch.last, size=(120, 30)) as shown:
        await shown.press("x", "shift+tab", "end", *["backspace"] * 3, "2", "tab", *"take", "space", *"back")
        await shown.press("tab", "r", "v", "enter")
        assert "line 2: take back: parted, 04:00" in shown.text
        assert "Then line 2 carries" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [Correct(line="2", by="rv")]
    back = watch.run(2, {21: Correct(line="2", by="rv")}).last
    assert back.lines[1].unstretched_m == watch.pictures[0].lines[1].unstretched_m


async def test_a_line_let_go_is_said_to_be_let_go_and_asks_for_nothing(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(30, {6: LineGone("2", "let_go", "rv")})
    assert [alert for alert in watch.last.alerts if alert.line == "2"] == []
    async with console(watch.last, size=(120, 30)) as shown:
        assert "let go" in shown.text
        assert "2 (let go) by eye" not in shown.text


async def test_a_number_for_a_rope_of_the_stay_file_is_refused_and_one_for_a_new_rope_is_said(
    tmp_path: Path,
) -> None:
    watch = Watch(a_stay(tmp_path), None).run(6, {5: RenewLine("2", tension_kn=20.0, by="RV")})
    for line, said in (
        ("1", "its rope is one of the stay file"),
        ("2", "Will record: line 2, its rope is PL-7"),
    ):
        async with console(watch.last, size=(120, 30)) as shown:
            await shown.press("x", "shift+tab", "end", *["backspace"] * 3, line, "tab")
            await shown.type("serial PL-7")
            await shown.press("tab", "r", "v", "enter")
            assert said in shown.text


async def take_back(shown: Shown, subject: str) -> None:
    """Type that the last deed of a subject is taken back, by RV, as far as the preview."""
    await shown.press("x", "shift+tab", "end", *["backspace"] * 3)
    await shown.type(subject)
    await shown.press("tab")
    await shown.type("take back")
    await shown.press("tab", "r", "v", "enter")


@pytest.mark.parametrize(
    ("deed", "subject", "words"),
    [
        (CallOut("tugs", by="RV"), "call", "call: take back: called tugs, 04:00"),
        (SayTransfer(True, "RV"), "transfer", "transfer: take back: arms or hoses connected, 04:00"),
    ],
)
async def test_a_call_and_what_was_said_of_arms_can_be_taken_back(
    tmp_path: Path, deed: Action, subject: str, words: str
) -> None:
    watch = Watch(a_stay(tmp_path), None).run(6, {5: deed})
    async with console(watch.last, size=(120, 30)) as shown:
        await take_back(shown, subject)
        assert words in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [Correct(line=subject, by="rv")]
    before = Watch(a_stay(tmp_path), None).run(6)
    async with console(before.last, size=(120, 30)) as shown:
        await take_back(shown, subject)
        assert f"nothing was entered of {subject} that can be taken back" in shown.text
