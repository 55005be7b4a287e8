"""How much an answer matters is what a stay with the other value does, and what can hardly be meant is asked
about."""

import re
from pathlib import Path
from typing import Final

import pytest

from alongside.reports.new_stay.entry import Entry, answered, draft, standing
from alongside.reports.new_stay.questions import QUESTIONS
from alongside.reports.new_stay.sheet import Shelf
from alongside.reports.new_stay.texts import one_text
from alongside.reports.new_stay.trials import doubts, matters
from alongside.reports.remarks.worst_line import same_line, worst_line
from alongside.stay.read import read_stay_text
from tests.reports.new_stay.filled import NOW, filled
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet, typed

FILE: Final = Path("stay.yaml")


def begun(sheet: Sheet, key: str) -> Entry:
    """Return the entry that stands at the first prompt of a question."""
    before = 0
    for each, texts in sheet:
        if each == key:
            return filled(sheet, before=before)
        before += len(texts)
    raise KeyError(key)


def test_tension_matters_as_much_as_the_stays_with_more_and_less_say() -> None:
    entry = begun(JETTY, "tide")
    lines = entry.answers["lines"]
    at_lines = Entry(entry.shelf, NOW, {**entry.answers, "lines": lines[:-1]})
    here = standing(at_lines)
    assert here.at is not None
    assert here.at.key == "lines"
    words = matters(at_lines, FILE)
    worst = worst_line(read_stay_text(one_text(draft(at_lines)), FILE))
    assert worst is not None
    shares = [worst.stretch_share]
    for tonnes in ("3.5t", "6.5t"):
        first = lines[0].replace("5t", tonnes)
        other = Entry(entry.shelf, NOW, {**at_lines.answers, "lines": (first, *lines[1:-1])})
        stay = read_stay_text(one_text(draft(other)), FILE)
        shares.append(same_line(stay, worst.line).stretch_share)
    low, high = (f"{100.0 * each:.0f}" for each in (min(shares), max(shares)))
    assert f"tension ± 30 %: {low} to {high} %" in words
    assert float(high) - float(low) > 3.0


@pytest.mark.parametrize("key", [each.key for each in QUESTIONS if each.key in dict(JETTY)])
def test_every_question_has_words_for_each_of_its_figures_or_none(key: str) -> None:
    """Also before anything is answered at all: a usual ship and berth stand in."""
    entry = begun(JETTY, key)
    question = next(each for each in QUESTIONS if each.key == key)
    words = matters(entry, FILE)
    if not any(figure.swing for figure in question.figures):
        assert words == ""
        return
    usual = "" if key in ("tide", "cargo") else ", of a usual set: not entered yet"
    assert words == "known once it is answered" or re.match(
        rf"worst line \S+ \(stretch \d+ %{usual}\): .+ ± ", words
    )


@pytest.mark.parametrize("hull", ["20 18 5 2.5", "60 56 10 5", "144.5 138 23 12.4", "400 385 61 33"])
@pytest.mark.parametrize("side", ["port", "starboard"])
def test_what_stands_in_is_a_stay_without_faults_for_any_hull(hull: str, side: str) -> None:
    entry = Entry(Shelf(), NOW, {"side": (side,), "ship": ("S",), "zone": ("",), "hull": (hull,)})
    stay = read_stay_text(one_text(draft(entry)), FILE)
    worst = worst_line(stay)
    assert worst is not None
    assert worst.stretch_share > 0.0


@pytest.mark.parametrize(
    ("key", "text", "what"),
    [
        ("windage", "13 52 3.0 38", "wind"),
        ("lines", "1 head F1 Q1 polyprop_40 2t", "lines"),
    ],
)
def test_what_can_hardly_be_meant_is_asked_about(key: str, text: str, what: str) -> None:
    before = begun(COASTER, key)
    said = doubts(before, answered(before, text), FILE)
    assert said
    assert what in said[0]


@pytest.mark.slow
def test_a_doubt_that_rests_on_what_is_not_answered_waits_for_it() -> None:
    """A brake of 3.3 t is odd beside the rope, so it is asked about with the first line on that winch."""
    entry = Entry(Shelf(), NOW, {})
    said: dict[str, tuple[str, ...]] = {}
    for text in typed(COASTER)[: typed(COASTER).index("2 breast F2 Q5")]:
        given = text.replace("13.3t", "3.3t")
        after = answered(entry, given)
        said[given] = doubts(entry, after, FILE)
        entry = after
    odd = [text for text, words in said.items() if any("brake_kn" in each for each in words)]
    assert odd == ["1 head F1 Q6 polyprop_40 2t"]


@pytest.mark.parametrize(
    "sheet", [COASTER, pytest.param(JETTY, marks=pytest.mark.slow)], ids=["coaster", "jetty"]
)
def test_right_answers_bring_no_doubts(sheet: Sheet) -> None:
    entry = Entry(Shelf(), NOW, {})
    for text in typed(sheet):
        after = answered(entry, text)
        said = doubts(entry, after, FILE)
        assert all("wet or dry" in each for each in said), (text, said)
        entry = after
