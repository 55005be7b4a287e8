"""Draws: what is drawn enters where a gauge does, and nothing else changes."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.mechanics.rope_spread import with_other_ropes
from alongside.reports.batch.outcome import Draw
from alongside.runtime.log_player import Player
from alongside.stay.read import read_stay
from alongside.training.batch.drawn import DrawnStaging, drawn, stay_of, weather_of
from alongside.training.other_weather import Water
from tests.berth import START, STAY_TEXT, a_stay, gauges, tagged, write_stay

ROOT = Path(__file__).parents[3]
MIDDLE = Draw(1, 1, tide_m=0.0, tide_s=0.0, wind_factor=1.0, stiffness=0.0, tension=0.0)


def played(folder: Path, draw: Draw | None) -> Player:
    log = folder / "stay.log"
    log.write_bytes(b"".join(gauges(START + s, 2.0) for s in range(200)))
    stay = a_stay(folder)
    basis = Basis.of(stay if draw is None else stay_of(stay, draw))
    player = Player(basis, log, staging=None if draw is None else DrawnStaging(basis, draw))
    player.blocks = list(player.play_to(np.inf))  # type: ignore[attr-defined]
    return player


def column(player: Player, name: str) -> np.ndarray:
    return np.concatenate([getattr(block.situation, name) for block in player.blocks])  # type: ignore[attr-defined]


def test_the_middle_of_all_bands_is_the_stay_as_it_was(tmp_path: Path) -> None:
    one, other = played(tmp_path, None), played(tmp_path, MIDDLE)
    loads = [np.concatenate([block.hold.lines.tension_kn for block in each.blocks]) for each in (one, other)]  # type: ignore[attr-defined]
    np.testing.assert_array_equal(loads[0], loads[1])


def test_higher_water_is_higher_at_the_gauge_and_as_she_was_made_fast(tmp_path: Path) -> None:
    """So the loads stay: the ship has the water under her that she was made fast on."""
    one, other = played(tmp_path, None), played(tmp_path, replace(MIDDLE, tide_m=0.5))
    np.testing.assert_allclose(column(other, "tide"), column(one, "tide") + 0.5, atol=1e-9)
    assert other.basis.stay.lines[1].made_fast.tide == pytest.approx(2.5)


def test_later_water_is_that_of_the_table_some_minutes_before() -> None:
    stay = read_stay(ROOT / "configs" / "coaster_quay.yaml")
    tide = Basis.of(stay).tide
    assert tide is not None
    time = min(line.made_fast.at for line in stay.lines) + np.arange(0.0, 86_400.0, 600.0)
    more = Water(stay, weather_of(replace(MIDDLE, tide_s=1800.0, tide_m=0.1))).more(time)
    np.testing.assert_allclose(tide.at(time) + more, tide.at(time - 1800.0) + 0.1, atol=1e-9)


def test_tension_and_stiffness_go_by_the_bands_of_the_stay() -> None:
    stay = read_stay(ROOT / "configs" / "coaster_quay.yaml")
    draw = replace(MIDDLE, stiffness=0.5, tension=-0.5)
    other = stay_of(stay, draw)
    assert [line.rope for line in other.lines] == [line.rope for line in with_other_ropes(stay, 0.5).lines]
    for before, after in zip(stay.lines, other.lines, strict=True):
        factor = 1.0 - 0.5 * before.made_fast.tension_band
        assert after.made_fast.tension_kn == pytest.approx(before.made_fast.tension_kn * factor)


def test_the_wind_is_stronger_by_the_factor(tmp_path: Path) -> None:
    text = "      wind_speed: {sentence: MWV}\n      wind_from: {sentence: MWV}\nbalance: off"

    stay = read_stay(write_stay(tmp_path, STAY_TEXT.replace("balance: off", text)))
    log = tmp_path / "stay.log"
    wind = "WIMWV,120.0,R,10.0,M,A"
    log.write_bytes(b"".join(gauges(START + s, 2.0) + tagged(START + s, wind) for s in range(60)))
    draw = replace(MIDDLE, wind_factor=1.5)
    basis = Basis.of(stay_of(stay, draw))
    *_, block = Player(basis, log, staging=DrawnStaging(basis, draw)).play_to(np.inf)
    assert block.situation.wind_speed[-1] == pytest.approx(15.0)


def test_a_draw_is_the_same_whenever_it_is_drawn_and_no_two_are() -> None:
    draws = [drawn(number, 1) for number in range(1, 200)]
    assert drawn(17, 1) == draws[16]
    assert len({draw.tide_m for draw in draws}) == len(draws)
    assert drawn(17, 2) != draws[16]


def test_nine_of_ten_draws_are_within_the_bands() -> None:
    draws = [drawn(number, 3) for number in range(1, 2001)]
    for name, half in (("tide_m", 0.62), ("stiffness", 1.0), ("tension", 1.0)):
        within = np.mean([abs(getattr(draw, name)) <= half for draw in draws])
        assert within == pytest.approx(0.9, abs=0.03)
    assert np.std(np.log([draw.wind_factor for draw in draws])) == pytest.approx(0.35, rel=0.05)
    assert np.std([draw.tide_s for draw in draws]) == pytest.approx(600.0, rel=0.05)
