"""No deed is advised that the ship would not stand: judged by plain trying, wind after wind."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from alongside.cli.examples import example_stay
from alongside.cycle.advance import advance
from alongside.cycle.advice.standing_rounds import stood_by
from alongside.cycle.advice.trial import Trial, winds_to_meet
from alongside.cycle.chart_history import Past
from alongside.cycle.memory import Memory
from alongside.cycle.past_series import series_names, series_values
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import picture_of
from alongside.cycle.plausibility.model import MINUTES
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast, MoveAhead, RoundAhead
from alongside.mechanics.situation import Situation
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.model import TidePlan
from alongside.stay.read import read_stay
from tests.berth import START, a_stay
from tests.cycle.brute_holding import GUST, refused, winds_to_stand
from tests.worlds import AWKWARD_TEXT

EXAMPLES: Final = ("coal_berth", "coaster_quay", "product_jetty")
FEW_LINES: Final = "few_lines"
CHANNELS: Final = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_gust", "wind_from")
SECONDS: Final = 90
BEFORE_S: Final = 1800.0
EVERY_S: Final = 30.0


def few_lines(folder: Path) -> Basis:
    """Four lines, a light ship, a tide of 12 m."""
    text = AWKWARD_TEXT.split('  - {id: "5"')[0] + "feeds:\n" + AWKWARD_TEXT.split("feeds:\n")[1]
    text = text.replace("{x: 52.0, y: -8.0, z: 4.0", "{x: 52.0, y: -8.0, z: 13.0")
    stay = a_stay(folder, text.replace("side_m2: 480", "side_m2: 620"))
    tide = tuple((START + 6.2 * 3600.0 * k, 0.5 if k % 2 else 12.5) for k in range(-1, 5))
    return Basis.of(replace(stay, tide=TidePlan(high_low=tide)), ahead=True)


@lru_cache(maxsize=8)
def basis_of(name: str, folder: Path) -> Basis:
    if name == FEW_LINES:
        return few_lines(folder)
    return Basis.of(read_stay(example_stay(name)), ahead=True)


@lru_cache(maxsize=8)
def forecast_of(name: str, folder: Path) -> Forecast:
    basis = basis_of(name, folder)
    present = planned_present(basis.stay, basis.arrangement, fast_at(basis) + 3600.0)
    return look_ahead(basis, present.in_wind(3.0, 0.0), Far(1.0, 900.0, 2), tend=False)


def fast_at(basis: Basis) -> float:
    return max(line.made_fast.at for line in basis.stay.lines)


def readings(at: float, values: tuple[float, ...], seconds: int, every: float = 1.0) -> Readings:
    value = np.tile(values, (seconds, 1))
    good = np.full(value.shape, Quality.GOOD, dtype=np.int8)
    plain = np.full(value.shape, Reason.NONE, dtype=np.int8)
    return Readings(at + every * np.arange(seconds), CHANNELS, value, good, plain, np.zeros(value.shape))


Blow = tuple[float, float, float]
"""Mean and highest gust, m/s, and where it comes from, deg true."""


@dataclass(frozen=True)
class Watched:
    """What is shown once alerts stand, and what it was judged by: the lengths, the instant, the past."""

    basis: Basis
    picture: Picture
    lengths: Floats
    here: Situation
    past: Past

    def refused(self, deeds: Mapping[str, float]) -> list[str]:
        """Return why the winds to be met speak against deeds."""
        history = self.past.history()
        blown = (history.series[name] for name in ("wind_speed", "wind_from"))
        winds = winds_to_stand(self.here, history.time, *blown)
        why = [refused(self.basis, self.here, self.lengths, deeds, wind) for wind in winds]
        return [each for each in why if each]


def watched(basis: Basis, hours: float, wind: Blow, before: Blow, offsets: Floats, tide: float) -> Watched:
    """Return the watch so many hours after making fast, as planned, the lines longer by `offsets`: in a wind
    of a minute and a half, after half an hour of another."""
    at = fast_at(basis) + hours * 3600.0
    plan = planned_present(basis.stay, basis.arrangement, at)
    gauges = (plan.tide + tide, plan.draught_fwd, plan.draught_aft)
    memory, _ = advance(basis, Memory.at_start(basis.stay), readings(at - BEFORE_S, (*gauges, *before), 2))
    lengths = plan.unstretched + offsets[: plan.unstretched.size]
    memory = replace(memory, lengths=replace(memory.lengths, unstretched=lengths))
    past = Past(series_names(basis, CHANNELS))
    early = readings(at - BEFORE_S + 2.0, (*gauges, *before), int(BEFORE_S / EVERY_S), EVERY_S)
    for heard in (early, readings(at + 2.0, (*gauges, *wind), SECONDS)):
        memory, block = advance(basis, memory, heard)
        past.add(block.readings.time, series_values(basis, block))
    proved = replace(memory.plausibility, minutes=((0.0, ()),) * MINUTES)
    picture = picture_of(basis, block, replace(memory, plausibility=proved), past, (), ())
    last = len(block.situation) - 1
    here = block.situation.rows(last, last + 1)
    return Watched(basis, picture, memory.lengths.unstretched, here, past)


DEED: Final = re.compile(
    r"(?<!not )(?<!then )\b(slack|heave) lines? ((?:\w+(?:, | and )?)+?)(?: evenly)? by ([\d.]+) m",
    re.IGNORECASE,
)


def deeds_of(text: str) -> dict[str, float]:
    """Metres that an advice has lines paid out by, heaved ones negative."""
    deeds: dict[str, float] = {}
    for deed, names, size in DEED.findall(text):
        way = 1.0 if deed.lower() == "slack" else -1.0
        deeds |= {name: way * float(size) for name in re.split(r", | and ", names)}
    return deeds


def test_deeds_are_read_from_an_advice() -> None:
    text = "Heave lines 2, 5 and S1 evenly by 0.30 m: ship 0.29 m off fenders; call the master"
    assert deeds_of(text) == {"2": -0.3, "5": -0.3, "S1": -0.3}
    assert deeds_of("Slack line 4 by 1.35 m now: stretch 102 % (limit 100 %)") == {"4": 1.35}
    assert deeds_of("Do not slack, wind 46 kn: line 4 stretch 88 %") == {}


WINDS = st.tuples(st.floats(3.0, 26.0), st.floats(1.0, 1.35), st.floats(0.0, 359.0)).map(
    lambda wind: (wind[0], wind[0] * wind[1], wind[2])
)
ALL = st.lists(st.floats(-0.9, 0.5), min_size=16, max_size=16).map(np.array)
ONE = st.tuples(st.integers(0, 15), st.floats(-0.9, -0.3)).map(lambda one: np.eye(16)[one[0]] * one[1])
OFFSETS = ALL | ONE
"""m: all lines out of their lengths, or one that is short."""


@pytest.mark.slow
@pytest.mark.parametrize("name", [*EXAMPLES, FEW_LINES])
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    hours=st.floats(0.5, 12.0),
    wind=WINDS,
    before=st.none() | WINDS,
    offsets=OFFSETS,
    tide=st.floats(-0.4, 0.4),
)
def test_no_deed_that_is_advised_takes_what_holds_her(
    name: str,
    tmp_path_factory: pytest.TempPathFactory,
    hours: float,
    wind: Blow,
    before: Blow | None,
    offsets: Floats,
    tide: float,
) -> None:
    basis = basis_of(name, Path(tmp_path_factory.getbasetemp()))
    seen = watched(basis, hours, wind, before or wind, offsets, tide)
    deeds = deeds_of(seen.picture.advice.text)
    event("deed" if deeds else seen.picture.advice.large.rstrip("0123456789, +"))
    if deeds:
        assert not seen.refused(deeds), seen.picture.advice.text


@pytest.mark.slow
@pytest.mark.parametrize("name", [*EXAMPLES, FEW_LINES])
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    wind=WINDS,
    offsets=OFFSETS,
    moves=st.lists(st.integers(-20, 40).map(lambda steps: (steps or 1) * 0.05), min_size=1, max_size=4),
)
def test_no_standing_round_takes_what_holds_her(
    name: str,
    tmp_path_factory: pytest.TempPathFactory,
    wind: Blow,
    offsets: Floats,
    moves: list[float],
) -> None:
    folder = Path(tmp_path_factory.getbasetemp())
    basis, forecast = basis_of(name, folder), forecast_of(name, folder)
    present = planned_present(basis.stay, basis.arrangement, forecast.time).in_wind(wind[0], wind[2])
    here = replace(present.situation(), wind_gust=np.array([wind[1]]))
    lengths = present.unstretched + offsets[: present.unstretched.size]
    tended = tuple(MoveAhead(basis.arrangement.ids[at], metres) for at, metres in enumerate(moves))
    each = RoundAhead(
        forecast.time, forecast.time + 600.0, forecast.time, forecast.time + 3600.0, 600.0, tended
    )
    planned = replace(forecast, tending=replace(forecast.tending, rounds=(each,)))
    shown = stood_by(planned, Trial(basis, here, lengths, winds_to_meet(here)))
    assert shown is not None
    event("stands" if shown.tending.rounds else "taken back")
    if shown.tending.rounds:
        deeds = {move.line: move.pay_out_m for move in tended}
        for speed in (wind[0], GUST * wind[1]):
            assert not refused(basis, here, lengths, deeds, (speed, wind[2]))
    else:
        assert {each.why for each in shown.tending.cannot_cure} == {"wind"}
