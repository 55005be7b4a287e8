"""The commands as a user runs them: in a process of their own, with or without a terminal."""

import json
import os
import pty
import re
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

import pytest

from alongside import __version__
from alongside.cli.main import main
from tests.berth import START, STAY_TEXT, gauges, write_stay

ALONGSIDE = [sys.executable, "-m", "alongside"]


def run(*arguments: str | Path, seconds: float = 60.0) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*ALONGSIDE, *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=seconds,
        stdin=subprocess.DEVNULL,
    )


def test_check_says_what_a_good_file_holds(tmp_path: Path) -> None:
    done = run("check", write_stay(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    first, *rows = done.stdout.splitlines()
    assert "3 lines" in first
    assert any(row.split()[:2] == ["2", "breast"] for row in rows), "a row a line"
    assert any(row.startswith("not watched: ") for row in rows)


@pytest.mark.slow
def test_a_remark_stands_at_its_place_and_is_a_fault_only_if_asked(tmp_path: Path) -> None:
    odd = tmp_path / "odd.yaml"
    odd.write_text(STAY_TEXT.replace("brake_kn: 120", "brake_kn: 12"))
    lenient, strict = run("check", odd), run("check", "--strict", odd)
    assert (lenient.returncode, strict.returncode) == (0, 2)
    assert lenient.stdout == strict.stdout
    (remark,) = [row for row in strict.stdout.splitlines() if ": remark: " in row]
    assert re.match(rf"{re.escape(str(odd))}:17:\d+: ship\.winches\.W1\.brake_kn: remark: ", remark)


def test_check_tells_all_faults_of_all_files_and_exits_2(tmp_path: Path) -> None:
    good = write_stay(tmp_path)
    bad = tmp_path / "bad.yaml"
    bad.write_text(STAY_TEXT.replace("breadth: 14.0", "bredth: 14.0").replace("bollard: B3", "bollard: B4"))
    done = run("check", bad, good, tmp_path / "none.yaml")
    assert done.returncode == 2
    faults = done.stderr.splitlines()
    assert any(f.startswith(f"{bad}:") and "bredth" in f and "breadth" in f for f in faults)
    assert any("B4" in f for f in faults)
    assert any("none.yaml" in f for f in faults)
    assert str(good) in done.stdout


@pytest.mark.parametrize("command", ["watch", "replay"])
def test_a_screen_needs_a_terminal(tmp_path: Path, command: str) -> None:
    log = tmp_path / "stay.log"
    log.write_bytes(gauges(START, 2.0))
    done = run(command, write_stay(tmp_path), *([log] if command == "replay" else []))
    assert done.returncode == 2
    assert "terminal" in done.stderr


@pytest.mark.slow
@pytest.mark.parametrize("command", ["watch", "replay", "simulate", "listen"])
def test_a_wrong_stay_file_starts_nothing(tmp_path: Path, command: str) -> None:
    bad = write_stay(tmp_path, STAY_TEXT.replace("format: 1", "format: 7"))
    more = {"replay": [tmp_path / "x.log"], "simulate": ["--out", tmp_path / "out.log"]}.get(command, [])
    done = run(command, bad, *more)
    assert done.returncode == 2
    assert f"{bad}:1:" in done.stderr
    assert not (tmp_path / "out.log").exists()


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [[], ["sail"], ["replay"], ["replay", "a", "b", "--speed", "0"], ["replay", "a", "b", "--from", "noon"]],
)
def test_wrong_use_exits_2(arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stderr
    assert not done.stdout


@pytest.mark.slow
def test_listen_exits_3_when_no_port_opens(tmp_path: Path) -> None:
    stay = write_stay(tmp_path, STAY_TEXT.replace("/dev/ttyUSB0", str(tmp_path / "none")))
    done = run("listen", stay, "--seconds", "1")
    assert done.returncode == 3
    assert "no such port" in done.stderr


@pytest.mark.slow
def test_listen_tells_of_a_port_that_never_opened_beside_one_that_did(tmp_path: Path) -> None:
    master, slave = pty.openpty()
    more = f"""  - name: wind
    port: "serial:{tmp_path}/none"
    channels: {{wind_speed: {{sentence: MWV}}}}
balance: off
"""
    text = STAY_TEXT.replace("/dev/ttyUSB0", os.ttyname(slave)).replace("balance: off\n", more)
    done = run("listen", write_stay(tmp_path, text), "--seconds", "1")
    os.close(master)
    os.close(slave)
    assert done.returncode == 3
    assert "no such port" in done.stdout
    assert "never opened: wind" in done.stderr


@pytest.mark.slow
def test_listen_tells_rates_channels_and_faults(tmp_path: Path) -> None:
    import tty

    master, slave = pty.openpty()
    tty.setraw(slave)
    stay = write_stay(tmp_path, STAY_TEXT.replace("/dev/ttyUSB0", os.ttyname(slave)))
    command = [*ALONGSIDE, "listen", str(stay), "--seconds", "3"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        until = time.monotonic() + 30.0
        while process.poll() is None and time.monotonic() < until:
            os.write(master, gauges(START, 2.0).split(b"\\")[2] + b"$IIXDR,D,1,M,TIDE*00\r\n")
            time.sleep(0.2)
        said = process.communicate(timeout=10)[0]
    os.close(master)
    os.close(slave)
    assert process.returncode == 0
    assert "IIXDR" in said
    assert "wrong checksum" in said
    assert "tide" in said
    assert "2.000" in said


@pytest.mark.slow
def test_the_demo_without_a_terminal_prints_the_time_line() -> None:
    done = run("demo")
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert "started" in lines[0]
    assert any("ALARM" in line or "WARNING" in line for line in lines)
    assert "stopped" in lines[-1]


@pytest.mark.slow
def test_output_cut_short_by_its_reader_is_no_fault(tmp_path: Path) -> None:
    done = subprocess.run(
        ["bash", "-c", f"set -o pipefail; {' '.join(ALONGSIDE)} demo | head -n 1"],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert "Traceback" not in done.stderr
    assert done.stdout.count("\n") == 1


def test_a_fault_of_ours_exits_1_and_its_trace_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_path: Path) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr("alongside.stay.read.read_stay", broken)
    assert main(["check", "stay.yaml"]) == 1
    trace = tmp_path / "alongside" / "faults.log"
    assert str(trace) in capsys.readouterr().err
    assert "planted" in trace.read_text()
    assert "Traceback" in trace.read_text()


def test_version_names_what_a_report_of_a_fault_needs() -> None:
    done = run("--version")
    assert done.returncode == 0
    python = ".".join(map(str, sys.version_info[:3]))
    for part in (f"alongside {__version__}", f"Python {python}", f"numpy {version('numpy')}"):
        assert part in done.stdout
    assert f"textual {version('textual')}" in done.stdout


@pytest.mark.slow
def test_a_command_whose_output_is_closed_does_its_work(tmp_path: Path) -> None:
    stay, out = Path(__file__).parents[2] / "configs" / "coaster_quay.yaml", tmp_path / "periods.json"
    command = '"$0" -m alongside ranging "$1" --wave 60 --json "$2" >&- 2>&-'
    done = subprocess.run(["sh", "-c", command, sys.executable, str(stay), str(out)], check=False)
    assert done.returncode == 0
    assert json.loads(out.read_text())["periods"]
