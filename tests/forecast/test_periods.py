"""Her own periods beside a wave. Those of a given mass and stiffness: `tests/mechanics/test_ranging.py`."""

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import StayFaults, WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.period_words import ranging_rows, ranging_sentence, typed_wave, wave_words
from alongside.forecast.periods import (
    OtherLoads,
    Period,
    Wave,
    by_motion,
    cures,
    long_waves_of,
    other_loads,
    periods_of,
)
from alongside.forecast.present import Present
from alongside.mechanics.hold import hold
from alongside.mechanics.ranging import Motion, at_rest, inertia_of, ranged
from alongside.readings import Floats
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay
from tests.stay.measured.sheet import stay_with

CONFIGS = Path(__file__).parents[2] / "configs"


@cache
def berth(name: str) -> tuple[Basis, Present]:
    basis = Basis.of(read_stay(CONFIGS / f"{name}.yaml"))
    return basis, present_of(basis, None, None)


def period(name: str, motion: str) -> Period:
    return next(each for each in periods_of(*berth(name)) if each.motion == motion)


def test_the_manual_s_example_is_the_surge_of_an_uncoupled_ship() -> None:
    """Coastal Engineering Manual II-7, example II-7-7: 64 239 200 kg, 166 700 and 164 800 N/m: 124 s, and
    with the cosine squared 127.5 s."""
    for stiffness, seconds in ((165.75, 124.0), (165.75 * (123.7 / 127.5) ** 2, 127.5)):
        found = by_motion(np.diag([64_239.2, 1e5, 1e8]), np.diag([stiffness, 1e4, 1e8]))
        assert found[0] == pytest.approx(seconds, abs=0.5)
        assert found[1:] == pytest.approx([2 * np.pi * np.sqrt(10.0), 2 * np.pi], rel=1e-9)


@given(st.permutations([0, 1, 2]), st.floats(0.0, 0.2))
def test_each_motion_has_its_own_period_whatever_the_order_and_a_little_coupling(
    order: list[int], coupling: float
) -> None:
    stiffness = np.diag(np.array([100.0, 400.0, 2500.0])[order])
    stiffness[0, 1] = stiffness[1, 0] = 100.0 * coupling
    found = by_motion(np.eye(3), stiffness)
    assert (np.argsort(-found) == np.argsort(np.diag(stiffness))).all()


def test_nothing_that_draws_her_back_is_no_period() -> None:
    assert by_motion(np.eye(3), np.diag([0.0, 1.0, 4.0]))[0] == np.inf


@pytest.mark.slow
@pytest.mark.parametrize("name", ["coal_berth", "product_jetty"])
def test_let_free_she_surges_in_that_period(name: str) -> None:
    """Drawn 0.05 m along and let go, by the motion in steps of time: the time between zero crossings one way.
    Tolerance 2 %: a tenth of critical damping lengthens it by 0.5 %, and lines are not straight springs."""
    basis, present = berth(name)
    here = present.situation()
    situation = here.at(np.zeros(400, dtype=np.intp))
    situation = replace(situation, time=here.time[0] + 1.0 + np.arange(400.0), age=None)
    rest = at_rest(basis.arrangement, here, present.unstretched)
    draught = float(0.5 * (here.draught_fwd + here.draught_aft)[0])
    depth = float(basis.stay.berth.charted_depth or np.nan) + float(here.tide[0])
    body = inertia_of(basis.stay.ship, draught, depth)

    def nothing(time: Floats) -> Floats:
        return np.zeros((time.size, 3))

    drawn = Motion(rest.place + np.array([0.05, 0.0, 0.0]), np.zeros(3))
    force, _ = ranged(basis.arrangement, situation, present.unstretched, nothing, drawn, body, 1.0)
    surge = hold(basis.arrangement, replace(situation, other_force=force), present.unstretched).pose.surge
    moved = surge - rest.place[0]
    down = [
        at + moved[at] / (moved[at] - moved[at + 1])
        for at in range(len(moved) - 1)
        if moved[at] > 0.0 >= moved[at + 1]
    ]
    assert down[1] - down[0] == pytest.approx(period(name, "surge").expected, rel=0.02)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["coal_berth", "product_jetty", "river_quay", "coaster_quay"])
def test_the_range_holds_what_is_expected_and_tighter_is_quicker(name: str) -> None:
    periods = periods_of(*berth(name))
    assert all(each.shortest <= each.expected <= each.longest for each in periods)
    by_set = {(each.lines, each.factor): each for each in other_loads(*berth(name))}
    tighter = [by_set[("all lines", factor)].periods[0] for factor in (0.5, 0.7, 1.5, 2.0, 2.5, 3.0)]
    assert all(later < before for before, later in pairwise(tighter))
    assert tighter[1] > periods[0].expected > tighter[2]
    loads = [by_set[("springs", factor)].load_share for factor in (1.5, 2.0, 2.5, 3.0)]
    assert loads == sorted(loads)


def test_a_set_over_its_warning_is_no_cure() -> None:
    basis, present = berth("coal_berth")
    worn = replace(basis.stay, limits=replace(basis.stay.limits, load_share=replace(
        basis.stay.limits.load_share, caution=0.2, warning=0.3)))  # fmt: skip
    tried = list(other_loads(Basis.of(worn), present))
    assert not any(each.serves for each in tried if each.load_share >= 0.35)
    assert any(each.serves for each in tried)
    wave = Wave(85.0, 95.0)  # near 74 s; all lines tight would clear it, but not under these warnings
    assert cures(other_loads(basis, present), wave)
    assert all(each.load_share < 0.35 for each in cures(tried, wave))


NEAR = [
    (Period("surge", 58.0, 68.0, 79.0), Wave(60.0, 80.0), True, True),
    (Period("surge", 40.0, 47.9, 47.95), Wave(60.0, 80.0), False, False),
    (Period("surge", 40.0, 47.0, 49.0), Wave(60.0, 80.0), False, True),
    (Period("surge", 90.0, 96.1, 120.0), Wave(60.0, 80.0), False, True),
    (Period("surge", 90.0, 95.9, 120.0), Wave(60.0, 80.0), True, True),
]


@pytest.mark.parametrize(("period_", "wave", "is_near", "may_be"), NEAR)
def test_near_is_within_a_fifth_of_the_wave(period_: Period, wave: Wave, is_near: bool, may_be: bool) -> None:
    assert wave.is_near(period_.expected) == is_near
    assert wave.may_be_near(period_) == may_be


def test_what_is_said_of_it() -> None:
    surge, sway = Period("surge", 58.0, 68.0, 79.0), Period("sway", 20.0, 25.0, 30.0)
    wave = Wave(60.0, 80.0)
    assert ranging_sentence((surge, sway), wave) == "Surge 68 s, wave 60 to 80 s: SHE WILL RANGE"
    assert ranging_sentence((sway,), wave) == "No motion of hers is near wave 60 to 80 s"
    may = Period("surge", 40.0, 47.0, 49.0)
    assert ranging_sentence((may,), wave).endswith("she MAY RANGE")
    tight = OtherLoads("springs", 2.0, (40.0, 25.0, 12.0), 0.61, serves=True)
    rows = ranging_rows((surge, sway), wave, [tight, replace(tight, factor=3.0, serves=False)])
    assert rows[3] == "springs tighter, 2.0 x: surge 40 s, sway 25 s, yaw 12 s; loads to 61 % of a limit"
    assert sum("over a warning" in row for row in rows) == 1


@pytest.mark.parametrize(
    ("text", "wave"),
    [("wave 60 to 80 s", Wave(60.0, 80.0)), ("60-80", Wave(60.0, 80.0)), ("wave 12,5", Wave(12.5, 12.5))],
)
def test_how_a_wave_is_typed(text: str, wave: Wave) -> None:
    assert typed_wave(text) == wave
    assert typed_wave(wave_words(wave)) == wave


@pytest.mark.parametrize("text", ["", "wave", "wave 80 to 60", "wave 0.2", "wave high", "wave 1 to 9999"])
def test_what_is_no_wave_says_what_is_expected(text: str) -> None:
    with pytest.raises(WrongInput, match="expected"):
        typed_wave(text)


def test_the_berth_s_own_long_waves(tmp_path: Path) -> None:
    known = ("  charted_depth: 6.0\n", "  charted_depth: 6.0\n  long_waves_s: [60, 80]\n")
    assert long_waves_of(stay_with(tmp_path, known)) == Wave(60.0, 80.0)
    assert long_waves_of(stay_with(tmp_path)) is None
    for wrong in ("[80, 60]", "[60]", "60"):
        with pytest.raises(StayFaults, match="long_waves_s"):
            stay_with(tmp_path, (known[0], known[1].replace("[60, 80]", wrong)))


@pytest.mark.slow
def test_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    stay = str(CONFIGS / "product_jetty.yaml")
    assert main(["ranging", stay, "--wave", "45"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Surge 38 s, wave 45 s: SHE WILL RANGE\nHer own periods: surge 38 s (32 to 46), ")
    assert "springs tighter, 2.0 x: surge 3" in out
    assert main(["ranging", stay]) == 0
    assert capsys.readouterr().out.startswith("Her own periods: ")
    assert main(["ranging", stay, "--wave", "high"]) == 2
