"""What a line would carry after a tending is what it carries once it is done."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import TendLine
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.cycle.try_tending import tried
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import rope_out
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation
from alongside.stay.model import Stay
from alongside.stay.read import read_stay

STAY = Path(__file__).parents[2] / "configs" / "coal_berth.yaml"


def situation() -> Situation:
    one = {name: np.zeros(1) for name in Situation.__dataclass_fields__}
    one |= {"tide": np.array([3.4]), "draught_fwd": np.array([7.0]), "draught_aft": np.array([8.1])}
    return Situation(**{**one, "heel_measured": False, "age": None})  # type: ignore[arg-type]


def lying(stay: Stay, tension_kn: float) -> Picture:
    """Every line at one tension, by the mechanics themselves."""
    arrangement = arrangement_of(replace(stay, balance=False))
    now = situation()
    lengths = rope_out(arrangement, in_place(now), np.full(len(arrangement.ids), tension_kn)).unstretched[0]
    states = hold(arrangement, now, lengths).lines
    blank = blank_picture(stay)
    rows = tuple(
        replace(row, unstretched_m=float(lengths[i]), tension_kn=float(states.tension_kn[0, i]))
        for i, row in enumerate(blank.lines)
    )
    return replace(
        blank, surge=0.0, sway=0.0, yaw_deg=0.0, tide=3.4, draught_fwd=7.0, draught_aft=8.1, lines=rows
    )


@pytest.fixture(scope="module")
def picture() -> Picture:
    return lying(read_stay(STAY), 90.0)


def test_nothing_paid_out_leaves_the_load(picture: Picture) -> None:
    then = tried(picture, TendLine("4", paid_out=0.0))
    assert then.tension_kn == pytest.approx(90.0, abs=1e-6)  # kN, as made fast


def test_slacking_eases_and_heaving_loads(picture: Picture) -> None:
    loads = [tried(picture, TendLine("4", paid_out=metres)).tension_kn for metres in (-0.3, 0.0, 0.3, 40.0)]
    assert loads == sorted(loads, reverse=True)
    assert loads[-1] == 0.0


def test_to_a_load_says_how_many_metres_that_takes(picture: Picture) -> None:
    by_load = tried(picture, TendLine("4", to_tension_kn=60.0))
    by_metres = tried(picture, TendLine("4", paid_out=by_load.paid_out_m))
    assert by_load.tension_kn == pytest.approx(60.0, abs=1e-6)  # kN
    assert by_metres.tension_kn == pytest.approx(60.0, abs=1e-6)
    assert by_load.paid_out_m > 0.0


def test_no_answer_where_nothing_is_known_or_no_rope_is_left(picture: Picture) -> None:
    unknown = replace(picture, lines=tuple(replace(row, tension_kn=math.nan) for row in picture.lines))
    assert math.isnan(tried(unknown, TendLine("4", paid_out=0.3)).tension_kn)
    assert math.isnan(tried(picture, TendLine("4", paid_out=-50.0)).tension_kn)
