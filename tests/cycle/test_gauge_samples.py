"""Samples of what the gauges measured: one every five minutes, the same however they were come by."""

from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.gauge_samples import EVERY_S, MEASURED, heard_of, present_at, sampled, samples_of
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import Player
from alongside.runtime.picture_maker import PictureMaker
from tests.berth import START, gauges
from tests.forecast.scene import stay_ahead

SECONDS = 3300


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> Basis:
    return Basis.of(stay_ahead(tmp_path_factory.mktemp("stay"), members=2, hours=2.0))


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An hour of a rising tide, with four minutes without a word."""
    path = tmp_path_factory.mktemp("log") / "stay.log"
    heard = [s for s in range(SECONDS) if not 1000 <= s < 1240]
    path.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0004) for s in heard))
    return path


def played(basis: Basis, log: Path, step: float):  # type: ignore[no-untyped-def]
    player, samples = Player(basis, log), ()
    for until in np.arange(START, START + SECONDS + step, step):
        for block in player.play_to(until):
            samples = sampled(samples, block)
    return samples, block, player.memory


@pytest.mark.slow
@pytest.mark.parametrize("step", [11.0, 300.0, 777.0])
def test_they_are_the_same_however_a_stay_is_cut(basis: Basis, log: Path, step: float) -> None:
    whole, *_ = played(basis, log, 1e4)
    cut, *_ = played(basis, log, step)
    np.testing.assert_allclose(np.array(cut), np.array(whole), rtol=1e-12)
    times = np.array([each[0] for each in whole])
    assert (np.diff(np.floor(times / EVERY_S)) >= 1.0).all()
    assert times[0] == START


def test_those_of_the_charts_are_those_of_the_blocks(basis: Basis, log: Path) -> None:
    """A watch that goes on from its record has only the charts: thinned to 10 s, and in single precision."""
    player, samples = Player(basis, log), ()
    maker = PictureMaker(basis, player.intake.channels)
    for block in player.play_to(START + SECONDS - 1.0):
        maker.add(block)
        samples = sampled(samples, block)
    now = float(block.situation.time[-1])
    charted = samples_of(maker.past.history(), basis.stay.ship.breadth, player.memory, now)
    known = np.array(samples)[1:], np.array(charted)[1:]
    np.testing.assert_allclose(known[1][:, 0], known[0][:, 0], atol=10.0)
    for column, name in enumerate(MEASURED, start=1):
        np.testing.assert_allclose(known[1][:, column], known[0][:, column], atol=0.01, err_msg=name)
    early = samples_of(maker.past.history(), basis.stay.ship.breadth, player.memory, START + 900.0)
    assert [each[0] for each in early] == [each[0] for each in charted if each[0] <= START + 900.0]


def test_an_instant_comes_with_what_was_measured_before_it(basis: Basis, log: Path) -> None:
    samples, block, memory = played(basis, log, 1e4)
    present = present_at(block, memory, samples)
    assert present.time == present.heard.time[-1] == START + SECONDS - 1.0
    assert len(present.heard) == len(samples) + 1
    assert present.situation().tide[0] == present.tide == pytest.approx(present.heard.tide[-1])
    assert len(heard_of(samples, samples[2])) == 3
