"""A berth with every gauge there is, simulated once."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Tide
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.training.simulate.log import write_log
from tests.cycle.plausibility.faults import World
from tests.cycle.plausibility.heard import ROOT, readings_of

MORE = """      heel: {sentence: XDR, name: LIST}
      depth: {sentence: XDR, name: DEPTH}
      heading: {sentence: HDT}
"""


@pytest.fixture(scope="session")
def full_stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    """The coal berth with inclinometer, gyro and sounder besides, nothing wrong with any gauge."""
    gauges, wind = (ROOT / "configs" / "coal_berth.yaml").read_text().split("  - name: wind\n")
    path = tmp_path_factory.mktemp("full") / "full.yaml"
    path.write_text(f"{gauges}{MORE}  - name: wind\n{wind}")
    stay = read_stay(path)
    assert stay.simulate is not None
    return replace(stay, simulate=replace(stay.simulate, faults=(), interval_s=3.0))


@pytest.fixture(scope="session")
def full_log(full_stay: Stay, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("log") / "full.log"
    write_log(full_stay, path)
    return path


@pytest.fixture(scope="session")
def world(full_stay: Stay, full_log: Path) -> World:
    return World(Witnesses.of(full_stay, Tide.of(full_stay)), readings_of(full_stay, full_log))
