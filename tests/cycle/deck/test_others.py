"""Tugs and cargo: what was entered, in the balance, the look ahead, and taken back. Expected values: ours."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import ChangeCargo, Correct, LetTugGo, PutTug
from alongside.cycle.deck.altered import CargoNow
from alongside.cycle.deck.cargo import plan_after
from alongside.errors import WrongInput
from alongside.forecast.expected.draught import draughts_ahead
from alongside.forecast.expected.draughts import masses_on_board
from alongside.forecast.present import Heard, Present, nothing_heard
from alongside.stay.model import CargoOperation
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch

HOUR = 3600.0
PLAN = (
    CargoOperation("Hold 1", 0.0, 1200.0, 600.0, 60.0),
    CargoOperation("Hold 3", HOUR, -900.0, 300.0, 20.0),
)
"""Hold 1 from 0 to 2 h, Hold 3 from 1 to 4 h."""


def moved(cargo: CargoNow, hours: float) -> float:
    return float(masses_on_board(cargo.plan, [hours * HOUR]).sum())


def after(*deeds: tuple[float, ChangeCargo]) -> CargoNow:
    now = CargoNow(PLAN)
    for at, deed in deeds:
        now, _ = plan_after(now, deed, at * HOUR)
    return now


def test_stopped_nothing_more_is_moved_and_begun_again_the_rest_is() -> None:
    stopped = after((1.5, ChangeCargo("stopped")))
    assert moved(stopped, 1.5) == pytest.approx(900.0 - 150.0)  # t: 1.5 h at 600, 0.5 h at -300
    assert moved(stopped, 9.0) == pytest.approx(moved(stopped, 1.5))
    begun = after((1.5, ChangeCargo("stopped")), (3.0, ChangeCargo("begun")))
    assert moved(begun, 3.0) == pytest.approx(750.0)
    assert moved(begun, 3.5) == pytest.approx(750.0 + 300.0 - 150.0)
    assert moved(begun, 20.0) == pytest.approx(300.0), "in the end all of it"


def test_what_had_not_begun_when_all_stopped_begins_as_much_later() -> None:
    begun = after((0.5, ChangeCargo("stopped")), (2.0, ChangeCargo("begun")))
    (third,) = (each for each in begun.plan if each.name == "Hold 3")
    assert third.start == pytest.approx(2.5 * HOUR)


def test_one_operation_at_another_rate() -> None:
    slower = after((1.0, ChangeCargo("rate", "Hold 1", 200.0)))
    assert moved(slower, 1.0) == pytest.approx(600.0)
    assert moved(slower, 2.0) == pytest.approx(600.0 + 200.0 - 300.0)
    assert max(each.end for each in slower.plan if each.name == "Hold 1") == pytest.approx(4.0 * HOUR)


def test_done_is_done_with_what_was_moved_by_then() -> None:
    done = after((1.5, ChangeCargo("done", "Hold 3")))
    assert moved(done, 9.0) == pytest.approx(1200.0 - 150.0)


def test_the_next_is_begun_before_its_time() -> None:
    early = after((0.5, ChangeCargo("begun")))
    assert {each.name: each.start for each in early.plan} == {"Hold 1": 0.0, "Hold 3": 0.5 * HOUR}


@pytest.mark.parametrize(
    ("deed", "why"),
    [
        (
            ChangeCargo("stopped", "Hold 7"),
            "there is no operation Hold 7 to be stopped, expected Hold 1, Hold 3",
        ),
        (ChangeCargo("rate"), "at which rate"),
        (ChangeCargo("begun", "Hold 7"), "there is no operation Hold 7"),
    ],
)
def test_what_the_plan_has_not_is_refused(deed: ChangeCargo, why: str) -> None:
    with pytest.raises(WrongInput, match=why):
        after((0.5, deed))
    with pytest.raises(WrongInput, match="no cargo plan"):
        plan_after(CargoNow(()), deed, 0.0)


def test_the_look_ahead_stands_still_once_cargo_has_stopped_whatever_the_pace_was() -> None:
    stay = read_stay(Path(__file__).parents[3] / "configs" / "coal_berth.yaml")
    begin, at = stay.cargo[0].start, stay.cargo[0].start + 3.0 * HOUR
    time = np.arange(begin, at + 1.0, 300.0)
    sinking = 8.0 + (time - begin) / HOUR * 0.3
    nothing = np.full(time.size, np.nan)
    heard = Heard(time, nothing + 2.0, sinking, sinking + 0.2, nothing, nothing, nothing)
    present = replace(a_present(at), draught_fwd=float(sinking[-1]), draught_aft=float(sinking[-1]) + 0.2)
    present = replace(present, heard=heard)
    ahead = at + np.arange(0.0, 4.0) * HOUR
    going = draughts_ahead(stay, present, ahead, 5, np.random.default_rng(1))
    cargo, _ = plan_after(CargoNow(stay.cargo), ChangeCargo("stopped"), at)
    still = replace(stay, cargo=cargo.plan, cargo_as_of=cargo.as_of)
    stands = draughts_ahead(still, present, ahead, 5, np.random.default_rng(1))
    assert abs(going.fwd[0, -1] - going.fwd[0, 0]) > 0.2
    np.testing.assert_allclose(stands.fwd, present.draught_fwd, atol=1e-6)
    none = draughts_ahead(replace(still, cargo=()), present, ahead, 5, np.random.default_rng(1))
    np.testing.assert_allclose(none.fwd, present.draught_fwd, atol=1e-6)


def a_present(at: float) -> Present:
    calm = (0.0, 0.0, 0.0, 0.0)
    return Present(at, 2.0, 8.0, 8.2, 0.0, False, *calm, unstretched=np.zeros(0), heard=nothing_heard())


def test_a_tug_pushes_her_on_until_she_is_let_go_or_taken_back(tmp_path: Path) -> None:
    stay = a_stay(tmp_path, STAY_TEXT.replace("balance: off", ""))
    watch = Watch(stay, None).run(4)
    free = sum(fender.reaction_kn for fender in watch.last.fenders)
    watch.run(1, {5: PutTug("bow", 200.0, 40.0, "RV")})
    pushed = sum(fender.reaction_kn for fender in watch.last.fenders)
    assert pushed - free == pytest.approx(200.0, abs=15.0)  # kN, but for what the breast eases
    assert "Tug bow pushing on with 20.4 t at 40.0 m (RV)" in [event.text for event in watch.last.log]
    watch.run(1, {6: LetTugGo("bow", "RV")})
    assert sum(fender.reaction_kn for fender in watch.last.fenders) == pytest.approx(free, abs=1.0)
    watch.run(1, {7: Correct(line="tug", by="TK")})
    assert sum(fender.reaction_kn for fender in watch.last.fenders) == pytest.approx(pushed, abs=1.0)
    watch.run(1, {8: Correct(line="tug", by="TK")})
    assert watch.last.deck.tugs == ()
    watch.run(1, {9: Correct(line="tug", by="TK")})
    assert watch.last.log[-1].text == "Tug: not done: nothing was entered that can be taken back"


def test_tugs_are_there_after_a_resume(tmp_path: Path) -> None:
    stay, folder = a_stay(tmp_path, STAY_TEXT.replace("balance: off", "")), tmp_path / "record"
    Watch(stay, folder).run(6, {5: PutTug("bow", 200.0, 40.0, "RV")}).kill()
    again = Watch(stay, folder, 6.0).run(1)
    assert [each.name for each in again.last.deck.tugs] == ["bow"]
    assert again.last.stay.tugs[0].on_kn == 200.0
    again.run(1, {8: Correct(line="tug")}).end()
    assert again.last.stay.tugs == ()
