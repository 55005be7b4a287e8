"""Load cells of a simulated log: noise and drift of their zero are those asked for, and no more."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.errors import StayFaults
from alongside.stay.model import Scenario, Source
from alongside.training.simulate.gauges import Gauge
from tests.berth import STAY_TEXT, a_stay

DAY = 86_400.0
SCENARIO = Scenario(0.0, 24.0, 4.0, 4.5)
TIME = np.arange(0.0, DAY, 60.0)


def shown(scenario: Scenario, channel: str = "tension.1", load: float = 100.0) -> np.ndarray:
    """What a gauge shows of a load that stands, in kN."""
    gauge = Gauge(Source(channel, "XDR", names=(channel,)), scenario, channel, ())
    texts = gauge.next_block(TIME, np.full(TIME.size, load)).text
    return np.array([float(text or "nan") for text in texts])


def drift_of(channel: str, scenario: Scenario) -> float:
    values = shown(scenario, channel)
    return float(np.polyfit(TIME / DAY, values, 1)[0])


@pytest.mark.parametrize("noise", [0.0, 0.5, 4.0])
def test_the_noise_is_that_of_the_scenario(noise: float) -> None:
    values = shown(replace(SCENARIO, cell_noise_kn=noise))
    assert values.std() == pytest.approx(noise, rel=0.1, abs=0.03)
    assert abs(values.mean() - 100.0) < 0.02 + 0.1 * noise


def test_each_zero_drifts_by_itself_and_the_same_for_the_same_seed() -> None:
    drifting = replace(SCENARIO, cell_drift_kn=20.0, cell_noise_kn=0.0)
    drifts = np.array([drift_of(f"tension.{cell}", drifting) for cell in range(40)])
    assert drifts.std() == pytest.approx(20.0, rel=0.35)
    assert abs(drifts.mean()) < 12.0
    assert drift_of("tension.3", drifting) == pytest.approx(drifts[3])
    assert drift_of("tension.3", replace(drifting, seed=2)) != pytest.approx(drifts[3])


def test_blocks_of_any_size_drift_alike() -> None:
    drifting = replace(SCENARIO, cell_drift_kn=20.0, cell_noise_kn=0.0)
    gauge = Gauge(Source("tension.1", "XDR", names=("T",)), drifting, "tension.1", ())
    parts = [gauge.next_block(part, np.full(part.size, 100.0)).text for part in np.array_split(TIME, 7)]
    assert [float(text or "nan") for part in parts for text in part] == shown(drifting).tolist()


def test_without_drift_the_bytes_are_as_before_and_a_level_has_none() -> None:
    assert drift_of("tension.1", SCENARIO) == pytest.approx(0.0, abs=0.2)
    level = shown(replace(SCENARIO, cell_drift_kn=50.0), "tide", 2.0)
    assert level.tolist() == shown(SCENARIO, "tide", 2.0).tolist()


@pytest.mark.parametrize("key", ["cell_noise_kn", "cell_drift_kn"])
def test_what_the_file_says_and_what_it_cannot(tmp_path: Path, key: str) -> None:
    text = f"{STAY_TEXT}simulate: {{start: 2026-03-02T04:00:00Z, hours: 1, draught_fwd: 4, draught_aft: 4, "
    scenario = a_stay(tmp_path, f"{text}{key}: 2.5}}\n").simulate
    assert scenario is not None
    assert getattr(scenario, key) == 2.5
    with pytest.raises(StayFaults, match=f"simulate.{key}: '-1' is out of bounds, expected a number in kN"):
        a_stay(tmp_path, f"{text}{key}: -1}}\n")
