"""The small berth of the tests with single entries otherwise, and its faults."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.stay.model import Guess, Stay
from tests.berth import STAY_TEXT, a_stay


def stay_with(folder: Path, *changes: tuple[str, str], text: str = STAY_TEXT) -> Stay:
    """Return the stay of the tests with some of its text replaced; each piece must stand there."""
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    return a_stay(folder, text)


def faults_with(folder: Path, *changes: tuple[str, str], text: str = STAY_TEXT) -> str:
    with pytest.raises(StayFaults) as refused:
        stay_with(folder, *changes, text=text)
    return str(refused.value)


def guess_of(stay: Stay, path: str) -> Guess:
    return next(each for each in stay.guesses if each.path == path)
