"""One more line at the screen: typed with what-if, answered in rows that say which, dotted on the plan."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.cycle.picture import Picture
from alongside.forecast.what_if.changes import AddLine
from alongside.screens.plan import plan_strips
from alongside.screens.question import Answer, answered, question
from alongside.screens.refusal import Refused
from alongside.screens.what_if_page import WhatIfPage
from tests.screens.planned import before_arrival
from tests.screens.test_line_part import text_of, view_of

STAY = Path(__file__).parents[2] / "configs" / "river_quay.yaml"


@pytest.fixture(scope="module")
def picture() -> Picture:
    return before_arrival(STAY)


@pytest.fixture(scope="module")
def answer(picture: Picture) -> Answer:
    return answered(question("one more line", picture.stay), picture)


def test_it_names_three_leads_each_in_a_row_of_its_own(answer: Answer) -> None:
    assert [lead.label for lead in answer.leads] == ["+1", "+2", "+3"]
    assert answer.rows[0].startswith("One more line over ")
    for lead in answer.leads:
        (row,) = [row for row in answer.rows if row.startswith(f"  {lead.label}  ")]
        assert f"{lead.fairlead} to {lead.bollard} on " in row
    assert not any("round" in row for row in answer.rows[:-3])  # the hours ahead are not shown


def test_each_can_be_typed_again_to_ask_what_it_changes(picture: Picture, answer: Answer) -> None:
    typed = [row.partition(": ")[2] for row in answer.rows if "all that it changes" in row]
    assert len(typed) == len(answer.leads)
    for words, lead in zip(typed, answer.leads, strict=True):
        (change,) = question(words, picture.stay).changes
        assert isinstance(change, AddLine)
        assert (change.fairlead, change.bollard) == (lead.fairlead, lead.bollard)
        assert change.winch


@pytest.mark.parametrize("size", [(80, 18), (120, 24), (160, 44)])
def test_they_are_dotted_on_the_plan_for_half_an_hour(
    picture: Picture, answer: Answer, size: tuple[int, int]
) -> None:
    with_it = view_of(picture, answer=answer)
    text = text_of(plan_strips(with_it, *size))
    for lead in answer.leads:
        assert lead.label in text
    assert "+1" not in text_of(plan_strips(view_of(picture), *size))
    later = view_of(replace(picture, time=picture.time + 1801.0), answer=answer)
    assert "+1" not in text_of(plan_strips(later, *size))


def test_where_the_page_has_room_the_plan_is_below(picture: Picture, answer: Answer) -> None:
    view = view_of(picture, answer=answer, asked=answer.question)
    page = WhatIfPage("what_if_page")
    small, large = (text_of(page.paint(view, 160, height)) for height in (30, 80))
    assert "more rows" in small
    assert "stern" in large
    assert "bow" in large


def test_what_is_not_understood_is_refused_in_words(picture: Picture) -> None:
    with pytest.raises(Refused, match="expected one more line, or with"):
        question("one more line for fun", picture.stay)
    assert question("one more line for rounds", picture.stay).words == "one more line for fewest rounds"


def test_a_farther_bollard_is_asked_and_drawn_alike(picture: Picture) -> None:
    given = answered(question("farther bollard", picture.stay), picture)
    assert given.rows[0] == "Line 2 to S2: rise in hand 2.1 m → 7.0 m."
    assert [lead.bollard for lead in given.leads] == ["S2", "S1"]
    assert "+1" in text_of(plan_strips(view_of(picture, answer=given), 120, 24))
    with pytest.raises(Refused, match="expected farther bollard"):
        question("farther bollard of line 2", picture.stay)


def test_without_spare_ropes_it_says_so(picture: Picture) -> None:
    bare = replace(picture, stay=replace(picture.stay, spare_ropes=()))
    given = answered(question("one more line", bare.stay), bare)
    assert given.rows[0] == "No extra line: the stay file has no spare ropes (spare_ropes)."
    assert given.leads == ()
