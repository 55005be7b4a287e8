"""How blocks are cut makes no difference: to doubts, to what is carried on, to what is remembered."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import JudgeChannel
from alongside.cycle.plausibility.model import Plausibility
from alongside.record.codec import from_text, to_text
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet


def same(one: Heard, other: Heard) -> None:
    for name in ("value", "quality", "reason", "spread"):
        np.testing.assert_array_equal(getattr(one.readings, name), getattr(other.readings, name), name)
    assert one.first == other.first or str(one.first) == str(other.first)
    assert to_text(one.memory) == to_text(other.memory)


@pytest.mark.slow
@settings(max_examples=20)
@given(
    st.lists(st.integers(1, 419), max_size=10),
    st.sampled_from(["tide", "draught_fwd", "draught_aft", "wind_speed"]),
    st.floats(-2.0, 2.0),
    st.integers(10, 300),
    st.tuples(st.integers(0, 400), st.integers(1, 100)),
    st.sampled_from(["gauge", "witness"]),
)
def test_cuts_make_no_difference(cuts, channel, size, at, gone, right) -> None:  # type: ignore[no-untyped-def]
    time = instants(7.0)
    columns = quiet(time)
    columns[channel][at:] += size
    columns["draught_fwd"][gone[0] : sum(gone)] = np.nan
    columns["tide"][gone[0] + 20 : sum(gone) + 30] = np.nan
    readings = as_readings(time, columns)
    actions = {350: [JudgeChannel(channel, right)]}
    whole = hear(COASTER, readings, [350], actions)
    same(hear(COASTER, readings, cuts, actions), whole)
    same(hear(COASTER, readings, list(range(len(readings))), actions), whole)


def test_what_is_remembered_goes_on_record_and_back() -> None:
    time = instants(3.0)
    columns = quiet(time)
    columns["tide"][100:] += 1.0
    memory = hear(COASTER, as_readings(time, columns)).memory
    assert memory.doubts
    text = to_text(memory)
    assert to_text(from_text(Plausibility, text)) == text
    assert len(text) < 20_000, "kept each minute"
