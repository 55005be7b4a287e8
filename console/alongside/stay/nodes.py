"""One value of a stay file: what it says, where it stands, and where its faults go."""

import difflib
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Final

import yaml

from alongside.errors import Fault
from alongside.stay.estimates import Estimates

MOST_COMPARED: Final = 300
"""Names beyond which the nearest is not looked for: it would take longer than the user's own search."""
MOST_LISTED: Final = 20
SHORT: Final = 3
"""Letters up to which half of them are enough to be much alike."""


@dataclass(frozen=True, slots=True)
class Node:
    """A value at its place. A blank one (`raw` is None) stands for what is missing: everything can be
    asked of it, it answers with nothing, and has no faults, since its absence is on the list already."""

    raw: yaml.Node | None
    file: str
    path: str
    faults: list[Fault]
    estimates: Estimates = field(default_factory=Estimates)
    """Guesses of the same file, one list for all of its values."""

    @classmethod
    def blank_at(cls, path: str) -> "Node":
        return cls(None, "", path, [])

    def fault(self, wrong: str, expected: str) -> None:
        """Put one fault of this value on the list."""
        if self.raw is not None:
            mark = self.raw.start_mark
            problem = f"{wrong}, expected {expected}"
            self.faults.append(Fault(self.file, mark.line + 1, mark.column + 1, self.path, problem))

    def __getitem__(self, key: str | int) -> "Node":
        """The value under a key of a table, or at a place of a list; blank where there is none."""
        if isinstance(key, int):
            values = self.raw.value if isinstance(self.raw, yaml.SequenceNode) else ()
            return self._at(values[key], key) if key < len(values) else self._blank(key)
        return next((value for name, value in self._pairs() if name.word == key), self._blank(key))

    def __contains__(self, key: str) -> bool:
        return any(name.word == key for name, _ in self._pairs())

    @property
    def word(self) -> str:
        """The text of a scalar as it stands; "" for anything else."""
        return str(self.raw.value) if isinstance(self.raw, yaml.ScalarNode) else ""

    @property
    def is_scalar(self) -> bool:
        return isinstance(self.raw, yaml.ScalarNode)

    @property
    def is_table(self) -> bool:
        return isinstance(self.raw, yaml.MappingNode)

    def text(self, expected: str) -> str | None:
        """The text of a scalar; None, with a fault, where there is something else or nothing."""
        if isinstance(self.raw, yaml.ScalarNode):
            if self.raw.value or self.raw.style:
                return str(self.raw.value)
            self.fault("nothing given", expected)
        else:
            self.fault(self._shape(), expected)
        return None

    def items(self, expected: str) -> list["Node"] | None:
        """The values of a list; None, with a fault, where there is something else."""
        if isinstance(self.raw, yaml.SequenceNode):
            return [self._at(value, place) for place, value in enumerate(self.raw.value)]
        self.fault(self._shape(), expected)
        return None

    def entries(self, expected: str) -> list[tuple["Node", "Node"]] | None:
        """Keys and values of a table, each key once; None, with a fault, where there is something else."""
        if not isinstance(self.raw, yaml.MappingNode):
            self.fault(self._shape(), expected)
            return None
        first: dict[str, tuple[Node, Node]] = {}
        for key, value in self._pairs():
            if not key.is_scalar:
                key.fault(f"{key._shape()} as a key", "a word")
            elif key.word == "<<":
                key.fault(
                    "merge keys are not allowed", "the keys themselves, or an alias for the whole value"
                )
            elif key.word in first:
                line = _line(first[key.word][0])
                key.fault(f"key given twice, first in line {line}", "each key once")
            else:
                first[key.word] = key, value
        return list(first.values())

    def missing(self, key: str, expected: str) -> "Node":
        """Put a missing key on the list; returns the blank that stands for it."""
        self.beside(key).fault("missing", expected)
        return self._blank(key)

    def beside(self, key: str) -> "Node":
        """Return the place of a key that is not given, for what is to be said of it."""
        return Node(self.raw, self.file, _join(self.path, key), self.faults, self.estimates)

    def _blank(self, key: str | int) -> "Node":
        return Node.blank_at(_join(self.path, key))

    def _at(self, node: yaml.Node, key: str | int) -> "Node":
        return Node(node, self.file, _join(self.path, key), self.faults, self.estimates)

    def _pairs(self) -> Iterator[tuple["Node", "Node"]]:
        if isinstance(self.raw, yaml.MappingNode):
            for key, value in self.raw.value:
                name = str(key.value) if isinstance(key, yaml.ScalarNode) else "?"
                yield self._at(key, name), self._at(value, name)

    def _shape(self) -> str:
        if isinstance(self.raw, yaml.MappingNode):
            return "a table of keys and values"
        if isinstance(self.raw, yaml.SequenceNode):
            return "a list"
        return shown(self.word) if self.word else "nothing given"


def shown(text: str) -> str:
    """Text of a file as a message may show it: quoted, control characters escaped, short."""
    return repr(text if len(text) <= 40 else text[:39] + "…")


def one_of(names: Collection[str], given: str) -> str:
    """What was expected instead of a name that is not among `names`: the nearest, or all of them."""
    nearest = _nearest(names, given)
    if nearest:
        return "perhaps " + " or ".join(map(shown, nearest))
    if not names:
        return "none"
    listed = ", ".join(list(names)[:MOST_LISTED]) + (", …" if len(names) > MOST_LISTED else "")
    return listed if len(names) == 1 else f"one of {listed}"


def _nearest(names: Collection[str], given: str) -> list[str]:
    """The name most like the given one, or those that are equally so, in their own order."""
    if len(names) > MOST_COMPARED:
        return []
    close = [name for name in difflib.get_close_matches(given, names, 3, 0.5) if _may_be(name, given)]
    alike = [difflib.SequenceMatcher(None, name, given).ratio() for name in close]
    best = {name for name, ratio in zip(close, alike, strict=True) if ratio == max(alike)}
    return [name for name in names if name in best]


def _may_be(name: str, given: str) -> bool:
    """Return whether `given` may be a slip for `name`: much alike, and with the same first letter, which is
    seldom the wrong one; a hint that misleads is worse than none."""
    ratio = difflib.SequenceMatcher(None, name, given).ratio()
    enough = 0.5 if min(len(name), len(given)) <= SHORT else 0.7
    same_first = name[:1].casefold() == given[:1].casefold()
    return (same_first and ratio >= enough) or sorted(name) == sorted(given)


def _line(node: Node) -> int:
    return node.raw.start_mark.line + 1 if node.raw is not None else 0


def _join(path: str, key: str | int) -> str:
    if isinstance(key, int):
        return f"{path}[{key}]"
    word = key if key.isprintable() and 0 < len(key) <= 40 else shown(key)
    return f"{path}.{word}" if path else word
