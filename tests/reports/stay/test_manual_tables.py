"""Every column of every table that leaves the program stands in the manual, and no other does."""

import csv
import re
from pathlib import Path

import pytest

from alongside import manual
from alongside.alerts.rules import rules_of
from alongside.cli.main import main
from alongside.reports.event_units import SHARE, UNITS
from tests.worlds import awkward_stay

COLUMN = re.compile(r"`([^`]+)`")
PLAIN = frozenset({"calculation", "record", "parted", "not_known", "caller"})
"""Causes whose value is 0 or 1, or the number of a reason."""


def documented(title: str, cell: int) -> set[str]:
    """Columns named in a cell of each row of the first table after a text of the page `report`."""
    text = (Path(manual.__path__[0]) / "report.md").read_text(encoding="utf-8")
    rows = text[text.index(title) :].split("| --- |", 1)[1].split("\n\n", 1)[0].splitlines()[1:]
    return {name for row in rows for name in COLUMN.findall(row.split("|")[cell])}


def header(path: Path) -> set[str]:
    with path.open(encoding="utf-8", newline="") as file:
        names = next(csv.reader(file))
    return {re.sub(r"\.[123]$", ".LINE", name) for name in names}


@pytest.fixture(scope="module")
def tables(flood: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("documented")
    page = ["--out", str(folder / "page.html"), "--csv", str(folder)]
    assert main(["report", str(flood), *page]) == 0
    assert main(["lives", str(flood), "--csv", str(folder / "lives.csv")]) == 0
    return folder


@pytest.mark.slow
@pytest.mark.parametrize("name", ["states", "events", "actions", "lines"])
def test_the_columns_of_the_reports_tables(tables: Path, name: str) -> None:
    assert header(tables / f"{name}.csv") == documented(f"`{name}.csv`:", 1)


def test_the_columns_of_lives(tables: Path) -> None:
    assert header(tables / "lives.csv") == documented("| printed |", 2)


def test_the_unit_of_every_cause_is_that_of_its_rule(tmp_path: Path) -> None:
    of_another = {("drift", "yaw_range"), ("gangway", "slope")}
    rules = [
        r for r in rules_of(awkward_stay(tmp_path), ahead=True) if (r.cause, r.subject) not in of_another
    ]
    units = {rule.cause: rule.unit or SHARE for rule in rules}
    assert len(units) > 8
    for cause, unit in units.items():
        if cause not in PLAIN and cause != "feed":
            assert UNITS[cause] == unit, cause


def test_an_event_bears_the_unit_of_its_figure(tables: Path) -> None:
    with (tables / "events.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    units = {(row["alert"] or row["event"]): row["unit"] for row in rows if row["value"]}
    assert units["stretch"] == "share"
    assert units["steep"] == "deg"
    assert units["tended"] == "m"
    assert all(row["unit"] == "" for row in rows if not row["value"])
