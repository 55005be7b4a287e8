"""Ropes and tails of a stay, each with a key by which it is known again in another stay."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from alongside.stay.model import Rope, Stay

What = Literal["main", "tail"]


@dataclass(frozen=True, slots=True)
class Part:
    """One rope or tail in one line of a stay."""

    key: str
    """The same in every stay: its serial number, or else certificate (or kind of rope), line and ship."""
    by_serial: bool
    what: What
    line: str
    ship: str
    rope: Rope

    @property
    def wll_kn(self) -> float:
        return self.rope.wll_kn


def parts_of(stay: Stay) -> Iterator[Part]:
    """Return main ropes and tails of a stay, line by line."""
    for line in stay.lines:
        yield _part(stay, "main", line.id, line.rope, line.serial)
        if line.tail is not None:
            yield _part(stay, "tail", line.id, line.tail.rope, line.tail.serial)


def _part(stay: Stay, what: What, line: str, rope: Rope, serial: str) -> Part:
    if serial:
        return Part(serial, True, what, line, stay.ship.name, rope)
    tail = "tail of " if what == "tail" else ""
    key = f"{rope.certificate or rope.name}, {tail}line {line}, {stay.ship.name}"
    return Part(key, False, what, line, stay.ship.name, rope)
