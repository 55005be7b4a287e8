"""What rings, and when: no beat is lost, and a watch that has stopped is heard."""

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from itertools import count
from types import CodeType, FrameType
from typing import Any, Final

import pytest

from alongside.cycle.picture import Picture
from alongside.screens.app import ConsoleApp
from alongside.screens.sound import PATTERNS, Sounder
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import Shown, console


def test_a_sound_is_not_lost_with_the_picture_that_called_for_it() -> None:
    sounder, bells = Sounder(), []
    sounder.hear(replace(invented.flood(), sound=Stage.ALARM))
    sounder.hear(replace(invented.flood(), sound=Stage.NORMAL))
    sounder.ring(bells.append)
    assert tuple(bells) == PATTERNS[Stage.ALARM]
    sounder.ring(bells.append)
    assert len(bells) == len(PATTERNS[Stage.ALARM])


def test_alarm_and_warning_sound_differently() -> None:
    assert len(PATTERNS[Stage.ALARM]) != len(PATTERNS[Stage.WARNING])
    assert Stage.CAUTION not in PATTERNS


def ring_with(sounder: Sounder, at: int, deed: Callable[[], None], bells: list[float]) -> bool:
    """Ring while another thread acts before bytecode `at`; return False where there are fewer."""
    left = at

    def before_a_bytecode(*_where: object) -> None:
        nonlocal left
        left -= 1
        if left == -1:
            other = threading.Thread(target=deed)
            other.start()
            other.join()

    with each_bytecode(Sounder.ring.__code__, before_a_bytecode):
        sounder.ring(bells.append)
    return left < 0


@contextmanager
def each_bytecode(code: CodeType, call: Callable[..., None]) -> Iterator[None]:
    """Call before each bytecode of some code that runs in this thread."""
    if sys.version_info >= (3, 12):  # there a trace function no longer hears every bytecode
        seen = sys.monitoring
        seen.use_tool_id(TOOL, "test")
        seen.register_callback(TOOL, seen.events.INSTRUCTION, call)
        seen.set_local_events(TOOL, code, seen.events.INSTRUCTION)
        try:
            yield
        finally:
            seen.set_local_events(TOOL, code, 0)
            seen.free_tool_id(TOOL)
        return

    def trace(frame: FrameType, event: str, _arg: object) -> Callable[..., Any] | None:
        if frame.f_code is not code:
            return None
        frame.f_trace_opcodes = True
        if event == "opcode":
            call()
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        yield
    finally:
        sys.settrace(before)


TOOL: Final = 4
"""An identifier that no debugger, coverage or profiler uses."""


@pytest.mark.parametrize("waiting", [Stage.NORMAL, Stage.WARNING])
def test_no_beat_is_lost_between_threads(waiting: Stage) -> None:
    """Wherever the screen's thread is in `ring`, an alarm that the watch calls for then rings."""
    alarm, before = (replace(invented.flood(), sound=stage) for stage in (Stage.ALARM, waiting))
    for at in count():
        sounder, bells = Sounder(), list[float]()
        sounder.hear(before)
        if not ring_with(sounder, at, lambda: sounder.hear(alarm), bells):  # noqa: B023
            break
        sounder.ring(bells.append)
        assert tuple(bells[-6:]) == PATTERNS[Stage.ALARM], f"lost before bytecode {at}"
    assert at > 10


@pytest.fixture
def one_bell(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """An alarm is one bell, and each is counted."""
    bells: list[int] = []
    monkeypatch.setitem(PATTERNS, Stage.ALARM, (0.0,))  # type: ignore[arg-type]
    monkeypatch.setattr(ConsoleApp, "bell", lambda _app: bells.append(1))
    return bells


@pytest.mark.slow
async def test_no_new_figures_ring_every_ten_seconds(one_bell: list[int]) -> None:
    async with console(invented.normal()) as shown:
        await shown.pass_time(9.5)
        assert not one_bell
        for second in range(10, 41):
            await shown.pass_time(1.0)
            assert len(one_bell) == second // 10, second
        await shown.deliver(invented.normal())
        await rest(shown, 9)
        assert len(one_bell) == 4, "new figures came"


async def rest(shown: Shown, seconds: int) -> None:
    for _ in range(seconds):
        await shown.pass_time(1.0)


@pytest.mark.slow
async def test_no_new_figures_can_be_silenced_for_thirty_seconds(one_bell: list[int]) -> None:
    async with console(invented.normal()) as shown:
        await rest(shown, 12)
        assert len(one_bell) == 1
        await shown.press("s")
        await rest(shown, 29)
        assert len(one_bell) == 1
        await rest(shown, 1)
        assert len(one_bell) == 2


@pytest.mark.slow
@pytest.mark.parametrize(
    ("picture", "rings"),
    [
        (replace(invented.normal(), replay=True, paused=True), False),
        (replace(invented.normal(), replay=True), True),
    ],
)
async def test_a_stopped_replay_does_not_ring(picture: Picture, rings: bool, one_bell: list[int]) -> None:
    async with console(picture) as shown:
        await rest(shown, 60)
        assert bool(one_bell) == rings


@pytest.mark.slow
async def test_before_the_first_picture_a_watch_that_says_nothing_rings(one_bell: list[int]) -> None:
    async with console() as shown:
        await rest(shown, 11)
        assert "NO NEW FIGURES" in shown.text
        assert len(one_bell) == 1
