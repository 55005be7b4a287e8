"""`listen` on every kind of port, as it is run."""

import subprocess
from pathlib import Path

from tests.berth import STAY_TEXT, write_stay
from tests.cli.test_main import ALONGSIDE
from tests.feeds.stays import tide
from tests.feeds.test_line_numbers import numbered

PORT = "serial:/dev/ttyUSB0?baud=4800"


def listen(stay: Path, given: bytes = b"", seconds: str = "30") -> subprocess.CompletedProcess[bytes]:
    command = [*ALONGSIDE, "listen", str(stay), "--seconds", seconds]
    return subprocess.run(command, input=given, capture_output=True, timeout=60, check=False)


def test_it_reads_standard_input_to_its_end(tmp_path: Path) -> None:
    stay = write_stay(tmp_path, STAY_TEXT.replace(PORT, "stdin:"))
    done = listen(stay, tide(1.25) + b"\r\n" + tide(1.5) + b"\n" + tide(1.75))
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode()
    assert "gauges  stdin:" in said
    assert "WLXDR              3" in said
    assert "1.750" in said
    assert "gauges: standard input: has ended" in said


def test_it_says_which_file_it_looked_for(tmp_path: Path) -> None:
    stay = write_stay(tmp_path, STAY_TEXT.replace(PORT, "file:gauges.log"))
    done = listen(stay, seconds="0.5")
    assert done.returncode == 3
    assert f"gauges: {tmp_path / 'gauges.log'}: no such file or directory" in done.stderr.decode()


def test_it_reads_a_file_from_its_start(tmp_path: Path) -> None:
    (tmp_path / "gauges.log").write_bytes(tide(1.25) + b"\n")
    stay = write_stay(tmp_path, STAY_TEXT.replace(PORT, "file:gauges.log?from=start"))
    done = listen(stay, seconds="1")
    assert done.returncode == 0, done.stderr
    assert "1.250" in done.stdout.decode()


def test_it_says_which_numbered_lines_are_missing(tmp_path: Path) -> None:
    stay = write_stay(tmp_path, STAY_TEXT.replace(PORT, "stdin:"))
    done = listen(stay, b"\n".join(numbered(number, tide(1.5)) for number in (7, 8, 8, 12)))
    assert "  WI0001: 3 of 7 numbered lines missing, 1 repeated\n" in done.stdout.decode()
