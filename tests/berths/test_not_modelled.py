"""What is not calculated is refused at once, at its place and in words."""

from pathlib import Path

import pytest

from tests.stay.measured.sheet import faults_with


@pytest.mark.parametrize("word", ["stern", "stern_to", "bow"])
def test_a_ship_end_on_is_refused_as_such(word: str, tmp_path: Path) -> None:
    found = faults_with(tmp_path, ("alongside: starboard", f"alongside: {word}"))
    assert f"alongside: '{word}': a ship that lies end on, with anchors, is not calculated" in found
    assert found.count("expected") == 1


def test_anchors_are_refused_as_such(tmp_path: Path) -> None:
    found = faults_with(tmp_path, ("balance: off\n", "balance: off\nanchors: {port: {shackles: 4}}\n"))
    assert "anchors: anchors and chains are not calculated" in found


def test_another_word_is_refused_as_before(tmp_path: Path) -> None:
    found = faults_with(tmp_path, ("alongside: starboard", "alongside: left"))
    assert "alongside: 'left' is not known here, expected starboard or port" in found
