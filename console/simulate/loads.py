"""What the lines really carry in a simulated stay, for the load cells on some of them."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np

from console.mechanics.arrangement import arrangement_of
from console.mechanics.hold import hold
from console.readings import Floats
from console.situation import Situation
from console.stay.model import Stay
from console.tending import Lengths, apply_changes, changes_due

PREFIX = "tension."


class Loads:
    """Tensions by the program's own mechanics, lines made fast and tended as the stay file says."""

    def __init__(self, stay: Stay, lines: Sequence[str]) -> None:
        self._stay = stay
        self._arrangement = arrangement_of(stay)
        self._columns = {f"{PREFIX}{line}": self._arrangement.ids.index(line) for line in lines}
        self._lengths = Lengths.before_all(stay)
        self._started = False

    def next_block(self, time: Floats, so: Mapping[str, Floats]) -> dict[str, Floats]:
        """`tension.LINE` (n,) kN at the next instants, where the ship floats as `so` says; 0 for a line that
        is not made fast."""
        situation = _situation(time, so)
        edges = sorted({0, *changes_due(self._stay, self._lengths, situation), time.size})
        parts = []
        for start, stop in pairwise(edges):
            here = situation.rows(start, start + 1)
            self._lengths, _ = apply_changes(
                self._stay, self._arrangement, self._lengths, here, self._started
            )
            self._started = True
            stretch = hold(self._arrangement, situation.rows(start, stop), self._lengths.unstretched)
            parts.append(stretch.lines.tension_kn)
        tension = np.nan_to_num(np.concatenate(parts), nan=0.0)
        return {channel: tension[:, column] for channel, column in self._columns.items()}


def _situation(time: Floats, so: Mapping[str, Floats]) -> Situation:
    """The truth as a situation; a stay without wind has a calm."""
    calm = np.zeros(time.size)
    return Situation(
        time=time,
        tide=so["tide"],
        draught_fwd=so["draught_fwd"],
        draught_aft=so["draught_aft"],
        heel_deg=so["heel"],
        heel_measured=True,
        wind_speed=so.get("wind_speed", calm),
        wind_gust=so.get("wind_speed", calm),
        wind_from=so.get("wind_from", calm),
        current_speed=calm,
        current_to=calm,
        quality=np.zeros(time.size, dtype=np.int8),
    )
