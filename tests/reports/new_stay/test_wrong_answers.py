"""Every answer wrong once: it is refused in words, where, what, and what was expected, and the prompt stands
again."""

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.reports.new_stay.entry import Entry, answered, standing
from alongside.reports.new_stay.questions import QUESTIONS
from alongside.reports.new_stay.trials import check_answer
from alongside.reports.new_stay.values import Refused
from tests.reports.new_stay.filled import filled
from tests.reports.new_stay.sheets import JETTY, typed

FILE: Final = Path("stay.yaml")
PROMPTS: Final = [
    (at, key, text) for at, (key, text) in enumerate((k, t) for k, texts in JETTY for t in texts)
]
FIRST_OF: Final = {key: at for at, key, _ in reversed(PROMPTS)}
NO_WORD: Final = "x" * 41
"""No number, no choice, no time, and longer than a name may be."""
FREE: Final = ("ship", "berth")
"""Names: all of the answer is one word to them."""


def refusal(entry: Entry, text: str) -> str:
    """Return how an answer is refused; fails where it is taken, or where anything is changed."""
    before = standing(entry)
    with pytest.raises(Refused) as refused:
        take(entry, text)
    assert standing(entry).at == before.at
    return str(refused.value)


def take(entry: Entry, text: str) -> Entry:
    check_answer(entry, text, FILE)
    return answered(entry, text)


@pytest.mark.parametrize("key", [each.key for each in QUESTIONS if each.key in FIRST_OF])
def test_every_question_answered_wrong(key: str) -> None:
    entry = filled(JETTY, before=FIRST_OF[key])
    here = standing(entry)
    assert here.at is not None
    assert here.at.key == key
    said = refusal(entry, NO_WORD)
    assert said.startswith(f"{here.at.question.title}: ")
    assert ", expected " in said


@pytest.mark.parametrize(("at", "key", "text"), [each for each in PROMPTS if each[2] and each[1] not in FREE])
def test_every_word_of_every_answer_wrong(at: int, key: str, text: str) -> None:
    entry = filled(JETTY, before=at)
    words = text.split()
    for place in range(len(words)):
        wrong = " ".join([*words[:place], NO_WORD, *words[place + 1 :]])
        assert ", expected " in refusal(entry, wrong), wrong


@pytest.mark.parametrize("key", [each for each in FIRST_OF if each not in FREE])
def test_too_much_is_refused(key: str) -> None:
    at = FIRST_OF[key]
    text = next(text for number, _, text in PROMPTS if number >= at and text)
    if key in ("fenders", "strength"):
        return  # any number of places may stand there; Enter alone is its answer
    refusal(filled(JETTY, before=at), f"{text} 7777777")


@pytest.mark.parametrize(
    ("key", "text", "what"),
    [
        ("hull", "138 144.5 23 12.4", "longer than the ship over all"),
        ("hull", "144,5 138 23 12.4", "with a decimal point"),
        ("hull", "144.5 138 23", "depth to deck: nothing given"),
        ("marks", "4 133", "not forward of the aft marks"),
        ("booklet", "3.0", "draught and displacement"),
        ("booklet", "3.0 72220", "block coefficient"),
        ("fairleads", "F1 140 1.5 15.4", "to which side"),
        ("fairleads", "F1 340 1.5P 3.0", "is not on board"),
        ("fairleads", "F1 140 1.5P 3.0 W1 130 1S 3.6 29", "no force with its unit"),
        ("fairleads", "F1 140 1.5P 3.0 W1", "its place is not whole"),
        ("heading", "368", "at most 360"),
        ("berth", "ship-x.yaml", "no berth file"),
        ("bollards", "B1 +30p 3 7 100t", "this is the first bollard"),
        ("fenders", "cushion 1.0 0", "no kind cushion"),
        ("fenders", "cone 1.2", "where are the fenders"),
        ("place", "69 LP9", "perhaps 'LP1'"),
        ("ropes", "r wool 480kN", "not known here"),
        ("ropes", "r polyester 480kN 12.5", "half 12.5"),
        ("ropes", "r polyester 480kN five 1 2 3 4", "five: 4 figures, expected 5"),
        ("lines", "1 head F1 MD9 wire_28 5t", "there is no bollard MD9"),
        ("lines", "1 head F9 MD1 wire_28 5t", "there is no fairlead F9"),
        ("lines", "1 head F1 MD1 wire_28 5", "no force with its unit"),
        ("lines", "1 head F1 MD1 wire_28 600t", "would part"),
        ("fast", "25:30 0.7 8.2 8.7", "is no time"),
        ("tide", "06:20 0.7 12:30", "a time without its height"),
        ("tide", "2026-09-12 06:20 0.7 2026-09-12 05:20 6", "is not after"),
        ("cargo", "09:30 0 600 86", "0 t changes nothing"),
        ("clearance", "0.3 0.6 1.0", "do not fall"),
        ("clearance", "~1.6/95% 1.0 0.6", "has no spread"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(key: str, text: str, what: str) -> None:
    assert what in refusal(filled(JETTY, before=FIRST_OF[key]), text)


@pytest.mark.parametrize(
    ("key", "text"), [("fairleads", "F1 9 1P 1"), ("bollards", "LP1 5"), ("lines", "1 head F1 MD1")]
)
def test_a_name_given_twice_is_refused(key: str, text: str) -> None:
    assert "stands in a row before" in refusal(filled(JETTY, before=FIRST_OF[key] + 1), text)


@pytest.mark.slow
@settings(max_examples=300)
@given(at=st.sampled_from(sorted(FIRST_OF.values())), text=st.text(max_size=60))
def test_any_text_is_taken_or_refused_in_words(at: int, text: str) -> None:
    """Never an exception of another kind, and what is refused changes nothing."""
    entry = ENTRIES[at]
    said, new = "", entry
    try:
        new = answered(entry, text)
    except Refused as refused:
        said = str(refused)
    assert said.isprintable()
    assert new == entry or not standing(new).refusal
    assert (new == entry) == (", expected " in said)


ENTRIES: Final = {at: filled(JETTY, before=at) for at in FIRST_OF.values()}
assert len(typed(JETTY)) == len(PROMPTS)
