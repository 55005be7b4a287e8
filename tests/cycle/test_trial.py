"""Deeds tried on the mechanics: by how much, whether the wind allows it, and what has moved a line."""

from dataclasses import replace
from math import isnan

import numpy as np
import pytest
from scipy import optimize

from alongside.alerts.model import Event
from alongside.cli.examples import example_stay
from alongside.cycle.advice.deed_metres import STEP_M
from alongside.cycle.advice.movers import Movers
from alongside.cycle.advice.trial import Trial, Wind, winds_to_meet
from alongside.cycle.picture import History
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Display
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import unix_time
from tests.cycle.test_advice import alert, line, said

OFF_THE_QUAY = 160.0
KNOTS = Display(speed="kn")


@pytest.fixture(scope="module")
def basis() -> Basis:
    return Basis.of(read_stay(example_stay("coal_berth")))


def at(basis: Basis, clock: str, wind: float, gust: float = 0.0) -> tuple[Situation, Floats]:
    """The coal berth as planned at a time of 20 March, in a wind off the quay, m/s; and its lengths."""
    present = planned_present(basis.stay, basis.arrangement, unix_time(f"2026-03-20T{clock}:00Z"))
    here = present.in_wind(wind, OFF_THE_QUAY).situation()
    return replace(here, wind_gust=np.array([max(wind, gust)])), present.unstretched


def trial_at(basis: Basis, clock: str, wind: float, gust: float = 0.0) -> Trial:
    here, lengths = at(basis, clock, wind, gust)
    return Trial(basis, here, lengths, winds_to_meet(here))


def nearness(trial: Trial, column: int, metres: float) -> float:
    """How near a line slacked by so much is to its cautions, by the mechanics; 1 where one is reached."""
    lengths = trial.lengths.copy()
    lengths[column] += metres
    lines = hold(trial.basis.arrangement, trial.situation, lengths).lines
    brake = lines.tension_kn[0, column] / trial.basis.arrangement.brake_kn[column]
    return float(max(lines.stretch_share[0, column], lines.load_share[0, column], brake) / 0.70)


def test_a_line_is_slacked_just_below_its_cautions(basis: Basis) -> None:
    trial, column = trial_at(basis, "04:15", 4.0), basis.arrangement.ids.index("4")
    metres = trial.metres.to_slack("4")
    assert metres == pytest.approx(round(metres / STEP_M) * STEP_M)
    assert nearness(trial, column, metres) < 1.0 <= nearness(trial, column, metres - STEP_M)


def test_metres_are_those_that_serve_whether_or_not_brakes_slipped(basis: Basis) -> None:
    """With breast 10 longer, as if its brake had slipped, line 4 wants other metres: the more count."""
    trial, at_10 = trial_at(basis, "04:15", 4.0), basis.arrangement.ids.index("10")
    slipped = trial.lengths.copy()
    slipped[at_10] += 0.5
    alone, other = (Trial(basis, trial.situation, lengths) for lengths in (trial.lengths, slipped))
    both = Trial(basis, trial.situation, trial.lengths, if_slipped=slipped)
    swapped = Trial(basis, trial.situation, slipped, if_slipped=trial.lengths)
    assert other.metres.to_slack("4") != alone.metres.to_slack("4")
    metres = both.metres.to_slack("4")
    assert metres == max(each.metres.to_slack("4") for each in (alone, other))
    assert swapped.metres.to_slack("4") == metres
    column = basis.arrangement.ids.index("4")
    assert max(nearness(each, column, metres) for each in (alone, other)) < 1.0


def test_a_deed_must_stand_in_both_states(basis: Basis) -> None:
    """Slacking 4 is allowed as it lies, not with line 1 a metre longer."""
    trial, at_1 = trial_at(basis, "04:00", 17.0), basis.arrangement.ids.index("1")
    slipped = trial.lengths.copy()
    slipped[at_1] += 1.0
    deed = {"4": 0.45}
    alone, other = (
        Trial(basis, trial.situation, lengths, trial.winds).refusal(deed)
        for lengths in (trial.lengths, slipped)
    )
    assert alone is None
    assert other is not None
    assert Trial(basis, trial.situation, trial.lengths, trial.winds, slipped).refusal(deed) == other
    assert Trial(basis, trial.situation, slipped, trial.winds, trial.lengths).refusal(deed) == other


def test_metres_go_by_the_load_of_a_cell_that_measures_more(basis: Basis) -> None:
    """Line 4 carries half as much again as computed: the metres are those of a line as much shorter, here
    sought with scipy, and 0.05 m less would not do."""
    trial, column = trial_at(basis, "04:15", 4.0), basis.arrangement.ids.index("4")
    computed = hold(basis.arrangement, trial.situation, trial.lengths).lines.tension_kn[0]
    cells = np.full(computed.size, np.nan)
    cells[column] = 1.5 * computed[column]

    def load(shorter: float) -> float:
        lengths = trial.lengths.copy()
        lengths[column] -= shorter
        return float(hold(basis.arrangement, trial.situation, lengths).lines.tension_kn[0, column])

    shorter = optimize.brentq(lambda metres: load(metres) - cells[column], 0.0, 2.0)
    measured = Trial(basis, trial.situation, trial.lengths, cell_kn=cells)
    metres = measured.metres.to_slack("4")
    assert metres > trial.metres.to_slack("4")
    assert nearness(trial, column, metres - shorter) < 1.01
    assert nearness(trial, column, metres - shorter - STEP_M) > 0.99
    less = Trial(basis, trial.situation, trial.lengths, cell_kn=np.where(np.isnan(cells), np.nan, 1.0))
    assert less.metres.to_slack("4") == trial.metres.to_slack("4")


def test_a_line_that_cannot_be_known_has_no_metres(basis: Basis) -> None:
    trial = trial_at(basis, "04:15", 4.0)
    unknown = replace(trial.situation, tide=np.array([np.nan]))
    assert isnan(Trial(basis, unknown, trial.lengths, trial.winds).metres.to_slack("4"))
    assert Trial(basis, unknown, trial.lengths, trial.winds).refusal({"4": 0.5}) is None


def test_slacking_is_refused_in_a_squall_off_the_quay_and_not_in_light_airs(basis: Basis) -> None:
    squall = trial_at(basis, "04:00", 23.0).refusal({"4": 0.45})
    assert squall is not None
    assert (squall.wind.kind, squall.by) == ("now", "holding")
    assert trial_at(basis, "04:00", 4.0).refusal({"4": 0.45}) is None
    assert trial_at(basis, "04:00", 23.0).refusal({}) is None


def test_a_gust_of_ten_minutes_ago_still_counts(basis: Basis) -> None:
    gusts = trial_at(basis, "04:00", 8.0, gust=29.0).refusal({"4": 0.45})
    assert gusts is not None
    assert gusts.wind.words(KNOTS) == "wind 16 kn, gusts 56 kn"


def test_the_wind_of_the_last_half_hour_is_expected_to_come_back(basis: Basis) -> None:
    here, lengths = at(basis, "04:00", 3.0)
    time = float(here.time[0]) - np.arange(1800.0, 0.0, -10.0)
    past = History(time, {"wind_speed": np.full(180, 22.0), "wind_from": np.full(180, OFF_THE_QUAY)})
    refusal = Trial(basis, here, lengths, winds_to_meet(here, past)).refusal({"4": 0.45})
    assert refusal is not None
    assert refusal.wind.words(KNOTS) == "wind 43 kn expected"


def test_a_wind_from_nobody_knows_where_is_tried_all_round() -> None:
    unknown = Wind(20.0, float("nan"))
    basis = Basis.of(read_stay(example_stay("coal_berth")))
    here, lengths = at(basis, "04:00", 20.0)
    winds = winds_to_meet(replace(here, wind_from=np.array([np.nan])))
    assert len(winds) == 12
    assert {wind.speed_ms for wind in winds} == {unknown.speed_ms}
    assert Trial(basis, here, lengths, winds).refusal({"4": 0.45}) is not None


def test_a_second_tight_line_does_not_keep_the_first_from_being_slacked(basis: Basis) -> None:
    """In light airs both are tight by the tide: what is held is nothing with one of them slacked, and no
    less than before."""
    trial = trial_at(basis, "04:15", 5.0)
    lengths = trial.lengths.copy()
    for name in ("4", "10"):
        lengths[basis.arrangement.ids.index(name)] -= 0.6
    tight = Trial(basis, trial.situation, lengths, trial.winds)
    metres = tight.metres.to_slack("4")
    assert metres > 0.5
    assert tight.refusal({"4": metres}) is None


@pytest.mark.parametrize(
    ("stage", "value", "escalated", "large", "start"),
    [
        (Stage.WARNING, 0.88, False, "DO NOT SLACK", "Do not slack, wind 45 kn: line 4 stretch 88 %"),
        (Stage.ALARM, 0.88, True, "DO NOT SLACK", "Do not slack, wind 45 kn: line 4 stretch 88 %"),
        (
            Stage.ALARM,
            1.02,
            False,
            "CALL MASTER",
            "Line 4 at its limit and needed: tug to push on, then slack; stretch 102 % (limit 100 %)",
        ),
    ],
)
def test_a_tight_line_in_a_squall(
    basis: Basis, stage: Stage, value: float, escalated: bool, large: str, start: str
) -> None:
    limit = 1.0 if value > 1.0 else 0.85
    stood = alert("stretch", "4", stage, value, limit=limit, escalated=escalated)
    advice = said([stood], [line("4", value, 0.05)], trial=trial_at(basis, "04:00", 23.0))
    assert (advice.large, advice.stage) == (large, stage)
    assert advice.text.startswith(start)
    assert advice.by == ""


def test_a_tight_line_in_light_airs_is_slacked_by_metres(basis: Basis) -> None:
    trial = trial_at(basis, "04:15", 4.0)
    advice = said([alert("stretch", "4", Stage.WARNING, 0.88)], [line("4", 0.88)], trial=trial)
    assert advice.large == "SLACK 4"
    assert advice.by == f"{trial.metres.to_slack('4'):.2f} m"
    assert advice.text.startswith(f"Slack line 4 by {advice.by}: stretch 88 %")


def test_no_breast_is_heaved_against_a_squall(basis: Basis) -> None:
    off = alert("off_fenders", "", Stage.WARNING, 0.29, limit=0.15)
    rows = [line("4", share=0.2), line("10", share=0.3)]
    rows = [replace(row, role="breast") for row in rows]
    assert said([off], rows, trial=trial_at(basis, "04:00", 27.0)).large == "CALL MASTER"


def past_of(here: Situation, minutes: float, **changed: float) -> History:
    """Two rows of the past at which line 4 was within its limits, with what was otherwise then."""
    names = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_from")
    then = {name: float(getattr(here, name)[0]) for name in names} | changed | {"stretch_share.4": 0.6}
    time = float(here.time[0]) - 60.0 * np.array([minutes + 10.0, minutes])
    return History(time, {name: np.full(2, value) for name, value in then.items()})


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"tide": 1.6}, " with the tide"),
        ({"draught_fwd": 10.9, "draught_aft": 11.0}, " as draught decreases"),
        ({"wind_speed": 2.0}, " with the wind"),
        ({}, ""),
    ],
)
def test_what_has_moved_a_line_is_what_moved_it_most(
    basis: Basis, changed: dict[str, float], words: str
) -> None:
    here, lengths = at(basis, "04:00", 26.0)
    movers = Movers(basis, here, lengths, past_of(here, 20.0, **changed))
    assert movers.of("4", 0.85) == words


def test_a_neighbour_that_was_slacked_or_parted_is_named(basis: Basis) -> None:
    here, lengths = at(basis, "04:00", 26.0)
    now = float(here.time[0])
    slacked = lengths.copy()
    slacked[basis.arrangement.ids.index("5")] += 1.5
    tended = Event(now - 300.0, "tended", line="5", value=1.5)
    movers = Movers(basis, here, slacked, past_of(here, 20.0), (tended,))
    assert movers.of("4", 0.85) == " since line 5 was slacked"
    assert Movers(basis, here, slacked, past_of(here, 3.0), (tended,)).of("4", 0.85) != "", "not just now"
    gone = Event(now - 300.0, "raised", "parted", "5", Stage.ALARM, "5")
    assert Movers(basis, here, lengths, past_of(here, 20.0), (gone,)).of("4", 0.85) == " since line 5 parted"
