"""The command `learn` on a simulated log whose ship truly is moored with other ropes: the simulation has the
program's mechanics in its loop, so the cells measure what comes of them."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from alongside.actions import LineGone, ReadLoad
from alongside.cli.main import main
from alongside.record.temporary import temporary_folder
from alongside.runtime.log_on_record import put_on_record
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, a_stay
from tests.forecast.learning.taught_stays import QUAY
from tests.record.kept import Watch

SIMULATED: Final = """\
simulate:
  start: 2026-05-11T06:00:00Z
  hours: 10
  seed: 511
  draught_fwd: 4.60
  draught_aft: 5.20
  interval_s: 30
  wind: [{at: 2026-05-11T06:00:00Z, mean_kn: 8, gust_kn: 11, from_deg: 250}]
"""
ROW: Final = '- {id: "2", role: breast,'
TRUE: Final = '- {learnt: {stiffness: 0.75}, id: "2", role: breast,'


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A stay file, and the log of a ship whose line 2 has a softer rope."""
    folder = tmp_path_factory.mktemp("learn")
    text = QUAY.read_text(encoding="utf-8").split("simulate:")[0] + SIMULATED
    (folder / "stay.yaml").write_text(text, encoding="utf-8")
    (folder / "true.yaml").write_text(text.replace(ROW, TRUE), encoding="utf-8")
    assert main(["simulate", str(folder / "true.yaml"), "--out", str(folder / "stay.log")]) == 0
    return folder


@pytest.mark.slow
def test_a_softer_rope_is_printed_written_and_then_nothing_is_left_to_learn(world: Path, capsys) -> None:
    stay, log, new, answer = (str(world / name) for name in ("stay.yaml", "stay.log", "new.yaml", "a.json"))
    before = (world / "stay.yaml").read_bytes()
    command = [sys.executable, "-m", "alongside", "learn", stay, log, "--out", new, "--json", answer]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "Line 2: 2" in done.stdout
    assert "softer than its curve" in done.stdout
    assert "Nothing of this is taken by itself" in done.stdout
    assert (world / "stay.yaml").read_bytes() == before
    found = {each["id"]: each for each in json.loads(Path(answer).read_text())["lines"]}
    stiffness = found["2"]["stiffness"]
    assert stiffness["low"] < 0.75 < stiffness["high"]
    assert {each["finding"] for line, each in found.items() if line != "2"} == {"as_computed"}
    learnt = read_stay(new).lines[1].learnt
    assert learnt is not None
    assert learnt.stiffness == pytest.approx(0.75, abs=0.05)
    assert [line.learnt for line in read_stay(new).lines if line.id != "2"] == [None] * 5
    capsys.readouterr()
    assert main(["learn", new, log]) == 0
    assert "softer" not in capsys.readouterr().out
    assert main(["learn", stay, log, "--out", stay]) == 2
    assert main(["learn", stay, log, "--out", new]) == 2  # no stay file is written over


@pytest.mark.slow
def test_a_record_teaches_what_its_log_does(world: Path, capsys) -> None:
    with temporary_folder("learn") as folder:
        put_on_record(read_stay(world / "stay.yaml"), world / "stay.log", folder)
        assert main(["learn", str(folder), "--lines", "2", "--out", str(world / "of_record.yaml")]) == 0
    assert "softer than its curve" in capsys.readouterr().out
    learnt = read_stay(world / "of_record.yaml").lines[1].learnt
    assert learnt is not None
    assert learnt.stiffness == pytest.approx(0.75, abs=0.05)


@pytest.mark.slow
def test_a_file_with_what_was_learnt_says_so_wherever_loads_are_read(world: Path, capsys) -> None:
    stay, log, page = (str(world / name) for name in ("true.yaml", "stay.log", "true.html"))
    said = "ine 2 goes by what was learnt: 25 % softer than its curve"
    for given in (["check", stay], ["handover", stay, log, "--at", "2026-05-11T09:00:00Z"]):
        assert main(given) == 0
        assert f"l{said}" in " ".join(capsys.readouterr().out.split()), given
    assert main(["report", stay, log, "--out", page]) == 0
    assert f"L{said}" in Path(page).read_text(encoding="utf-8")
    assert main(["check", str(world / "stay.yaml")]) == 0
    assert "what was learnt" not in capsys.readouterr().out


def test_what_is_asked_wrongly_is_refused(tmp_path: Path, capsys) -> None:
    (tmp_path / "stay.yaml").write_text(QUAY.read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["learn", str(tmp_path)]) == 2
    assert "no record" in capsys.readouterr().err
    (tmp_path / "empty.log").write_text("", encoding="utf-8")
    assert main(["learn", str(tmp_path / "stay.yaml"), str(tmp_path / "empty.log")]) == 2
    assert "no line with a time" in capsys.readouterr().err


def interrupted(command: list[str]) -> tuple[int, bytes, str]:
    """Return status, what stood at the terminal and what was printed, of a search interrupted in it."""
    outside, inside = os.openpty()
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=inside, text=True) as process:
        os.close(inside)
        said = b""
        while b"weighing" not in said:
            said += os.read(outside, 4096)
        process.send_signal(signal.SIGINT)
        printed = process.communicate(timeout=60.0)[0]
        while True:
            try:
                said += os.read(outside, 4096)
            except OSError:  # its end, as a terminal has it
                break
    os.close(outside)
    return process.returncode, said, printed


@pytest.mark.slow
def test_ended_in_the_midst_of_the_search_it_says_so_and_leaves_no_file(world: Path) -> None:
    new, answer = world / "ended.yaml", world / "ended.json"
    files = ["--out", str(new), "--json", str(answer)]
    command = [sys.executable, "-m", "alongside", "learn", str(world / "stay.yaml"), str(world / "stay.log")]
    for _ in range(5):  # where the machine does something else it may be done before it is interrupted
        status, said, printed = interrupted([*command, *files])
        if status:
            break
        new.unlink()
        answer.unlink()
    assert status == 130
    assert b"Interrupted: no file is half written" in said
    assert printed == ""
    assert not new.exists()
    assert not answer.exists()


@pytest.mark.slow
def test_of_a_line_let_go_in_the_watch_what_was_measured_before_counts(tmp_path: Path, capsys) -> None:
    """And its record is taken into the ropes' history, with the rope out of its line from then on."""
    text = STAY_TEXT.replace("balance: off", "").replace('id: "3",', 'id: "3", serial: PL-3,')
    folder = tmp_path / "record"
    done = {20: ReadLoad("3", 0.0, None, "RV"), 40: LineGone("3", "let_go", "RV")}
    Watch(a_stay(tmp_path, text), folder).run(60, dict(done)).end()
    assert main(["learn", str(folder)]) == 0
    assert "Line 3: " in capsys.readouterr().out
    assert main(["ropes", str(tmp_path / "ropes.db"), "--record", str(folder)]) == 0
    assert "1 rope: kept" in capsys.readouterr().out
    assert main(["ropes", str(tmp_path / "ropes.db"), "PL-3"]) == 0
    assert "fast 0.0 h, load known 0.0 h" in capsys.readouterr().out
