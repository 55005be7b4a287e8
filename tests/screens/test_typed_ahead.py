"""Keys typed ahead, faster than the console takes them: each goes to what it was meant for, in order."""

import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from textual.events import Key

from alongside.actions import AnswerBrake, Note, Silence, TendLine
from tests.screens import invented
from tests.screens.shown import Shown, console
from tests.screens.terminal import Terminal

SIZES = ((80, 24), (120, 30), (160, 50))


@contextmanager
def terminal(size: tuple[int, int]) -> Iterator[Terminal]:
    opened = Terminal(size=size)
    try:
        opened.wait_for(lambda: opened.shows("Slack B1"))
        yield opened
    finally:
        opened.close()


def did(opened: Terminal) -> str:
    """End the console; return what it says was done."""
    opened.type("qy")
    opened.wait_for(opened.ended)
    opened.wait_for(lambda: b"did [" in opened.output)
    opened.read()
    return opened.output.rpartition(b"did ")[2].decode().splitlines()[0]


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_a_burst_in_one_write_is_a_note(size: tuple[int, int]) -> None:
    with terminal(size) as opened:
        opened.type("wabc ask a tug, all fast\tek\r")
        assert did(opened) == "[Note(text='abc ask a tug, all fast', by='ek')] []"


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_keys_that_came_while_it_stood_still(size: tuple[int, int]) -> None:
    with terminal(size) as opened:
        opened.process.send_signal(signal.SIGSTOP)
        for key in "wwatch tug, ask again\r":
            opened.type(key)
        opened.type("tout 0.4\r\rs:note\rstern gang is back\r")
        opened.process.send_signal(signal.SIGCONT)
        assert did(opened) == (
            "[Note(text='watch tug, ask again', by=''), "
            "TendLine(line='B1', paid_out=0.4, to_tension_kn=None, by=''), "
            "Silence(by='', cause='', subject=''), Note(text='stern gang is back', by='')] []"
        )


@pytest.mark.slow
def test_one_that_was_stopped_and_went_on_has_one_reader_of_keys() -> None:
    with terminal((80, 24)) as opened:
        tasks = Path(f"/proc/{opened.process.pid}/task")
        threads = len(list(tasks.glob("*")))
        for _ in range(4):
            opened.process.send_signal(signal.SIGSTOP)
            opened.process.send_signal(signal.SIGCONT)
            opened.read(0.3)
        assert len(list(tasks.glob("*"))) < threads + 4, "one for each time, else"
        for count in range(8):
            opened.type(f"wall fast forward and aft {count}\r")
            opened.read(0.05)
        notes = ", ".join(f"Note(text='all fast forward and aft {count}', by='')" for count in range(8))
        assert did(opened) == f"[{notes}] []"


@pytest.mark.slow
def test_what_is_typed_before_the_console_is_there() -> None:
    opened = Terminal()
    try:
        opened.type("wall fast")
        opened.wait_for(lambda: opened.shows("Slack B1"))
        opened.type("\r")
        assert did(opened) == "[Note(text='all fast', by='')] []"
    finally:
        opened.close()


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_a_loaded_machine(size: tuple[int, int]) -> None:
    """Two other processes take what they get; keys come in clumps, as over a slow connection."""
    busy = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(2)]
    try:
        with terminal(size) as opened:
            for count in range(5):
                for clump in ("wask", " again", f" {count}", "\te", "k\r"):
                    opened.type(clump)
                    time.sleep(0.02)
                    opened.read(0.0)
            notes = ", ".join(f"Note(text='ask again {count}', by='ek')" for count in range(5))
            assert did(opened) == f"[{notes}] []"
    finally:
        for each in busy:
            each.kill()
            each.wait()


async def burst(shown: Shown, keys: str) -> None:
    """Put keys into the queue of the app at once."""
    names = {"\r": "enter", "\t": "tab", " ": "space", ".": "full_stop"}
    for key in keys:
        shown.app.post_message(Key(names.get(key, key), None if key in "\r\t" else key))
    await shown.pilot.pause()
    await shown.pilot.pause()


@pytest.mark.slow
async def test_tab_in_a_burst_parts_the_fields() -> None:
    async with console(invented.one_warning()) as shown:
        await burst(shown, "tout 0.4\tab\r\rwab\tcd\r")
        assert shown.desk.actions == [TendLine("B1", paid_out=0.4, by="ab"), Note("ab", "cd")]
        await burst(shown, "wx\rv")
        assert shown.app.form.name == "", "what follows a form is no text of it"
        assert shown.desk.actions[-1] == Note("x", "cd")


async def test_held_typed_for_a_brake_in_question_is_an_answer() -> None:
    """Line and what is asked are preset; it says first what the line carries then."""
    async with console(invented.in_question()) as shown:
        await shown.press("x")
        assert "held    drum: 0.27 m out if it slipped" in shown.text
        await burst(shown, "held\tab\r")
        assert shown.desk.actions == []
        assert "Then line B1 carries 27.0 t" in shown.text
        await burst(shown, "\r")
        assert shown.desk.actions == [AnswerBrake("B1", "held", by="ab")]


async def test_a_refusal_stays_until_another_key_is_typed() -> None:
    async with console(invented.one_warning()) as shown:
        await burst(shown, "tx\r")
        assert "Not done: expected slack" in shown.text
        await burst(shown, "y")
        assert "Not done" not in shown.text


@pytest.mark.slow
async def test_a_deed_that_was_changed_is_asked_for_again() -> None:
    async with console(invented.one_warning()) as shown:
        await burst(shown, "tout 0.4\r5\r")
        assert "Will record: line B1 slacked 0.45 m" in shown.text
        assert shown.desk.actions == []
        await burst(shown, "\rs")
        assert shown.desk.actions == [TendLine("B1", paid_out=0.45), Silence()]
