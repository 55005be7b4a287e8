"""The manual's page of outputs: every key that a run writes stands on it, and every key on it is written."""

import csv
import gzip
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import pytest

from alongside import actions
from alongside.cli.main import main
from alongside.feeds.inbox import FeedLine
from alongside.forecast.learning.line_found import LineFound, Spread
from alongside.forecast.learning.then import LineThen, Then
from alongside.reports.batch.alarm_load import StandingAlert
from alongside.reports.batch.highest import FIGURES
from alongside.reports.batch.outcome import FirstAlarm, Outcome, outcome_text, read_outcome
from alongside.reports.batch.summary import write_summary
from alongside.reports.learn_json import learn_object
from alongside.reports.manual_pages import page
from alongside.reports.output_files import write_json
from alongside.reports.replaceable import LEARN
from alongside.reports.ropes.cycles import class_names
from alongside.stay.causes import CAUSES
from alongside.stay.model import Learnt
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.conduct import Attempt, attempt_json
from alongside.training.exercise.given import Given, write_given
from alongside.units import iso_time
from tests.berth import START, write_stay
from tests.feeds.stays import tide, write_log
from tests.reports.stay.records import recorded

ROOT: Final = Path(__file__).parents[1]
CONFIGS: Final = ROOT / "configs"
SQUALL: Final = CONFIGS / "exercises" / "squall_at_the_jetty.yaml"
BEGIN: Final = "2026-09-12T21:15:00Z"
COASTER: Final = (CONFIGS / "coaster_quay.yaml", ROOT / "replay_logs" / "coaster_quay.log.gz")
DONE: Final = (
    {"time": "2026-09-12T20:00:00Z", "action": "note", "text": "too early", "by": "rv"},
    {"time": "2026-09-12T21:30:00Z", "action": "tend", "line": "9", "paid_out": 0.2, "by": "rv"},
    {"time": "2026-09-12T22:16:00Z", "action": "call", "whom": "master", "by": "rv"},
)
ALL_ACTIONS: Final = (
    actions.Acknowledge("steep", "4", "rv"),
    actions.Accept("steep", "4", 1_789_250_400.0, "short breasts", "rv"),
    actions.Silence("rv"),
    actions.TendLine("4", paid_out=0.4, by="rv"),
    actions.TendLine("4", to_tension_kn=40.0, by="rv"),
    actions.Note("all well", "rv"),
    actions.TakeOver("rv", accepts=True, handed_by="tk"),
    actions.HandOver("tk"),
    actions.GiveOrder("call me at 30 kn", "rv"),
    actions.WithdrawOrder("call me at 30 kn", "rv"),
    actions.SelfTest(bell=True, colours=True, findings="6 gauges good", by="rv"),
    actions.JudgeChannel("tide", "gauge", "rv"),
    actions.AnswerBrake("4", "slipped", 0.2, "rv"),
    actions.LineGone("4", "let_go", "rv"),
    actions.MakeFast("4", tension_kn=40.0, by="rv"),
    actions.MakeFast("4", length_m=31.5, by="rv"),
    actions.ShiftLine("4", bollard="B12", tension_kn=40.0, by="rv"),
    actions.AddLine("11", "F1", "B12", "polyester", "W9", tension_kn=40.0, by="rv"),
    actions.AddLine("4b", like="4", length_m=31.5, bight_with="4", by="rv"),
    actions.RenewLine("4", "polyester", length_m=31.5, by="rv", serial="PL-2213"),
    actions.NameRope("11", "PL-2214", "rv"),
    actions.SetBrake("4", 300.0, "rv"),
    actions.ReadLoad("4", 120.0, 6.0, "rv"),
    actions.AcceptLearnt("4", 0.88, 0.05, -0.12, 140.0, 0.06, "its load cell", "rv"),
    actions.PutTug("1", 300.0, 90.0, "rv"),
    actions.LetTugGo("1", "rv"),
    actions.ChangeCargo("rate", "Hold 3", 600.0, "rv"),
    actions.CallOut("engineer", "tide", "rv"),
    actions.Correct(line="4", by="rv"),
    actions.Acknowledge("gangway", "", "bridge", transferred=True),
    actions.Silence("bridge", "stretch", "4"),
)
ATTEMPT: Final = Attempt("A. Example", exam=True, begun=1e9, ended=1e9, left_at=1e9)
STAGES: Final = {stage.word for stage in Stage}
OF_WHAT_IF: Final = ("changes", "verdict", "sentence", "figures", "worst_wind", "worst_wind_as_it_stands",
    "line_sets", "lines_now")  # fmt: skip
"""Keys that a what-if has besides those of a forecast."""


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one of each file that the program writes for others."""
    folder = tmp_path_factory.mktemp("outputs")
    done = folder / "done.jsonl"
    head = json.dumps({"attempt": attempt_json(ATTEMPT)})
    done.write_text("".join(f"{row}\n" for row in [head, *map(json.dumps, DONE)]))

    def run(*arguments: object) -> None:
        assert main([str(each) for each in arguments]) == 0

    worn = folder / "worn.yaml"  # its brakes come into question
    worn.write_text(COASTER[0].read_text(encoding="utf-8").replace("brake_kn: 130", "brake_kn: 12"))
    run("replay", worn, COASTER[1], "--headless", "--states", folder / "states.jsonl",
        "--events", folder / "events.jsonl", "--every", "3600")  # fmt: skip
    run(
        "holding",
        COASTER[0],
        "--at",
        "2026-06-16T12:00:00Z",
        "--json",
        folder / "holding.json",
        "--criteria",
        "standard",
    )
    run("ahead", CONFIGS / "coal_berth.yaml", "--at", "2026-03-20T15:30:00Z", "--members", "8",
        "--every", "15", "--what-if", "wind 29kn from 160", "--json", folder / "ahead.json")  # fmt: skip
    run("passing", COASTER[0], "--ship", "120x18x6 at 60 m 8 kn", "--peak", "1=2 to 4", "--seen-at", "8kn",
        "--json", folder / "passing.json")  # fmt: skip
    run("ranging", COASTER[0], "--wave", "30 to 40", "--json", folder / "ranging.json")
    run("arrange", CONFIGS / "river_quay.yaml", "--json", folder / "arrange.json")
    run("one-more", CONFIGS / "river_quay.yaml", "--forecast", "30kn from 145",
        "--json", folder / "one-more.json")  # fmt: skip
    run("farther", CONFIGS / "river_quay.yaml", "--json", folder / "farther.json")
    _learnt(folder / "learn.json")
    run("decide", CONFIGS / "product_jetty.yaml", "--wind", "18:00 35 gust 50 from 230",
        "--json", folder / "decide.json")  # fmt: skip
    run("leaving", COASTER[0], "--wind", "10kn from 30", "--json", folder / "leaving.json")
    run("compare", COASTER[0], _bad_plan(folder), "--at", "2026-06-16T12:30:00Z",
        "--json", folder / "compare.json")  # fmt: skip
    run("listen", write_stay(folder), _heard_log(folder), "--json", folder / "heard.json")
    live = Given(
        ({"kind": "message", "at": BEGIN, "from": "terminal", "text": "stand by"},),
        ({"at": BEGIN, "text": "did not answer"},),
        ({"at": BEGIN, "seconds": 30.0},),
    )
    (folder / "shelf").mkdir()
    write_given(str(SQUALL), live, folder / "shelf" / "squall.yaml")
    run("exercise", folder / "shelf", "--json", folder / "shelf.json")
    run("debrief", folder / "shelf" / "squall.yaml", done, "--json", folder / "debrief.json")
    _class(folder, done)
    write_actions(folder / "actions.jsonl", _all_actions(), ATTEMPT)
    stay = read_stay(COASTER[0])
    assert stay.simulate is not None
    begin = stay.simulate.start
    recorded(stay, COASTER[1], folder / "record", {begin + 60.0: ALL_ACTIONS[2]}, upto=begin + 900.0)
    run("report", folder / "record", "--out", folder / "report.html", "--csv", folder,
        "--long", folder / "long.csv")  # fmt: skip
    run("lives", folder / "record", "--json", folder / "lives.json", "--csv", folder / "lives.csv")
    _ropes(folder)
    _batch(folder)
    return folder


def _ropes(folder: Path) -> None:
    """The sheet of a rope that was used in a stay and inspected."""
    numbered = folder / "numbered.yaml"
    text = COASTER[0].read_text(encoding="utf-8")
    numbered.write_text(text.replace('{id: "1",', '{id: "1", serial: "PP-1",'))
    with gzip.open(COASTER[1], "rb") as log:
        (folder / "numbered.log").write_bytes(log.read(150_000))
    words = ["ropes", folder / "ropes.db", "PP-1", "inspected", "by=TK", "findings=chafed", "day=2026-06-20"]
    given = ["--log", numbered, folder / "numbered.log", "--json", folder / "ropes.json", "--csv"]
    assert main([str(each) for each in (*words, *given, folder / "ropes.csv")]) == 0


def _learnt(path: Path) -> None:
    """Write what was learnt of two lines, with all there may be to say of one."""
    spread, now = Spread(0.9, 0.03), LineThen(80.0, (60.0, 100.0), 0.4, 0.5)
    offered = LineFound(
        "4", "stiffness", left_out=(("doubtful", 2),), stiffness=spread, more_m=spread,
        rivals=(("length", 0.2),), learnt=Learnt(0.9), longer_m=0.1,
    )  # fmt: skip
    fault = LineFound("5", "cell", "the cell's zero is off", cell=("zero", 8.0))
    then = Then(START, {"4": now}, {"4": now}, (20.0, 21.0))
    write_json(learn_object(START, (offered, fault), then), path, LEARN)


def _class(folder: Path, done: Path) -> None:
    """The table of a run, and of a file that is none."""
    runs = folder / "runs"
    runs.mkdir()
    (runs / done.name).write_bytes(done.read_bytes())
    (runs / "wrong.jsonl").write_text("{")
    table = ["--csv", folder / "class.csv", "--json", folder / "class.json"]
    exercise = folder / "shelf" / "squall.yaml"
    assert main([str(each) for each in ("debrief", exercise, runs, *table)]) == 2


def _batch(folder: Path) -> None:
    """Two draws of the first quarter of an hour of a stay, and one that cannot be played."""
    with gzip.open(COASTER[1], "rb") as log:
        (folder / "short.log").write_bytes(log.read(150_000))
    pair = f"{folder / 'worn.yaml'}={folder / 'short.log'}"
    out = folder / "batch"
    assert main(["batch", pair, "--draws", "2", "--no-ahead", "--jobs", "1", "--out", str(out)]) == 0
    drawn = [read_outcome(out / f"worn.short.0000{number}" / "outcome.json") for number in (1, 2)]
    outcomes = [each for each in drawn if each is not None]
    stands = StandingAlert("worn.short", "steep", "1", 90_000.0)
    first = FirstAlarm(iso_time(START), "steep", "1", "Line 1 steep")
    for at, each in enumerate(outcomes):
        assert each.load is not None
        full = replace(each, first_alarm=first, load=replace(each.load, standing=(stands,)))
        (folder / f"outcome{at}.json").write_text(outcome_text(full), encoding="utf-8")
        outcomes[at] = full
    wrong = Outcome("", "wrong", "wrong.yaml", "wrong.log", exit=2, fault="wrong.yaml:1:1: no stay")
    write_summary(folder / "summed", [*outcomes, wrong], drawn=True, parquet=False)


def _heard_log(folder: Path) -> Path:
    """A log with a sender, a fault, and a line that belongs to no feed."""
    wrong = tide(2.5)[:-2] + b"00"
    lines = [FeedLine(START + at, "gauges", line, "10.0.0.5") for at, line in enumerate([tide(2.0), wrong])]
    return write_log(folder / "heard.log", [*lines, FeedLine(START + 2.0, "other", wrong)])


def _bad_plan(folder: Path) -> Path:
    """The coaster with a breast so tight that it parts on the flood, one so long that it hangs slack, and a
    spring that cannot be: its tail is longer than its way."""
    text = COASTER[0].read_text(encoding="utf-8")
    tail = "rope: polyprop_40, tail: {rope: polyprop_40, length: 99},"
    for old, new in (
        ("{at: 2026-06-16T12:10:00Z, to_tension_kn: 30}", "{at: 2026-06-16T12:10:00Z, to_tension_kn: 200}"),
        ("{at: 2026-06-16T12:15:00Z, to_tension_kn: 30}", "{at: 2026-06-16T12:15:00Z, paid_out: 4.0}"),
        ("bollard: Q4, rope: polyprop_40,", f"bollard: Q4, {tail}"),
    ):
        assert old in text
        text = text.replace(old, new)
    plan = folder / "bad_plan.yaml"
    plan.write_text(text, encoding="utf-8")
    return plan


def _all_actions() -> Iterator[actions.Done]:
    for action in ALL_ACTIONS:
        yield actions.Done(START, action)
    yield actions.Done(START, ALL_ACTIONS[0], undone=True)


def section(heading: str) -> set[str]:
    """Names in the first column of the table below a heading of the page."""
    _, _, rest = page("outputs").partition(f"\n## {heading}\n")
    assert rest, f"there is no heading {heading}"
    rows = [row for row in rest.split("\n## ")[0].splitlines() if row.startswith("| `")]
    return {name for row in rows for name in re.findall(r"`([^`]+)`", row.split(" | ")[0])}


def keys(value: Any, path: str = "") -> Iterator[str]:
    """Dotted keys of a JSON value, lists left out."""
    if isinstance(value, list):
        for each in value:
            yield from keys(each, path)
    elif isinstance(value, dict):
        for key, each in value.items():
            yield f"{path}{key}"
            yield from keys(each, f"{path}{key}.")


def written(path: Path) -> set[str]:
    """Keys of a file, with names of the page in the place of those that vary."""
    text = path.read_text(encoding="utf-8")
    documents = [text] if path.suffix == ".json" else text.splitlines()
    objects = [json.loads(each) for each in documents]
    assert objects
    for each in objects:
        assert next(iter(each.items())) == ("format", 1), "the first key is the format"
    return {general(key) for each in objects for key in keys(each)}


def general(key: str) -> str:
    parts = key.split(".")
    if parts[0] == "outcomes" and len(parts) > 2:
        parts[1] = "NAME"
        if parts[2] == "lines" and len(parts) > 3:
            return general(".".join(parts[2:]))
    if parts[0] == "what_if" and len(parts) > 1 and parts[1] not in OF_WHAT_IF:
        return general(".".join(parts[1:]))
    if len(parts) > 1 and parts[-2] in ("seconds", "alerts", "worst") and parts[-1] in STAGES:
        parts[-1] = "STAGE"
    if parts[0] == "channels" and len(parts) > 1:
        parts[1] = "NAME"
    if len(parts) > 1 and parts[-2] == "stages":
        assert parts[-1] in CAUSES
        parts[-1] = "CAUSE"
    return ".".join(parts)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("heading", "file"),
    [
        ("States", "states.jsonl"),
        ("Events", "events.jsonl"),
        ("Holding", "holding.json"),
        ("Hours ahead", "ahead.json"),
        ("A ship passes", "passing.json"),
        ("Her own periods", "ranging.json"),
        ("The best arrangement", "arrange.json"),
        ("One more line", "one-more.json"),
        ("A farther bollard", "farther.json"),
        ("Learning from the stay", "learn.json"),
        ("Decide by", "decide.json"),
        ("Letting go", "leaving.json"),
        ("Comparison", "compare.json"),
        ("Heard", "heard.json"),
        ("Actions of an exercise", "actions.jsonl"),
        ("List of exercises", "shelf.json"),
        ("Table of a class as JSON", "class.json"),
        ("Debrief", "debrief.json"),
        ("Lives of the ropes", "lives.json"),
        ("Ropes", "ropes.json"),
        ("columns.json", "columns.json"),
        ("Outcome of a stay", "outcome0.json"),
        ("Summary of a batch", "summed/batch.json"),
    ],
)
def test_the_page_names_each_key_that_is_written_and_no_other(outputs: Path, heading: str, file: str) -> None:
    assert written(outputs / file) == section(heading)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["states.csv", "events.csv", "actions.csv", "lines.csv"])
def test_the_page_names_each_column_that_is_written_and_no_other(outputs: Path, name: str) -> None:
    with (outputs / name).open(encoding="utf-8", newline="") as file:
        head = next(csv.reader(file))
    assert {re.sub(r"\.\d+$", ".ID", column) for column in head} == section(name)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["summary", "alerts", "shares"])
def test_the_page_names_each_column_of_a_batch_and_no_other(outputs: Path, name: str) -> None:
    with (outputs / "summed" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        head = next(csv.reader(file))
    figures = {figure for figure, _ in FIGURES}
    general = {re.sub(rf"^({'|'.join(figures)})_(of|at)$", r"FIGURE_\2", column) for column in head}
    assert general == section(f"{name}.csv of a batch")


@pytest.mark.slow
def test_the_page_names_each_column_of_a_class_and_no_other(outputs: Path) -> None:
    with (outputs / "class.csv").open(encoding="utf-8", newline="") as file:
        assert set(next(csv.reader(file))) == section("Table of a class")


@pytest.mark.slow
def test_the_page_names_each_column_of_the_long_form(outputs: Path) -> None:
    with (outputs / "long.csv").open(encoding="utf-8", newline="") as file:
        assert set(next(csv.reader(file))) == section("The long form")


@pytest.mark.slow
@pytest.mark.parametrize("name", ["states", "events", "actions", "lines"])
def test_each_column_of_a_table_has_the_unit_that_the_page_says(outputs: Path, name: str) -> None:
    _, _, rest = page("outputs").partition(f"\n## {name}.csv\n")
    rows = [row.split(" | ") for row in rest.split("\n## ")[0].splitlines() if row.startswith("| `")]
    units = {
        column: {unit.strip(" `") for unit in row[1].split(",")} - {""}
        for row in rows
        for column in re.findall(r"`([^`]+)`", row[0])
    }
    document = json.loads((outputs / "columns.json").read_text())
    (table,) = (each for each in document["tables"] if each["table"] == name)
    for column in table["columns"]:
        written_as = re.sub(r"\.\d+$", ".ID", column["name"])
        assert not column["unit"] or column["unit"] in units[written_as], written_as
        if not column["unit"]:
            assert column["kind"] != "number", written_as


@pytest.mark.slow
def test_the_table_of_lives_has_the_fields_of_its_document(outputs: Path) -> None:
    with (outputs / "lives.csv").open(encoding="utf-8", newline="") as file:
        head = next(csv.reader(file))
    fields = {key.removeprefix("lives.") for key in section("Lives of the ropes") if key.count(".") == 1}
    cycles = {f"cycles_{name}_pct_mbl" for name in class_names()}
    assert set(head) == (fields - {"cycles"}) | cycles


@pytest.mark.slow
def test_the_table_of_ropes_has_the_fields_of_its_document(outputs: Path) -> None:
    with (outputs / "ropes.csv").open(encoding="utf-8", newline="") as file:
        head = next(csv.reader(file))
    fields = {key.removeprefix("ropes.") for key in section("Ropes") if re.fullmatch(r"ropes\.\w+", key)}
    cycles = {f"cycles_{name}_pct_mbl" for name in class_names()}
    assert set(head) == (fields - {"cycles", "uses", "entries", "retire"}) | cycles


@pytest.mark.slow
def test_every_json_line_of_actions_is_read_again(outputs: Path) -> None:
    from alongside.training.exercise.actions_file import read_actions

    read = [each.action for each in read_actions(outputs / "actions.jsonl")]
    assert read[: len(ALL_ACTIONS)] == list(ALL_ACTIONS)
    assert iso_time(START) in (outputs / "actions.jsonl").read_text()
