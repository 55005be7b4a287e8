"""Lines that a pattern matches, made of the pattern: what repeats as short as may be, the first of what may
differ, and places for what its named groups are to hold."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import islice, product
from typing import Any, Final

from re import _constants as sre  # type: ignore[attr-defined]  # isort: skip
from re import _parser as parser  # type: ignore[attr-defined]  # isort: skip

MOST_WAYS: Final = 64
FIRST_OF: Final = {
    sre.CATEGORY_DIGIT: "0123456789",
    sre.CATEGORY_NOT_DIGIT: " -a",
    sre.CATEGORY_SPACE: " \t",
    sre.CATEGORY_NOT_SPACE: "-a0",
    sre.CATEGORY_WORD: "a0",
    sre.CATEGORY_NOT_WORD: " -",
}
LIKELY: Final = " -,;:/=abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.+_*#"
"""Characters that stand for one that may be nearly anything, the first that is allowed."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A named group, and texts that it takes by itself."""

    group: str
    otherwise: tuple[str, ...]


Piece = str | Slot
Way = tuple[Piece, ...]


def texts_of(pattern: str, slots: Collection[str]) -> list[Way]:
    """Return ways to make a line that a pattern may match: text, and a slot for each group of `slots`. A
    branch that holds a slot is a way of its own."""
    tree = parser.parse(pattern.encode())
    names = {number: name for name, number in tree.state.groupdict.items() if name in slots}
    return list(islice(_ways(tree, names), MOST_WAYS))


def _ways(tree: Iterable[Any], names: dict[int, str]) -> Iterable[Way]:
    """Return the ways through the items of a tree, one after the other."""
    choices = [_choices(kind, value, names) for kind, value in tree]
    for chosen in product(*choices):
        yield tuple(piece for part in chosen for piece in part)


def _choices(kind: Any, value: Any, names: dict[int, str]) -> list[Way]:
    """Return the ways through one item."""
    if kind is sre.LITERAL:
        return [(chr(value),)]
    if kind in (sre.MAX_REPEAT, sre.MIN_REPEAT, sre.POSSESSIVE_REPEAT):
        return _repeated(value, names)
    if kind is sre.SUBPATTERN:
        number, _, _, inside = value
        ways = list(islice(_ways(inside, names), MOST_WAYS))
        if number not in names:
            return ways
        return [(Slot(names[number], tuple("".join(map(str, way)) for way in ways)),)]
    if kind is sre.ATOMIC_GROUP:
        return list(islice(_ways(value, names), MOST_WAYS))
    if kind is sre.BRANCH:
        ways = [way for each in value[1] for way in islice(_ways(each, names), MOST_WAYS)]
        bearing = [way for way in ways if any(isinstance(piece, Slot) for piece in way)]
        return bearing or ways[:1]
    if kind in (sre.IN, sre.ANY, sre.NOT_LITERAL):
        return [(_one(kind, value),)]
    return [()]  # a beginning, an end: no text


def _repeated(value: Any, names: dict[int, str]) -> list[Way]:
    """Return as many as there must be; one where there may be none, but it bears a slot."""
    least, most, inside = value
    ways = list(islice(_ways(inside, names), MOST_WAYS))
    if any(isinstance(piece, Slot) for way in ways for piece in way) and most:
        least = max(least, 1)
    return [way * least for way in ways] if least else [()]


def _one(kind: Any, value: Any) -> str:
    """Return one character of a class, the likeliest."""
    if kind is sre.ANY:
        return LIKELY[0]
    if kind is sre.NOT_LITERAL:
        return next(each for each in LIKELY if ord(each) != value)
    inside = "".join(_members(value))
    if value[0][0] is sre.NEGATE:
        return next((each for each in LIKELY if each not in inside), "")
    return inside[:1]


def _members(items: Iterable[Any]) -> Iterable[str]:
    for kind, value in items:
        if kind is sre.LITERAL:
            yield chr(value)
        elif kind is sre.RANGE:
            low, high = value
            yield "".join(map(chr, range(low, high + 1)))
        elif kind is sre.CATEGORY:
            yield FIRST_OF.get(value, "")
