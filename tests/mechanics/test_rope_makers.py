"""What rope makers' catalogues and training manuals say of stretch."""

import numpy as np
import pytest

from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.stay.model import Rope
from tests.mechanics.stays import afloat, arranged, inclined, straight

FOOT = 0.3048


def test_braid_of_nylon_core_and_polyester_cover() -> None:
    """R6 (a rope maker's catalogue): 13 % at half of break, which is then the stretch it may take."""
    braid = Rope("braid", "synthetic", 500.0, ((0, 0), (5, 0.12), (9, 0.28), (13, 0.5), (20, 1)), 0.5)
    arrangement = arranged(inclined(30.0, 5.0, braid))
    assert arrangement.allowance_pct[0, 0] == pytest.approx(13.0, abs=1e-12)
    length = unstretched_for(arrangement, afloat(), 250.0)
    states = line_states(arrangement, afloat(), length)
    assert states.path_m[0, 0] / length[0, 0] == pytest.approx(1.13, abs=1e-12)
    assert states.stretch_share[0, 0] == pytest.approx(1.0, abs=1e-10)
    assert states.load_share[0, 0] == pytest.approx(1.0, abs=1e-10)


def test_thirty_per_cent_of_a_hundred_foot_line() -> None:
    """R14 (US Navy training manual): a 100 ft line stretched by 30 % is 130 ft long."""
    arrangement = arranged(inclined(130.0 * FOOT, 0.0, straight("nylon", 400.0, 1000.0)))
    states = line_states(arrangement, afloat(), unstretched=np.array([100.0 * FOOT]))
    assert states.path_m[0, 0] / FOOT == pytest.approx(130.0, abs=1e-10)  # ft
    assert states.elongation_pct[0, 0] == pytest.approx(30.0, abs=1e-9)  # %


@pytest.mark.parametrize(
    ("rope", "least", "most"),
    [
        # Elongation at break by material, per cent; catalogue tables read but for the last, from memory.
        (Rope("nylon", "synthetic", 500.0, ((0, 0), (15, 0.25), (22, 0.5), (30, 1)), 0.5), 25, 35),
        (Rope("polyester", "synthetic", 500.0, ((0, 0), (9, 0.25), (13, 0.5), (20, 1)), 0.5), 15, 25),
        (Rope("polypropylene", "synthetic", 500.0, ((0, 0), (9, 0.25), (14, 0.5), (22, 1)), 0.5), 20, 25),
        (Rope("HMPE", "synthetic", 500.0, ((0, 0), (1.0, 0.25), (1.8, 0.5), (3.5, 1)), 0.5), 3, 4),
    ],
    ids=lambda value: value.name if isinstance(value, Rope) else str(value),
)
def test_a_line_pulled_to_breaking_is_stretched_within_the_range_of_its_material(
    rope: Rope, least: float, most: float
) -> None:
    arrangement = arranged(inclined(40.0, 6.0, rope))
    length = unstretched_for(arrangement, afloat(), rope.mbl_kn)
    states = line_states(arrangement, afloat(), length)
    assert least <= states.elongation_pct[0, 0] <= most
    assert states.load_share[0, 0] == pytest.approx(2.0, abs=1e-9)
