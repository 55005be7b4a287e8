"""The manual and the program say the same: links lead somewhere, and every command, option, key and stay key
has its row; nothing is named that is not there."""

import argparse
import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from alongside.cli.main import COMMANDS, parser_of
from alongside.reports.manual_pages import page, pages
from alongside.screens.keys import KEYS

ROOT: Final = Path(__file__).parents[1]
PACKAGE: Final = ROOT / "console" / "alongside"
MANUAL: Final = PACKAGE / "manual"
TEXTS: Final = (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(MANUAL.glob("*.md")))
LINK: Final = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
CODE: Final = re.compile(r"`([^`\n]+)`")
NOT_OURS: Final = {"--no-index", "--find-links", "--tb", "--system-site-packages", "--durations", "--help"}
"""Options of pip, pytest and the like that our pages name."""


def slug(heading: str) -> str:
    """The anchor that a heading has where the pages are read on the web."""
    words = re.sub(r"[^\w\- ]", "", heading.strip("# ").lower())
    return words.replace(" ", "-")


def anchors(path: Path) -> set[str]:
    text = path.read_text(encoding="utf-8")
    return {slug(row) for row in text.splitlines() if row.startswith("#")}


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_every_link_leads_somewhere(path: Path) -> None:
    wrong = []
    for target in LINK.findall(path.read_text(encoding="utf-8")):
        if target.startswith("https://"):
            continue
        name, _, anchor = target.partition("#")
        other = (path.parent / name).resolve() if name else path
        if not other.exists() or (anchor and anchor not in anchors(other)):
            wrong.append(target)
    assert not wrong


def test_links_in_the_manual_stay_in_the_wheel() -> None:
    for name in pages():
        outside = [each for each in LINK.findall(page(name)) if each.startswith("..")]
        assert not outside, f"{name}: {outside} is not there on board"


def rows(text: str) -> Iterator[str]:
    """Code spans in the first cell of every row of a table."""
    for row in text.splitlines():
        if row.startswith("|"):
            yield from CODE.findall(row.replace("\\|", "¦").split("|")[1])


def arguments_of(command: str) -> list[argparse.Action]:
    parser = parser_of([command])
    places = next(each for each in parser._actions if isinstance(each, argparse._SubParsersAction))
    return [each for each in places.choices[command]._actions if each.dest != "help"]


def options_of(command: str) -> set[str]:
    return {name for each in arguments_of(command) for name in each.option_strings}


ALL_OPTIONS: Final = {"--version", *(option for command in COMMANDS for option in options_of(command))}


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_of_a_command_has_its_row_and_no_other(command: str) -> None:
    _, _, rest = page("commands").partition(f"\n## `alongside {command}")
    assert rest, f"commands.md says nothing of {command}"
    text = rest.split("\n## ")[0]
    shown = {word for span in rows(text) for word in span.split() if word.startswith("--")}
    assert shown == options_of(command)
    names = [each.metavar for each in arguments_of(command) if not each.option_strings]
    heading = text.splitlines()[0]
    assert all(str(name).split("|")[0] in heading for name in names)


def test_the_page_of_commands_has_no_other_command() -> None:
    headings = re.findall(r"^## `alongside ([\w-]+)", page("commands"), re.M)
    assert headings == list(COMMANDS)


def test_the_readme_has_a_row_for_every_command_and_page() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    listed = [span.split()[1] for span in rows(text) if span.startswith("alongside ")]
    assert sorted(set(listed)) == sorted(COMMANDS)
    linked = {
        Path(target).stem
        for target in LINK.findall(text)
        if "/manual/" in target and "/pictures/" not in target
    }
    assert linked == set(pages())


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_no_page_names_a_command_or_option_that_is_not_there(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    blocks = re.findall(r"^```\w*\n(.*?)^```", text, re.M | re.S)
    spans = [*CODE.findall(re.sub(r"^```.*?^```", "", text, flags=re.M | re.S)), *blocks]
    commands = {each for span in spans for each in re.findall(r"(?:^|/)alongside ([a-z][a-z-]*)", span, re.M)}
    assert commands <= set(COMMANDS)
    options = {each for span in spans for each in re.findall(r"(?:^|\s)(--[a-z][a-z-]*)", span)}
    assert options <= ALL_OPTIONS | NOT_OURS


def test_every_key_has_its_row_and_no_other() -> None:
    _, _, rest = page("console").partition("\n## Keys")
    text = rest.split("\n## ")[0]
    shown = {part for span in rows(text) for part in span.split()}
    known = {part for key in KEYS for part in key.shown.split()}
    assert {each.lower() for each in shown} == {each.lower() for each in known}


def is_call(node: ast.AST | None, *names: str) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names


def stay_keys() -> set[str]:
    """Keys that the readers of the stay file take: keywords of every `record(...)`, and tables of keys that
    are handed to one."""
    keys: set[str] = set()
    for path in sorted((PACKAGE / "stay").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if is_call(node, "record"):
                keys |= {keyword.arg for keyword in node.keywords if keyword.arg}
            elif isinstance(node, ast.Dict):
                pairs = zip(node.keys, node.values, strict=True)
                keys |= {key.value for key, value in pairs if is_call(value, "required", "optional")}
    return keys


def test_every_key_of_a_stay_file_stands_in_a_row_of_its_page() -> None:
    keys = stay_keys()
    assert {"ship_x", "mbl_kn", "made_fast", "brake_kn", "from", "from_stem"} <= keys
    table = "\n".join(row for row in page("stay-file").splitlines() if row.startswith("|"))
    named = {word for span in CODE.findall(table) for word in re.findall(r"\w+", span)}
    assert not keys - named


def test_the_glossary_is_in_order_with_a_line_each() -> None:
    words = [row.split(" | ")[0].strip("| ") for row in page("glossary").splitlines() if row.startswith("| ")]
    words = [word for word in words if word not in ("word", "---")]
    assert len(words) > 60
    assert words == sorted(words, key=str.casefold)
    assert len(set(words)) == len(words)
