"""What measured loads show of a line, in words."""

from collections.abc import Container, Iterator
from typing import Final

from alongside.stay.model import Line, Stay
from alongside.wording.figures import counted, metres
from alongside.wording.safe import safe

LEAST_M: Final = 0.005
OFFERED: Final = "accept what it shows: page Line, x"
"""What answers a load that is otherwise than computed, where measured loads show why."""
TO_ACCEPT: Final = "x, accept"
"""The same in the row of its alert, which is narrow."""


def stiffness_words(stiffness: float) -> str:
    """Return `12 % softer than its curve`, of a rope so many times as stiff."""
    if abs(stiffness - 1.0) < 0.005:
        return "as stiff as its curve"
    return f"{abs(stiffness - 1.0):.0%} {'stiffer' if stiffness > 1.0 else 'softer'} than its curve".replace(
        "%", " %"
    )


def length_words(longer_m: float) -> str:
    """Return `0.21 m more out than computed`."""
    return f"{metres(abs(longer_m))} {'more' if longer_m > 0.0 else 'less'} out than computed"


def learnt_words(stiffness: float, longer_m: float) -> str:
    """Return both, each where it is anything."""
    parts = []
    if abs(stiffness - 1.0) >= 0.005:
        parts.append(stiffness_words(stiffness))
    if abs(longer_m) >= LEAST_M:
        parts.append(length_words(longer_m))
    return ", ".join(parts) or "as computed"


def loads_words(cells: int, by_hand: int, hours: float) -> str:
    """Return by which loads it is known: `9 readings of its load cell over 24 h and 1 load read by hand`; ""
    for none."""
    parts = [f"{counted(cells, 'reading')} of its load cell over {hours:.0f} h"] if cells else []
    parts += [f"{counted(by_hand, 'load')} read by hand"] if by_hand else []
    return " and ".join(parts)


def as_learnt_rows(stay: Stay, but: Container[str] = ()) -> Iterator[str]:
    """Yield `line 3 goes by what was learnt: 12 % softer than its curve (93 readings of its load cell)` of
    each line that does so, `but` of these."""
    return (_as_learnt(line) for line in stay.lines if line.learnt is not None and line.id not in but)


def _as_learnt(line: Line) -> str:
    assert line.learnt is not None
    words = learnt_words(line.learnt.stiffness, line.learnt.more_m)
    source = f" ({safe(line.learnt.source)})" if line.learnt.source else ""
    return f"line {safe(line.id)} goes by what was learnt: {words}{source}"
