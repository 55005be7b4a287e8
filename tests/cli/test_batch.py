"""`alongside batch`: all stays played, none stopped by a bad one, nothing done twice, the same every way."""

import csv
import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from alongside.cli.batch import SOME_FAILED
from alongside.cli.headless import replay_headless
from alongside.cli.main import INTERRUPTED, main
from alongside.stay.read import read_stay
from tests.berth import START, STAY_TEXT, gauges

CYCLES = 40


def a_stay(folder: Path, name: str, tide: float = 2.0, cycles: int = CYCLES, text: str = STAY_TEXT) -> Path:
    """A stay of some seconds, with its log beside it, whose tide rises by a metre."""
    folder.mkdir(exist_ok=True)
    log = b"".join(gauges(START + s, tide + s / cycles) for s in range(cycles))
    (folder / f"{name}.log").write_bytes(log)
    (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder / f"{name}.yaml"


def batch(*arguments: object) -> int:
    return main(["batch", *map(str, arguments), "--no-ahead"])


def files_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def times_of(folder: Path) -> dict[Path, int]:
    return {path: path.stat().st_mtime_ns for path in folder.rglob("outcome.json")}


def summary(folder: Path) -> list[dict[str, str]]:
    with (folder / "summary.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.slow
def test_the_number_of_processes_makes_no_difference(tmp_path: Path) -> None:
    for number in range(5):
        a_stay(tmp_path / "in", f"quay{number}", tide=2.0 + number)
    for jobs in (1, 2):
        assert batch(tmp_path / "in", "--out", tmp_path / f"out{jobs}", "--jobs", jobs, "--every", 10) == 0
    one, two = files_of(tmp_path / "out1"), files_of(tmp_path / "out2")
    assert one == two
    assert len([name for name in one if name.endswith("states.jsonl")]) == 5
    assert [row["name"] for row in summary(tmp_path / "out1")] == [f"quay{number}" for number in range(5)]


@pytest.mark.slow
def test_each_stay_has_the_events_of_its_replay_and_its_highest_figures(tmp_path: Path) -> None:
    stay = a_stay(tmp_path, "quay", tide=5.0, cycles=600)
    assert batch(stay, "--out", tmp_path / "out", "--every", 1) == 0
    replay_headless(
        read_stay(stay), stay.with_suffix(".log"), events=tmp_path / "events", states=tmp_path / "states"
    )
    ours = (tmp_path / "out" / "quay" / "events.jsonl").read_text().splitlines()
    theirs = (tmp_path / "events").read_text().splitlines()
    assert ours == theirs
    assert len(ours) > 3, "something must happen"
    states = [json.loads(line) for line in (tmp_path / "states").read_text().splitlines()]
    (row,) = summary(tmp_path / "out")
    most = max((line["tension_kn"], line["id"]) for state in states for line in state["lines"])
    assert float(row["tension_kn"]) == pytest.approx(most[0], rel=1e-6)
    assert row["tension_kn_of"] == most[1]
    stages = [float(row[f"{stage}_s"]) for stage in ("normal", "caution", "warning", "alarm")]
    assert sum(stages) == 599.0


@pytest.mark.slow
def test_one_bad_stay_never_stops_the_others(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "in"
    for name in ("a", "d"):
        a_stay(folder, name)
    wrong = a_stay(folder, "b", text=STAY_TEXT.replace("breadth:", "bredth:"))
    empty = a_stay(folder, "c", cycles=1)
    empty.with_suffix(".log").write_bytes(b"")
    alone = a_stay(tmp_path, "e")
    alone.with_suffix(".log").unlink()
    assert batch(folder, alone, "--out", tmp_path / "out") == SOME_FAILED
    rows = {row["name"]: row for row in summary(tmp_path / "out")}
    assert {name: row["exit"] for name, row in rows.items()} == {
        "a": rows["a"]["exit"], "b": "2", "c": "2", "d": rows["a"]["exit"], "e": "2",
    }  # fmt: skip
    assert f"{wrong.name}:" in rows["b"]["fault"]
    assert "bredth" in rows["b"]["fault"]
    assert "no line with a time" in rows["c"]["fault"]
    assert "e.log" in rows["e"]["fault"]
    assert "no line with a time" in capsys.readouterr().err
    document = json.loads((tmp_path / "out" / "batch.json").read_text())
    assert [each["name"] for each in document["failed"]] == ["b", "c", "e"]


@pytest.mark.slow
def test_a_stay_that_was_hardly_heard_is_said_to_be_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A gauge with a wrong checksum and a log of another month raise no alarm: quiet, for
    nothing was heard."""
    folder = tmp_path / "in"
    a_stay(folder, "fine")
    deaf = a_stay(folder, "deaf").with_suffix(".log")
    deaf.write_bytes(re.sub(rb"\*[0-9A-F]{2}\r\n", b"*00\r\n", deaf.read_bytes()))
    late = a_stay(folder, "late").with_suffix(".log")
    late.write_bytes(b"".join(gauges(START + 36 * 86_400 + s, 2.0) for s in range(CYCLES)))
    alone = a_stay(folder, "alone")
    alone.with_suffix(".log").unlink()
    assert batch(folder, "--out", tmp_path / "out") == 0
    rows = {row["name"]: row for row in summary(tmp_path / "out")}
    assert int(rows["deaf"]["not_used"]) == int(rows["deaf"]["lines"]) > 0
    assert "wrong checksum" in rows["deaf"]["why_not_used"]
    assert float(rows["deaf"]["gauges_good_s"]) == 0.0
    assert float(rows["fine"]["gauges_good_s"]) == CYCLES
    assert rows["fine"]["not_used"] == "0"
    assert "begins 36 days after she was made fast" in rows["late"]["log_note"]
    said = capsys.readouterr()
    assert "lines not used" in said.out
    assert "2 stays of which the log or the gauges leave much in doubt" in said.out
    assert f"{alone}: passed over, there is no log of its name beside it" in said.err


@pytest.mark.slow
def test_what_is_whole_is_not_done_again_and_what_changed_is(tmp_path: Path) -> None:
    folder, out = tmp_path / "in", tmp_path / "out"
    changed, cut, fine = (a_stay(folder, name) for name in ("changed", "cut", "fine"))
    assert batch(folder, "--out", out) == 0
    before, files = times_of(out), files_of(out)
    assert batch(folder, "--out", out) == 0
    assert times_of(out) == before
    assert files_of(out) == files

    def again(name: str) -> bool:
        path = out / name / "outcome.json"
        return path.stat().st_mtime_ns != before[path]

    a_stay(folder, changed.stem, tide=3.0)
    (out / cut.stem / "events.jsonl").unlink()
    assert batch(folder, "--out", out) == 0
    assert (again("changed"), again("cut"), again(fine.stem)) == (True, True, False)
    before = times_of(out)
    assert batch(folder, "--out", out, "--every", 5) == 0, "asked for more"
    assert all(map(again, ("changed", "cut", "fine")))


@pytest.mark.slow
def test_a_fault_is_tried_again(tmp_path: Path) -> None:
    stay = a_stay(tmp_path / "in", "quay")
    log = stay.with_suffix(".log")
    right = log.read_bytes()
    log.write_bytes(b"")
    assert batch(stay, "--out", tmp_path / "out") == SOME_FAILED
    log.write_bytes(right)
    assert batch(stay, "--out", tmp_path / "out") == 0
    assert not summary(tmp_path / "out")[0]["fault"]


@pytest.mark.slow
def test_a_report_of_each_stay_is_that_of_the_command(tmp_path: Path) -> None:
    folder, out = tmp_path / "in", tmp_path / "out"
    for name, tide in (("a", 2.0), ("b", 5.0)):
        a_stay(folder, name, tide=tide, cycles=300)
    a_stay(folder, "wrong", text=STAY_TEXT.replace("breadth:", "bredth:"))
    assert batch(folder, "--out", out) == SOME_FAILED
    assert not list(out.rglob("report.html"))
    assert batch(folder, "--out", out, "--report") == SOME_FAILED, "played again: more is asked for"
    assert sorted(path.parent.name for path in out.rglob("report.html")) == ["a", "b"]
    for name in ("a", "b"):
        alone, given = tmp_path / f"{name}.html", folder / name
        assert main(["report", f"{given}.yaml", f"{given}.log", "--out", str(alone)]) == 0
        assert (out / name / "report.html").read_bytes() == alone.read_bytes()
    before = times_of(out)
    assert batch(folder, "--out", out, "--report") == SOME_FAILED
    after = times_of(out)
    (out / "a" / "report.html").unlink()
    assert batch(folder, "--out", out, "--report") == SOME_FAILED
    changed = {path.parent.name for path, at in times_of(out).items() if at != after[path]}
    assert changed == {"a", "wrong"}, "the one without its report, and the one that is tried each time"
    assert {path.parent.name for path, at in after.items() if at != before[path]} == {"wrong"}


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize("report", [False, True])
@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGINT])
def test_a_batch_that_was_ended_leaves_whole_results_and_goes_on(
    tmp_path: Path, number: signal.Signals, report: bool
) -> None:
    folder, out = tmp_path / "in", tmp_path / "out"
    for count in range(7 if report else 12):
        a_stay(folder, f"quay{count:02}", tide=2.0 + count / 10, cycles=600 if report else 7200)
    asked = ["--report"] if report else []
    command = [sys.executable, "-m", "alongside", "batch", folder, "--out", out, "--no-ahead", "--jobs", "2"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    begun = subprocess.Popen([*command, *asked], env=environment, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 60.0
    while len(times_of(out)) < 3 and time.monotonic() < until:
        time.sleep(0.02)
    begun.send_signal(number)
    _, errors = begun.communicate(timeout=60.0)
    if number is signal.SIGINT:
        assert begun.returncode == INTERRUPTED
        assert errors.count("\n") == 1
        assert "goes on from there" in errors
        assert not list(out.rglob(".*.part"))
    whole = times_of(out)
    assert 3 <= len(whole) < len(list(folder.glob("*.yaml")))
    assert not (out / "summary.csv").exists()
    for path in whole:
        outcome: dict[str, Any] = json.loads(path.read_text())
        events = (path.parent / "events.jsonl").read_text().splitlines()
        assert outcome["exit"] in (0, 10, 11, 12)
        assert json.loads(events[-1])["event"] == "stopped"
        page = path.parent / "report.html"
        assert page.read_text().rstrip().endswith("</html>") if report else not page.exists()
    assert batch(folder, "--out", out, *asked) == 0
    assert {path: times for path, times in times_of(out).items() if path in whole} == whole
    assert batch(folder, "--out", tmp_path / "other", "--jobs", "1", *asked) == 0
    kept = {name: text for name, text in files_of(out).items() if not name.endswith(".part")}
    assert kept == files_of(tmp_path / "other")


@pytest.mark.slow
def test_draws_are_the_same_however_many_there_are(tmp_path: Path) -> None:
    stay = a_stay(tmp_path, "quay", tide=5.0, cycles=300)
    assert batch(stay, "--out", tmp_path / "few", "--draws", 2, "--seed", 7, "--parquet") == 0
    assert batch(stay, "--out", tmp_path / "more", "--draws", 3, "--seed", 7, "--jobs", 1) == 0
    few, more = summary(tmp_path / "few"), summary(tmp_path / "more")
    assert few == more[:2]
    assert len({row["wind_factor"] for row in more}) == 3
    assert batch(stay, "--out", tmp_path / "other", "--draws", 1, "--seed", 8) == 0
    assert summary(tmp_path / "other")[0]["tide_m"] != few[0]["tide_m"]
    with (tmp_path / "more" / "shares.csv").open(encoding="utf-8", newline="") as file:
        (first, *_) = list(csv.DictReader(file))
    assert (first["cause"], first["draws"]) == ("any", "3")
    assert (tmp_path / "few" / "shares.parquet").exists()


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (["nowhere", "--draws", "0"], "whole number from 1"),
        (["a.yaml", "b.yaml", "--draws", "2"], "expected one"),
        (["a.yaml", "--jobs", "two"], "whole number"),
        (["a.yaml", "--draws", "2", "--report"], "no report"),
        (["a.yaml", "--jobs", "2", "--scheduler", "tcp://127.0.0.1:9"], "one of the two"),
    ],
)
def test_what_cannot_be_is_refused_before_anything_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], expected: str
) -> None:
    try:
        status = batch(*arguments, "--out", tmp_path / "out")
    except SystemExit as ended:
        status = int(str(ended.code))
    assert status == 2
    assert expected in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
