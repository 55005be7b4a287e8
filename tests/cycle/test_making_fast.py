"""When lines are made fast, together or later, the same live and before arrival, however the log is cut."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import LineHistory, line_history
from alongside.cycle.memory import Memory
from alongside.forecast.before_arrival import planned_lengths
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.situation import Situation
from alongside.record.codec import from_plain, to_plain
from alongside.record.edited_stay import carried_over
from alongside.stay.making_fast import makings_fast, times_fast
from alongside.stay.model import Line, MadeFast, Stay, Tend
from alongside.stay.read import read_stay
from tests.mechanics.moored import blown
from tests.mechanics.stays import POLYESTER, Lead, afloat, stay_with

MINUTE = 60.0


def stay_of(*made: MadeFast, tended: tuple[Tend, ...] = ()) -> Stay:
    """A ship of eight lines, made fast as said; the last serves those beyond."""
    leads = [Lead((x, -9.0, 12.0), (40.0 + x, -20.0, 4.0)) for x in (20.0, 45.0, 75.0, 100.0)]
    leads += [
        Lead((x, -9.5, 12.0), (40.0 + x + run, -5.0, 4.0), POLYESTER, role="spring")
        for x, run in ((30.0, 40.0), (90.0, -40.0), (35.0, 40.0), (85.0, -40.0))
    ]
    stay = stay_with(leads, fenders=(70.0, 90.0, 110.0, 130.0))
    lines = tuple(replace(line, made_fast=made[min(at, len(made) - 1)]) for at, line in enumerate(stay.lines))
    first = replace(lines[0], tended=tended)
    return replace(stay, lines=(first, *lines[1:]))


def fast(minutes: float, tide: float | None = 1.0, settled: bool = True, kn: float = 100.0) -> MadeFast:
    return MadeFast(minutes * MINUTE, kn, tide, 6.0, 6.0, 0.0, settled=settled)


def through(stay: Stay, situation: Situation, *cuts: int) -> LineHistory:
    """The lines through all instants, in one block or cut into several."""
    arrangement, lengths = arrangement_of(stay), Lengths.before_all(stay)
    events = ()
    history = None
    for start, stop in zip((0, *cuts), (*cuts, len(situation)), strict=True):
        part = situation.rows(start, stop)
        good = np.ones(len(part), dtype=bool)
        history = line_history(stay, arrangement, lengths, part, (), start > 0, good)
        lengths, events = history.lengths, events + history.events
    assert history is not None
    return replace(history, events=events)


def minutes(n: int, tide: float | np.ndarray = 1.0, wind: float = 0.0) -> Situation:
    """n instants a minute apart, from 0; wind off the berth."""
    return replace(blown(n, tide=tide, wind=(wind, 180.0)), time=np.arange(n) * MINUTE)


def test_lines_within_an_hour_of_the_first_are_fast_at_the_last_of_their_times() -> None:
    stay = stay_of(fast(0), fast(10, tide=1.1), fast(60, tide=1.5), fast(10))
    (making,) = makings_fast(stay)
    assert (making.at, making.tide, making.lies) == (60 * MINUTE, 1.5, "on_fenders")
    assert times_fast(stay) == (60 * MINUTE,) * 8
    before = through(stay, minutes(60, tide=1.5))
    assert not any(before.lengths.fast)
    after = through(stay, minutes(61, tide=1.5))
    assert all(after.lengths.fast)
    assert after.hold.lines.tension_kn[-1] == pytest.approx([100.0] * 8, rel=1e-4)


def test_one_made_fast_later_is_one_of_its_own_in_the_wind_of_then() -> None:
    stay = stay_of(fast(0), fast(61, kn=80.0), fast(20))
    first, later = makings_fast(stay)
    assert (first.at, first.lines) == (20 * MINUTE, (0, 2, 3, 4, 5, 6, 7))
    assert (later.at, later.lines, later.lies) == (61 * MINUTE, (1,), "in_balance")
    windy = through(replace(stay, ship=_with_wind(stay)), minutes(62, wind=12.0))
    assert windy.hold.lines.tension_kn[-1, 1] == pytest.approx(80.0, rel=1e-5)
    assert windy.hold.lines.tension_kn[-1, 0] != pytest.approx(100.0, rel=1e-3)


def _with_wind(stay: Stay):
    from alongside.stay.model import WindAreas

    return replace(stay.ship, wind=WindAreas(350.0, 1300.0, 6.0))


@pytest.mark.parametrize("cuts", [(1,), (20,), (21,), (60, 61, 62), tuple(range(1, 90))])
def test_however_the_log_is_cut_lengths_are_the_same(cuts: tuple[int, ...]) -> None:
    tended = (Tend("1", 5 * MINUTE, 0.2), Tend("1", 70 * MINUTE, to_tension_kn=90.0))
    stay = stay_of(fast(0), fast(61, tide=None), fast(20, tide=None), tended=tended)
    situation = minutes(90, tide=np.linspace(1.0, 2.0, 90))
    whole, parts = through(stay, situation), through(stay, situation, *cuts)
    assert np.isfinite(whole.lengths.unstretched).all()
    assert parts.lengths.unstretched.tobytes() == whole.lengths.unstretched.tobytes()
    assert parts.lengths.tended == (2, 0, 0, 0, 0, 0, 0, 0)


def test_what_was_paid_out_before_the_last_was_fast_counts() -> None:
    stay = stay_of(fast(0), fast(20), tended=(Tend("1", 5 * MINUTE, 0.2),))
    plain = through(stay_of(fast(0), fast(20)), minutes(21)).lengths.unstretched
    assert through(stay, minutes(21)).lengths.unstretched - plain == pytest.approx(
        [0.2, *[0.0] * 7], abs=1e-12
    )


def test_before_arrival_lines_are_made_fast_as_by_the_watch() -> None:
    stay = stay_of(fast(0), fast(61), fast(20), tended=(Tend("1", 5 * MINUTE, 0.2),))
    planned = planned_lengths(stay, arrangement_of(stay), 3600.0 * 2)
    live = through(stay, minutes(90)).lengths.unstretched
    assert planned == pytest.approx(live, abs=1e-12)


@pytest.mark.parametrize("way", ["settled: false", "balance: off", "no fenders"])
def test_in_place_each_line_is_made_fast_at_its_own_time(way: str) -> None:
    stay = stay_of(fast(0, settled=way != "settled: false"), fast(20, settled=way != "settled: false"))
    if way == "balance: off":
        stay = replace(stay, balance=False)
    if way == "no fenders":
        stay = replace(stay, berth=replace(stay.berth, fenders=()))
    arrangement = arrangement_of(stay)
    in_place = unstretched_for(arrangement, afloat(1.0), np.full(8, 100.0))[0]
    history = through(stay, minutes(21))
    assert history.lengths.fast == (True,) * 8
    assert through(stay, minutes(20)).lengths.fast == (True, *(False,) * 7)
    assert history.lengths.unstretched.tobytes() == in_place.tobytes()


def test_where_no_fender_carries_the_pull_it_is_said_and_lengths_are_for_the_ship_in_place() -> None:
    stay = stay_of(fast(0))
    off = {name: replace(each, at=replace(each.at, y=80.0)) for name, each in stay.berth.bollards.items()}
    stay = replace(stay, berth=replace(stay.berth, bollards=off))
    history = through(stay, minutes(2))
    said = [event.text for event in history.events if "in place" in event.text]
    assert said == [
        "Lengths of lines 1, 2, 3, 4, 5, 6, 7, 8 are for the ship in place, just touching: "
        "no fender carries their pull"
    ]
    in_place = unstretched_for(arrangement_of(stay), afloat(1.0), np.full(8, 100.0))[0]
    assert history.lengths.unstretched == pytest.approx(in_place, abs=1e-12)


def test_a_watch_that_begins_long_after_does_not_take_its_wind_for_that_of_then() -> None:
    stay = stay_of(fast(0), fast(61))
    stay = replace(stay, ship=_with_wind(stay))
    calm, windy = (through(stay, minutes(300, wind=wind).rows(299, 300)) for wind in (0.0, 15.0))
    assert windy.lengths.unstretched == pytest.approx(calm.lengths.unstretched, abs=1e-12)


def test_lines_of_an_older_record_keep_their_lengths() -> None:
    """A record of a program that did not know `settled` says nothing of it: the file of now, which does, is
    no edit."""
    stay = read_stay(Path(__file__).parents[2] / "configs" / "coal_berth.yaml")
    assert all(line.made_fast.settled is True for line in stay.lines)
    plain = to_plain(stay)
    for line in plain["lines"]:
        del line["made_fast"]["settled"]
    before: Stay = from_plain(Stay, plain, "stay")
    assert {making.lies for making in makings_fast(before)} == {"in_place"}
    memory = Memory.at_start(before)
    lengths = replace(memory.lengths, unstretched=np.linspace(10.0, 40.0, 14), fast=(True,) * 14)
    carried = carried_over(replace(memory, lengths=lengths), before, (), stay, ())
    assert carried.notes == ()
    assert carried.memory.lengths.unstretched.tobytes() == lengths.unstretched.tobytes()
    moved = tuple(
        replace(line, made_fast=replace(line.made_fast, tension_kn=70.0)) if line.id == "3" else line
        for line in stay.lines
    )
    edited = carried_over(replace(memory, lengths=lengths), before, (), replace(stay, lines=moved), ())
    assert "Line 3 is made fast anew, as the stay file says" in edited.notes
    assert edited.memory.lengths.fast.count(False) == 1


def test_how_sure_the_tension_is_makes_no_line_fast_anew() -> None:
    stay = read_stay(Path(__file__).parents[2] / "configs" / "coal_berth.yaml")
    surer = replace(stay.lines[2], made_fast=replace(stay.lines[2].made_fast, tension_band=0.05))
    edited = replace(stay, lines=(*stay.lines[:2], surer, *stay.lines[3:]))
    memory = Memory.at_start(stay)
    lengths = replace(memory.lengths, unstretched=np.linspace(10.0, 40.0, 14), fast=(True,) * 14)
    carried = carried_over(replace(memory, lengths=lengths), stay, (), edited, ())
    assert not any("anew" in note for note in carried.notes)
    assert carried.memory.lengths.unstretched.tobytes() == lengths.unstretched.tobytes()


def test_settled_may_be_said_for_all_lines_or_for_one(tmp_path: Path) -> None:
    config = Path(__file__).parents[2] / "configs" / "coaster_quay.yaml"
    text = config.read_text()
    one = text.replace("tension_kn: 20, tide", "tension_kn: 20, settled: true, tide", 1)
    for name, content, expected in (
        ("all", f"{text}\nsettled: false\n", False),
        ("one", f"{one}\nsettled: false\n", True),
    ):
        path = tmp_path / f"{name}.yaml"
        path.write_text(content)
        lines: tuple[Line, ...] = read_stay(path).lines
        assert {line.made_fast.settled for line in lines} == {expected}


def test_the_balance_carries_the_example_as_stated() -> None:
    stay = read_stay(Path(__file__).parents[2] / "configs" / "coal_berth.yaml")
    arrangement = arrangement_of(stay)
    lengths = planned_lengths(stay, arrangement, stay.lines[0].made_fast.at)
    now = blown(1, tide=0.80, fwd=10.10, aft=10.50)
    load = hold(arrangement, now, lengths).lines.tension_kn[0]
    assert load == pytest.approx([60.0] * 14, rel=0.05)
