"""Where a pattern may cut a number: what stands around a group takes digits as well.

`.*(?P<t>[0-9]+)` finds 5 in `L=125`, since `.*` takes all that it can; `(?P<t>[0-9]{1,2})` finds 12. A part
of fixed width, `.{4}(?P<t>.{6})`, cuts on purpose.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from alongside.stay.pattern_steps import REPEATS, Item, first_of, inside, ones_of

from re import _constants as sre  # type: ignore[attr-defined]  # isort: skip
from re import _parser as parser  # type: ignore[attr-defined]  # isort: skip

DIGITS: Final = frozenset(b"0123456789")
_GROUPS: Final = (sre.SUBPATTERN, sre.ATOMIC_GROUP)


@dataclass(frozen=True, slots=True)
class Cuts:
    """Whether digits in front of a group, and behind it, may belong to its number."""

    before: bool = False
    behind: bool = False


def cuts_of(pattern: str) -> Mapping[str, Cuts]:
    """Return what may be cut of the number of each named group."""
    tree = parser.parse(pattern.encode())
    names = {number: name for name, number in tree.state.groupdict.items()}
    return {names[number]: cuts for number, cuts in _groups(list(tree), [], []) if number in names}


def _groups(items: Sequence[Item], before: list[Item], after: list[Item]) -> Iterator[tuple[int, Cuts]]:
    for at, (kind, value) in enumerate(items):
        in_front, behind = [*before, *items[:at]], [*items[at + 1 :], *after]
        if kind is sre.SUBPATTERN and value[0] is not None:
            body = list(value[3])
            yield value[0], Cuts(_is_eaten(body, in_front), _is_left(body, behind))
        if kind is sre.BRANCH:
            for part in value[1]:
                yield from _groups(list(part), in_front, behind)
        elif kind in REPEATS:
            yield from _groups(list(value[2]), in_front, behind)
        elif kind in _GROUPS:
            yield from _groups(list(inside(kind, value)), in_front, behind)


def _is_eaten(body: Sequence[Item], in_front: Sequence[Item]) -> bool:
    """Return whether a repeat in front of a group may take digits that it could begin with."""
    if not first_of(body)[0] & DIGITS:
        return False
    for kind, value in reversed(_flat(in_front)):
        if kind is sre.AT:
            return False
        if kind in REPEATS and value[0] != value[1] and _takes_digits([(kind, value)]):
            # One that takes as little as it can leaves the digits to a group that takes as many as it can.
            return kind is not sre.MIN_REPEAT or not _takes_all(body)
        if not first_of([(kind, value)])[1]:
            return False
    # The search itself may begin within a number.
    return not _takes_all(body)


def _is_left(body: Sequence[Item], behind: Sequence[Item]) -> bool:
    """Return whether a group may end though digits go on behind it: it takes a varying number of them, not as
    many as there are, and nothing behind it says that they end."""
    if _ends_whole(body):
        return False
    for item in _flat(behind):
        if item[0] is sre.AT:
            return False
        begin, may_be_empty = first_of([item])
        if begin & DIGITS:
            return True
        if not may_be_empty:
            return False
    return True


def _takes_all(body: Sequence[Item]) -> bool:
    """Return whether a group may begin with any number of digits, but for a sign or blanks."""
    for kind, value in _flat(body):
        if _takes_digits([(kind, value)]):
            return kind in REPEATS and bool(value[1] == sre.MAXREPEAT)
    return False


def _ends_whole(body: Sequence[Item]) -> bool:
    """Return whether a group ends with all digits that there are, with as many as it always does, or with
    what is no digit."""
    for kind, value in reversed(_flat(body)):
        if not _takes_digits([(kind, value)]):
            if first_of([(kind, value)])[1]:
                continue
            return True
        if kind is sre.BRANCH:
            return all(_ends_whole(list(part)) for part in value[1])
        if kind not in REPEATS or value[0] == value[1]:
            return True
        if kind is sre.MIN_REPEAT:
            return False
        if value[1] == sre.MAXREPEAT:
            return True
        if value[1] > 1 or not _ends_whole(list(value[2])):
            return False
    return True


def _takes_digits(items: Sequence[Item]) -> bool:
    return any(one & DIGITS for one, _ in ones_of(items, repeated=False))


def _flat(items: Iterable[Item]) -> list[Item]:
    """Return items with groups opened; a branch stays one item."""
    flat: list[Item] = []
    for kind, value in items:
        flat += _flat(inside(kind, value)) if kind in _GROUPS else [(kind, value)]
    return flat
