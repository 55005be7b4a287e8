"""Gauges that send the same sentence in turn: `$PLVL,1,2.45`, `$PLVL,2,6.31`, `$PLVL,1,2.46`."""

import re
from collections.abc import Sequence
from typing import Final

LEAST_TURNS: Final = 3
"""So often each has had its turn before it is sure: figures that happen to take turns twice do not go on."""
MOST_GAUGES: Final = 6
_LABEL: Final = re.compile(rb"[A-Za-z][A-Za-z0-9_]{0,9}|[0-9]{1,2}")


def selector_of(rows: Sequence[Sequence[bytes]]) -> int | None:
    """Return the field that tells gauges apart, by the fields of lines that followed one another, the address
    first; None where it is not sure. It holds a name or a small number of each, always in the same turn."""
    if not rows:
        return None
    for at in range(1, min(map(len, rows))):
        texts = [row[at] for row in rows]
        count = len(set(texts))
        if not 2 <= count <= MOST_GAUGES or len(texts) < LEAST_TURNS * count:
            continue
        in_turn = all(text == before for text, before in zip(texts[count:], texts, strict=False))
        if in_turn and all(map(_LABEL.fullmatch, texts)):
            return at
    return None
