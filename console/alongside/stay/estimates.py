"""Values of a stay file that are estimates: `{guess: 2600, source: by eye, spread: 20 %}` in place of a
number, and those that are made while it is read, such as a fender's stiffness by its kind."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import isnan, nan
from typing import TYPE_CHECKING, Final

from alongside.stay.model.guess import Guess

if TYPE_CHECKING:
    from alongside.stay.nodes import Node

GUESS: Final = "guess"
KEYS: Final = (GUESS, "source", "spread")
SPREAD: Final = "a spread such as 20 %, or plus and minus in the unit of the value"
WIDEST: Final = 0.9
"""Of the value: a guess that may be nothing, or twice itself, is none."""


@dataclass(slots=True)
class Estimates:
    """The guesses of one file as it is read. `moved` says, by path, for which of them another value serves
    than the guess: -1 the low end of its spread, 1 the high end."""

    guesses: dict[str, Guess] = field(default_factory=dict)
    """By path, in the order in which they are read."""
    moved: Mapping[str, float] = field(default_factory=dict)

    def note(self, guess: Guess) -> float:
        """Put a guess on the list, once; returns the value that serves."""
        self.guesses.setdefault(guess.path, guess)
        return guess.value + self.moved.get(guess.path, 0.0) * guess.spread

    def share_at(self, path: str) -> float | None:
        """Return the spread of the guess at a path as a part of its value; None where there is none."""
        return self.guesses[path].share if path in self.guesses else None


def is_guess(node: "Node") -> bool:
    """Return whether a value is written as a guess."""
    return node.is_table and GUESS in node


@dataclass(frozen=True, slots=True)
class Bounded:
    """How a number is read that may be a guess: within its bounds, without any, which they are, in which
    unit."""

    read: Callable[["Node"], float]
    read_any: Callable[["Node"], float]
    is_within: Callable[[float], bool]
    expected: str
    unit: str


def read_guess(node: "Node", number: Bounded) -> float:
    """Return the value that a guess serves with; NaN with faults. Both ends of its spread must be within the
    bounds of the number."""
    for label, _ in node.entries("guess, source and spread") or ():
        if label.word not in KEYS:
            label.fault("unknown key", f"one of {', '.join(KEYS)}")
    value = number.read(node[GUESS])
    source = _text(node, "source", "where it comes from, in a few words")
    spread = _spread(node, value, number.read_any)
    if isnan(value) or isnan(spread) or not source:
        return value
    for end in (value - spread, value + spread):
        if not number.is_within(end):
            node["spread"].fault(f"an end of the spread, {end:g}, is out of bounds", number.expected)
            return value
    return node.estimates.note(Guess(node.path, value, spread, number.unit, source))


def _text(node: "Node", key: str, expected: str) -> str:
    if key not in node:
        node.missing(key, expected)
        return ""
    return node[key].text(expected) or ""


def _spread(node: "Node", value: float, read: Callable[["Node"], float]) -> float:
    """Return the spread in the unit of the value; NaN with a fault."""
    text = _text(node, "spread", SPREAD)
    if not text:
        return nan
    share = re.fullmatch(r"(\d{1,3}(\.\d+)?) ?%", text, re.ASCII)
    if share is not None:
        part = float(share.group(1)) / 100.0
        if not 0.0 < part <= WIDEST:
            node["spread"].fault(f"{text} is no spread of a guess", f"above 0 and at most {WIDEST:.0%}")
            return nan
        return part * abs(value)
    faults = len(node.faults)
    spread = read(node["spread"])
    if len(node.faults) == faults and not spread > 0.0:
        node["spread"].fault(f"{text} is no spread", SPREAD)
        return nan
    return spread
