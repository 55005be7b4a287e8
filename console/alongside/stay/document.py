"""From a file to its root node: bytes, text, YAML. Values stay text; what they mean is the fields' affair.

A stay file is small and plain. What is not (binary, huge, recursive, multiplied by aliases) is refused
here, before anything walks through it.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final, TypeVar

import yaml

from alongside.errors import Fault
from alongside.stay.estimates import Estimates
from alongside.stay.fields import TEXT, Field
from alongside.stay.nodes import Node, shown
from alongside.stay.plain_file import NotPlain, read_plain

T = TypeVar("T")

LARGEST: Final = 2_000_000
"""Bytes. A stay file has some ten thousand; a log given by mistake has millions."""
MOST_VALUES: Final = 100_000
"""Values after every alias has been followed."""

_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NOT_TEXT: Final = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_PLAIN_TAGS: Final = {
    f"tag:yaml.org,2002:{kind}"
    for kind in ("str", "int", "float", "bool", "null", "timestamp", "map", "seq", "merge", "value")
}


def read_document(path: Path, faults: list[Fault], at: str = "", estimates: Estimates | None = None) -> Node:
    """Root of the YAML in `path`, under the stay's path `at`; a blank node where there is none to read.

    Its faults go to `faults`, its guesses to `estimates`. Raises OSError when the file cannot be read at all.
    """
    text = read_text(path, faults)
    return Node.blank_at(at) if text is None else root_of(text, path, faults, at, estimates)


def root_of(
    text: str, path: Path, faults: list[Fault], at: str = "", estimates: Estimates | None = None
) -> Node:
    """Return the root of a text of YAML that stands, or is to stand, in `path`; a blank node where it is
    none, its faults in `faults`."""
    try:
        root = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        faults.append(_syntax_fault(path, text, error))
    except RecursionError:
        # Only the loader without libyaml, which descends by calling itself, comes here.
        faults.append(Fault(str(path), 1, 1, "", "nested too deep, expected the few levels of a stay file"))
    else:
        if root is None:
            faults.append(Fault(str(path), 1, 1, at, "nothing in this file, expected keys and values"))
        elif _plain(root, path, faults):
            return Node(root, str(path), at, faults, Estimates() if estimates is None else estimates)
    return Node.blank_at(at)


def read_text(path: Path, faults: list[Fault]) -> str | None:
    """The text of a file in UTF-8, without its byte order mark; None, with a fault, where it is not such."""
    try:
        raw = read_plain(path, LARGEST, "a stay file of some kilobytes")
    except NotPlain as odd:
        faults.append(Fault(str(path), 1, 1, "", str(odd)))
        return None
    text = raw.decode("utf-8-sig", errors="surrogateescape")
    strange = _NOT_TEXT.search(text)
    if strange is None:
        return text
    before = re.split("\r\n|[\r\n\x85\u2028\u2029]", text[: strange.start()])
    code = ord(strange.group())
    byte = code - 0xDC00 if 0xDC80 <= code <= 0xDCFF else code
    problem = f"byte {byte:#04x} is not text, expected YAML in UTF-8"
    faults.append(Fault(str(path), len(before), len(before[-1]) + 1, "", problem))
    return None


def elsewhere(field: Field[T]) -> Field[T]:
    """A section that stands here, or in a file of its own that is named here."""

    def read(node: Node) -> T:
        return field.read(_named_document(node) if node.is_scalar else node)

    return Field(f"{field.expected}, or the name of a file with them", read)


def _named_document(node: Node) -> Node:
    name = TEXT.read(node)
    path = Path(node.file).parent / name
    try:
        return (
            read_document(path, node.faults, node.path, node.estimates) if name else Node.blank_at(node.path)
        )
    except OSError as error:
        node.fault(f"{shown(name)} cannot be read ({error.strerror})", "a file beside this one")
        return Node.blank_at(node.path)


def _syntax_fault(path: Path, text: str, error: yaml.MarkedYAMLError) -> Fault:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark else (0, 0)
    rows = text.splitlines()
    row = rows[line] if line < len(rows) else ""
    indent = row[: len(row) - len(row.lstrip())]
    if "\t" in indent or row[column : column + 1] == "\t":
        column = row.index("\t")
        return Fault(str(path), line + 1, column + 1, "", "a tab, expected spaces: only they indent YAML")
    wrong = " ".join(part for part in (error.context, error.problem) if part)
    if error.context_mark and error.context_mark.line != line:
        wrong += f", begun in line {error.context_mark.line + 1}"
    return Fault(str(path), line + 1, column + 1, "", f"{wrong}, expected YAML (a colon, quote or bracket?)")


def _plain(root: yaml.Node, path: Path, faults: list[Fault]) -> bool:
    """Whether the tree may be walked: no tags of its own, no value inside itself, not too many values.

    Visits every node once, however often aliases repeat it, without recursion.
    """
    weight: dict[int, int] = {}
    inside = {id(root)}
    stack = [(root, iter(_children(root)))]
    known = len(faults)

    def refuse(node: yaml.Node, problem: str) -> None:
        mark = node.start_mark
        faults.append(Fault(str(path), mark.line + 1, mark.column + 1, "", problem))

    while stack:
        node, rest = stack[-1]
        child = next(rest, None)
        if child is None:
            stack.pop()
            inside.discard(id(node))
            weight[id(node)] = 1 + sum(weight[id(each)] for each in _children(node))
            if node.tag not in _PLAIN_TAGS:
                refuse(node, f"tag {shown(node.tag)}, expected a value without a tag")
        elif id(child) in inside:
            refuse(child, "this value contains itself by an alias, expected a value that ends")
            return False
        elif id(child) not in weight:
            inside.add(id(child))
            stack.append((child, iter(_children(child))))
    if weight[id(root)] > MOST_VALUES:
        problem = f"more than {MOST_VALUES} values, all aliases followed, expected some thousand at most"
        refuse(root, problem)
    return len(faults) == known


def _children(node: yaml.Node) -> Iterator[yaml.Node]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield key
            yield value
    elif isinstance(node, yaml.SequenceNode):
        yield from node.value
