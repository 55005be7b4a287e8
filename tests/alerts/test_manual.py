"""The manual's page of alerts has every cause, and no other."""

import re
from pathlib import Path

import alongside
from alongside.alerts.rules import RULE_SETS

PAGE = Path(alongside.__file__).parent / "manual" / "alerts.md"


def rows(heading: str) -> list[list[str]]:
    """Cells of the rows of the first table under a heading."""
    section = PAGE.read_text(encoding="utf-8").split(f"## {heading}\n", 1)[1].split("\n## ", 1)[0]
    lines = [line for line in section.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_every_cause_has_a_row_and_every_row_is_a_cause() -> None:
    names = [cause for (first, *_rest) in rows("Causes") for cause in re.findall(r"`(\w+)`", first)]
    assert sorted(names) == sorted(rule_set.cause for rule_set in RULE_SETS)


def test_every_cause_has_something_that_helps() -> None:
    names = {name.strip() for (first, *_rest) in rows("What the watch does") for name in first.split(",")}
    assert names == {rule_set.cause for rule_set in RULE_SETS}
