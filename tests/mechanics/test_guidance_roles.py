"""What a line does by its lead. Breasts within 15 deg of square: California Building Code 3105F, read; half a
degree for rounding and 45 deg for leads towards midships: ours, common practice."""

from pathlib import Path

import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.places import Places
from alongside.forecast.what_if.changes import AddLine
from alongside.forecast.what_if.other_leads import new_line
from alongside.mechanics.guidance import role_by_lead
from alongside.mechanics.pose import in_place
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.mark.parametrize(
    ("lead_deg", "forward", "aft"),
    [
        (0.0, "head", "spring"),
        (44.0, "head", "spring"),
        (46.0, "head", "breast"),
        (74.0, "head", "breast"),
        (75.0, "breast", "breast"),
        (90.0, "breast", "breast"),
        (105.0, "breast", "breast"),
        (106.0, "breast", "stern"),
        (134.0, "breast", "stern"),
        (136.0, "spring", "stern"),
        (180.0, "spring", "stern"),
    ],
)
def test_by_its_lead(lead_deg: float, forward: str, aft: str) -> None:
    assert (role_by_lead(lead_deg, True), role_by_lead(lead_deg, False)) == (forward, aft)


@pytest.mark.parametrize("name", ["coal_berth", "coaster_quay", "product_jetty", "river_quay"])
def test_a_line_put_out_and_one_that_is_proposed_there_have_one_role(name: str) -> None:
    stay = read_stay(CONFIGS / f"{name}.yaml")
    basis = Basis.of(stay)
    places = Places(stay, basis.arrangement, in_place(present_of(basis, None, None).situation()))
    for fairlead in stay.ship.fairleads:
        for bollard in stay.berth.bollards:
            off = abs(places.lead(fairlead, bollard).ahead_deg - 90.0)
            if min(abs(off - 15.5), abs(off - 45.0)) < 0.3:
                continue  # trim turns the fairleads by a hair
            add = AddLine("99", fairlead, bollard, stay.lines[0].rope.name, 20.0)
            assert new_line(stay, add, None, 0.0, {}).role == places.role(fairlead, bollard)
