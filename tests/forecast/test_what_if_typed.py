"""What can be typed as a what-if: the words of every form, one grammar for screen, command and Python."""

import pytest

from alongside.errors import WrongInput
from alongside.forecast.what_if.changes import (
    AddLine,
    AddTug,
    FastAnew,
    LetGo,
    OtherCurrent,
    OtherTide,
    OtherWind,
    PayOut,
    SetTo,
    Shift,
    StopCargo,
    in_words,
)
from alongside.forecast.what_if.typed import parse_change, parse_changes
from alongside.screens.refusal import Refused
from alongside.screens.tend_words import tend_line
from alongside.stay.model import Display, Stay
from alongside.units import KNOT, G
from tests.berth import a_stay


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"))


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("slack 3 0.4", PayOut("3", 0.4)),
        ("heave 3 0.40m", PayOut("3", -0.4)),
        ("heave 3 0,4", PayOut("3", -0.4)),
        ("3 out 0.4", PayOut("3", 0.4)),
        ("out 3 0.4", PayOut("3", 0.4)),
        ("3 in 0.4 m", PayOut("3", -0.4)),
        ("Slack 3 by 0.40 m", PayOut("3", 0.4)),
        ("slack line 3 by .4", PayOut("3", 0.4)),
        ("3 slack 0.4", PayOut("3", 0.4)),
        ("let go 2", LetGo("2")),
        ("Let go of line 2", LetGo("2")),
        ("fast 3 at 4 t", FastAnew("3", 4.0 * G)),
        ("fast line 3 hand-tight", FastAnew("3", 20.0)),  # a tenth of the MBL: common practice, no source
        ("fast 3 31.25 m", FastAnew("3", length_m=31.25)),
        ("fast 3 with 31,25 m", FastAnew("3", length_m=31.25)),
        ("shift 3 to B2", Shift("3", bollard="B2")),
        ("shift 3 over FM", Shift("3", fairlead="FM")),
        ("shift 3 to B2 over FM", Shift("3", "B2", "FM")),
        ("shift 3 over FM to B2", Shift("3", "B2", "FM")),
        ("add 11 like 2", AddLine("11", like="2")),
        ("add line 11 like 2 to B1 at 4 t", AddLine("11", bollard="B1", like="2", tension_kn=4.0 * G)),
        (
            "add 11 over FM to B2 rope polyester at 4",
            AddLine("11", "FM", "B2", "polyester", 4.0 * G),
        ),
        ("add 11 like 2 winch W1", AddLine("11", like="2", winch="W1")),
        ("tug 30 on", AddTug(30.0 * G)),
        ("tug 30 t pushing on", AddTug(30.0 * G)),
        ("tug 30t push at 60", AddTug(30.0 * G, 60.0)),
        ("tug 30 pulling off amidships", AddTug(-30.0 * G)),
        ("tug 30 off at 12.5 m", AddTug(-30.0 * G, 12.5)),
        ("wind 20m/s from 210", OtherWind(20.0, 210.0)),
        ("wind=40 from=210", OtherWind(40.0 * KNOT, 210.0)),
        # one knot is 1852 m an hour, exactly
        ("wind 40kn from 360°", OtherWind(40.0 * 1852.0 / 3600.0, 0.0)),
        ("current 1.5 kn to 250", OtherCurrent(1.5 * KNOT, 250.0)),
        ("current 1.5 from 70", OtherCurrent(1.5 * KNOT, 250.0)),
        ("tide +1.0", OtherTide(raised=1.0)),
        ("tide - 0,5 m", OtherTide(raised=-0.5)),
        ("tide 6.5", OtherTide(level=6.5)),
        ("tide=6.5", OtherTide(level=6.5)),
        ("tide at -0.5", OtherTide(level=-0.5)),
        ("stop cargo", StopCargo()),
    ],
)
def test_changes_in_words(stay: Stay, text: str, change: object) -> None:
    assert parse_change(text, stay) == change


@pytest.mark.parametrize("text", ["3 to 6 t", "set 3 to 6", "set line 3 to 6,0 t"])
def test_a_load_is_in_the_unit_of_the_display(stay: Stay, text: str) -> None:
    change = parse_change(text, stay)
    assert isinstance(change, SetTo)
    assert (change.line, change.tension_kn) == ("3", pytest.approx(6.0 * G))


@pytest.mark.parametrize("text", ["3 to cell", "set 3 to cell", "set line 3 to the cell", "Line 3 to CELL"])
def test_a_line_is_set_to_what_its_load_cell_says(stay: Stay, text: str) -> None:
    assert parse_change(text, stay) == SetTo("3", None)


@pytest.mark.parametrize(
    "change",
    [
        SetTo("3", None),
        PayOut("3", -0.4),
        LetGo("2"),
        Shift("3", "B2", "FM"),
        AddLine("11", like="2", bollard="B1"),
        AddTug(-20.0 * G, 60.0),
        AddTug(30.0 * G),
        OtherTide(raised=-0.5),
        OtherTide(level=-0.5),
        StopCargo(),
    ],
)
def test_what_is_said_of_a_change_can_be_typed_again(stay: Stay, change) -> None:  # type: ignore[no-untyped-def]
    assert parse_change(in_words(change, Display()), stay) == change


def test_several_are_parted_by_semicolons_or_commas(stay: Stay) -> None:
    expected = (PayOut("3", 0.4), LetGo("2"))
    assert parse_changes("slack 3 0,4; let go 2", stay) == expected
    assert parse_changes("slack 3 by 0.40 m, let go 2", stay) == expected


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing asked, expected"),
        ("slack 3", "expected slack LINE METRES, .*, such as: slack 3 0.40"),
        ("slack 3 much", "expected slack LINE METRES"),
        ("slack 3 nan", "expected slack LINE METRES"),
        ("slack 3 -1", "expected slack LINE METRES"),
        ("slack 3 80", "80 m is not possible, expected 0.01 to 50 m"),
        ("slack 3 0.4 t", "slack and heave go by metres"),
        ("slack 0.4", "which line"),
        ("slack 9 0.4", "no line '9'; there are 1, 2, 3"),
        ("3 to 100", "at most the MBL"),
        ("3 to 6 m", "a load is expected after to"),
        ("9 to cell", "no line '9'"),
        ("to cell", "not a change"),
        ("slack 3 to cell", "LINE to cell"),
        ("paint 3", "not a change"),
        ("let go", "such as: let go 5"),
        ("let go 9", "no line '9'"),
        ("shift 3 to", "expected shift LINE to BOLLARD"),
        ("shift 3 to B1 to B2", "stands twice"),
        ("add 11 with 3", "with not understood"),
        ("tug 30", "expected tug LOAD on or off"),
        ("tug 30 kN on", "loads are in t"),
        ("tug 30 on at 900", "not on the ship"),
        ("tug 0 on", "not possible"),
        ("wind 40", "expected wind SPEED from DIRECTION"),
        ("wind -4kn from 0", "expected wind SPEED from DIRECTION"),
        ("wind 4000 from 0", "expected 0 to 100 m/s"),
        ("wind 40 from 400", "400° is no direction, expected 0 to 360"),
        ("current 2 to 361", "361° is no direction, expected 0 to 360"),
        ("current 2 at 70", "expected current SPEED to DIRECTION"),
        ("tide high", "expected tide METRES"),
        ("tide +80", "expected -20 to 20 m"),
        ("let go 2; tug 30", r"change 2 'tug 30'"),
        ("slack 3 [/bold]", "not complete"),
    ],
)
def test_what_is_wrong_says_where_and_what_was_expected(stay: Stay, text: str, said: str) -> None:
    with pytest.raises(WrongInput, match=said):
        parse_changes(text, stay)


@pytest.mark.parametrize(
    "typed", ["slack 3 0.4", "3 out 0,40 m", "Slack 3 by 0.40", "slack 0.4", "out 0.4 m"]
)
def test_the_form_that_records_a_tending_reads_the_same_words(stay: Stay, typed: str) -> None:
    action, words = tend_line(stay, "3", typed)
    assert (action.line, action.paid_out) == ("3", 0.4)
    assert words == "line 3 slacked 0.40 m"


def test_another_line_than_that_of_the_field_is_refused(stay: Stay) -> None:
    with pytest.raises(Refused, match="line 2 or line 3"):
        tend_line(stay, "3", "slack 2 0.4")


def test_the_examples_of_the_manual_are_understood(stay: Stay) -> None:
    from alongside.forecast.what_if.typed import KINDS, TEND

    for kind in (*KINDS, TEND):
        text = (
            kind.example.replace("5", "3")
            .replace("B12", "B2")
            .replace("C3", "B2")
            .replace("like 4", "like 2")
        )
        text = text.replace("shift 4", "shift 3").replace("at 91", "at 40")
        assert parse_changes(text, stay)
