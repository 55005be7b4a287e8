"""What has moved a line: tide, cargo, wind, or a neighbour that was tended or parted.

Each is put back to what it was when the line was within its limit, all else as it is now, and the balance
sought again: what takes most from the line's share so is the cause.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.cycle.picture import History
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation, heel_from_midship
from alongside.readings import Floats
from alongside.wording.safe import safe

AT_LEAST_S: Final = 600.0
"""So long ago at least: a line that sways over its limit in the gusts was within it a moment ago."""
FAR_S: Final = 6 * 3600.0
LEAST_SHARE: Final = 0.005
"""Of the share: what moves it by less is no cause."""


@dataclass(frozen=True, slots=True, eq=False)
class Movers:
    """One instant (`situation` has one row) with the lengths that are out, m (lines,), and what went
    before."""

    basis: Basis
    situation: Situation
    lengths: Floats
    history: History
    log: Sequence[Event] = ()

    def of(self, line: str, limit: float) -> str:
        """Return what has moved a line's stretch most since it was within a limit: ` with the wind`,
        ` with the tide`, ` as tide falls`, ` as draught decreases`, ` since line 5 was slacked`; "" where
        nothing has, or it is not known."""
        column = self.basis.arrangement.ids.index(line)
        before = self._row_within(line, limit)
        if before is None:
            return ""
        since = float(self.history.time[before])
        parted = [each.line for each in self.log if each.alert == "parted" and each.time >= since]
        if parted and parted[-1] not in (None, line):
            return f" since line {safe(str(parted[-1]))} parted"
        then = {name: self._then(name, before) for name in ("tide", "draught_fwd", "draught_aft")}
        wind = {name: self._then(name, before) for name in ("wind_speed", "wind_from")}
        cargo = {name: then[name] for name in ("draught_fwd", "draught_aft")} | self._heel(before)
        tried = self._changed([{}, {"tide": then["tide"]}, cargo, wind, {}])
        tended = self._tended(line, since)
        lengths = np.tile(self.lengths, (len(tried), 1))
        for other, metres in tended.items():
            lengths[-1, self.basis.arrangement.ids.index(other)] -= metres
        share = hold(self.basis.arrangement, tried, lengths).lines.stretch_share[:, column]
        gained = np.nan_to_num(share[0] - share[1:])
        at = int(gained.argmax())
        if not gained[at] > LEAST_SHARE:
            return ""
        return self._words(at, then, tended)

    def _words(self, at: int, then: dict[str, float], tended: dict[str, float]) -> str:
        now = self.situation
        if at == 0:
            return " with the tide" if float(now.tide[0]) > then["tide"] else " as tide falls"
        if at == 1:
            mean_now = float(now.draught_fwd[0] + now.draught_aft[0])
            less = mean_now < then["draught_fwd"] + then["draught_aft"]
            return " as draught decreases" if less else " as draught increases"
        if at == 2:
            return " with the wind"
        line, metres = max(tended.items(), key=lambda each: abs(each[1]))
        return f" since line {safe(line)} was {'slacked' if metres > 0.0 else 'hove in'}"

    def _row_within(self, line: str, limit: float) -> int | None:
        """Return the newest row of the past, some minutes ago, at which a line's stretch was below a limit;
        the oldest at which it is known where it was at none."""
        time, now = self.history.time, float(self.situation.time[0])
        share = self.history.series.get(f"stretch_share.{line}")
        if share is None:
            return None
        rows = np.flatnonzero((time <= now - AT_LEAST_S) & (time >= now - FAR_S) & ~np.isnan(share))
        if not rows.size:
            return None
        within = rows[share[rows] < limit]
        return int(within[-1] if within.size else rows[0])

    def _then(self, name: str, row: int) -> float:
        values = self.history.series.get(name)
        return float("nan") if values is None else float(values[row])

    def _heel(self, row: int) -> dict[str, float]:
        if not self.situation.heel_measured:
            return {}
        heel = self._then("heel", row)
        if not isfinite(heel):
            port, starboard = (
                np.array([self._then(f"draught_mid_{side}", row)]) for side in ("port", "stbd")
            )
            heel = float(heel_from_midship(port, starboard, self.basis.stay.ship.breadth)[0])
        return {"heel_deg": heel} if isfinite(heel) else {}

    def _changed(self, changes: Sequence[dict[str, float]]) -> Situation:
        """Return the instant once for each change, with those values of then; as it is where one of them is
        not known."""
        tried = self.situation.at(np.zeros(len(changes), dtype=np.intp))
        for row, values in enumerate(changes):
            if all(isfinite(value) for value in values.values()):
                for name, value in values.items():
                    getattr(tried, name)[row] = value
        return tried

    def _tended(self, line: str, since: float) -> dict[str, float]:
        """Return the metres that each other line was tended by, or that ran out of it, since a time."""
        metres: dict[str, float] = {}
        for event in self.log:
            is_length = event.event == "tended" or (event.event == "note" and event.subject == "brake")
            if not is_length or event.time < since or event.line in (None, line) or event.value is None:
                continue
            assert event.line is not None, "just asked"
            if event.line in self.basis.arrangement.ids:
                metres[event.line] = metres.get(event.line, 0.0) + event.value
        return metres
