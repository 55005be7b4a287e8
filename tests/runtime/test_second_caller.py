"""The second caller, with real programs: slow, failing, missing, forking, deaf to signals, loud."""

import os
import shlex
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.alerts.model import Alert, Event, Standing, Watchlist
from alongside.cli.main import main
from alongside.cli.watch import command_of, desk_of
from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.record.access import OWNER_ONLY
from alongside.record.reader import RecordReader
from alongside.runtime import second_caller, watch_desk
from alongside.runtime.live import LiveDesk
from alongside.runtime.second_caller import SecondCaller, call, unanswered_alarms, words_of
from alongside.runtime.watch_desk import WatchDesk
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from tests.berth import START, write_stay

pytestmark = pytest.mark.skipif(os.name != "posix", reason="programs as scripts")


def alarm(text: str = "Line 1 stretch 101 %", standing: Standing = Standing.UNACKNOWLEDGED) -> Alert:
    stands = ("stretch", "1", "1", Stage.ALARM, standing, START, START)
    return Alert(*stands, 1.01, 1.0, "", text, alarm_since=START)  # type: ignore[arg-type]


def watch(*alerts: Alert) -> Watchlist:
    return Watchlist(alerts={alert.key: alert for alert in alerts})


def script(folder: Path, body: str) -> tuple[str, ...]:
    path = folder / "a caller.py"
    path.write_text(f"import os, signal, sys, time\n{body}\n")
    return (sys.executable, str(path))


def never() -> bool:
    return False


def until(holds: Callable[[], bool], seconds: float = 20.0) -> None:
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.02)


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """A call is ended after a second."""
    monkeypatch.setattr(second_caller, "ENDED_AFTER_S", 1.0)


def test_alarms_come_on_standard_input(tmp_path: Path) -> None:
    heard = tmp_path / "heard"
    nasty = "Line -rf; $(touch x) `y` \x1b[2J\n--help"
    command = script(
        tmp_path, f"open({str(heard)!r}, 'wb').write(sys.stdin.buffer.read())\nassert not sys.argv[1:]"
    )
    assert call(command, words_of([alarm(), alarm(nasty)]), never) == ""
    lines = heard.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "▲ ALARM Line 1 stretch 101 %"
    assert len(lines) == 2
    assert "\x1b" not in lines[1]
    assert "$(touch x)" in lines[1]


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ("sys.exit(3)", "exit 3"),
        ("os.kill(os.getpid(), signal.SIGTERM)", "signal 15"),
        ("sys.stdin.close(); time.sleep(0.1)", ""),
        ("sys.stdout.write('x' * 50_000_000); sys.stderr.write('y' * 5_000_000)", ""),
    ],
)
def test_what_becomes_of_a_call(tmp_path: Path, body: str, fault: str) -> None:
    assert call(script(tmp_path, body), "▲ ALARM\n", never) == fault


def test_a_program_that_is_missing_or_none(tmp_path: Path) -> None:
    assert "no such file" in call(["/nowhere/caller"], "x\n", never)
    (tmp_path / "text").write_text("text")
    assert "permission denied" in call([str(tmp_path / "text")], "x\n", never)


@pytest.mark.parametrize("deaf", ["", "signal.signal(signal.SIGTERM, signal.SIG_IGN); "])
def test_a_slow_one_is_ended_with_all_that_it_started(tmp_path: Path, deaf: str, soon: None) -> None:
    pids = tmp_path / "pids"
    body = f"""{deaf}
child = os.fork()
if child:
    open({str(pids)!r}, 'w').write(f'{{os.getpid()}} {{child}}')
time.sleep(600)"""
    begun = time.monotonic()
    assert call(script(tmp_path, body), "x\n", never) == "no end within 1 s"
    assert time.monotonic() - begun < 10.0
    until(lambda: not any(is_running(int(pid)) for pid in pids.read_text().split()))


def test_what_a_short_one_leaves_running_is_ended_too(tmp_path: Path) -> None:
    pids = tmp_path / "pids"
    body = f"""
child = os.fork()
if child:
    open({str(pids)!r}, 'w').write(str(child))
    sys.exit(0)
time.sleep(600)"""
    assert call(script(tmp_path, body), "x\n", never) == ""
    until(lambda: not is_running(int(pids.read_text())))


def is_running(pid: int) -> bool:
    """Whether a process runs; one that has ended and that nobody has waited for does not."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state not in "ZX"


def test_who_is_called_for() -> None:
    due = START + 180.0
    assert unanswered_alarms(watch(alarm()), due)
    assert not unanswered_alarms(watch(alarm()), due - 0.5)
    assert unanswered_alarms(watch(alarm(standing=Standing.SILENCED)), due)
    assert not unanswered_alarms(watch(alarm(standing=Standing.ACKNOWLEDGED)), due)
    assert not unanswered_alarms(watch(alarm(standing=Standing.RECTIFIED)), due)


def test_it_calls_every_three_minutes_until_somebody_answers(tmp_path: Path) -> None:
    calls = tmp_path / "calls"
    caller = SecondCaller(script(tmp_path, f"open({str(calls)!r}, 'a').write('x')"))
    events: list[Event] = []
    try:
        for second in range(0, 800, 20):
            standing = Standing.UNACKNOWLEDGED if second < 600 else Standing.ACKNOWLEDGED
            before = len(events)
            events += caller.cycle(START + second, watch(alarm(standing=standing)))
            made = sum(event.event == "escalated" or "called again" in event.text for event in events)
            if len(events) > before:
                until(lambda: calls.exists() and len(calls.read_text()) == made and not caller._busy)  # noqa: B023
        assert [(event.time - START, event.event) for event in events] == [
            (180.0, "escalated"),
            (360.0, "note"),
            (540.0, "note"),
        ]
        assert events[0].alert == "stretch"
        assert "not acknowledged for 3 min: Line 1 stretch 101 %" in events[0].text
    finally:
        caller.stop()


def test_a_fault_stands_until_a_call_works(tmp_path: Path) -> None:
    works = tmp_path / "works"
    caller = SecondCaller(script(tmp_path, f"sys.exit(0 if os.path.exists({str(works)!r}) else 3)"))
    try:
        caller.cycle(START + 180, watch(alarm()))
        until(lambda: caller.fault == "exit 3")
        works.touch()
        caller.cycle(START + 360, watch(alarm()))
        until(lambda: caller.fault == "")
    finally:
        caller.stop()


def test_the_watch_never_waits_for_it(tmp_path: Path) -> None:
    caller = SecondCaller(script(tmp_path, "time.sleep(600)"))
    begun = time.monotonic()
    caller.cycle(START + 180, watch(alarm()))
    for second in range(200):
        caller.cycle(START + 181 + second, watch(alarm()))
    assert time.monotonic() - begun < 2.0
    caller.stop()
    assert time.monotonic() - begun < 15.0


@pytest.mark.slow
def test_a_live_watch_calls_and_says_what_failed(tmp_path: Path) -> None:
    """No gauge is heard, so nothing is alarming: the alarm is put into its memory."""
    wall = [START]
    pictures: list[Picture] = []
    desk = LiveDesk(
        read_stay(write_stay(tmp_path)),
        wall=lambda: wall[0],
        steady=lambda: wall[0],
        call=script(tmp_path, "sys.exit(3)"),
    )
    desk.deliver_to(pictures.append)
    desk.cycle()
    desk._memory = _with(desk, alarm())
    for second in range(1, 260):
        wall[0] = START + second
        desk.cycle()
        if second == 181:
            until(lambda: desk._caller is not None and desk._caller.fault == "exit 3")
    desk.stop()
    assert any(event.event == "escalated" and event.alert == "stretch" for event in pictures[-1].log)
    (failed,) = (alert for alert in pictures[-1].alerts if alert.cause == "caller")
    assert (failed.stage, failed.text) == (Stage.WARNING, "Second caller failed: exit 3")


def _with(desk: LiveDesk, alert: Alert):  # type: ignore[no-untyped-def]
    from dataclasses import replace

    memory = desk._memory
    return replace(memory, watchlist=replace(memory.watchlist, alerts={alert.key: alert}))


@pytest.mark.parametrize("command", ["replay", "exercise", "demo", "debrief"])
def test_no_other_command_calls(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Nor does argparse take `--call` as short for another option."""
    with pytest.raises(SystemExit) as ended:
        main([command, "a", "b", "--call", "true"])
    assert ended.value.code == 2
    assert "--call" in capsys.readouterr().err


def test_a_console_that_only_looks_is_not_asked_to_call(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watch_desk, "START_S", 0.3)
    stay, record = read_stay(write_stay(tmp_path)), tmp_path / "record"
    keeps = desk_of(stay, record, OWNER_ONLY, ())
    try:
        assert isinstance(keeps, WatchDesk)
        assert not keeps.looks_only
        with pytest.raises(WrongInput, match="--call: another console keeps the record"):
            desk_of(stay, record, OWNER_ONLY, script(tmp_path, "pass"))
        looks = desk_of(stay, record, OWNER_ONLY, ())
        assert isinstance(looks, WatchDesk)
        assert looks.looks_only
        looks.stop()
    finally:
        keeps.stop()


def test_a_command_is_taken_apart_and_must_be_there() -> None:
    assert command_of(None) == ()
    assert command_of(f"{shlex.quote(sys.executable)} 'a b' -c") == (sys.executable, "a b", "-c")
    for wrong in ("", "   ", "nowhere-to-be-found 1", "'open"):
        with pytest.raises(WrongInput, match="--call"):
            command_of(wrong)


def ended_while_calling(folder: Path, number: signal.Signals) -> list[Event]:
    """Return what is on record of a console that was ended by a signal while its call went on; nothing of
    the call is left running, nor of its guard."""
    pids, record = folder / "pids", folder / "record"
    body = f"""
signal.signal(signal.SIGTERM, signal.SIG_IGN)
child = os.fork()
if child:
    open({str(pids) + "-"!r}, 'w').write(f'{{os.getpid()}} {{child}} {{os.getppid()}}')
    os.replace({str(pids) + "-"!r}, {str(pids)!r})
time.sleep(600)"""
    command = script(folder, body)
    console = subprocess.Popen(
        [sys.executable, "-m", "tests.runtime.calling", write_stay(folder), record, *command]
    )
    try:
        until(pids.exists, 60.0)
        until(lambda: len(children_of(console.pid)) == 2)
        guard = next(pid for pid in children_of(console.pid) if str(pid) not in pids.read_text().split())
        console.send_signal(number)
        assert console.wait(60.0) in (0, -number)
    finally:
        console.kill()
        console.wait()
    called = [int(pid) for pid in pids.read_text().split()[:2]]
    until(lambda: not any(is_running(pid) for pid in [*called, guard]))
    with RecordReader(record) as kept:
        return [event for _, event in kept.events()]


def children_of(pid: int) -> list[int]:
    return [int(each) for each in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()] + [
        int(each)
        for task in Path(f"/proc/{pid}/task").iterdir()
        if task.name != str(pid)
        for each in (task / "children").read_text().split()
    ]


needs_proc = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks at /proc")


@pytest.mark.slow
@needs_proc
def test_a_console_that_ends_cuts_its_call_and_says_so(tmp_path: Path) -> None:
    events = ended_while_calling(tmp_path, signal.SIGTERM)
    assert any(event.event == "escalated" and "Second caller called" in event.text for event in events)
    assert events[-1].event == "stopped"
    assert events[-1].text == "the watch was ended; the call to the second caller was cut"


@pytest.mark.slow
@needs_proc
def test_a_console_that_is_killed_leaves_no_call_running(tmp_path: Path) -> None:
    events = ended_while_calling(tmp_path, signal.SIGKILL)
    assert any(event.event == "escalated" and "Second caller called" in event.text for event in events)
