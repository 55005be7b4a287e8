"""Who keeps the watch when whoever kept it is gone: real consoles on terminals of their own."""

import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from alongside.actions import Note
from alongside.actions.controls import KeepWatch
from alongside.record.faults import RecordInUse
from alongside.record.reader import RecordReader
from alongside.runtime import look_only
from alongside.runtime.watch_desk import KEEPS, TAKEN, WatchDesk
from tests.record.kept import BEGIN, Watch, flood_stay
from tests.runtime.test_replay import Shown
from tests.screens.terminal import OnTerminal

Opened = Callable[[], OnTerminal]


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    """What opens one more console on the same record."""
    stay, consoles = flood_stay(tmp_path), list[OnTerminal]()

    def one_more() -> OnTerminal:
        command = ["-m", "alongside", "watch", stay.file, "--record", str(tmp_path / "record")]
        consoles.append(OnTerminal(command, (120, 30)))
        return consoles[-1]

    yield one_more
    for console in consoles:
        console.close()


def keeps(console: OnTerminal) -> Callable[[], bool]:
    """Whether the screen is there and says nothing of looking only."""

    def seen() -> bool:
        quiet = not any(console.shows(text) for text in ("LOOKS ONLY", "NOBODY KEEPS"))
        return quiet and console.shows("Test ship") and console.shows("UTC")

    return seen


def wait_for_all(consoles: list[OnTerminal], condition: Callable[[], bool], seconds: float = 40.0) -> None:
    """Read all of them until something is so."""
    until = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < until, "\n\n".join("\n".join(each.screen.display) for each in consoles)
        for console in consoles:
            console.read(0.05)


def words_on_record(folder: Path) -> list[str]:
    with RecordReader(folder) as record:
        return [f"{event.event} {event.text}" for _, event in record.events()]


@pytest.mark.slow
def test_k_takes_over_from_a_console_that_was_killed(opened: Opened, tmp_path: Path) -> None:
    first = opened()
    first.wait_for(keeps(first))
    first.type("w")
    first.wait_for(lambda: first.shows("Enter"))
    first.type("said before\r")
    first.wait_for(lambda: first.shows("Kept"))
    looker = opened()
    wait_for_all([first, looker], lambda: looker.shows("LOOKS ONLY"))
    time.sleep(look_only.START_S)  # nothing is done by itself any more
    first.process.send_signal(signal.SIGKILL)
    first.process.wait()
    looker.wait_for(lambda: looker.shows("NOBODY KEEPS WATCH") and looker.shows("press k to take over"))
    looker.type("q")
    looker.wait_for(lambda: looker.shows("NOBODY KEEPS THE WATCH: k takes it over here"))
    looker.type("n")
    looker.wait_for(lambda: not looker.shows("k takes it over here"))
    looker.type("k")
    looker.wait_for(lambda: looker.shows("This console keeps the watch now"))
    looker.wait_for(keeps(looker))
    looker.type("w")
    looker.wait_for(lambda: looker.shows("Enter"))
    looker.type("said after\r")
    looker.wait_for(lambda: looker.shows("Kept"))
    looker.type("q")
    looker.wait_for(lambda: looker.shows("End the watch?"))
    looker.type("y")
    looker.wait_for(looker.ended)
    assert looker.process.returncode == 0
    told = words_on_record(tmp_path / "record")
    assert any("said before" in text for text in told)
    assert any("said after" in text for text in told)
    assert f"note {TAKEN}" in told
    assert any(text.startswith("gap ") and "cut off" in text for text in told)
    assert sum(text.startswith("started ") for text in told) == 2
    assert sum(text.startswith("stopped ") for text in told) == 1


@pytest.mark.slow
def test_of_two_that_press_k_exactly_one_gets_the_watch(opened: Opened) -> None:
    first = opened()
    first.wait_for(keeps(first))
    lookers = [opened(), opened()]
    wait_for_all([first, *lookers], lambda: all(each.shows("LOOKS ONLY") for each in lookers))
    time.sleep(look_only.START_S)
    first.process.send_signal(signal.SIGKILL)
    first.process.wait()
    wait_for_all(lookers, lambda: all(each.shows("press k to take over") for each in lookers))
    for looker in lookers:
        looker.type("k")
    # The answer stands for a while only, not until the other one's screen shows that it keeps the watch.
    wait_for_all(lookers, lambda: any(each.shows("another console was first") for each in lookers))
    wait_for_all(lookers, lambda: sorted(keeps(each)() for each in lookers) == [False, True])
    other = next(each for each in lookers if not keeps(each)())
    wait_for_all(lookers, lambda: other.shows("LOOKS ONLY") and not other.shows("NOBODY"))


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGKILL])
def test_a_console_started_at_once_after_another_keeps_the_watch(opened: Opened, number: int) -> None:
    first = opened()
    first.wait_for(keeps(first))
    first.process.send_signal(number)
    second = opened()
    wait_for_all([first, second], lambda: first.ended() and keeps(second)())
    time.sleep(3.0)
    second.read()
    assert keeps(second)()


def watch_desk(folder: Path) -> tuple[WatchDesk, Shown]:
    desk, shown = WatchDesk(flood_stay(folder), folder / "record"), Shown()
    desk.start(shown)
    return desk, shown


def test_it_asks_while_another_keeps_the_watch_and_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_only, "START_S", 0.0)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(20)
    desk, shown = watch_desk(tmp_path)
    try:
        assert desk.looks_only
        shown.wait(lambda p: p.time == first.last.time)
        desk.control(KeepWatch())
        refused = shown.wait(lambda p: bool(p.keeping))
        assert (
            refused.keeping == f"Not done: another console was first (another console keeps the watch, "
            f"process {os.getpid()})"
        )
        assert desk.looks_only
        first.run(2)
        assert shown.wait(lambda p: p.time == first.last.time).look_only
    finally:
        desk.stop()
        first.end()


@pytest.mark.slow
def test_it_goes_on_from_the_record_by_the_stay_file_of_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_only, "START_S", 0.0)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(30, {260: Note("before", by="TK")})
    desk, shown = watch_desk(tmp_path)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        gone = shown.wait(lambda p: p.unkept, 6.0)
        assert gone.can_keep
        assert gone.advice.large == "NOBODY KEEPS WATCH"
        assert "press k" in gone.advice.text
        path = tmp_path / "stay.yaml"
        path.write_text(path.read_text().replace("caution: 25", "caution: 24"))
        desk.control(KeepWatch())
        kept = shown.wait(lambda p: not p.look_only, 20.0)
        assert kept.keeping == KEEPS
        assert any(event.event == "gap" and "cut off" in event.text for event in kept.log)
        assert "The stay file was edited since: limits" in [event.text for event in kept.log]
        assert not desk.looks_only
    finally:
        desk.stop()
    assert desk.lost == ""
    assert "note before (TK)" in words_on_record(tmp_path / "record")


@pytest.mark.slow
def test_a_stay_file_that_has_faults_by_then_keeps_nobody_from_taking_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_only, "START_S", 0.0)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    desk, shown = watch_desk(tmp_path)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        shown.wait(lambda p: p.unkept, 6.0)
        (tmp_path / "stay.yaml").write_text("format: [")
        desk.control(KeepWatch())
        kept = shown.wait(lambda p: not p.look_only, 20.0)
        assert any("cannot be read any more" in event.text for event in kept.log)
    finally:
        desk.stop()


@pytest.mark.slow
def test_a_console_that_only_ever_looks_cannot_be_asked(tmp_path: Path) -> None:
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    shown = Shown()
    desk = look_only.LookDesk(tmp_path / "record", flood_stay(tmp_path), "process 1")
    desk.start(shown)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        gone = shown.wait(lambda p: p.unkept, 6.0)
        assert not gone.can_keep
        assert "press k" not in gone.advice.text
        desk.control(KeepWatch())
        Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN + 10).end()
    finally:
        desk.stop()


@pytest.mark.slow
def test_a_watch_that_cannot_be_begun_says_why_and_goes_on_looking(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stay file is by then that of another ship, which has no place in this record."""
    monkeypatch.setattr(look_only, "START_S", 0.0)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    desk, shown = watch_desk(tmp_path)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        shown.wait(lambda p: p.unkept, 6.0)
        path = tmp_path / "stay.yaml"
        other = path.read_text().replace("Test ship", "Other ship").replace("Test stay", "Other stay")
        path.write_text(other)
        desk.control(KeepWatch())
        refused = shown.wait(lambda p: bool(p.keeping), 20.0)
        assert refused.keeping.startswith("Not done: ")
        assert "holds the record of Test ship" in refused.keeping
        assert "it failed" not in refused.keeping
        assert desk.looks_only
    finally:
        desk.stop()


@pytest.mark.slow
def test_that_it_keeps_the_watch_is_said_for_a_while_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_only, "START_S", 0.0)
    monkeypatch.setattr("alongside.runtime.watch_desk.SAID_S", 2.0)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    desk, shown = watch_desk(tmp_path)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        shown.wait(lambda p: p.unkept, 6.0)
        desk.control(KeepWatch())
        assert shown.wait(lambda p: not p.look_only, 20.0).keeping == KEEPS
        shown.wait(lambda p: not p.look_only and p.keeping == "", 10.0)
    finally:
        desk.stop()


def test_stopped_while_it_looks_it_delivers_no_more(tmp_path: Path) -> None:
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    desk, shown = watch_desk(tmp_path)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        desk.stop()
        assert "look" not in {thread.name for thread in threading.enumerate()}
    finally:
        first.end()


def test_one_that_calls_waits_for_the_other_to_end(tmp_path: Path) -> None:
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    ends = threading.Timer(1.0, first.end)
    ends.start()
    desk = WatchDesk(flood_stay(tmp_path), tmp_path / "record", call=("true",))
    try:
        assert not desk.looks_only
    finally:
        desk.stop()
        ends.join()


def test_one_that_calls_never_looks_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("alongside.runtime.watch_desk.START_S", 0.5)
    first = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(5)
    try:
        with pytest.raises(RecordInUse):
            WatchDesk(flood_stay(tmp_path), tmp_path / "record", call=("true",))
    finally:
        first.end()
