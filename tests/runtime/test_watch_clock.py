"""The clock of a live watch: pauses, clocks set forward and back, and how each of them ends."""

from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.model import Event
from alongside.runtime.watch_clock import WatchClock
from alongside.stay.model import Display
from tests.berth import START


@dataclass
class Machine:
    """A machine whose wall clock shows `set_by` s more than it should, with a cycle each second."""

    second: float = 0.0
    set_by: float = 0.0
    times: list[float] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.clock = WatchClock(Display(zone="+00:00"), self.wall, lambda: self.second)
        self.run()

    def wall(self) -> float:
        return START + self.second + self.set_by

    def run(self, cycles: int = 1, every: float = 1.0) -> "Machine":
        for _ in range(cycles):
            self.second += every
            now, news = self.clock.tick()
            self.times.append(now)
            self.events += news
        return self

    @property
    def lead(self) -> float:
        """s by which its time is ahead of the true one."""
        return round(self.times[-1] - START - self.second, 6)


def test_an_hour_back_runs_ahead_and_ends_when_the_clock_is_right_again() -> None:
    machine = Machine().run(60)
    machine.set_by = -3600.0
    machine.run(60)
    assert [(event.event, event.value) for event in machine.events] == [("gap", -3600.0)]
    assert machine.events[0].text == "the clock was set back by 60 min"
    assert machine.clock.ahead == pytest.approx(3600.0, abs=0.1)
    assert machine.lead == pytest.approx(0.0, abs=0.1), "time goes on as it did"
    machine.set_by = 0.0
    machine.run(60)
    assert machine.clock.ahead == 0.0
    assert machine.lead == 0.0
    assert len(machine.events) == 1, "no time was missed, and none twice"


def test_set_right_in_two_steps() -> None:
    machine = Machine().run(10)
    machine.set_by = -7200.0
    machine.run(10)
    machine.set_by = -1800.0
    machine.run(10)
    assert machine.clock.ahead == pytest.approx(1800.0, abs=0.1)
    machine.set_by = 0.3
    machine.run(10)
    assert machine.clock.ahead == 0.0
    assert machine.lead == pytest.approx(0.3)
    assert len(machine.events) == 1


def test_set_right_and_farther_follows_the_clock() -> None:
    """Behind by an hour, then ahead by half an hour: it was the machine's clock that was wrong before."""
    machine = Machine().run(10)
    machine.set_by = -3600.0
    machine.run(10)
    machine.set_by = 1800.0
    machine.run(100)
    assert machine.lead == 1800.0
    assert [event.value for event in machine.events] == [-3600.0, pytest.approx(1801.0)]


def test_a_clock_that_is_slewed_right_ends_the_lead_too() -> None:
    """A time server may let a clock run faster instead of setting it: here a second in ten."""
    machine = Machine().run(10)
    machine.set_by = -100.0
    machine.run(10)
    for _ in range(1000):
        machine.set_by = min(machine.set_by + 0.1, 0.0)
        machine.run()
    assert machine.clock.ahead == 0.0
    assert machine.lead == 0.0


@pytest.mark.parametrize("leap", [61.0, 3600.0, 40 * 86400.0])
def test_a_glitch_ahead_is_never_followed(leap: float) -> None:
    machine = Machine().run(10)
    machine.set_by = leap
    machine.run(59)
    machine.set_by = 0.0
    machine.run(100)
    assert machine.events == []
    assert machine.lead == 0.0
    assert machine.clock.ahead == 0.0


@pytest.mark.parametrize("leap", [61.0, 3600.0, 40 * 86400.0])
def test_a_clock_set_far_forward_is_followed_after_a_minute(leap: float) -> None:
    machine = Machine().run(10)
    machine.set_by = leap
    machine.run(60)
    assert (machine.lead, machine.events) == (0.0, [])
    machine.run()
    assert machine.lead == leap
    (gap,) = machine.events
    assert gap.value == leap + 1.0
    assert "set forward by" in gap.text


def test_a_clock_set_beyond_2099_is_never_followed() -> None:
    machine = Machine().run(10)
    machine.set_by = 80 * 365.25 * 86400.0
    machine.run(1000)
    assert machine.lead == 0.0
    machine.set_by = 0.0
    machine.run(1000)
    assert (machine.lead, machine.events) == (0.0, [])


@pytest.mark.parametrize("leap", [11.0, 60.0])
def test_less_than_a_minute_forward_is_followed_at_once(leap: float) -> None:
    machine = Machine().run(10)
    machine.set_by = leap
    machine.run()
    assert machine.lead == leap
    assert [event.value for event in machine.events] == [leap + 1.0]


@pytest.mark.parametrize(
    ("back", "said"), [(4.0, False), (5.0, False), (5.1, True), (30.0, True), (60.0, True)]
)
def test_less_than_a_minute_back_is_made_up_for_at_half_pace(back: float, said: bool) -> None:
    """More than five seconds are said: less is what a time server does."""
    machine = Machine().run(10)
    machine.set_by = -back
    machine.run()
    assert bool(machine.events) == said
    machine.run(int(2 * back) + 1)
    assert machine.clock.ahead == 0.0
    assert machine.lead == -back
    assert len(machine.events) == said


@pytest.mark.parametrize(("seconds", "gap"), [(9.9, False), (10.0, True), (15.0, True), (7200.0, True)])
def test_ten_seconds_without_a_cycle_are_a_gap(seconds: float, gap: bool) -> None:
    machine = Machine().run(10).run(1, every=seconds).run(10)
    assert [event.value for event in machine.events] == ([pytest.approx(seconds)] if gap else [])
    assert machine.lead == 0.0


def test_a_pause_is_said_with_its_times() -> None:
    machine = Machine().run(9).run(1, every=15.0)
    assert machine.events[0].text == (
        "no cycle for 15 s, 04:00:10 to 04:00:25: the console was stopped or the machine slept"
    )


def test_a_pause_while_time_runs_ahead_is_said_and_counts() -> None:
    machine = Machine().run(10)
    machine.set_by = -3600.0
    machine.run(10).run(1, every=15.0).run(10)
    assert [event.value for event in machine.events] == [-3600.0, pytest.approx(15.0)]
    assert machine.lead == pytest.approx(0.0, abs=0.1)


def test_a_console_may_take_its_time_to_start() -> None:
    machine = Machine.__new__(Machine)
    machine.second, machine.set_by, machine.times, machine.events = 0.0, 0.0, [], []
    machine.clock = WatchClock(Display(), machine.wall, lambda: machine.second)
    machine.run(1, every=30.0)
    assert machine.events == []


def test_time_goes_on_from_the_record_where_the_clock_is_behind_it() -> None:
    second = 0.0
    clock = WatchClock(Display(), lambda: START + second, lambda: second, begins=START + 7200.0)
    for second in (1.0, 2.0):
        assert clock.tick() == (START + 7200.0 + second, [])
    assert clock.ahead == 7200.0


def test_a_line_is_placed_between_the_cycles_whatever_the_clock_did() -> None:
    machine = Machine().run(10)
    assert machine.clock.placed(machine.wall() - 0.25) == machine.times[-1] - 0.25
    came = machine.wall() + 0.75
    for leap in (-3600.0, 7200.0):
        before = machine.times[-1]
        machine.set_by = leap
        machine.run()
        for stamped in (came, machine.wall() - 0.25):
            assert before <= machine.clock.placed(stamped) <= machine.times[-1]


SETTINGS = st.floats(-1e5, 1e5) | st.sampled_from([0.0, -3600.0, 3600.0])


@pytest.mark.slow
@given(st.lists(st.tuples(SETTINGS, st.integers(1, 40), st.floats(0.1, 20.0)), max_size=12))
def test_time_never_runs_back_and_is_right_once_the_clock_is(
    settings: list[tuple[float, int, float]],
) -> None:
    """However a clock is set and a machine pauses: when the clock is right again, so are the times, unless a
    time ahead of it was believed for a minute, which stays as a lead until time has come up to it."""
    machine = Machine()
    believed = 0.0
    for set_by, cycles, every in settings:
        machine.set_by = set_by
        machine.run(cycles, every)
        believed = max(believed, machine.lead)
    machine.set_by = 0.0
    machine.run(300)
    assert all(later > earlier for earlier, later in zip(machine.times, machine.times[1:], strict=False))
    if believed <= 60.0:
        assert machine.clock.ahead == pytest.approx(0.0, abs=1e-6)
        assert machine.lead == pytest.approx(0.0, abs=1e-6)
    else:
        assert machine.clock.ahead <= believed + 1e-6
