"""A limit past in a calm, through the whole cycle: either its own alert stands, or the alarm on the wind
does."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.alerts.over_brake import OverBrake
from alongside.cycle.advance import advance
from alongside.cycle.brakes.two_states import SlippedState
from alongside.cycle.holding_now import HoldingNow
from alongside.cycle.memory import Memory
from alongside.cycle.other_states import BY_LENGTHS, OtherState, OtherStates
from alongside.cycle.worse_holding import worse_holding
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import WeakSpot
from alongside.stay.model import StageLimits, Stay
from alongside.stay.stage import Stage
from alongside.units import KNOT
from tests.berth import a_stay
from tests.worlds import AWKWARD_TEXT, Watched, awkward_stay, readings, watched

CALM = (1.0, 160.0)
ON, ASTERN, AHEAD = ((55.0 * KNOT, come_from) for come_from in (160.0, 70.0, 250.0))
"""Winds, m/s and deg true: 55 kn onto the quay and along it."""
REACH = StageLimits(0.12, 0.18, 0.24)
"""m: in a calm she lies 0.26 m astern of her place, in 55 kn onto the quay 0.22 m, from astern farther."""
BRAKE_KN = 25.0
"""In a calm line 1 bears 25.2 kN, in 55 kn from ahead 12 kN."""


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return awkward_stay(tmp_path_factory.mktemp("awkward"))


def short_of_reach(stay: Stay) -> Stay:
    return replace(stay, limits=replace(stay.limits, surge_m=REACH))


@pytest.fixture(scope="module")
def worn(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    text = AWKWARD_TEXT.replace("brake_kn: 120", f"brake_kn: {BRAKE_KN}")
    return a_stay(tmp_path_factory.mktemp("worn"), text)


def stages(seen: Watched) -> dict[str, Stage]:
    """Return the worst stage of each of these causes that stands."""
    found: dict[str, Stage] = {}
    for alert in seen.memory.watchlist.alerts.values():
        if alert.cause in ("holding", "drift", "brake", "load", "stretch", "bollard"):
            found[alert.cause] = max(alert.active_stage, found.get(alert.cause, Stage.NORMAL))
    return {cause: stage for cause, stage in found.items() if stage}


def test_her_reach_past_in_a_calm_is_one_alarm(stay: Stay) -> None:
    assert stages(watched(short_of_reach(stay), readings(wind=CALM))) == {"drift": Stage.ALARM}


@pytest.mark.parametrize(("wind", "drift"), [(ON, Stage.WARNING), (ASTERN, Stage.ALARM)])
def test_her_reach_past_in_55_kn_is_an_alarm_of_holding(
    stay: Stay, wind: tuple[float, float], drift: Stage
) -> None:
    """Whether the wind takes her back within reach, or still farther."""
    seen = watched(short_of_reach(stay), readings(wind=wind))
    assert stages(seen) == {"drift": drift, "holding": Stage.ALARM}
    alert = seen.memory.watchlist.alerts["holding", ""]
    assert alert.text.startswith("Over limit without wind: drift")
    assert seen.picture().advice.large == "CALL MASTER"


def test_a_line_over_its_brake_in_a_calm_is_one_alarm(worn: Stay) -> None:
    assert stages(watched(worn, readings(wind=CALM))) == {"brake": Stage.ALARM}


def test_a_line_over_its_brake_in_a_calm_that_the_wind_eases_is_an_alarm_of_holding(worn: Stay) -> None:
    seen = watched(worn, readings(wind=AHEAD))
    assert stages(seen) == {"holding": Stage.ALARM}
    alert = seen.memory.watchlist.alerts["holding", ""]
    assert alert.text.startswith("Over limit without wind: brake of line 1")
    assert seen.picture().advice.large == "CALL MASTER"


def test_so_it_is_where_that_brake_is_in_question_from_the_calm_before(worn: Stay) -> None:
    """Its alarm asks to look at the winch, and may have been acknowledged hours ago."""
    seen = watched(worn, readings(seconds=400, wind=CALM))
    assert seen.memory.lengths.brakes.asked == ("1",)
    heard = readings(wind=AHEAD, start=float(seen.block.readings.time[-1]) + 1.0)
    memory, _ = advance(seen.basis, seen.memory, heard)
    alert = memory.watchlist.alerts["holding", ""]
    assert alert.active_stage is Stage.ALARM
    assert alert.text.startswith("Over limit without wind if brake 1 ")


OVER, EASED = CALM, AHEAD


@pytest.mark.parametrize(
    ("held", "slipped", "share", "did"),
    [
        (OVER, OVER, -np.inf, "held"),
        (OVER, EASED, np.inf, "slipped"),
        (EASED, OVER, np.inf, "held"),
        (EASED, EASED, np.inf, "held"),
    ],
)
def test_each_state_is_asked_by_its_own_loads(
    worn: Stay, held: tuple[float, float], slipped: tuple[float, float], share: float, did: str
) -> None:
    """Where one of two states holds her in no wind and no alert says so, the alarm goes by that one."""
    basis = Basis.of(worn)
    past = HoldingNow(
        np.array([np.inf]),
        np.array([WeakSpot("brake", "1", 0.0)], dtype=np.object_),
        None,
        np.array([np.inf]),
        np.array([0.0]),
    )

    def state(wind: tuple[float, float]) -> OtherState:
        _, block = advance(basis, Memory.at_start(worn), readings(seconds=1, wind=wind))
        return OtherState(block.situation, block.hold, BY_LENGTHS, past)

    one, other = state(held), state(slipped)
    in_question = OverBrake(np.array([[0.1, *[np.nan] * 5]]), np.array([[26.0, *[np.nan] * 5]]))
    others = OtherStates(None, other, SlippedState(other.hold, in_question))
    worse = worse_holding(basis, readings(seconds=1), one, others)
    assert worse.share is not None
    assert worse.gust_share is not None
    assert worse.weak is not None
    assert worse.share.tolist() == worse.gust_share.tolist() == [share]
    assert [spot.if_brakes for spot in worse.weak] == [did]
