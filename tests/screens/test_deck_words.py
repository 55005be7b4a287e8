"""What is typed of other gear, of tugs and of cargo."""

from dataclasses import replace

import pytest

from alongside.actions import (
    Action,
    AddLine,
    ChangeCargo,
    Correct,
    LetTugGo,
    PutTug,
    ReadLoad,
    RenewLine,
    SetBrake,
)
from alongside.cycle.deck.altered import AS_WRITTEN, NamedTug, OnDeck
from alongside.screens.deck_words import deck_deed
from alongside.screens.other_words import other_deed, subject_of
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay, TugAlongside
from tests.berth import a_stay


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"))


def in_kn(stay: Stay) -> Stay:
    return replace(stay, display=replace(stay.display, force="kN"))


@pytest.mark.parametrize(
    ("line", "text", "action"),
    [
        ("9", "add like 2", AddLine("9", like="2", by="RV")),
        ("9", "add like 2 at 30 kN", AddLine("9", like="2", tension_kn=30.0, by="RV")),
        (
            "9",
            "add like 2 hand-tight",
            AddLine("9", like="2", tension_kn=20.0, by="RV"),
        ),  # a tenth of the MBL
        ("9", "Add like 2 to B1 with 31,5 m", AddLine("9", None, "B1", like="2", length_m=31.5, by="RV")),
        (
            "9",
            "add over FM to B1 rope polyester winch W1 at 30 kN",
            AddLine("9", "FM", "B1", "polyester", "W1", tension_kn=30.0, by="RV"),
        ),
        ("2", "double", AddLine("2b", bight_with="2", by="RV")),
        (
            "2",
            "double as 2x to B1 at 30 kN",
            AddLine("2x", None, "B1", tension_kn=30.0, bight_with="2", by="RV"),
        ),
        ("1", "renew", RenewLine("1", by="RV")),
        ("1", "renewed rope polyester at 30 kN", RenewLine("1", "polyester", 30.0, by="RV")),
        ("1", "brake 60 kN", SetBrake("1", 60.0, "RV")),
        ("1", "found 60 kN", ReadLoad("1", 60.0, None, "RV")),
        ("1", "Found 60 kN within 8.225", ReadLoad("1", 60.0, 5.0, "RV")),
        ("1", "found slack", ReadLoad("1", 0.0, None, "RV")),
        ("1", "brake 60 %", SetBrake("1", 120.0, "RV")),  # of the MBL, 200 kN
    ],
)
def test_other_gear(stay: Stay, line: str, text: str, action: Action) -> None:
    assert deck_deed(in_kn(stay), line, text, "RV")[0] == action


@pytest.mark.parametrize(
    ("line", "text", "why"),
    [
        ("9", "add over FM to B1", "of which rope"),
        ("9", "add like 7", "no line '7'"),
        ("9", "add like 2 at", "one name is missing"),
        ("two words", "add like 2", "the new line's name is missing"),
        ("2", "double like 1", "like not understood"),
        ("2", "brake 6", "on no winch"),
        ("1", "brake", "such as: brake 30"),
        ("1", "brake 60", "above 0|at most"),
        ("1", "renew rope hemp", "there is no rope hemp"),
        ("1", "renew at 2 with 30 m", "expected a load, at 6, or metres"),
    ],
)
def test_what_is_refused_of_other_gear(stay: Stay, line: str, text: str, why: str) -> None:
    with pytest.raises(Refused, match=why):
        deck_deed(stay, line, text, "RV")


TWO_TUGS = OnDeck(tugs=tuple(NamedTug(name, TugAlongside(100.0, 10.0)) for name in ("1", "bow")))


@pytest.mark.parametrize(
    ("subject", "text", "deck", "action"),
    [
        ("tug", "200 kN on at 44", AS_WRITTEN, PutTug("1", 200.0, 44.0, "RV")),
        ("tug", "200 kN off", AS_WRITTEN, PutTug("1", -200.0, 40.0, "RV")),  # amidships: half of lbp
        ("tug", "200 kN pushing on at 44 m", TWO_TUGS, PutTug("2", 200.0, 44.0, "RV")),
        ("tug", "bow 100 kN on at 70", TWO_TUGS, PutTug("bow", 100.0, 70.0, "RV")),
        ("tug", "let go bow", TWO_TUGS, LetTugGo("bow", "RV")),
        ("tug", "let go", replace(TWO_TUGS, tugs=TWO_TUGS.tugs[:1]), LetTugGo("1", "RV")),
        ("tug", "take back", AS_WRITTEN, Correct(line="tug", by="RV")),
        ("cargo", "stopped", AS_WRITTEN, ChangeCargo("stopped", by="RV")),
        ("cargo", "stop Hold 3", AS_WRITTEN, ChangeCargo("stopped", "Hold 3", by="RV")),
        ("cargo", "begun", AS_WRITTEN, ChangeCargo("begun", by="RV")),
        ("cargo", "rate 600 t/h Hold 3", AS_WRITTEN, ChangeCargo("rate", "Hold 3", 600.0, "RV")),
        ("cargo", "done", AS_WRITTEN, ChangeCargo("done", by="RV")),
        ("cargo", "undo", AS_WRITTEN, Correct(line="cargo", by="RV")),
    ],
)
def test_tugs_and_cargo(stay: Stay, subject: str, text: str, deck: OnDeck, action: Action) -> None:
    assert other_deed(in_kn(stay), deck, subject, text, "RV")[0] == action


@pytest.mark.parametrize(
    ("subject", "text", "why"),
    [
        ("tug", "20", "30 on at 91"),
        ("tug", "let go", "which tug"),
        ("tug", "20 on at 900", "30 on at 91"),
        ("cargo", "rate 0", "not possible"),
        ("cargo", "faster", "stopped, begun, rate 600, done"),
    ],
)
def test_what_is_refused_of_tugs_and_cargo(stay: Stay, subject: str, text: str, why: str) -> None:
    with pytest.raises(Refused, match=why):
        other_deed(stay, TWO_TUGS, subject, text, "RV")


def test_a_line_that_is_called_so_is_meant_first(stay: Stay) -> None:
    assert subject_of(stay, " Cargo ") == "cargo"
    assert subject_of(stay, "ballast") == "cargo"
    assert subject_of(stay, "2") is None
    named = replace(stay, lines=(replace(stay.lines[0], id="tug"), *stay.lines[1:]))
    assert subject_of(named, "tug") is None
