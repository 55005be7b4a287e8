"""Cargo operations: holds and tanks by name, and two of tonnes, rate and end."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.stay.model import CargoOperation
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.berth import STAY_TEXT, write_stay

START = unix_time("2026-03-02T06:00:00Z")
HOLDS = "\n  holds: {H3: {x: 82.0}, DB2 port: {x: 120.0, y: 6.0}}\n"


def operation(folder: Path, text: str) -> CargoOperation:
    with_holds = STAY_TEXT.replace("\nship:\n", "\nship:" + HOLDS, 1)
    assert with_holds != STAY_TEXT
    stay = f"{with_holds}\ncargo:\n  - {{start: 2026-03-02T06:00:00Z, {text}}}\n"
    (found,) = read_stay(write_stay(folder, stay)).cargo
    return found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("hold: H3, tonnes: -900, rate: 300", CargoOperation("H3", START, -900.0, 300.0, 82.0, 0.0)),
        (
            "hold: DB2 port, name: ballast, tonnes: 400, end: 2026-03-02T08:00:00Z",
            CargoOperation("ballast", START, 400.0, 200.0, 120.0, 6.0),
        ),
        (
            "name: grab, x: 60, y: -2, rate: -250, end: 2026-03-02T10:00:00Z",
            CargoOperation("grab", START, -1000.0, 250.0, 60.0, -2.0),
        ),
        (
            "name: belt, x: 60, rate: 250, end: 2026-03-02T10:00:00Z",
            CargoOperation("belt", START, 1000.0, 250.0, 60.0, 0.0),
        ),
    ],
)
def test_an_operation(tmp_path: Path, text: str, expected: CargoOperation) -> None:
    assert operation(tmp_path, text) == expected


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("hold: H4, tonnes: 1, rate: 1", "there is no hold or tank 'H4'"),
        ("hold: H3, x: 2, tonnes: 1, rate: 1", "x and hold together"),
        ("name: a, tonnes: 1, rate: 1", "one key is missing, expected x or hold"),
        ("hold: H3, y: 2, tonnes: 1, rate: 1", "hold and y together"),
        ("x: 2, tonnes: 1, rate: 1", "no name, expected name, or the hold or tank"),
        ("hold: H3, tonnes: 1", "amount and pace missing, expected two of tonnes, rate and end"),
        ("hold: H3, tonnes: 1, rate: 1, end: 2026-03-02T10:00:00Z", "tonnes, rate and end together"),
        ("hold: H3, tonnes: 1, end: 2026-03-02T05:00:00Z", "not after the start, expected a later time"),
        ("hold: H3, tonnes: 5, rate: -1", "a rate above 0"),
        ("hold: H3, tonnes: 5, rate: 0", "a rate above 0"),
        ("hold: H3, tonnes: 0, rate: 5", "0 t changes nothing"),
    ],
)
def test_what_does_not_hang_together_is_refused(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(StayFaults) as found:
        operation(tmp_path, text)
    assert any(words in str(fault) for fault in found.value.faults)
