"""A replay takes over what an earlier one was played ahead to: the same to the last digit, or not at all."""

import shutil
from collections import namedtuple
from collections.abc import Callable
from dataclasses import replace
from math import sin
from pathlib import Path

import numpy as np
import pytest

from alongside.actions.controls import Pause, Seek
from alongside.forecast.basis import Basis
from alongside.record.codec import to_text
from alongside.runtime import kept_play
from alongside.runtime.kept_play import KeptPlay
from alongside.runtime.log_player import LogSource, Player, with_forecast
from alongside.runtime.replay import ReplayDesk
from alongside.runtime.replay_cache import ReadAhead, ReplayCache
from alongside.runtime.stretch import Stretch
from alongside.stay.model import Stay
from tests.berth import START, a_stay, gauges
from tests.runtime.test_replay import Shown, known

HOURS = 8
EVERY_S = 5


def written(path: Path, silent: range = range(0)) -> Path:
    """Write a log of a tide that rises by metres, so that lines come to alarm."""
    times = [s for s in range(0, HOURS * 3600, EVERY_S) if s not in silent]
    path.write_bytes(b"".join(gauges(START + s, 3.0 + 2.0 * sin(s / 7115.0)) for s in times))
    return path


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("log") / "stay.log")


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of what is kept, not there yet."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(kept_play, "LEAST", 4)
    return tmp_path / "cache" / "alongside" / "replays"


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The last cycle of each spell that any player was asked for."""
    until: list[float] = []
    play_to = Player.play_to

    def counted(self: Player, to: float, *given: object) -> object:
        until.append(to)
        return play_to(self, to, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(Player, "play_to", counted)
    return until


def source_of(stay: Stay, log: Path) -> LogSource:
    return with_forecast(LogSource(Basis.of(stay, ahead=True), log))


def read_ahead(source: LogSource) -> ReplayCache:
    """Play a source to its end, as the thread of a desk does."""
    cache = ReplayCache()
    worker = ReadAhead(source, cache)
    worker.start()
    try:
        assert cache.wait(lambda: False, 120.0)
    finally:
        worker.stop()
    return cache


@pytest.mark.slow
@pytest.mark.parametrize("silent", [range(0), range(9000, 10_800)])
def test_each_memory_event_and_value_is_that_of_the_play(
    tmp_path: Path, kept: Path, played: list[float], silent: range
) -> None:
    source = source_of(a_stay(tmp_path), written(tmp_path / "stay.log", silent))
    whole = read_ahead(source).between(-np.inf, np.inf)
    assert [path.suffix for path in kept.iterdir()] == [".play"]
    assert (kept.stat().st_mode | next(kept.iterdir()).stat().st_mode) & 0o077 == 0, "for the user alone"
    played.clear()
    taken = read_ahead(source).between(-np.inf, np.inf)
    assert played == [], "nothing is played"
    assert len(taken) < len(whole) / 2
    memories = {stretch.time: to_text(stretch.memory) for stretch in whole}
    assert taken[-1].time == whole[-1].time
    assert all(to_text(stretch.memory) == memories[stretch.time] for stretch in taken)
    assert [e for each in taken for e in each.events] == [e for each in whole for e in each.events]
    assert len({e.alert for each in taken for e in each.events}) > 2, "something must happen"
    for what in ("past_time", "past"):
        theirs, ours = (np.concatenate([getattr(each, what) for each in all_]) for all_ in (whole, taken))
        np.testing.assert_array_equal(ours, theirs)
    # What follows from a memory that was kept is what follows from the one it was.
    for at, stretch in enumerate(taken[:-1]):
        last = next(each for each in whole if each.time == stretch.time)
        ends = [
            list(source.resumed(each.memory, each.time).play_to(taken[at + 1].time))
            for each in (stretch, last)
        ]
        assert to_text(ends[0][-1].events) == to_text(ends[1][-1].events)
        for ours_block, their_block in zip(*ends, strict=True):
            np.testing.assert_array_equal(ours_block.hold.lines.tension_kn, their_block.hold.lines.tension_kn)


@pytest.mark.slow
def test_a_desk_shows_the_same_and_goes_to_the_end_at_once(
    tmp_path: Path, log: Path, kept: Path, played: list[float]
) -> None:
    times = [START + s for s in (7200.0, 28_000.0, 300.0, 12_000.0, 99_999.0)]
    pictures, plays = [], []
    for _ in range(2):
        desk, shown = ReplayDesk(a_stay(tmp_path), log), Shown()
        played.clear()
        desk.start(shown)
        desk.control(Pause(True))
        desk.control(Seek(times[-1]))
        shown.wait(lambda p: p.time == START + HOURS * 3600 - EVERY_S, 120.0)
        plays.append(len(played))
        for time in times:
            desk.control(Seek(time))
            pictures.append(shown.wait(lambda p, time=time: p.time == min(time, START + 28_795.0), 60.0))
        desk.stop()
    first, second = pictures[: len(times)], pictures[len(times) :]
    assert [known(each) for each in first] == [known(each) for each in second]
    assert plays[1] < plays[0] / 5


@pytest.mark.slow
@pytest.mark.parametrize("when", ["before", "meanwhile"])
def test_what_was_done_is_not_kept(
    tmp_path: Path, log: Path, kept: Path, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache, add = ReplayCache(), ReplayCache.add

    def adding(self: ReplayCache, stretch: Stretch, branch: int) -> bool:
        if when == "meanwhile" and stretch.time > START + 7200.0 and not branch:
            self.cut(START + 3600.0)  # as an action of then does
        return add(self, stretch, branch)

    monkeypatch.setattr(ReplayCache, "add", adding)
    if when == "before":
        cache.cut(START)
    worker = ReadAhead(source_of(a_stay(tmp_path), log), cache)
    worker.start()
    assert cache.wait(lambda: False, 120.0)
    worker.stop()
    assert cache.branch == 1
    assert not list(kept.glob("*"))


def test_a_replay_that_is_left_early_keeps_nothing(tmp_path: Path, log: Path, kept: Path) -> None:
    cache = ReplayCache()
    worker = ReadAhead(source_of(a_stay(tmp_path), log), cache)
    worker.start()
    cache.wait(lambda: cache.tail()[1] is not None, 60.0)
    worker.stop()
    _, tail, _ = cache.tail()
    assert tail is not None
    assert (tail.time < START + HOURS * 3600 - EVERY_S) == (not list(kept.glob("*")))


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [
        lambda source, log: replace(
            source, basis=Basis.of(replace(source.basis.stay, name="Other"), ahead=True)
        ),
        lambda source, log: replace(source, basis=Basis.of(source.basis.stay)),
        lambda source, log: replace(source, end=START + 20_000.0),
        lambda source, log: log.write_bytes(log.read_bytes() + gauges(START + 28_800, 2.0)) and source,
    ],
    ids=["stay", "rules", "end", "log"],
)
def test_what_is_otherwise_is_played(
    tmp_path: Path, log: Path, kept: Path, change: Callable[[LogSource, Path], LogSource]
) -> None:
    ours = tmp_path / "ours.log"
    shutil.copy(log, ours)
    source = source_of(a_stay(tmp_path), ours)
    put(source)
    assert KeptPlay(source).stretches()
    assert not KeptPlay(change(source, ours)).stretches()


def another(basis: Basis) -> Basis:
    return Basis.of(replace(basis.stay, name="Another"), ahead=True)


def put(source: LogSource) -> None:
    """Keep the beginning of a source as if it were all of it, which is quick."""
    play, cache = KeptPlay(source), ReplayCache()
    assert not play.stretches()
    worker = ReadAhead(replace(source, end=START + 9000.0), cache)
    worker._kept = play  # of the source with its own end
    worker.start()
    assert cache.wait(lambda: False, 120.0)
    worker.stop()


def test_a_program_that_changed_plays_anew(
    tmp_path: Path, log: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = source_of(a_stay(tmp_path), log)
    put(source)
    assert KeptPlay(source).stretches()
    monkeypatch.setattr(kept_play, "program", lambda: ("another",))
    assert not KeptPlay(source).stretches()


@pytest.mark.slow
@pytest.mark.parametrize("cut", [1, 15, 17, 1000, -5])
def test_a_file_that_is_damaged_is_as_none(tmp_path: Path, log: Path, kept: Path, cut: int) -> None:
    source = source_of(a_stay(tmp_path), log)
    put(source)
    (path,) = kept.iterdir()
    data = bytearray(path.read_bytes())
    if cut > 0:
        del data[-cut:]
    else:
        data[len(data) // 2] ^= 0x55
    path.write_bytes(data)
    assert KeptPlay(source).stretches() == []


Usage = namedtuple("Usage", "total used free")


def test_without_room_nothing_is_kept_and_nothing_fails(
    tmp_path: Path, log: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: Usage(10**9, 10**9, 10**6))
    source = source_of(a_stay(tmp_path), log)
    put(source)
    assert list(kept.iterdir()) == []
    (tmp_path / "cache").rename(tmp_path / "gone")
    (tmp_path / "cache").write_text("a file in the place of the folder")
    put(source)
    assert KeptPlay(source).stretches() == []
