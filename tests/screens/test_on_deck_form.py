"""What is typed to say that a winch brake slipped, or held."""

import pytest

from alongside.actions import AnswerBrake
from alongside.screens.on_deck_form import brake_answer
from alongside.screens.refusal import Refused


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("held", AnswerBrake("4", "held", by="RV")),
        (" HELD ", AnswerBrake("4", "held", by="RV")),
        ("slipped", AnswerBrake("4", "slipped", by="RV")),
        ("slipped 0.30", AnswerBrake("4", "slipped", 0.30, "RV")),
        ("slipped 0,3 m", AnswerBrake("4", "slipped", 0.30, "RV")),
        ("slipped 0", AnswerBrake("4", "slipped", 0.0, "RV")),
    ],
)
def test_what_is_understood(text: str, answer: AnswerBrake) -> None:
    assert brake_answer("4", text, "RV") == answer


@pytest.mark.parametrize("text", ["", "yes", "held 0.3", "slipped -1", "slipped 900", "slipped much", "0.3"])
def test_what_is_refused_says_what_is_expected(text: str) -> None:
    with pytest.raises(Refused, match=r"slipped, slipped 0\.30"):
        brake_answer("4", text)
