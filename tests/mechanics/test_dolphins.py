"""Several hooks on one dolphin: what each bears, and what it bears with all of them."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.alerts.rules import rules_of
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.stay.model import Stay
from tests.mechanics.stays import Lead, afloat, stay_with
from tests.stay.measured.sheet import faults_with
from tests.stay.measured.sheet import stay_with as sheet_with

LEADS = [Lead((20.0 + along, -10.0, 10.0), (60.0, -20.0, 4.0)) for along in (0.0, 40.0)]


def on_a_dolphin(swl_kn: float = 150.0) -> Stay:
    stay = stay_with([replace(lead, swl_kn=100.0) for lead in LEADS])
    hooks = {name: replace(hook, dolphin="D") for name, hook in stay.berth.bollards.items()}
    return replace(stay, berth=replace(stay.berth, bollards=hooks, dolphins={"D": swl_kn}))


def test_a_dolphin_bears_its_hooks_as_vectors() -> None:
    """By hand: from fairleads at x 60 and 100 (berth) to hooks at x 60; both lead 20 m in, one also 40 m
    along, and 0 m down: heights are 10 + 0 - 6 = 4 m over chart datum, as the hooks."""
    stay = on_a_dolphin()
    arrangement = arrangement_of(stay)
    pull = np.array([50.0, 100.0])
    states = line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), pull))
    found = bollard_loads(arrangement, states)[0]
    slant = np.hypot(40.0, 20.0)
    along, across = 100.0 * 40.0 / slant, 50.0 + 100.0 * 20.0 / slant
    assert arrangement.bollard_ids == ("B1", "B2", "D")
    assert found == pytest.approx([50.0, 100.0, np.hypot(along, across)], rel=1e-9)
    assert arrangement.bollard_swl_kn == pytest.approx([100.0, 100.0, 150.0])


def test_a_dolphin_is_watched_as_its_hooks_are() -> None:
    assert [rule.subject for rule in rules_of(on_a_dolphin()) if rule.cause == "bollard"] == ["B1", "B2", "D"]


def test_a_dolphin_of_the_file(tmp_path: Path) -> None:
    stay = sheet_with(
        tmp_path,
        ("  bollards:\n", "  dolphins: {D1: {swl_kn: 20 t}}\n  bollards:\n"),
        ("B1: {x: 110.0,", "B1: {dolphin: D1, x: 110.0,"),
    )
    assert stay.berth.dolphins == {"D1": pytest.approx(196.133)}
    assert stay.berth.bears("D1", "B1")
    assert not stay.berth.bears("D1", "B2")


def test_a_dolphin_has_a_name_of_its_own(tmp_path: Path) -> None:
    found = faults_with(tmp_path, ("  bollards:\n", "  dolphins: {B1: {swl_kn: 20 t}}\n  bollards:\n"))
    assert "berth.dolphins.B1: a bollard has this name" in found
