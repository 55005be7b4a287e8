"""Every headline stands in large letters on the smallest screen."""

from dataclasses import replace

import pytest
from rich.cells import cell_len

from alongside.cycle.advice.headlines import CELLS, HEADLINES, LINE_HEADLINES, LineHeadline, of_lines
from alongside.cycle.picture import Advice
from alongside.screens.large_words import large_words
from alongside.screens.letters import can_be_large, large
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import console

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


NAMES = ["MMMMMM", "WWW-WW", "FWD 1", "主缆一", "ñandú", "10"]
SIZE = (80, 24)


@pytest.mark.slow
@pytest.mark.parametrize("form", LINE_HEADLINES)
@pytest.mark.parametrize("name", NAMES)
async def test_a_line_with_a_long_name_has_its_deed_large_and_its_name_whole(
    form: LineHeadline, name: str
) -> None:
    words = form.replace("{}", "").split()
    text = f"{form.format(name)}: 0.3 t (limit 1 %)"
    for names in ([name], [name, name], [name] * 4):
        headline = of_lines(form, names)
        assert cell_len(headline) <= CELLS
        advice = Advice(text, Stage.WARNING, text, headline, "0.80 m")
        async with console(replace(invented.normal(), advice=advice), size=SIZE) as shown:
            for word in words:
                drawn = large(word)[1]
                assert drawn in shown.text, f"{headline}: {word}\n{shown.text}"
            assert all(cell_len(row) <= SIZE[0] for row in shown.rows)
            assert name in shown.text
            if not can_be_large(headline):
                beside = headline.removeprefix(form.partition("{}")[0]).split(" ")[0]
                assert any(beside in row and "█" in row for row in shown.rows), shown.text


def test_names_stand_in_common_letters_only_where_they_must() -> None:
    assert large_words(["SLACK 4, 10"], ROOM) == large("SLACK 4, 10")
    beside = large_words(["LINE 主缆 PARTED"], ROOM)
    assert beside is not None
    assert [cell_len(row) for row in beside] == [cell_len(beside[0])] * 3
    assert "主缆" in beside[1]
    assert large_words(["SLACK MMMMMM"], 90, double=True) == large("SLACK MMMMMM")
    assert large_words(["ALL NORMAL"], 20) is None
    assert large_words([""], ROOM) is None


async def test_a_deed_that_the_headline_leaves_out_stands_below_it() -> None:
    text = "Read the tide board, check gauges: 192.0.2.1:4831: connection refused"
    advice = Advice(f"{text}; 1 more alert", Stage.WARNING, text, "READ TIDE BOARD")
    async with console(replace(invented.one_warning(), advice=advice), size=SIZE) as shown:
        assert " check gauges: 192.0.2.1:4831: connection refused" in shown.text
        assert large("READ TIDE BOARD")[1] in shown.text


@pytest.mark.slow
async def test_of_a_list_of_lines_no_part_stands_for_a_deed() -> None:
    async with console(invented.flood(), size=SIZE) as shown:
        assert " H3 and H4 now: " not in shown.text
        assert "stretch of H1 112 % (limit 100 %)" in shown.text
