"""The vocabulary that the sections of a stay file are written in.

A `Field` says what is expected at one place and reads it. Reading never stops at a fault: the fault goes
on the list and a stand-in (NaN, "", nothing) comes back, with which every later comparison is false, so
that one mistake is reported once. A file with faults never becomes a Stay; stand-ins stay in this package.
"""

import math
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Final, Generic, TypeVar

from alongside.stay.estimates import Bounded, is_guess, read_guess
from alongside.stay.nodes import Node, one_of, shown
from alongside.units import TIME_EXPECTED, G, unix_time

T = TypeVar("T")
U = TypeVar("U")

Check = Callable[[Node, Any], None]
"""Looks at a value that has been read, at its node, and puts on the list what does not fit together."""


@dataclass(frozen=True, slots=True)
class Field(Generic[T]):
    """What is expected at one place, in words, and how it is read."""

    expected: str
    read: Callable[[Node], T]

    def then(self, convert: Callable[[T], U]) -> "Field[U]":
        return Field(self.expected, lambda node: convert(self.read(node)))


# --- one value


_NUMBER: Final = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", re.ASCII)
_WITH_UNIT: Final = re.compile(rf"({_NUMBER.pattern}) ?([A-Za-z]+)", re.ASCII)

FORCES: Final[Mapping[str, float]] = {"kN": 1.0, "t": G}
"""kN in one of each unit that a force may be written in."""


def number(
    unit: str = "",
    *,
    above: float = -math.inf,
    least: float = -math.inf,
    below: float = math.inf,
    most: float = math.inf,
    written: Mapping[str, float] = MappingProxyType({}),
) -> Field[float]:
    """A finite decimal number in `unit`, within bounds, or such a number as a guess; NaN stands in. Base 60,
    octal, `_` are not read. `written`: units that may stand behind it, each as so many of `unit`."""
    bounds = (("above", above), ("at least", least), ("below", below), ("at most", most))
    limits = " and ".join(f"{word} {bound:g}" for word, bound in bounds if math.isfinite(bound))
    expected = " ".join(part for part in ("a number", f"in {unit}" if unit else "", limits) if part)
    if written:
        expected += f", or with its unit: {' or '.join(f'12 {name}' for name in written)}"

    def any_number(node: Node) -> float:
        text = node.text(expected)
        if text is None:
            return math.nan
        unit_of = _WITH_UNIT.fullmatch(text)
        if unit_of is not None and unit_of.group(4) in written:
            return float(unit_of.group(1)) * written[unit_of.group(4)]
        if _NUMBER.fullmatch(text):
            return float(text)
        comma = re.fullmatch(r"[-+]?\d+,\d+", text)
        node.fault(f"{shown(text)} is not a number", expected + (" with a decimal point" if comma else ""))
        return math.nan

    def is_within(value: float) -> bool:
        return math.isfinite(value) and above < value < below and least <= value <= most

    def within(node: Node) -> float:
        value = any_number(node)
        if math.isnan(value) or is_within(value):
            return value
        node.fault(f"{shown(node.word)} is out of bounds", expected)
        return math.nan

    bounded = Bounded(within, any_number, is_within, expected, unit)

    def read(node: Node) -> float:
        return read_guess(node, bounded) if is_guess(node) else within(node)

    return Field(expected, read)


def force(*, above: float = -math.inf, least: float = -math.inf, most: float = math.inf) -> Field[float]:
    """A force in kN, or with its unit written: `12 t`, `118 kN`; NaN stands in."""
    return number("kN", above=above, least=least, most=most, written=FORCES)


def whole(*, least: int, most: int) -> Field[int]:
    """A whole number; `least` stands in."""
    expected = f"a whole number from {least} to {most}"

    def read(node: Node) -> int:
        text = node.text(expected)
        if text is None:
            return least
        if re.fullmatch(r"[-+]?\d{1,15}", text, re.ASCII) and least <= int(text) <= most:
            return int(text)
        node.fault(f"{shown(text)} is not allowed here", expected)
        return least

    return Field(expected, read)


def word(expected: str, pattern: str) -> Field[str]:
    """A text that matches all of `pattern`; "" stands in."""

    def read(node: Node) -> str:
        text = node.text(expected)
        if text is not None and not (text.isprintable() and re.fullmatch(pattern, text)):
            node.fault(f"{shown(text)} is not allowed here", expected)
            text = None
        return text or ""

    return Field(expected, read)


TEXT: Final = word("a text in one line", ".*")
NAME: Final = word("a name of up to 40 characters", r"\S|\S.{0,38}\S")


def choice(*words: str) -> Field[str]:
    """One of some words, in just these letters; the first stands in."""
    expected = ", ".join(words[:-1]) + f" or {words[-1]}" if len(words) > 1 else words[0]

    def read(node: Node) -> str:
        text = node.text(expected)
        if text is None:
            return words[0]
        if text not in words:
            node.fault(f"{shown(text)} is not known here", expected)
        return text

    return Field(expected, read)


_SWITCH: Final = {"on": True, "true": True, "yes": True, "off": False, "false": False, "no": False}
SWITCH: Final = choice(*_SWITCH).then(lambda text: _SWITCH.get(text, False))

_TIME: Final = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)", re.ASCII)


def _read_time(node: Node) -> float:
    text = node.text(TIME.expected)
    if text is None:
        return math.nan
    try:
        if _TIME.fullmatch(text):
            return unix_time(text)
    except ValueError:
        pass  # the 30th of February, the year 1026 and their like: reported below
    zoneless = bool(_TIME.fullmatch(text + "Z"))
    node.fault(f"{shown(text)} " + ("has no zone" if zoneless else "is not a time"), TIME.expected)
    return math.nan


TIME: Final = Field(TIME_EXPECTED, _read_time)


# --- several values


def listed(field: Field[T], *checks: Check, least: int = 0) -> Field[tuple[T, ...]]:
    """A list of at least so many; () stands in."""
    expected = f"a list of at least {least}" if least else "a list"

    def read(node: Node) -> tuple[T, ...]:
        items = node.items(f"{expected}, each {field.expected}")
        if items is None:
            return ()
        if len(items) < least:
            node.fault(f"{len(items)} given", f"{expected}, each {field.expected}")
        values = tuple(field.read(item) for item in items)
        for check in checks:
            check(node, values)
        return values

    return Field(f"{expected}, each {field.expected}", read)


def row(**columns: Field[Any]) -> Field[tuple[Any, ...]]:
    """A list of just these values, such as `[0.5, 120]`."""
    expected = "[" + ", ".join(columns) + "]"

    def read(node: Node) -> tuple[Any, ...]:
        items = node.items(expected)
        if items is not None and len(items) != len(columns):
            node.fault(f"{len(items)} values", expected)
            items = None
        if items is None:
            items = [Node.blank_at(node.path) for _ in columns]
        return tuple(field.read(item) for field, item in zip(columns.values(), items, strict=True))

    return Field(expected, read)


class Unread(dict[str, Any]):
    """Stands in for a table of names that could not be read: nothing is held against names sought in it."""


def named(field: Field[T], *checks: Check, key: Field[str] = NAME, least: int = 0) -> Field[Mapping[str, T]]:
    """A table whose keys are names of the user's own."""
    expected = f"a table of names, each with {field.expected}"

    def read(node: Node) -> Mapping[str, T]:
        entries = node.entries(expected)
        if entries is None or len(entries) < least:
            if entries is not None:
                node.fault("an empty table", expected)
            return Unread()
        values = {key.read(name): field.read(value) for name, value in entries}
        for check in checks:
            check(node, values)
        return values

    return Field(expected, read)


def known(names: Collection[str], what: str) -> Field[str]:
    """The name of something defined elsewhere in the file."""
    expected = f"the name of a {what}"

    def read(node: Node) -> str:
        name = NAME.read(node)
        if name and name not in names and not isinstance(names, Unread):
            node.fault(f"there is no {what} {shown(name)}", one_of(names, name))
        return name

    return Field(expected, read)


def looked_up(table: Mapping[str, T], what: str, otherwise: Field[T]) -> Field[T]:
    """What a name given here stands for in `table`."""
    by_name = known(table, what)

    def read(node: Node) -> T:
        name = by_name.read(node)
        return table[name] if name in table else otherwise.read(Node.blank_at(node.path))

    return Field(by_name.expected, read)


def by_shape(scalar: Field[T], other: Field[U]) -> Field[T | U]:
    """Either a single text or number, or something of more than one."""
    return Field(
        f"{scalar.expected}, or {other.expected}",
        lambda node: scalar.read(node) if node.is_scalar else other.read(node),
    )


# --- tables with keys of ours


def rising(
    column: Callable[[Any], float], what: str, shown_as: Callable[[float], str] = "{:.10g}".format
) -> Check:
    """In a list, `column` of each value must be more than that of the one before, which a fault shows in
    these words."""

    def check(node: Node, values: tuple[Any, ...]) -> None:
        for place, (before, after) in enumerate(pairwise(map(column, values)), start=1):
            if after <= before:
                node[place].fault(
                    f"{what} does not rise", f"more than in the row before ({shown_as(before)})"
                )

    return check


def distinct(key: str) -> Check:
    """In a list of records, no two may have the same text under `key`."""

    def check(node: Node, values: tuple[Any, ...]) -> None:
        seen: set[str] = set()
        for place in range(len(values)):
            name = node[place][key]
            if name.word in seen:
                name.fault(f"{key} {shown(name.word)} is used before", f"another {key} for each")
            elif name.word:
                seen.add(name.word)

    return check
