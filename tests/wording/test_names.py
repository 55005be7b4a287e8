"""Names of things: each has one, and text from outside cannot steer a terminal."""

from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.model import Standing
from alongside.mechanics.usage import LIMITS
from alongside.readings import Quality, Reason
from alongside.stay.causes import CAUSES
from alongside.stay.channels import CHANNELS, KINDS
from alongside.wording import names
from alongside.wording.safe import safe


def test_every_channel_reason_quality_and_limit_has_its_word() -> None:
    assert set(CHANNELS) == set(KINDS)
    assert set(CHANNELS) <= set(names.CHANNELS) | {"tension"}
    assert set(CAUSES) == set(names.CAUSES)
    assert {reason.name for reason in Reason} == set(names.REASONS)
    assert {quality.name for quality in Quality} <= set(names.QUALITIES)
    assert set(LIMITS) <= set(names.GIVES)
    for standing in Standing:
        assert names.standing(standing.name)
        assert len(names.standing(standing.name, short=True)) <= 9, "narrow columns"


def test_a_load_cell_is_named_by_its_line() -> None:
    assert names.channel("tension.3") == "load cell of line 3"
    assert names.channel("draught_fwd") == "draught forward"
    assert names.channel("draught_fwd", short=True) == "draught F"
    assert names.what_gives("brake", "4") == "brake of line 4"
    assert names.what_gives(None, None) == ""


@given(st.text())
def test_text_from_outside_is_printable_and_keeps_its_length(text: str) -> None:
    shown = safe(text)
    assert len(shown) == len(text)
    assert shown.isprintable()
    assert safe(shown) == shown
    assert "\x1b" not in safe(f"{text}\x1b[2J")
    assert safe(f"[/]{text}").startswith("[/]"), "brackets are text, not markup"
