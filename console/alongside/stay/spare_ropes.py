"""Section `spare_ropes:`, ropes on board that are in no line."""

from collections.abc import Mapping
from typing import Final

from alongside.stay.fields import Field, known, listed, looked_up, whole
from alongside.stay.lines import ROPE_LENGTH, tail_of
from alongside.stay.model import Line, Rope, Ship, SpareRope
from alongside.stay.nodes import Node, shown
from alongside.stay.records import optional, record, required
from alongside.stay.ropes import ROPE

MOST: Final = 20


def spare_ropes_of(
    ship: Ship | None, ropes: Mapping[str, Rope] | None, lines: tuple[Line, ...] | None
) -> Field[tuple[SpareRope, ...]]:
    """Return the field of the spare ropes of a ship whose lines have been read."""
    winches = ship.winches if ship is not None else {}
    in_use = {line.winch: line.id for line in lines or () if line.winch}

    def on_a_free_one(node: Node, spare: SpareRope) -> None:
        if spare.on in in_use:
            node["on"].fault(
                f"{shown(spare.on)} bears line {in_use[spare.on]}", "a winch or bitts without a line"
            )
        if spare.on and spare.number > 1:
            node["number"].fault(f"{spare.number} ropes on one winch or bitts", "1, or no `on`")

    return listed(
        record(
            SpareRope,
            on_a_free_one,
            rope=required(looked_up(ropes or {}, "rope", ROPE)),
            length=required(ROPE_LENGTH),
            number=optional(whole(least=1, most=MOST)),
            tail=optional(tail_of(ropes or {})),
            on=optional(known(winches, "winch")),
        ),
        _not_twice,
    )


def _not_twice(node: Node, spares: tuple[SpareRope, ...]) -> None:
    seen: set[str] = set()
    for place, spare in enumerate(spares):
        if spare.on and spare.on in seen:
            node[place]["on"].fault(f"{shown(spare.on)} has a spare rope before", "one rope a winch or bitts")
        seen.add(spare.on)
