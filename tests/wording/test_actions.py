"""What the watch did, in words."""

import pytest

from alongside.actions import (
    Acknowledge,
    Action,
    GiveOrder,
    HandOver,
    Note,
    SelfTest,
    Silence,
    TakeOver,
    TendLine,
    WithdrawOrder,
)
from alongside.wording.actions import action_name, action_words


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (Acknowledge("stretch", "4", "TK"), ("acknowledged", "line 4 stretch", "TK")),
        (Acknowledge("under_keel", ""), ("acknowledged", "UKC", "")),
        (Acknowledge("bollard", "B12"), ("acknowledged", "bollard B12 load", "")),
        (Acknowledge("feed", "gauges"), ("acknowledged", "feed gauges", "")),
        (Acknowledge("soon", "4"), ("acknowledged", "line 4 ahead", "")),
        (Silence("TK"), ("silenced", "all sound", "TK")),
        (TendLine("4", paid_out=0.3), ("tended", "line 4, slacked 0.30 m", "")),
        (TendLine("4", paid_out=-0.25), ("tended", "line 4, hove in 0.25 m", "")),
        (TendLine("4", to_tension_kn=60.0), ("tended", "line 4, to 60 kN", "")),
        (Note("pilot\x1b[2J at six", "TK"), ("noted", "pilot·[2J at six", "TK")),
        (TakeOver("RB"), ("took over", "the watch", "RB")),
        (HandOver("AB"), ("handed over", "the watch", "AB")),
        (GiveOrder("call me", "RB"), ("ordered", "call me", "RB")),
        (WithdrawOrder("call me", "RB"), ("withdrew", "the order: call me", "RB")),
        (
            SelfTest(bell=False, colours=True, findings="6 gauges good", by="RB"),
            ("tried", "bell NOT heard, colours seen, 6 gauges good", "RB"),
        ),
    ],
)
def test_each_action_in_words(action: Action, words: tuple[str, str, str]) -> None:
    assert action_words(action) == words


def test_the_kind_of_an_action_as_tables_have_it() -> None:
    assert [action_name(each) for each in (TendLine("4"), Note("x"), TakeOver())] == [
        "tend line",
        "note",
        "take over",
    ]
