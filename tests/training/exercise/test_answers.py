"""What orders change of the exercise: worked by hand on the small one, whose two holds discharge at 500 t/h,
the first from half an hour before the log begins."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Action, CallOut, ChangeCargo, Done, LineGone, Note, ReadByHand
from alongside.stay.model import GaugeFault
from alongside.training.exercise.answers import as_met, as_read, deeds_of, met_by, without_effect
from alongside.training.exercise.cargo import draught_shift
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import CargoRate, Exercise
from tests.berth import START
from tests.training.exercise.lived import END, flood, second, write_exercise

TROUBLE = f"""\
  - {{kind: frozen, channel: tide, at: {second(1000)}, seconds: 2400}}
  - {{kind: silent, channel: draught_fwd, at: {second(2000)}, seconds: 600}}
  - {{kind: parted_line, line: "3", at: {second(2000)}}}
"""
CREW = "crew: {hands: 2, minutes_per_line: 5, cargo_min: 2, engineer_min: 10, reading_min: 3}"


@pytest.fixture(scope="module")
def exercise(tmp_path_factory: pytest.TempPathFactory) -> Exercise:
    return read_exercise(write_exercise(tmp_path_factory.mktemp("met"), TROUBLE, tide=flood, more=CREW))


def met(exercise: Exercise, *orders: tuple[float, Action]) -> Exercise:
    return as_met(exercise, met_by(exercise, [Done(START + at, action) for at, action in orders]))


def troubles(exercise: Exercise) -> dict[str, float]:
    return {each.channel: each.seconds for each in exercise.injections if isinstance(each, GaugeFault)}


def test_a_gauge_works_ten_minutes_after_the_engineer_was_told(exercise: Exercise) -> None:
    told = met(exercise, (1200, CallOut("engineer", "tide")))
    assert troubles(told) == {"tide": 200.0 + 600.0, "draught_fwd": 600.0}


@pytest.mark.parametrize(
    ("at", "call"),
    [
        (950, CallOut("engineer", "tide")),  # it works still
        (1200, CallOut("engineer", "")),  # which gauge?
        (1200, CallOut("engineer", "draught_fwd")),
        (1200, CallOut("master", "tide")),
        (2900, CallOut("engineer", "tide")),  # it works again before he is there
    ],
)
def test_no_other_call_mends_it(exercise: Exercise, at: float, call: CallOut) -> None:
    assert met(exercise, (at, call)) is exercise


def rates(exercise: Exercise) -> list[CargoRate]:
    return [each for each in exercise.injections if isinstance(each, CargoRate)]


def test_cargo_stops_two_minutes_after_the_order_and_goes_on(exercise: Exercise) -> None:
    changed = met(
        exercise,
        (1200, ChangeCargo("stopped")),
        (2000, ChangeCargo("begun", "hold 1")),
        (2500, ChangeCargo("rate", "hold 1", 250.0)),
    )
    assert rates(changed) == [
        CargoRate("hold 1", START + 1320, 0.0),
        CargoRate("hold 2", START + 1320, 0.0),
        CargoRate("hold 1", START + 2120, 1.0),
        CargoRate("hold 1", START + 2620, 0.5),
    ]


def test_draughts_stand_still_while_cargo_is_stopped(exercise: Exercise) -> None:
    """Discharging 500 t/h at 10 t/cm she rises 0.5 m an hour; stopped she is deeper than planned by what was
    not discharged, until that is made good: by plan the hold is empty at `slow`. Trim makes no difference to
    the mean at the centre of flotation."""
    stop, go, slow = START + 1800.0, START + 3600.0, START + 5400.0
    shift = draught_shift(
        exercise.stay,
        [CargoRate("hold 1", go, 1.0), CargoRate("hold 1", stop, 0.0), CargoRate("hold 1", slow, 0.5)],
    )
    times = np.array([stop, stop + 1800.0, go, slow, slow + 1200.0])
    marks = exercise.stay.ship.marks
    fwd, aft = shift["draught_fwd"](times), shift["draught_aft"](times)
    lcf = 40.0
    mean = aft + (fwd - aft) * (lcf - marks.aft) / (marks.fwd - marks.aft)
    assert mean == pytest.approx([0.0, 0.25, 0.25, 0.25, 0.25 - 0.5 / 6.0], abs=0.005)


def test_an_operation_stopped_before_its_time_does_not_begin(exercise: Exercise) -> None:
    shift = draught_shift(exercise.stay, [CargoRate("hold 2", START, 0.0)])
    begins, hour = START + 2.5 * 3600.0, 3600.0
    deeper = shift["draught_aft"](np.array([begins, begins + hour]))
    assert deeper[0] == pytest.approx(0.0, abs=1e-9)
    assert deeper[1] > 0.4


def test_nobody_parts_a_line_by_saying_so(exercise: Exercise) -> None:
    said = [
        Done(START + at, LineGone(line, "parted")) for at, line in ((1900, "3"), (2100, "3"), (2101, "1"))
    ]
    works = met_by(exercise, said)
    assert [work.why_not for work in works] == ["it has not parted", "", "it has not parted"]


def test_who_is_sent_to_read_reads_what_is_there(exercise: Exercise) -> None:
    asked = Done(START + 1500, ReadByHand((("tide", 9.0), ("draught_aft", 1.0)), START, by="TK"))
    (work,) = met_by(exercise, [asked])
    (deed,) = deeds_of([work], exercise.end)
    read = as_read(exercise, deed)
    assert read.time == START + 1680, "three minutes on"
    assert isinstance(read.action, ReadByHand)
    assert dict(read.action.values) == {"tide": pytest.approx(flood(1680), abs=0.026), "draught_aft": 4.5}
    assert read.action.at == START + 1680


def test_what_the_stay_has_no_gauge_for_cannot_be_read(exercise: Exercise) -> None:
    deed = Done(START + 1500, ReadByHand((("heel", 1.0),), START, by="TK"))
    assert as_read(exercise, deed).action == Note("Sent to look: nothing could be read", "TK")


def test_an_order_that_is_not_done_before_the_end_has_no_effect(exercise: Exercise) -> None:
    works = met_by(exercise, [Done(START + END - 10, ChangeCargo("stopped"))])
    assert deeds_of(works, exercise.end) == ()
    (late,) = without_effect(works, exercise.end)
    assert late.why == "not done before the end"


def test_orders_before_the_exercise_are_nobodys(exercise: Exercise) -> None:
    assert met_by(exercise, [Done(exercise.start - 1.0, CallOut("engineer", "tide"))]) == ()
    assert met(replace(exercise, injections=()), (1200, CallOut("engineer", "tide"))).injections == ()


def test_the_small_exercise_is_read_with_its_crew(tmp_path: Path) -> None:
    read = read_exercise(
        write_exercise(tmp_path, "", more="crew: {hands: 3, tugs: 0}\npace: 10\npass_mark: 60")
    )
    assert (read.crew.hands, read.crew.tugs, read.pace, read.pass_mark) == (3, 0, 10.0, 60)
    assert read.crew.minutes_per_line == read.stay.outlook.minutes_per_line
