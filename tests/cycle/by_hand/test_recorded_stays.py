"""A watch on hand readings keeps under-keel and stretch inside its bands on the recorded stays."""

import pytest

from tests.cycle.by_hand.watched import inside
from tests.cycle.plausibility.heard import EXAMPLES


@pytest.mark.slow
@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("seed", [1, 2])
def test_readings_every_two_hours_keep_the_figures_inside_their_bands(name: str, seed: int) -> None:
    share = inside(name, hours=2.0, sigma=0.025, seed=seed)
    assert share.under_keel >= 0.95
    assert share.stretch >= 0.95
    assert share.width_m < 1.5, "a band that holds everything says nothing"
