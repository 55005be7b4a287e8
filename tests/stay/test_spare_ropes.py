"""Spare ropes in a stay file: what is read, and every fault at its place."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.stay.read import read_stay, read_stay_text

STAY = Path(__file__).parents[2] / "configs" / "river_quay.yaml"
TEXT = STAY.read_text(encoding="utf-8")
LIST = "  - {rope: polyester_44, length: 120, number: 2}\n"


def read(rows: str) -> tuple[object, ...]:
    return read_stay_text(TEXT.replace(LIST, rows), STAY).spare_ropes


def test_what_the_example_has() -> None:
    (spare,) = read_stay(STAY).spare_ropes
    assert (spare.rope.name, spare.length, spare.number, spare.tail, spare.on) == (
        "polyester_44",
        120.0,
        2,
        None,
        "",
    )


def test_the_ship_design_mbl_goes_for_spare_ropes_too() -> None:
    text = TEXT.replace("  depth: 9.0\n", "  depth: 9.0\n  design_mbl_kn: 300\n")
    tail = LIST.replace("number: 2", "tail: {rope: polyester_44, length: 11}")
    (spare,) = read_stay_text(text.replace(LIST, tail), STAY).spare_ropes
    assert spare.rope.wll_kn == pytest.approx(150.0)
    assert spare.tail is not None
    assert spare.tail.rope.wll_kn == pytest.approx(150.0)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("  - {rope: polyester_4, length: 120}\n", "spare_ropes[0].rope: there is no rope 'polyester_4'"),
        ("  - {rope: polyester_44}\n", "spare_ropes[0].length: missing"),
        ("  - {rope: polyester_44, length: 0}\n", "spare_ropes[0].length: '0' is out of bounds"),
        ("  - {rope: polyester_44, length: 120, number: 0}\n", "spare_ropes[0].number: '0' is not allowed"),
        ("  - {rope: polyester_44, length: 120, on: W1}\n", "spare_ropes[0].on: 'W1' bears line 1"),
        ("  - {rope: polyester_44, length: 120, on: X9}\n", "spare_ropes[0].on: there is no winch 'X9'"),
        (
            "  - {rope: polyester_44, length: 120, on: D1, number: 2}\n",
            "spare_ropes[0].number: 2 ropes on one winch or bitts",
        ),
        (
            "  - {rope: polyester_44, length: 120, on: D1}\n" * 2,
            "spare_ropes[1].on: 'D1' has a spare rope before",
        ),
        ("  - {rope: polyester_44, length: 120, colour: blue}\n", "spare_ropes[0].colour: unknown key"),
    ],
)
def test_faults_stand_at_their_place(rows: str, words: str) -> None:
    with pytest.raises(StayFaults) as raised:
        read(rows)
    row = TEXT[: TEXT.index(LIST)].count("\n") + 1
    text = str(raised.value)
    assert words in text
    assert f"river_quay.yaml:{row}:" in text or f"river_quay.yaml:{row + 1}:" in text


def test_a_line_may_say_how_long_its_rope_is() -> None:
    head = 'lines:\n  - {id: "1", role: head,'
    assert head in TEXT
    stay = read_stay_text(TEXT.replace(head, f"{head} rope_length: 180,"), STAY)
    assert [line.rope_length for line in stay.lines] == [180.0, None, None, None, None, None]
