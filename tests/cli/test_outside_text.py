"""Text from outside reaches no terminal, table, page or document raw, whichever way it comes in."""

import ast
import csv
import json
import sqlite3
import unicodedata
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import Note
from alongside.cli.main import main
from alongside.record.layout import JOURNAL
from alongside.reports.csv_files import written
from alongside.reports.output_files import json_text
from alongside.stay.read import read_stay
from alongside.wording.safe import UNSAFE, escaped, safe
from tests.berth import START, gauges, sentence, tagged, write_stay
from tests.reports.stay.records import recorded
from tests.training.exercise.lived import STAY, write_exercise

PACKAGE: Final = Path(__file__).parents[2] / "console" / "alongside"
AT: Final = "2026-03-02T04:00:30Z"
POISON: Final = "\x1b[2J\x1b]52;c;eA==\x07\r\n=1+1\u202e\x9b31m\x7f\u2028\x08\x00"
IN_NAMES: Final = POISON.replace("\x00", "").replace("/", "")
TIDE: Final = "tide: {station: {file: station.json, chart_datum: LAT}}\n"
STATION: Final = {
    "harmonic_constituents": [{"name": "M2", "amplitude": 1.0, "phase": 30.0}],
    "datums": {"MSL": 2.0, "LAT": 0.1},
}
PRINTS: Final = {
    "cli/standard_output.py",
    "cli/progress.py",
    "cli/manual.py",
    "cli/listen.py",
    "cli/headless.py",
}
"""The outlet that makes all safe; and pages of our own, rows made safe one by one, a bar."""


def raw(text: str, line_ends: str = "\n") -> set[str]:
    """Characters that steer a terminal or turn the writing round."""
    return {each for each in text if unicodedata.category(each) in UNSAFE} - set(line_ends)


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Stay, log, record, exercise and actions, each with poison wherever its reader lets it in, and in a
    folder whose name is poison."""
    folder = tmp_path_factory.mktemp("world") / f"f{IN_NAMES}"
    folder.mkdir()
    station = {**STATION, "name": POISON, "id": POISON, "source": {"name": POISON, "url": POISON}}
    (folder / "station.json").write_text(json.dumps({**station, "license": {"type": POISON}}))
    stay = write_stay(folder, STAY + TIDE)
    lines = []
    for second in range(90):
        lines.append(gauges(START + second, 2.0 + 0.01 * second))
        lines.append(tagged(START + second, f"IIXDR,D,1,M,{POISON}", "gauges"))
        lines.append(tagged(START + second, "IIXDR,D,1,M,TIDE", "f\x1b[2J\u202e"))
        lines.append(sentence("II\x1b[2J,1") + b"\x9b31m\r\n")
    log = folder / f"log{IN_NAMES}.log"
    log.write_bytes(b"".join(lines))
    record = recorded(
        read_stay(stay),
        log,
        folder / f"record{IN_NAMES}",
        {START + 30.0: Note("plain", by="plain")},
        upto=START + 60.0,
    )
    _poison_journal(record / JOURNAL)
    inner = folder / "exercise"
    inner.mkdir()
    exercise = write_exercise(inner, "").rename(inner / f"e{IN_NAMES}.yaml")
    done = folder / f"done{IN_NAMES}.jsonl"
    rows = [
        {"time": "2026-03-02T04:20:00Z", "action": "note", "text": POISON, "by": POISON},
        {"time": "2026-03-02T04:21:00Z", "action": "tend", "line": "2", "paid_out": 0.2, "by": POISON},
        {
            "time": "2026-03-02T04:22:00Z",
            "action": "acknowledge",
            "cause": "steep",
            "subject": POISON,
            "by": "x",
        },
    ]
    done.write_text("".join(f"{json.dumps(row)}\n" for row in rows))
    wrong = folder / f"wrong{IN_NAMES}.jsonl"
    keys = ({POISON: 1}, {"cause": POISON}, {"line": POISON}, {"time": POISON}, {"action": POISON})
    wrong.write_text("".join(f"{json.dumps({**rows[1], **key})}\n" for key in keys) + POISON)
    bad = folder / f"bad{IN_NAMES}.yaml"
    bad.write_text(
        STAY.replace("format: 1", f"{json.dumps(POISON)}: 1").replace("B2, rope", '"\\e[2J", rope')
    )
    return {
        "stay": stay, "log": log, "record": record, "exercise": exercise, "done": done, "wrong": wrong,
        "bad": bad, "none": folder / f"none{IN_NAMES}", "poison": Path(IN_NAMES),
    }  # fmt: skip


def _poison_journal(path: Path) -> None:
    """As whoever hands a record on could."""
    journal = sqlite3.connect(path)
    names = ("Test ship", "Test quay", "Test stay")
    for number, stay, text in journal.execute("SELECT run, stay, stay_text FROM runs").fetchall():
        for name in names:
            stay = stay.replace(name, f"{name}{json.dumps(POISON)[1:-1]}")
        journal.execute(
            "UPDATE runs SET stay = ?, program = ?, stay_text = ? WHERE run = ?", (stay, POISON, text, number)
        )
    ship = f"Test ship{POISON}"
    journal.execute("UPDATE meta SET value = ? WHERE key IN ('ship', 'stay')", (ship,))
    journal.execute("UPDATE events SET text = text || ?, subject = ?, line = ?", (POISON, POISON, POISON))
    journal.execute("UPDATE actions SET action = replace(action, 'plain', ?)", (json.dumps(POISON)[1:-1],))
    journal.commit()
    journal.close()


COMMANDS: Final = (
    "check {stay}",
    "check {bad} {none} {log}",
    "replay {stay} {log} --headless",
    "replay {stay} {log} --headless --states {out}/s.jsonl --events {out}/e.jsonl",
    "replay {stay} {none} --headless",
    "replay {stay} {log} --headless --states {none}/x",
    "replay {stay} {log} --headless --states {log}",
    "replay {stay} {log}",
    "holding {stay} {log} --at T --json {out}/h.json",
    "holding {stay} {log} --at {poison}",
    "ahead {stay} {log} --at T --hours 2 --json {out}/a.json --what-if {poison}",
    "ahead {stay} {log} --at T --hours 2 --json {out}/a.json",
    "ahead {none} --at T",
    "compare {stay} {stay} --hours 2",
    "report {record} --out {out}/p.html --csv {out}/tables",
    "report {none}",
    "report {record} --out {record}/x",
    "lives {record} --csv {out}/l.csv --json {out}/l.json",
    "lives {record} {none}",
    "handover {record}",
    "handover {stay} {log}",
    "handover {none}",
    "simulate {stay} --out {out}/sim.log",
    "exercise {exercise} --check",
    "exercise {exercise} --headless --actions {done} --events {out}/x.jsonl",
    "exercise {exercise} --headless --actions {wrong}",
    "debrief {exercise} {done} --json {out}/d.json",
    "debrief {exercise} {wrong}",
    "debrief {exercise} {record}",
    "manual {poison}",
    "manual --find {poison}",
    "{poison}",
    "check",
    "check --{poison} {stay}",
    "check {stay} --every={poison}",
    "watch {stay} --record {record}",
    "listen {stay} --seconds 0.1",
)


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_prints_or_writes_it_raw(
    command: str, world: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = [AT if word == "T" else word.format(**world, out=tmp_path) for word in command.split(" ")]
    try:
        status = main(words)
    except SystemExit as ended:
        status = int(str(ended.code))
    said = capsys.readouterr()
    assert status in (0, 2, 3), said.err
    assert "fault of ours" not in said.err
    assert raw(said.out) == set()
    assert raw(said.err) == set()
    for path in tmp_path.rglob("*"):
        if path.is_file():
            text = path.read_bytes().decode("utf-8", errors="surrogateescape")
            assert raw(text, "\r\n" if path.suffix in (".csv", ".log") else "\n") == set(), path
            if path.suffix == ".csv":
                _no_formulas(path)


def _no_formulas(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.reader(file, strict=True):
            for cell in row:
                assert cell[:1] not in ("=", "+", "@", "\t", "\r"), cell
                assert not cell.startswith("-") or float(cell) <= 0.0


@pytest.mark.slow
def test_nothing_prints_but_by_the_outlet() -> None:
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if name in PRINTS or name.startswith("screens/"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                called = ast.unparse(node.func)
                assert called != "print", name
                assert not called.startswith(("sys.stdout.write", "sys.stderr.write")), name


@given(st.text())
def test_json_says_the_same_with_nothing_raw(text: str) -> None:
    whole = json_text({"text": text, text: 1})
    assert json.loads(whole) == {"format": 1, "text": text, text: 1}
    assert raw(whole) == set()
    whole.encode()
    assert escaped(safe(text)) == safe(text)


@given(
    st.text(),
    st.sampled_from(["", " ", "\t", "\n", "\u00a0", "\r\n "]),
    st.sampled_from("=+-@\uff1d\uff0b\uff0d\uff20"),
)
def test_no_cell_is_a_formula(text: str, before: str, sign: str) -> None:
    cell = written(f"{before}{sign}{text}")
    assert cell.startswith("'")
    assert raw(written(text), "") == set()
