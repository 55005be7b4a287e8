"""The example that the program writes itself tells the story that the manual promises."""

from pathlib import Path

import numpy as np
import pytest

from alongside.cli.headless import replay_headless
from alongside.cli.main import main
from alongside.readings import Floats
from alongside.stay.read import read_stay
from alongside.training.simulate.truth import Truth

STAY = Path(__file__).parents[1] / "configs" / "river_quay.yaml"
SPRINGS = ("tension.3", "tension.4")


@pytest.fixture(scope="module")
def loads() -> dict[str, Floats]:
    """What the cells of the springs measure, every second of the two hours."""
    stay = read_stay(STAY)
    assert stay.simulate is not None
    truth = Truth(stay, stay.simulate, SPRINGS)
    hours = [truth.next_block(stay.simulate.start + 3600.0 * hour + np.arange(3600.0)) for hour in (0, 1)]
    return {name: np.concatenate([hour[name] for hour in hours]) for name in SPRINGS}


def swing(loads: dict[str, Floats], begin: float, end: float) -> float:
    """Of the spring that swings more, kN, from and to minutes after 06:00."""
    part = slice(round(60 * begin), round(60 * end))
    return max(float(np.ptp(loads[name][part])) for name in SPRINGS)


def test_it_is_a_stay_without_remarks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--strict", str(STAY)]) == 0
    assert "no remarks" in capsys.readouterr().out


@pytest.mark.slow
def test_the_fast_one_works_the_springs_the_slow_one_hardly(loads: dict[str, Floats]) -> None:
    assert swing(loads, 5, 15) < 1.0
    assert 8.0 < swing(loads, 16, 25) < 14.0
    assert 40.0 < swing(loads, 41, 50) < 60.0


@pytest.mark.slow
def test_near_her_period_she_ranges_twice_as_far(loads: dict[str, Floats]) -> None:
    assert swing(loads, 66, 80) > 1.8 * swing(loads, 91, 110)


@pytest.mark.slow
def test_the_console_sees_the_peaks_and_the_drift(tmp_path: Path) -> None:
    log, events, states = tmp_path / "r.log.gz", tmp_path / "e.jsonl", tmp_path / "s.jsonl"
    assert main(["simulate", str(STAY), "--out", str(log)]) == 0
    replay_headless(read_stay(STAY), log, states=states, events=events, every=300.0)
    assert "draught aft jumped" in events.read_text()
    assert '"tension_peak.4"' in states.read_text()
