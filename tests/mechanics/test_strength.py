"""Working limits by what is left of a rope and by the ship design MBL, apart from its curve. Values by hand
(ours) on MSC.1/Circ.1175/Rev.1 (percentages of the ship design MBL) and UFC 4-159-03 Table 3-7 (wet nylon
0.85)."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.errors import StayFaults
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.reports.remarks.all import remarks_of
from alongside.stay.model import Rope, Stay, Tail
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, afloat, inclined, stay_with
from tests.reports.remarks.files import Change, Data, put, written

HALF_AT_10 = replace(POLYESTER, curve=((0.0, 0.0), (20.0, 1.0)))
"""A straight curve: 10 % at half of 640 kN."""


def limits(rope: Rope, tail: Rope | None = None) -> tuple[list[float], list[float], Stay]:
    """The working limits, kN, and the stretch allowances, %, of main rope and tail."""
    stay = stay_with([inclined(40.0, 5.0, rope, Tail(tail, 11.0) if tail else None)])
    arrangement = arrangement_of(stay)
    return arrangement.wll_kn[0].tolist(), arrangement.allowance_pct[0].tolist(), stay


@pytest.mark.parametrize(
    ("residual", "design", "wll", "allowance"),
    [
        (1.0, None, 320.0, 10.0),
        (0.75, None, 240.0, 7.5),
        (1.0, 600.0, 300.0, 9.375),
        (1.0, 700.0, 320.0, 10.0),
        (0.9, 600.0, 288.0, 9.0),  # 576 kN are left, less than 600
        (0.95, 600.0, 300.0, 9.375),  # 608 kN are left
    ],
)
def test_wll_is_a_share_of_the_least_of_what_is_left_and_the_ship_design_mbl(
    residual: float, design: float | None, wll: float, allowance: float
) -> None:
    rope = replace(HALF_AT_10, residual_strength=residual, design_mbl_kn=design)
    (found, _), (allowed, _), stay = limits(rope)
    assert found == pytest.approx(wll)
    assert allowed == pytest.approx(allowance)
    assert stay.lines[0].smallest_wll_kn == pytest.approx(wll)


def test_each_part_has_its_own() -> None:
    wire = replace(WIRE, design_mbl_kn=1000.0)
    tail = replace(NYLON, residual_strength=0.8, wet_strength=0.85, design_mbl_kn=1000.0)
    (main, other), _, stay = limits(wire, tail)
    assert main == pytest.approx(0.55 * 1000.0)
    assert other == pytest.approx(0.5 * 800.0 * 0.8 * 0.85)
    assert stay.lines[0].smallest_mbl_kn == pytest.approx(544.0)


def test_loads_do_not_change_with_the_strength_that_is_left() -> None:
    tensions = []
    for residual in (1.0, 0.6):
        stay = stay_with([inclined(40.0, 5.0, replace(POLYESTER, residual_strength=residual))])
        arrangement = arrangement_of(stay)
        length = unstretched_for(arrangement, afloat(0.0), 60.0)
        states = line_states(arrangement, afloat(2.0), length)
        tensions.append(states.tension_kn[0, 0])
        assert states.load_share[0, 0] == pytest.approx(states.tension_kn[0, 0] / (320.0 * residual))
    assert tensions[0] == tensions[1]


def rope(name: str, **values: str) -> Change:
    def change(data: Data) -> None:
        data["ropes"][name].update(values)

    return change


def test_read_from_a_stay_file(tmp_path: Path) -> None:
    changes = (
        put("600", "ship", "design_mbl_kn"),
        rope("mixed_64", residual_strength="0.9"),
        put("0.8", "lines", 2, "residual_strength"),
        put("0.7", "lines", 3, "tail", "residual_strength"),
    )
    stay = written(tmp_path, "coal_berth", *changes)
    mbl = stay.ropes["mixed_64"].mbl_kn
    assert stay.lines[0].rope.wll_kn == pytest.approx(0.5 * min(0.9 * mbl, 600.0))
    assert stay.lines[2].rope.wll_kn == pytest.approx(0.5 * 0.8 * mbl)
    tail = stay.lines[3].tail
    assert tail is not None
    assert tail.rope.strength_kn == pytest.approx(0.7 * tail.rope.mbl_kn)
    assert stay.lines[0].rope is stay.lines[1].rope, "one rope is compiled once"
    assert arrangement_of(stay).wll_kn[0, 0] == pytest.approx(stay.lines[0].rope.wll_kn)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("values", "strength"),
    [
        ({}, 1.0),
        ({"material": "nylon"}, 1.0),
        ({"material": "nylon", "mbl_tested": "wet"}, 1.0),
        ({"material": "nylon", "mbl_tested": "dry"}, 0.85),
        ({"material": "nylon", "mbl_tested": "dry", "wet_strength": "0.9"}, 0.9),
        ({"material": "polyester", "mbl_tested": "dry"}, 1.0),
        ({"mbl_tested": "wet", "wet_strength": "0.9"}, 1.0),
    ],
)
def test_nylon_tested_dry_is_weaker_wet(values: dict[str, str], strength: float, tmp_path: Path) -> None:
    """0.85: UFC 4-159-03 Table 3-7, read."""
    stay = written(tmp_path, "coal_berth", rope("nylon_tail", **values))
    nylon = stay.ropes["nylon_tail"]
    assert nylon.strength_kn == pytest.approx(strength * nylon.mbl_kn)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("changes", "path", "words"),
    [
        ((rope("mixed_64", residual_strength="0.7"),), "ropes.mixed_64.residual_strength", "70 % of the br"),
        (
            (put("0.74", "lines", 2, "residual_strength"),),
            "lines[2].residual_strength",
            "74 % of the breaking",
        ),
        ((rope("nylon_tail", material="nylon"),), "ropes.nylon_tail.mbl_kn", "tested wet or dry"),
    ],
)
def test_what_check_remarks(changes: tuple[Change, ...], path: str, words: str, tmp_path: Path) -> None:
    remarks = remarks_of(written(tmp_path, "coal_berth", *changes))
    assert any(each.path == path and words in each.text for each in remarks), remarks


def test_brakes_are_compared_with_the_ship_design_mbl(tmp_path: Path) -> None:
    remarks = remarks_of(written(tmp_path, "coal_berth", put("200", "ship", "design_mbl_kn")))
    assert any("of the ship design MBL; usual 60 %" in each.text for each in remarks)


def test_a_share_above_one_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(StayFaults, match="residual_strength"):
        written(tmp_path, "coal_berth", rope("mixed_64", residual_strength="75"))


def test_strengths_of_many_lines_are_their_own() -> None:
    ropes = [replace(POLYESTER, residual_strength=share) for share in (1.0, 0.9, 0.8)]
    arrangement = arrangement_of(stay_with([inclined(40.0, 5.0, each) for each in ropes]))
    assert arrangement.smallest_wll_kn == pytest.approx(320.0 * np.array([1.0, 0.9, 0.8]))
