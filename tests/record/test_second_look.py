"""Readings of another terminal far from what stands: looked at again, by argument or at a terminal."""

import os
import pty
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from alongside.actions import ReadByHand
from alongside.cli.main import main
from alongside.cli.second_look import apart
from alongside.cycle.plausibility.second_look import is_far
from alongside.record.access import OWNER_ONLY
from alongside.record.layout import NOTES
from alongside.record.second_terminal import leave_note
from alongside.runtime.live import LiveDesk
from tests.berth import a_stay, write_stay
from tests.record.kept import Watch
from tests.record.test_second_terminal import NO_FEED, read, waiting


@pytest.fixture
def told(tmp_path: Path) -> Iterator[tuple[Path, Path]]:
    """A stay file and the record of its watch, that runs and has 4.92 m forward."""
    path, record = write_stay(tmp_path, NO_FEED), tmp_path / "record"
    stay = a_stay(tmp_path, NO_FEED)
    pictures: list[Any] = []
    desk = LiveDesk(stay, record)
    desk.start(pictures.append)
    try:
        _until(lambda: bool(pictures))
        leave_note(record, replace(read(0.0, draught_fwd=4.92), at=time.time()), OWNER_ONLY)
        _until(lambda: bool(pictures[-1].by_hand))
        asked = ReadByHand((("draught_fwd", 9.9),), time.time() + 60.0, "quay", 0.0, "TK")
        _until(lambda: bool(apart(record, asked, stay.display)))
        yield path, record
    finally:
        desk.stop()


def _until(is_so: Any) -> None:
    deadline = time.monotonic() + 60.0
    while not is_so() and time.monotonic() < deadline:
        time.sleep(0.1)
    assert is_so()


@pytest.mark.slow
def test_by_pipe_one_far_off_is_taken_only_where_it_was_looked_at_again(
    told: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    path, record = told
    command = ["read", str(path), "draught_fwd=9.9", "by=TK", "--record", str(record)]
    assert main(command) == 2
    assert waiting(record) == []
    wrong = capsys.readouterr().err
    assert "draught F 4.98 m above what stood at" in wrong
    assert "4.92 m, expected a second look: add yes=draught_fwd" in wrong
    assert main([*command[:3], "yes=draught_fwd", *command[3:]]) == 0
    assert capsys.readouterr().out.startswith("kept by the watch at ")
    near_by = ReadByHand((("draught_fwd", 9.95),), time.time(), "quay", 0.0, "TK")
    display = a_stay(path.parent, NO_FEED).display
    _until(lambda: not any(row.far for row in apart(record, replace(near_by, at=time.time()), display)))
    assert main(["read", str(path), "draught_fwd=9.95", "--record", str(record)]) == 0, "near what stands"
    near = capsys.readouterr()
    assert "draught F 0.05 m above what stood at" in near.err
    assert "by=TK says who it was" in near.err


@pytest.mark.slow
@pytest.mark.parametrize(("answers", "status"), [(b"n\n", 2), (b"y\n\n", 2), (b"y\nTK\n", 0)])
def test_at_a_terminal_it_asks_whether_it_is_so_and_who_read(
    told: tuple[Path, Path], answers: bytes, status: int
) -> None:
    path, record = told
    ours, theirs = pty.openpty()
    command = [
        sys.executable,
        "-m",
        "alongside",
        "read",
        str(path),
        "draught_fwd=9.9",
        "--record",
        str(record),
    ]
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs) as process:
        os.close(theirs)
        os.write(ours, answers)
        assert process.wait(60) == status
    text = os.read(ours, 10_000).decode()
    os.close(ours)
    assert "draught F 4.98 m above what stood at" in text
    assert "Look again. Is it so?" in text
    assert ("kept by the watch" in text) is (status == 0)


@pytest.mark.slow
def test_it_says_whether_a_watch_is_running(tmp_path: Path) -> None:
    path, record = write_stay(tmp_path, NO_FEED), tmp_path / "record"
    watch = Watch(a_stay(tmp_path, NO_FEED), record).run(2, heard=False)
    command = [sys.executable, "-m", "alongside", "read", path, "tide=3.4", "by=TK", "--record", record]
    for is_running, words in (
        (True, "the watch has not answered yet"),
        (False, "no watch is running: taken"),
    ):
        if not is_running:
            watch.end()
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
        assert (done.returncode, done.stdout) == (0, "waits for the watch\n"), done.stderr
        assert words in done.stderr
    assert len(list((record / NOTES).iterdir())) == 2


@pytest.mark.parametrize(
    ("channel", "off", "sigma", "far"),
    [
        ("draught_fwd", 0.29, 0.02, False),  # not a little
        ("draught_fwd", 0.31, 0.02, True),
        ("draught_fwd", -0.31, float("nan"), True),
        ("draught_fwd", 0.5, 0.2, False),  # within three sigma of both
        ("tide", 0.7, 0.2, True),
        ("heel", 0.9, 0.1, False),
        ("heel", -1.1, 0.1, True),
        ("wind_speed", 20.0, 0.5, False),
    ],
)
def test_what_is_far(channel: str, off: float, sigma: float, far: bool) -> None:
    assert is_far(channel, off, "quay", 0.0, sigma) is far


def test_what_stood_long_before_is_not_compared(tmp_path: Path) -> None:
    record, stay = tmp_path / "record", a_stay(tmp_path, NO_FEED)
    watch = Watch(stay, record).run(2, heard=False)
    leave_note(record, read(1.0, tide=3.7), OWNER_ONLY)
    watch.run(3, heard=False).end()
    assert [row.far for row in apart(record, read(30.0, tide=9.0), stay.display)] == [True]
    assert apart(record, read(3600.0, tide=9.0), stay.display) == []
    assert apart(tmp_path / "none", read(30.0, tide=9.0), stay.display) == []
