"""No deed is advised that the ship would not stand: tried by the plain search for what the lines hold."""

import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from alongside.cli.examples import example_stay
from alongside.cycle.advance import Memory, advance
from alongside.cycle.advice.standing_rounds import stood_by
from alongside.cycle.advice.trial import Trial, winds_to_meet
from alongside.cycle.chart_history import Past
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import picture_of, series_names, series_values
from alongside.cycle.plausibility.model import MINUTES
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast, MoveAhead, RoundAhead
from alongside.mechanics.holding import weakest_from
from alongside.mechanics.situation import Situation
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.model import TidePlan
from alongside.stay.read import read_stay
from tests.berth import START, a_stay
from tests.worlds import AWKWARD_TEXT

EXAMPLES: Final = ("coal_berth", "coaster_quay", "product_jetty")
FEW_LINES: Final = "few_lines"
GUST: Final = 0.87
AROUND: Final = np.arange(-15.0, 15.1, 2.5)
CHANNELS: Final = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_gust", "wind_from")
SECONDS: Final = 90


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


def readings(at: float, values: tuple[float, ...], seconds: int) -> Readings:
    value = np.tile(values, (seconds, 1))
    good = np.full(value.shape, Quality.GOOD, dtype=np.int8)
    plain = np.full(value.shape, Reason.NONE, dtype=np.int8)
    return Readings(at + np.arange(seconds), CHANNELS, value, good, plain, np.zeros(value.shape))


def watched(
    basis: Basis, hours: float, wind: tuple[float, float, float], offsets: Floats, tide: float
) -> tuple[Picture, Floats, Situation]:
    """Return what is shown once alerts stand, the lengths and the instant: so many hours after making fast,
    as planned, the lines longer by `offsets`, in a wind (mean, gust, from)."""
    at = fast_at(basis) + hours * 3600.0
    plan = planned_present(basis.stay, basis.arrangement, at)
    here = (plan.tide + tide, plan.draught_fwd, plan.draught_aft, *wind)
    memory, _ = advance(basis, Memory.at_start(basis.stay), readings(at, here, 2))
    lengths = plan.unstretched + offsets[: plan.unstretched.size]
    memory = replace(memory, lengths=replace(memory.lengths, unstretched=lengths))
    memory, block = advance(basis, memory, readings(at + 2.0, here, SECONDS))
    heard = replace(memory.plausibility, minutes=((0.0, ()),) * MINUTES)
    past = Past(series_names(basis, CHANNELS))
    past.add(block.readings.time, series_values(basis, block))
    picture = picture_of(basis, block, replace(memory, plausibility=heard), past, (), ())
    last = len(block.situation) - 1
    return picture, memory.lengths.unstretched, block.situation.rows(last, last + 1)


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


def share(basis: Basis, here: Situation, lengths: Floats) -> tuple[float, float]:
    """The wind, gusts included, by what is held from the worst direction within 15 deg; and that, m/s."""
    wind = max(float(here.wind_speed[0]), GUST * float(here.wind_gust[0]))
    come_from = (here.wind_from[0] + AROUND) % 360.0
    rows = np.zeros(AROUND.size, dtype=np.intp)
    holds, _ = weakest_from(basis.arrangement, here.at(rows), lengths, come_from, basis.criteria)
    least = float(holds.min())
    return (wind / least if least > 0.0 else np.inf), least


def judged(basis: Basis, here: Situation, lengths: Floats, deeds: dict[str, float]) -> None:
    """Fail where deeds bring the wind over the caution share, or lower what is held while it is over."""
    after = lengths.copy()
    for line, metres in deeds.items():
        after[basis.arrangement.ids.index(line)] += metres
    caution = basis.stay.limits.holding_share.caution
    assert caution is not None
    (now, holds_now), (then, holds_then) = (share(basis, here, each) for each in (lengths, after))
    if then >= caution:
        assert now >= caution, f"{deeds} brings the wind over: {now:.2f} to {then:.2f}"
        assert holds_then >= holds_now - 0.1, (
            f"{deeds} lowers what is held: {holds_now:.2f} to {holds_then:.2f}"
        )


WINDS = st.tuples(st.floats(3.0, 26.0), st.floats(1.0, 1.35), st.floats(0.0, 359.0)).map(
    lambda wind: (wind[0], wind[0] * wind[1], wind[2])
)
OFFSETS = st.lists(st.floats(-0.9, 0.5), min_size=16, max_size=16).map(np.array)


@pytest.mark.parametrize("name", [*EXAMPLES, FEW_LINES])
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(hours=st.floats(0.5, 12.0), wind=WINDS, offsets=OFFSETS, tide=st.floats(-0.4, 0.4))
def test_no_deed_that_is_advised_takes_what_holds_her(
    name: str,
    tmp_path_factory: pytest.TempPathFactory,
    hours: float,
    wind: tuple[float, float, float],
    offsets: Floats,
    tide: float,
) -> None:
    basis = basis_of(name, Path(tmp_path_factory.getbasetemp()))
    picture, lengths, here = watched(basis, hours, wind, offsets, tide)
    deeds = deeds_of(picture.advice.text)
    event("deed" if deeds else picture.advice.large.rstrip("0123456789, +"))
    if deeds:
        judged(basis, here, lengths, deeds)


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
    wind: tuple[float, float, float],
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
        judged(basis, here, lengths, {move.line: move.pay_out_m for move in tended})
    else:
        assert {each.why for each in shown.tending.cannot_cure} == {"wind"}
