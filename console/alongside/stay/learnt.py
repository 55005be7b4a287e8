"""Key `learnt:` of a line: how stiff its rope has shown itself, and how much of it is out beyond what making
fast says. `alongside learn --out` writes it; nobody else needs to."""

from dataclasses import replace
from typing import Final

from alongside.stay.fields import TEXT, force, number
from alongside.stay.model import Learnt, Line, Rope
from alongside.stay.model.lines import STIFFNESS_BAND, TENSION_BAND
from alongside.stay.records import optional, record
from alongside.stay.rope_stretch import scaled

SOFTEST: Final = 0.2
STIFFEST: Final = 5.0
"""Beyond these it is another rope."""


def _learnt(
    stiffness: float = 1.0,
    stiffness_band: float = STIFFNESS_BAND,
    more_m: float = 0.0,
    at_kn: float | None = None,
    load_band: float = TENSION_BAND,
    source: str = "",
) -> Learnt:
    return Learnt(stiffness, stiffness_band, more_m, at_kn, load_band, source)


LEARNT: Final = record(
    _learnt,
    stiffness=optional(number(least=SOFTEST, most=STIFFEST)),
    stiffness_band=optional(number(least=0, most=0.8)),
    more_m=optional(number("m", least=-50, most=50)),
    at_kn=optional(force(above=0)),
    load_band=optional(number(least=0, most=0.8)),
    source=optional(TEXT),
)


def with_learnt(line: Line) -> Line:
    """Return a line that was read, with what was learnt of it: rope and tail as stiff, with that spread."""
    return line if line.learnt is None else taught(replace(line, learnt=None), line.learnt)


def taught(line: Line, learnt: Learnt) -> Line:
    """Return a line with what was learnt of it, in place of what was before."""
    factor = learnt.stiffness / (1.0 if line.learnt is None else line.learnt.stiffness)
    tail = line.tail and replace(line.tail, rope=_as_stiff(line.tail.rope, factor, learnt))
    return replace(line, rope=_as_stiff(line.rope, factor, learnt), tail=tail, learnt=learnt)


def _as_stiff(rope: Rope, factor: float, learnt: Learnt) -> Rope:
    curve = rope.curve if factor == 1.0 else scaled(rope.curve, 1.0 / factor)
    return replace(rope, curve=curve, stiffness_band=learnt.stiffness_band)
