"""While the brake of a line is in question no metres are planned for it. Expected values: ours."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.words import AheadWords
from alongside.stay.read import read_stay
from alongside.units import unix_time

COAL = Path(__file__).parents[2] / "configs" / "coal_berth.yaml"


@pytest.mark.slow
def test_no_metres_before_the_answer() -> None:
    basis, far = Basis.of(read_stay(COAL)), Far(8.0, 900.0, 6)
    present = planned_present(basis.stay, basis.arrangement, unix_time("2026-03-20T03:30:00Z"))
    free = look_ahead(basis, present, far)
    assert "4" in {move.line for each in free.tending.rounds for move in each.moves}
    asked = look_ahead(basis, replace(present, asked=("4",)), far)
    assert asked.tending.winches == ("4",)
    assert "4" not in {move.line for each in asked.tending.rounds for move in each.moves}
    assert "4" not in {each.line for each in asked.tending.cannot_cure}
    rows = AheadWords(basis.stay.display, asked.time).tending(asked)
    assert ("check", "Look at winch 4 first: no metres for line 4 before the answer") in rows
    late = free.tending.waiting_for(("4",))
    assert "4" not in {move.line for each in late.rounds for move in each.moves}
