"""How long a pattern may search in one line: an upper bound, by its structure alone.

The search of `re` goes back and tries again wherever a repeat could have stopped earlier. That costs nothing
where the next part cannot begin with what was repeated (`[0-9]+m`: given back a digit, `m` fails at once),
one try for each character where it can (`.*m`), and ever more where such repeats follow each other or stand
within repeats (`([0-9]+)+`). Patterns of the last kinds let one noisy line stop the watch; they are refused
before anything runs.
"""

import re
from collections.abc import Iterable, Sequence
from functools import cache
from math import exp, inf, log
from typing import Any, Final

from re import _constants as sre  # type: ignore[attr-defined]  # isort: skip
from re import _parser as parser  # type: ignore[attr-defined]  # isort: skip

LONGEST_SEARCHED: Final = 256
"""Bytes of a line that a pattern is compared with; a longer one is not."""
LONGEST_PATTERN: Final = 300
MOST_STEPS: Final = 20_000_000
"""A tenth of a second at most, on the worst line there is."""

Bytes = frozenset[int]
Item = tuple[Any, Any]

ALL: Final = frozenset(range(256))
_CLASSES: Final = {
    sre.CATEGORY_DIGIT: rb"\d",
    sre.CATEGORY_NOT_DIGIT: rb"\D",
    sre.CATEGORY_SPACE: rb"\s",
    sre.CATEGORY_NOT_SPACE: rb"\S",
    sre.CATEGORY_WORD: rb"\w",
    sre.CATEGORY_NOT_WORD: rb"\W",
}
REPEATS: Final = (sre.MAX_REPEAT, sre.MIN_REPEAT, sre.POSSESSIVE_REPEAT)
_ONE: Final = (sre.LITERAL, sre.NOT_LITERAL, sre.ANY, sre.IN)


class NotBounded(ValueError):
    """A part of a pattern whose search has no bound that we can tell; the text names it."""


def steps(pattern: str) -> float:
    """Return how many steps a search for a pattern takes in the worst line, at most; infinite where it grows
    without end. Raises NotBounded for parts that are not allowed, re.error for what is no pattern."""
    tree = parser.parse(pattern.encode())
    if tree.state.flags & re.LOCALE:
        raise NotBounded("the flag L")
    items = _without_rest(_known(tree))
    ways = _ways(items, frozenset())
    return ways * LONGEST_SEARCHED * _starts(items) * max(1, _widest_branch(items))


def _known(tree: Iterable[Item]) -> list[Item]:
    """Return the items of a tree, once it is sure that all are of kinds that are counted."""
    items = list(tree)
    for kind, value in items:
        if kind in REPEATS:
            _known(value[2])
        elif kind is sre.SUBPATTERN:
            _known(value[3])
        elif kind is sre.ATOMIC_GROUP:
            _known(value)
        elif kind is sre.BRANCH:
            for each in value[1]:
                _known(each)
        elif kind in (sre.ASSERT, sre.ASSERT_NOT):
            raise NotBounded("a look ahead or behind, (?= (?! (?<")
        elif kind in (sre.GROUPREF, sre.GROUPREF_EXISTS):
            raise NotBounded("a group that stands for another, (?P= or \\1")
        elif kind not in (*_ONE, sre.AT, sre.FAILURE):
            raise NotBounded(f"a part of kind {str(kind).lower()}")
    return items


def _without_rest(items: list[Item]) -> list[Item]:
    """Return items without a last `.*` or `.*$`, which takes all that is left of a line: nothing is tried
    again once it is reached."""
    rest = items[:-1] if items[-1:] == [(sre.AT, sre.AT_END)] else items
    if rest and rest[-1][0] in REPEATS:
        least, most, body = rest[-1][1]
        if least == 0 and most == sre.MAXREPEAT and list(body) == [(sre.ANY, None)]:
            return rest[:-1]
    return items


def _starts(items: Sequence[Item]) -> int:
    """Return how many times a line may be gone through: once from a fixed beginning; twice, all places added,
    where no repeat runs on over the beginning of a next try; else from each place."""
    if items[:1] in ([(sre.AT, sre.AT_BEGINNING)], [(sre.AT, sre.AT_BEGINNING_STRING)]):
        return 1
    begin, may_be_empty = first_of(items)
    again = [one for one, repeated in ones_of(items, repeated=False) if one & begin]
    loops = [one for one, repeated in ones_of(items, repeated=False) if repeated and one & begin]
    return LONGEST_SEARCHED if may_be_empty or loops else 1 + len(again)


def ones_of(items: Iterable[Item], repeated: bool) -> list[tuple[Bytes, bool]]:
    """Return the bytes that each single-character part takes, and whether it is repeated."""
    found: list[tuple[Bytes, bool]] = []
    for kind, value in items:
        if kind in _ONE:
            found.append((_bytes((kind, value)), repeated))
        elif kind in REPEATS:
            found += ones_of(value[2], repeated or value[1] > 1)
        elif kind is sre.BRANCH:
            for each in value[1]:
                found += ones_of(each, repeated)
        elif kind is not sre.AT:
            found += ones_of(inside(kind, value), repeated)
    return found


def _widest_branch(items: Iterable[Item]) -> int:
    widest = 1
    for kind, value in items:
        if kind is sre.BRANCH:
            widest = max(widest, len(value[1]), *(_widest_branch(each) for each in value[1]))
        elif kind in REPEATS:
            widest = max(widest, _widest_branch(value[2]))
        elif kind in (sre.SUBPATTERN, sre.ATOMIC_GROUP):
            widest = max(widest, _widest_branch(inside(kind, value)))
    return widest


def inside(kind: Any, value: Any) -> Iterable[Item]:
    """Return what a group holds; nothing of any other part."""
    if kind is sre.SUBPATTERN:
        return value[3]  # type: ignore[no-any-return]
    return value if kind is sre.ATOMIC_GROUP else ()


def _ways(items: Sequence[Item], after: Bytes) -> float:
    """Return in how many ways items may go through one text, at most; `after` is what may follow them."""
    ways = 1.0
    for at, item in enumerate(items):
        follows, may_be_empty = first_of(items[at + 1 :])
        ways *= _ways_of(item, follows | after if may_be_empty else follows)
    return ways


def _ways_of(item: Item, after: Bytes) -> float:
    kind, value = item
    if kind in REPEATS:
        return _ways_of_repeat(kind, value, after)
    if kind is sre.BRANCH:
        each = [_ways(list(part), after) for part in value[1]]
        begins = [first_of(list(part)) for part in value[1]]
        sets = [first | after if may_be_empty else first for first, may_be_empty in begins]
        apart = len(frozenset().union(*sets)) == sum(map(len, sets))
        return max(each) if apart else sum(each)
    if kind in (sre.SUBPATTERN, sre.ATOMIC_GROUP):
        return _ways(list(inside(kind, value)), after)
    return 1.0


def _ways_of_repeat(kind: Any, value: tuple[int, Any, Any], after: Bytes) -> float:
    least, most, tree = value
    body = list(tree)
    begin, may_be_empty = first_of(body)
    if may_be_empty and most > 1:
        return inf
    times = min(int(most), LONGEST_SEARCHED)
    inner = _ways(body, begin | after if most > 1 else after)
    within = exp(min(times * log(inner), 700.0)) if inner < inf else inf
    ends = times - least + 1 if begin & after and times > least and kind is not sre.POSSESSIVE_REPEAT else 1
    return within * ends


def first_of(items: Sequence[Item]) -> tuple[Bytes, bool]:
    """Return the bytes that items may begin with, and whether they may match nothing."""
    first: Bytes = frozenset()
    for kind, value in items:
        if kind in _ONE:
            return first | _bytes((kind, value)), False
        if kind in REPEATS:
            begin, empty = first_of(list(value[2]))
            empty = empty or value[0] == 0
        elif kind is sre.BRANCH:
            parts = [first_of(list(each)) for each in value[1]]
            begin, empty = frozenset().union(*(part for part, _ in parts)), any(each for _, each in parts)
        else:
            begin, empty = first_of(list(inside(kind, value)))
            empty = empty or kind is sre.AT
        first |= begin
        if not empty:
            return first, False
    return first, True


def _bytes(item: Item) -> Bytes:
    """Return the bytes that a single-character part takes, rather too many: of letters both cases."""
    kind, value = item
    if kind is sre.ANY:
        return ALL
    if kind is sre.LITERAL:
        return _both_cases({value})
    if kind is sre.NOT_LITERAL:
        return ALL - {value} if chr(value).lower() == chr(value).upper() else ALL
    negated = value[0][0] is sre.NEGATE
    taken: set[int] = set()
    for part, what in value[1:] if negated else value:
        if part is sre.LITERAL:
            taken.add(what)
        elif part is sre.RANGE:
            taken.update(range(what[0], what[1] + 1))
        else:
            taken |= _of_class(what)
    return _both_cases(ALL - taken) if negated else _both_cases(taken)


def _both_cases(taken: Iterable[int]) -> Bytes:
    letters = bytes(sorted(taken))
    return frozenset(letters) | frozenset(letters.swapcase())


@cache
def _of_class(category: Any) -> Bytes:
    return frozenset(byte for byte in range(256) if re.match(_CLASSES[category], bytes([byte])))
