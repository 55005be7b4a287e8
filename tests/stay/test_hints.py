"""The nearest name is offered only where the given one may be a slip for it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.nodes import one_of

KEYS = (
    "tide",
    "ship",
    "berth",
    "ropes",
    "lines",
    "feeds",
    "limits",
    "display",
    "cargo",
    "current",
    "holding",
)
CURVES = ("aramid", "hmpe", "nylon", "nylon_tail", "polyester_8", "polyprop", "wire_6x36")


@pytest.mark.parametrize(
    ("names", "slip", "meant"),
    [
        (KEYS, "tid", "tide"),
        (KEYS, "hsip", "ship"),
        (KEYS, "limts", "limits"),
        (KEYS, "curent", "current"),
        (CURVES, "nylon_tial", "nylon_tail"),
        (CURVES, "polyester8", "polyester_8"),
    ],
)
def test_a_slip_is_met_with_what_was_meant(names: tuple[str, ...], slip: str, meant: str) -> None:
    assert one_of(names, slip) == f"perhaps {meant!r}"


@pytest.mark.parametrize(
    ("names", "other"), [(KEYS, "side"), (CURVES, "mixed"), (KEYS, "wind"), (CURVES, "dyn")]
)
def test_another_word_is_not_met_with_one_that_only_looks_like_it(names: tuple[str, ...], other: str) -> None:
    assert one_of(names, other) == f"one of {', '.join(names)}"


@given(st.sampled_from(KEYS), st.data())
def test_a_letter_left_out_is_always_understood(name: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(1, len(name) - 1))
    assert name in one_of(KEYS, name[:at] + name[at + 1 :])
