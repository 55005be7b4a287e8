"""Every headline stands in large letters on the smallest screen."""

import pytest

from alongside.cycle.advice.headlines import HEADLINES, LINE_HEADLINES, of_lines
from alongside.screens.letters import can_be_large, large

ROOM = 80 - 5
"""Cells of the smallest screen, less the edge and a margin."""


@pytest.mark.parametrize("lines", [["4"], ["10"], ["4", "10"], ["10", "12", "13"], ["10", "12", "13", "14"]])
def test_headlines_fit_the_smallest_screen(lines: list[str]) -> None:
    for words in (*HEADLINES, *(of_lines(form, lines) for form in LINE_HEADLINES)):
        assert can_be_large(words), words
        assert len(large(words)[0]) <= ROOM, words


def test_metres_stand_beside_the_deed_of_a_line_or_two() -> None:
    assert len(large("SLACK 4, 10  1.35 m")[0]) <= ROOM


def test_a_name_that_is_cut_is_drawn_large_all_the_same() -> None:
    assert can_be_large(of_lines("LOOK AT WINCH {}", ["FORWARD-BREAST"]))
