"""An output takes its place whole or not at all, whatever stops the command that writes it."""

import json
import os
import signal
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import pytest

from alongside.cli.main import main
from alongside.errors import DiskFailed, WrongInput
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.replaceable import EVENTS, HOLDING, PAGE, STATES
from tests.berth import START, gauges, write_stay
from tests.record.disks import LimitedFiles, SmallDisk

ALONGSIDE: Final = (sys.executable, "-m", "alongside")
OLD: Final = json_text({"time": "2026-03-02T04:00:00Z", "tide": 1.0}) + "\n"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def write(path: Path, text: str) -> None:
    with Outputs() as outputs:
        outputs.text(path, STATES).write(text)


@pytest.mark.parametrize("mask", [0o022, 0o077])
def test_a_new_file_has_the_usual_mode_and_a_replaced_one_keeps_its_own(tmp_path: Path, mask: int) -> None:
    path, before = tmp_path / "states", os.umask(mask)
    try:
        write(path, OLD)
        assert stat.S_IMODE(path.stat().st_mode) == 0o666 & ~mask
        path.chmod(0o604)
        write(path, "new\n")
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == 0o604
    assert path.read_text() == "new\n"
    assert names(tmp_path) == ["states"]


def test_a_link_stays_a_link_and_a_second_name_keeps_what_it_had(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    path, soft, hard = tmp_path / "far" / "states", tmp_path / "soft", tmp_path / "hard"
    path.write_text(OLD)
    soft.symlink_to(path)
    hard.hardlink_to(path)
    write(soft, "new\n")
    assert soft.is_symlink()
    assert (path.read_text(), hard.read_text()) == ("new\n", OLD)
    (tmp_path / "dangling").symlink_to(tmp_path / "far" / "other")
    write(tmp_path / "dangling", "new\n")
    assert (tmp_path / "far" / "other").read_text() == "new\n"
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises(WrongInput):
        write(tmp_path / "loop", "new\n")


def test_a_write_protected_file_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "states"
    path.write_text(OLD)
    path.chmod(0o444)
    if os.geteuid() == 0:
        pytest.skip("nothing is write-protected for root")
    with pytest.raises(WrongInput, match="write-protected"):
        write(path, "new\n")


@pytest.mark.parametrize("fault", [WrongInput("x"), KeyboardInterrupt(), SystemExit(1), ZeroDivisionError()])
def test_of_several_files_all_come_or_none(tmp_path: Path, fault: BaseException) -> None:
    (tmp_path / "states").write_text(OLD)
    with suppress(type(fault)), Outputs() as outputs:
        outputs.text(tmp_path / "states", STATES).write("new\n" * 10_000)
        outputs.text(tmp_path / "events", EVENTS).write("new\n")
        outputs.folder(tmp_path / "a" / "b")
        outputs.binary(tmp_path / "a" / "b" / "page", PAGE).write(b"new")
        raise fault
    assert names(tmp_path) == ["states"]
    assert (tmp_path / "states").read_text() == OLD


def test_what_comes_to_the_place_meanwhile_is_kept(tmp_path: Path) -> None:
    outputs = Outputs()
    outputs.text(tmp_path / "states", STATES).write("new\n")
    write_stay(tmp_path).rename(tmp_path / "states")
    with pytest.raises(WrongInput, match="a stay file"):
        outputs.__exit__(None, None, None)
    assert (tmp_path / "states").read_text().startswith("format: 1")
    assert names(tmp_path) == ["states"]


def test_kinds_are_not_mixed(tmp_path: Path) -> None:
    path = tmp_path / "states"
    path.write_text(OLD)
    for kind in (EVENTS, HOLDING, PAGE):
        with pytest.raises(WrongInput, match="another output"), Outputs() as outputs:
            outputs.text(path, kind)
    assert path.read_text() == OLD


def test_a_pipe_is_written_to_and_stays(tmp_path: Path) -> None:
    pipe, heard = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: heard.append(pipe.read_text()))
    reader.start()
    write(pipe, "new\n")
    reader.join(10.0)
    assert heard == ["new\n"]
    assert names(tmp_path) == ["pipe"]


@pytest.mark.slow
def test_standard_output_is_written_to_in_order(tmp_path: Path) -> None:
    log = tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, 2.0) for second in range(5)))
    command = [
        *ALONGSIDE,
        "replay",
        str(write_stay(tmp_path)),
        str(log),
        "--headless",
        "--states",
        "/dev/stdout",
    ]
    piped = subprocess.run(command, capture_output=True, check=True, text=True)
    assert [json.loads(row)["format"] for row in piped.stdout.splitlines()] == [1] * 5
    out = tmp_path / "out"
    for times in (1, 2):
        with out.open("a") as file:
            subprocess.run(command, stdout=file, check=True)
        assert out.read_text() == piped.stdout * times
    twice = subprocess.run([*command, "--events", "/dev/stdout"], capture_output=True, check=False, text=True)
    assert (twice.returncode, twice.stdout) == (2, "")


def later_tides() -> str:
    """High and low waters of another ten days, each six hours after the one before."""
    last = datetime(2026, 6, 19, 8, 30, tzinfo=UTC)
    return "".join(
        f"    - [{last + timedelta(hours=6 * number):%Y-%m-%dT%H:%M:%SZ}, {0.6 if number % 2 else 4.7}]\n"
        for number in range(1, 41)
    )


@pytest.fixture
def endless(tmp_path: Path) -> tuple[list[str], Path]:
    """A simulation that takes long, and where it writes."""
    text = (Path(__file__).parents[2] / "configs" / "coaster_quay.yaml").read_text(encoding="utf-8")
    last = "    - [2026-06-19T08:30:00Z, 4.70]\n"
    assert last in text
    stay = tmp_path / "long.yaml"
    stay.write_text(text.replace(last, last + later_tides()), "utf-8")
    out = tmp_path / "out" / "long.log"
    out.parent.mkdir()
    return [*ALONGSIDE, "simulate", str(stay), "--hours", "300", "--out", str(out)], out


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_interrupted_nothing_is_left(endless: tuple[list[str], Path], number: signal.Signals) -> None:
    command, out = endless
    with subprocess.Popen(command, stderr=subprocess.PIPE) as process:
        until = time.monotonic() + 30.0
        while not names(out.parent) and time.monotonic() < until:
            time.sleep(0.02)
        assert [name.endswith(".part") for name in names(out.parent)] == [True]
        process.send_signal(number)
        _, said = process.communicate(timeout=30)
    assert (process.returncode, said) == (130, b"Interrupted: no file is half written\n")
    assert names(out.parent) == []


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[SmallDisk | LimitedFiles]:
    place = tmp_path / "disk"
    place.mkdir()
    try:
        disk: SmallDisk | LimitedFiles = SmallDisk(place, "6m")
    except (subprocess.CalledProcessError, OSError):
        disk = LimitedFiles(place)
    yield disk
    if isinstance(disk, SmallDisk):
        disk.take_away()
    else:
        disk.free()


@pytest.mark.parametrize("output", ["--states", "--events"])
def test_a_full_disk_has_its_own_status_and_leaves_the_old(
    disk: SmallDisk | LimitedFiles, tmp_path: Path, output: str, capsys: pytest.CaptureFixture[str]
) -> None:
    log = tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, 2.0 + second % 7) for second in range(300)))
    out = disk.place / "out"
    command = ["replay", str(write_stay(tmp_path)), str(log), "--headless", output, str(out)]
    assert main(command) == 0
    before = out.read_bytes()
    disk.fill()
    assert main(command) == 4
    said = capsys.readouterr().err
    assert said.startswith(f"{out}: ")
    assert said.endswith("; not written, what stood there is as it was\n")
    assert out.read_bytes() == before
    assert not list(disk.place.glob(".*"))
    disk.free()
    assert main(command) == 0


def test_a_full_disk_under_standard_output_is_said(tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*ALONGSIDE, "check", write_stay(tmp_path)], stdout=full, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 4
    assert done.stderr == b"standard output: No space left on device; what was printed breaks off\n"


def test_a_full_disk_is_no_wrong_input(disk: SmallDisk | LimitedFiles) -> None:
    disk.fill()
    with pytest.raises(DiskFailed), Outputs() as outputs:
        outputs.text(disk.place / "new", STATES).write("x" * 9_000_000)
    disk.free()
    assert names(disk.place) == []
