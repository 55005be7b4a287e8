"""Spare ropes of the stay file that are still in no line: those put out since count off."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from alongside.stay.model import SpareRope


@dataclass(frozen=True, slots=True)
class RopeUsed:
    """A rope that came into a line since: of which kind, and on which winch or bitts, None: on none that is
    named."""

    rope: str
    winch: str | None


def spares_left(spares: Sequence[SpareRope], used: Sequence[RopeUsed]) -> tuple[SpareRope, ...]:
    """Return the spare ropes less those used. A deed names no spare rope, so each takes one of equal name:
    the one kept on its winch or bitts, else a loose one, else one kept elsewhere, in the order of the file.
    What is all used stays in the list with number 0; a rope of which none was spare takes nothing."""
    left = list(spares)
    for each in used:
        same = [at for at, spare in enumerate(left) if spare.rope.name == each.rope and spare.number > 0]
        if same:
            at = min(same, key=lambda at: _rank(left[at], each))
            left[at] = replace(left[at], number=left[at].number - 1)
    return tuple(left)


def _rank(spare: SpareRope, used: RopeUsed) -> int:
    if spare.on and spare.on == used.winch:
        return 0
    return 2 if spare.on else 1
