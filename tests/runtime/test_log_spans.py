"""Which times a log holds, and going to them on a night on which the clocks are put back."""

import re
from math import inf
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cycle.picture import Picture
from alongside.feeds.intake import memory_of_intake
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import AWAKE_S, LogSource, Player
from alongside.runtime.log_spans import spans_of
from alongside.runtime.replay import ReplayDesk
from alongside.screens.seek_words import seek
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.berth import START, STAY_TEXT, a_stay, gauges, write_stay
from tests.runtime.test_replay import Shown


def a_log(folder: Path, seconds: list[float], start: float = START) -> Path:
    path = folder / "stay.log"
    path.write_bytes(b"".join(gauges(start + each, 2.0) for each in seconds))
    return path


def spell(begin: int, length: int = 20) -> list[float]:
    return [float(begin + each) for each in range(length)]


def test_a_log_with_gaps_holds_several_spells(tmp_path: Path) -> None:
    log = a_log(tmp_path, [*spell(0), *spell(600), *spell(7200), *spell(90_000)])
    held = [(begin - START, end - START) for begin, end in spans_of(log)]
    assert held == [(0.0, 619.0 + AWAKE_S), (7200.0, 7219.0 + AWAKE_S), (90_000.0, 90_019.0)]
    cut = [(begin - START, end - START) for begin, end in spans_of(log, START + 7210.0)]
    assert cut == [(0.0, 619.0 + AWAKE_S), (7200.0, 7210.0)]


def test_a_log_without_a_time_holds_nothing(tmp_path: Path) -> None:
    log = tmp_path / "empty.log"
    log.write_bytes(b"no time\r\n")
    assert spans_of(log) == ()
    assert spans_of(a_log(tmp_path, spell(0)), stopping=lambda: True) == ()


@pytest.mark.slow
@settings(max_examples=25)
@given(st.lists(st.integers(1, 4000), min_size=1, max_size=6), st.integers(11, 40))
def test_a_replay_has_cycles_in_the_spells_and_nowhere_else(
    tmp_path_factory: pytest.TempPathFactory, silences: list[int], length: int
) -> None:
    folder = tmp_path_factory.mktemp("spells")
    seconds, at = [], 0
    for silence in silences:
        seconds += spell(at, length)
        at += length + silence
    log = a_log(folder, seconds)
    player = Player(Basis.of(read_stay(write_stay(folder))), log)
    cycles = [float(time) for block in player.play_to(START + 1e6) for time in block.readings.time]
    spans = spans_of(log)
    assert spans[0][0] == cycles[0]
    assert spans[-1][1] == cycles[-1]
    inside = sum(int(end - begin) + 1 for begin, end in spans)
    assert inside == len(cycles)
    assert all(any(begin <= time <= end for begin, end in spans) for time in cycles)


@pytest.mark.slow
@pytest.mark.parametrize("after", [0, 300, 880, *range(888, 901)])
def test_a_replay_that_goes_on_within_a_silence_skips_it_all_the_same(tmp_path: Path, after: int) -> None:
    """However little of the log before the silence it still hears."""
    log = a_log(tmp_path, [*spell(0, 1500), *spell(9000, 60)])
    text = re.sub(r"(name: (TIDE|DRF|DRA))", r"\1, freeze_s: never", STAY_TEXT)
    basis = Basis.of(a_stay(tmp_path, text))
    assert memory_of_intake(basis.stay) == AWAKE_S, "the least there is"
    whole = Player(basis, log)
    at = START + 1499.0 + after
    before = list(whole.play_to(at))
    assert before[-1].readings.time[-1] == at

    def rest(player: Player) -> tuple[list[float], list[tuple[float, str, str]]]:
        blocks = list(player.play_to(START + 1e5))
        events = [(event.time, event.event, event.text) for block in blocks for event in block.events]
        return [float(time) for block in blocks for time in block.readings.time], events

    resumed = Player.resumed(basis, log, whole.memory, at)
    times, events = rest(resumed)
    assert (times, events) == rest(whole)
    words = [event.event for block in before for event in block.events] + [event for _, event, _ in events]
    assert words.count("gap") == 1


@pytest.mark.slow
@pytest.mark.parametrize("silence", [300, 1500, 9000])
@pytest.mark.parametrize("after", [1, 60, 900, 2000])
def test_a_gauge_that_stands_still_over_a_silence_stands_still_all_the_same(
    tmp_path: Path, silence: int, after: int
) -> None:
    """Its draughts do not move for an hour and more; what was heard before the silence counts."""
    log = tmp_path / "still.log"
    times = [*range(0, 7200, 10), *range(7200 + silence, 12_000 + silence, 10)]
    log.write_bytes(b"".join(gauges(START + s, 2.0 + s / 9000.0) for s in times))
    source = LogSource(Basis.of(a_stay(tmp_path)), log)
    whole = source.rewound()
    list(whole.play_to(START + 7200.0 + silence + after))
    assert whole.time is not None
    resumed = source.resumed(whole.memory, whole.time)
    events = [
        [(event.time, event.event, event.text) for block in player.play_to(inf) for event in block.events]
        for player in (whole, resumed)
    ]
    assert events[0] == events[1]


def test_a_replay_goes_to_both_half_past_one_of_a_night(tmp_path: Path) -> None:
    """London, 25 October 2026: at 01:00 UTC the clocks are put back from 02:00 to 01:00."""
    begin = unix_time("2026-10-24T22:00:00Z")
    text = STAY_TEXT.replace("2026-03-02T0", "2026-10-24T0") + "display: {zone: Europe/London}\n"
    log = a_log(tmp_path, [5.0 * each for each in range(3600)], begin)
    shown = Shown()
    desk = ReplayDesk(a_stay(tmp_path, text), log)
    desk.start(shown)

    def gone(typed: str, there: str) -> Picture:
        control, _ = seek(typed, shown.wait(lambda picture: bool(picture.log_spans)))
        desk.control(control)
        return shown.wait(lambda picture: abs(picture.time - unix_time(there)) <= 1.0)

    try:
        first = gone("01:30", "2026-10-25T00:30:00Z")
        assert first.log_spans == ((begin, begin + 5.0 * 3599),)
        gone("01:30 +0000", "2026-10-25T01:30:00Z")
        gone("02:45", "2026-10-25T02:45:00Z")
        gone("01:30", "2026-10-25T01:30:00Z")
        gone("01:30 +0100", "2026-10-25T00:30:00Z")
    finally:
        desk.stop()
