"""Whatever an output is called, no command writes over an input, a record or anything it did not write."""

import argparse
import gzip
import json
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from alongside.cli.main import COMMANDS, main, parser_of
from alongside.record.layout import JOURNAL
from alongside.stay.read import read_stay
from tests.berth import START, gauges, write_stay
from tests.reports.stay.records import recorded
from tests.training.exercise.lived import STAY, write_exercise

ALONGSIDE: Final = (sys.executable, "-m", "alongside")
AT: Final = "2026-03-02T04:00:30Z"
WRITES: Final = {
    ("replay", "--states"): "replay {stay} {log} --headless --states {out}",
    ("replay", "--events"): "replay {stay} {log} --headless --events {out}",
    ("demo", "--states"): "demo --states {out}",
    ("demo", "--events"): "demo --events {out}",
    ("holding", "--json"): "holding {stay} {log} --at " + AT + " --json {out}",
    ("ahead", "--json"): "ahead {stay} {log} --at " + AT + " --hours 2 --json {out}",
    ("ahead", "--board"): "ahead {stay} {log} --at " + AT + " --hours 2 --board {out}",
    ("listen", "--json"): "listen {stay} {log} --json {out}",
    ("passing", "--json"): "passing {stay} --ship '120x18x4 at 60 m 8 kn depth 20' --json {out}",
    ("ranging", "--json"): "ranging {stay} --wave 60 --json {out}",
    ("arrange", "--json"): "arrange {stay} --json {out}",
    ("one-more", "--json"): "one-more {stay} --json {out}",
    ("farther", "--json"): "farther {stay} --json {out}",
    ("learn", "--json"): "learn {stay} {log} --json {out}",
    ("learn", "--out"): "learn {stay} {log} --out {out}",
    ("decide", "--json"): "decide {stay} --json {out}",
    ("leaving", "--json"): "leaving {stay} --json {out}",
    ("leaving", "--card"): "leaving {stay} --card {out}",
    ("compare", "--json"): "compare {stay} {stay} --hours 2 --json {out}",
    ("report", "--out"): "report {record} --out {out}",
    ("report", "--csv"): "report {record} --out {new} --csv {out}",
    ("report", "--parquet"): "report {record} --out {new} --parquet {out}",
    ("report", "--long"): "report {record} --out {new} --long {out}",
    ("batch", "--out"): "batch {stay}={log} --no-ahead --jobs 1 --out {out}",
    ("lives", "--csv"): "lives {record} --csv {out}",
    ("lives", "--json"): "lives {record} --json {out}",
    ("ropes", "--sheet"): "ropes {db} --sheet {out}",
    ("ropes", "--csv"): "ropes {db} --csv {out}",
    ("ropes", "--json"): "ropes {db} --json {out}",
    ("ropes", "--template"): "ropes {db} --template {out}",
    ("simulate", "--out"): "simulate {stay} --out {out}",
    ("exercise", "--states"): "exercise {exercise} --headless --states {out}",
    ("exercise", "--events"): "exercise {exercise} --headless --actions {actions} --events {out}",
    ("exercise", "--actions"): "exercise {exercise} --actions {out}",
    ("exercise", "--json"): "exercise {shelf} --json {out}",
    ("exercise", "--out"): "exercise {exercise} --out {out}",
    ("debrief", "--json"): "debrief {exercise} {actions} --json {out}",
    ("debrief", "--csv"): "debrief {exercise} {runs} --csv {out}",
    ("debrief", "--out"): "debrief {exercise} {actions} --out {out}",
}
FOLDERS: Final = {("report", "--csv"), ("report", "--parquet"), ("batch", "--out")}
AGAIN: Final = [
    each
    for each in WRITES
    if each not in {("simulate", "--out"), ("report", "--long"), ("learn", "--out")}
    and each[0] != "demo"
    and each not in {("exercise", "--actions"), ("exercise", "--out"), ("ropes", "--template")}
]
TIDE: Final = "tide: {high_low: [[2026-03-02T00:10:00Z, 0.5], [2026-03-02T06:25:00Z, 5.2]]}\n"
READS: Final = {
    ("exercise", "--from"): "a stay, a record and its log are read",
    ("watch", "--record"): "the recorder's own folder",
    ("replay", "--record"): "the recorder's own folder",
    ("ropes", "--record"): "read only",
    ("ropes", "--log"): "read only",
    ("ropes", "--entries"): "read only",
    ("ropes", "--stay"): "read only",
    ("read", "--record"): "a note for its watch is left beside it",
}
"""Options that take a place and are not written by the outputs."""


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """One of each file that a command reads."""
    folder = tmp_path_factory.mktemp("world")
    lines = b"".join(gauges(START + second, 2.0) for second in range(60))
    stay = write_stay(folder, STAY + TIDE + "decide: {lead_min: {tugs: 60}}\n")
    (folder / "stay.log").write_bytes(lines)
    (folder / "stay.log.gz").write_bytes(gzip.compress(lines))
    (folder / "ship.yaml").write_text("name: Test ship\nloa: 84.0\n")
    (folder / "table.csv").write_text("name,amplitude,lag_deg\nM2,1.0,30\n")
    (folder / "station.json").write_text('{"harmonic_constituents": [{"name": "M2"}]}\n')
    (folder / "done.actions").write_text(
        json.dumps({"format": 1, "time": "2026-03-02T04:20:00Z", "action": "silence", "by": "TK"})
    )
    (folder / "letter.txt").write_text("Dear all\n")
    recorded(read_stay(stay), folder / "stay.log", folder / "record")
    fitted = ["ropes", folder / "ropes.db", "PL-1", "fitted", "where=aft", "by=TK", "day=2026-03-01"]
    assert main([str(each) for each in fitted]) == 0
    (folder / "runs").mkdir()
    shutil.copy(folder / "done.actions", folder / "runs" / "done.jsonl")
    (folder / "exercise").mkdir()
    write_exercise(folder / "exercise", "")
    return {
        "stay": stay,
        "record": folder / "record",
        "shelf": folder / "exercise",
        "runs": folder / "runs",
        "exercise": folder / "exercise" / "exercise.yaml",
        **{path.suffix[1:]: path for path in sorted(folder.iterdir()) if path != stay and path.is_file()},
    }


def kept(world: dict[str, Path]) -> list[Path]:
    """Every file that must stay as it is: the world's, and each of its record."""
    return [path for path in world.values() if path.is_file()] + sorted(world["record"].iterdir())


def names_of(path: Path, folder: Path) -> Iterator[Path]:
    """Other names of a file."""
    yield path
    yield Path(os.path.relpath(path))
    yield path.parent / ".." / path.parent.name / path.name
    for name, link in (("soft", os.symlink), ("hard", os.link)):
        other = folder / name
        other.unlink(missing_ok=True)
        link(path, other)
        yield other


def options_with_places() -> set[tuple[str, str]]:
    """Every option of every command that takes a path."""
    options = set()
    for command in COMMANDS:
        (places,) = (a for a in parser_of([command])._actions if isinstance(a, argparse._SubParsersAction))
        for action in places.choices[command]._actions:
            if action.type is Path and action.option_strings:
                options.add((command, action.option_strings[0]))
    return options


def test_every_option_that_writes_is_tried() -> None:
    assert options_with_places() == set(WRITES) | set(READS)


@pytest.mark.slow
@pytest.mark.parametrize("option", WRITES, ids="".join)
def test_no_input_is_written_over_by_any_name(
    option: tuple[str, str], world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path: (path.read_bytes(), path.stat().st_ino) for path in kept(world)}
    folder = sorted(path.name for path in world["record"].iterdir())
    for path in before:
        for name in names_of(path, tmp_path):
            if name.name == "hard" and not before[path][0]:
                continue  # nothing is in it, and its other name keeps what it has
            words = shlex.split(WRITES[option])
            given = {**world, "out": name, "new": tmp_path / "new.html"}
            status = main([word.format(**given) for word in words])
            said = capsys.readouterr().err
            assert status == 2, (name, path)
            assert str(name) in said, said
            assert "expected" in said or "different output" in said
    assert {path: (path.read_bytes(), path.stat().st_ino) for path in kept(world)} == before
    assert sorted(path.name for path in world["record"].iterdir()) == folder
    assert not list(tmp_path.glob(".*.part"))
    assert not (tmp_path / "new.html").exists(), "all or nothing"


@pytest.mark.parametrize("option", WRITES, ids="".join)
def test_nothing_is_put_into_the_folder_of_a_record(
    option: tuple[str, str], world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = sorted(path.name for path in world["record"].iterdir())
    (tmp_path / "link").symlink_to(world["record"])
    for name in (
        world["record"],
        world["record"] / "new",
        world["record"] / f"{JOURNAL}-wal",
        tmp_path / "link" / "x",
    ):
        given = {**world, "out": name, "new": tmp_path / "new.html"}
        assert main([word.format(**given) for word in shlex.split(WRITES[option])]) == 2
    assert sorted(path.name for path in world["record"].iterdir()) == folder
    assert "record" in capsys.readouterr().err


@pytest.mark.parametrize("option", [key for key in WRITES if key not in FOLDERS], ids="".join)
def test_devices_and_folders_are_refused(
    option: tuple[str, str], world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    master, slave = os.openpty()
    try:
        for name in (tmp_path, Path(os.ttyname(slave)), tmp_path / "none" / "x"):
            given = {**world, "out": name, "new": tmp_path / "new.html"}
            assert (
                main([word.format(**given) for word in shlex.split(WRITES[option])]) == 2 or name.name == "x"
            )
            assert str(name) in capsys.readouterr().err or name.name == "x"
    finally:
        os.close(master)
        os.close(slave)


@pytest.mark.parametrize(
    "command",
    [
        "replay {stay} {log} --headless --states {a} --events {a}",
        "replay {stay} {log} --headless --states {a} --events {b}",
        "lives {record} --csv {a} --json {b}",
    ],
)
def test_two_outputs_in_one_place_are_refused(
    command: str, world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Also where only letters of either case tell them apart, as a disk may not."""
    given = {**world, "a": tmp_path / "out.JSON", "b": tmp_path / "OUT.json"}
    assert main(command.format(**given).split()) == 2
    assert "different output" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("option", AGAIN, ids="".join)
def test_a_second_run_replaces_what_the_first_wrote(
    option: tuple[str, str], world: dict[str, Path], tmp_path: Path
) -> None:
    given = {**world, "out": tmp_path / "out", "new": tmp_path / "new.html"}
    command = [word.format(**given) for word in shlex.split(WRITES[option])]
    assert main(command) == 0
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert main(command) == 0
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before
    assert before


@pytest.mark.parametrize("option", [("simulate", "--out"), ("exercise", "--actions")], ids="".join)
def test_logs_and_actions_are_replaced_by_nothing(
    option: tuple[str, str], world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A simulated log cannot be known from a recorded one; what a trainee did cannot be had again."""
    out = tmp_path / "out"
    shutil.copy(world["log" if option[0] == "simulate" else "actions"], out)
    assert main([word.format(**world, out=out) for word in shlex.split(WRITES[option])]) == 2
    assert "is there already" in capsys.readouterr().err


def test_a_run_that_ends_in_a_fault_leaves_what_was_there(world: dict[str, Path], tmp_path: Path) -> None:
    out = tmp_path / "states.jsonl"
    command = ["replay", str(world["stay"]), str(world["log"]), "--headless", "--states", str(out)]
    assert main(command) == 0
    before = out.read_bytes()
    assert main([*command, "--from", "2030-01-01T00:00:00Z"]) == 2
    assert out.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


@pytest.mark.slow
def test_an_input_at_standard_output_is_refused(world: dict[str, Path], tmp_path: Path) -> None:
    """`--json /dev/stdout >> STAY`."""
    stay = shutil.copy(world["stay"], tmp_path / "stay.yaml")
    before = Path(stay).read_bytes()
    for mode in ("ab", "r+b"):
        with Path(stay).open(mode) as file:
            done = subprocess.run(
                [*ALONGSIDE, "holding", stay, world["log"], "--at", AT, "--json", "/dev/stdout"],
                stdout=file,
                stderr=subprocess.PIPE,
                check=False,
            )
        assert done.returncode == 2
        assert b"already read" in done.stderr
        assert Path(stay).read_bytes() == before
