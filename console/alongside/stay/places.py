"""Where each key of a stay file stands, for whoever has something to say of a value that was read."""

import re
from dataclasses import dataclass
from pathlib import Path

from alongside.errors import Fault
from alongside.stay.document import read_document
from alongside.stay.nodes import Node

SECTIONS = frozenset({"ship", "berth", "ropes"})
"""Sections that may stand in a file of their own."""


@dataclass(frozen=True, slots=True)
class Places:
    """The keys of one stay file, and of the files that it names."""

    root: Node

    @classmethod
    def of(cls, file: str) -> "Places":
        """Raises OSError where the file cannot be read any more."""
        return cls(read_document(Path(file), []))

    def at(self, path: str) -> tuple[str, int, int]:
        """Return (file, line, column) of a path such as `lines[2].tail.length`; of the nearest value around
        it where the file does not have it."""
        node = self.root
        for key in re.findall(r"[^.\[\]]+", path):
            inner = node[int(key)] if key.isdigit() and not node.is_table else node[key]
            if inner.raw is None:
                break
            node = _opened(inner) if key in SECTIONS and inner.is_scalar else inner
        if node.raw is None:
            return node.file, 1, 1
        mark = node.raw.start_mark
        return node.file, mark.line + 1, mark.column + 1


def _opened(node: Node) -> Node:
    """Return the root of the file that a section names; the name itself where it cannot be read."""
    faults: list[Fault] = []
    try:
        return read_document(Path(node.file).parent / node.word, faults, node.path)
    except OSError:
        return node
