"""No text of the program, and no page of its manual, speaks in riddles or in words out of use."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

PACKAGE: Final = Path(__file__).parents[2] / "console" / "alongside"
FORBIDDEN: Final = (
    r"reckon\w*",
    r"whence",
    r"hence",
    r"fore(?:told|tells?)",
    r"lacks",
    r"told",
    r"weigh the wind",
    r"to be weighed",
    r"keep an eye on",
    r"of what (?:keeps|she|line|bollard)",
    r"has no share in",
    r"takes? that to",
    r"no lead to watch",
    r"only so, or",
    r"but for what",
    r"what she holds",
    r"runs? through the mechanics",
    r"makes? \d",
    r"tide making",
)
RIDDLE: Final = re.compile(rf"\b(?:{'|'.join(FORBIDDEN)})\b", re.IGNORECASE)


def texts(path: Path) -> Iterator[tuple[int, str]]:
    """Texts that a module may show, with their lines: string literals that are no documentation."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    documentation = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documentation:
            yield node.lineno, node.value


@pytest.mark.parametrize(
    "room", sorted({path.parent for path in PACKAGE.rglob("*.py")}), ids=lambda p: p.name
)
def test_texts_of_the_program_are_plain(room: Path) -> None:
    wrong = [
        f"{path.name}:{line}: {found[0]!r} in {text!r}"
        for path in sorted(room.glob("*.py"))
        for line, text in texts(path)
        if (found := RIDDLE.search(text))
    ]
    assert not wrong


@pytest.mark.parametrize("page", sorted((PACKAGE / "manual").glob("*.md")), ids=lambda p: p.stem)
def test_pages_of_the_manual_are_plain(page: Path) -> None:
    rows = page.read_text(encoding="utf-8").splitlines()
    wrong = [f"{at}: {found[0]!r}" for at, row in enumerate(rows, 1) if (found := RIDDLE.search(row))]
    assert not wrong


@pytest.mark.parametrize(
    "text", ["but for what is not cured", "told at 03:10", "Only so, or worse or sooner so", "reckoned"]
)
def test_a_riddle_is_found(text: str) -> None:
    assert RIDDLE.search(text)
