"""What rules rest on: plain arrays of what the gauges and the mechanics found. A new cause that needs more
adds a field here, with a default."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.over_brake import OverBrake
from alongside.alerts.rule_model import DueBys, NextLimits, Rule
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.cell_loads import cell_loads, with_cells
from alongside.mechanics.hold import standing_off
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.reasons import HANGS
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold, LineStates, Pose
from alongside.readings import Codes, Floats, Readings
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True)
class Findings:
    """What is known at n instants. Columns of lines stand in the order of `stay.lines`."""

    stay: Stay
    situation: Situation
    lines: LineStates
    readings: Readings
    bollard_kn: Floats
    """(n, b) pull of all lines on each bollard, as vectors summed, kN."""
    bollards: tuple[str, ...]
    """Ids of the b columns of `bollard_kn`."""
    brake_kn: Floats
    """(lines,) or (n, lines) what each line's winch brake holds, kN; NaN where there is none."""
    unanswered: Codes | None = None
    """(n,) `NoAnswer` where the calculation has none although its inputs are known: it failed, or found no
    balance; 0 elsewhere. None: nowhere."""
    unrecorded: str = ""
    """What is not being put on record and why, in words; "" where all is, or nothing is to be."""
    filling: str = ""
    """Which feed fills the disk faster than foreseen, in words; "" for none."""

    counted_kn: Floats | None = None
    """(n, lines) the larger of computed load and load by cell, kN; None: as computed."""
    bollard_least_kn: Floats | None = None
    """(n, b) the same of the lines whose load is known, kN: what a bollard bears at least, more or less; None
    where all are known."""
    no_length: Codes | None = None
    """(n, lines) `NoLength`: why a line has no length; None where nobody asks."""
    parted_at: Floats | None = None
    """(lines,) UNIX seconds at which each line parted, infinite where it did not; None: none did."""
    answered: Codes | None = None
    """(n,) `NoAnswer` of the instant: why nothing is known of any line; None where nobody asks."""
    pose: Pose | None = None
    """Where she lies; None where nobody asks."""
    ranges: Floats | None = None
    """(n, 3) range of surge m, sway m and yaw deg over the last 15 min; None where nobody keeps it."""
    off_m: Floats | None = None
    """(n,) her side off the nearest fender, m; NaN where not known."""
    holding: Floats | None = None
    """(n,) the 30 s wind by what the set can hold from where it blows; NaN where not known, infinite where a
    limit is past without any wind, minus infinite where that stands in an alert of its own (`own_alert`)."""
    holding_gust: Floats | None = None
    """(n,) the same of the highest gust of ten minutes, as a 30 s mean."""
    weak: NDArray[np.object_] | None = None
    """(n,) `WeakSpot`: what gives first in a stronger wind, or in a calm. None: not asked for."""
    next_limits: NextLimits = None
    """What the latest forecast expects; None where nothing is known of the hours ahead."""
    due: DueBys = None
    """What is to be decided, and by when; None where nothing is known of the hours ahead."""
    over_brake: OverBrake | None = None
    """What is in question of the winch brakes; None where nothing is."""
    call_fault: str = ""
    """Why the second caller failed when it was called last, in words; "" where it did not."""
    bridge_fault: str = ""
    """Why alerts do not go to the bridge, in words; "" where they do, or are not to."""
    clock_ahead_s: float = 0.0
    """By so much the times of the watch run ahead of the clock, which was set back."""

    @classmethod
    def of(
        cls,
        stay: Stay,
        arrangement: Arrangement,
        situation: Situation,
        hold: Hold,
        readings: Readings | None = None,
    ) -> "Findings":
        """Return what the mechanics found for n instants. Without `readings` nothing was measured, as of
        instants to come."""
        if readings is None:
            nothing = np.empty((len(situation), 0))
            codes = nothing.astype(np.int8)
            readings = Readings(situation.time, (), nothing, codes, codes, nothing)
        no_length = hold.why_no_length()
        hangs = np.isin(no_length, HANGS)
        counted = with_cells(hold.lines, cell_loads(readings, arrangement.ids), no_length)
        return cls(
            stay=stay,
            situation=situation,
            lines=hold.lines,
            readings=readings,
            counted_kn=counted.tension_kn,
            bollard_kn=bollard_loads(arrangement, counted, hangs),
            bollard_least_kn=bollard_loads(arrangement, counted, hangs & ~np.isnan(counted.in_kn)),
            bollards=arrangement.bollard_ids,
            brake_kn=arrangement.brake_kn,
            pose=hold.pose,
            off_m=standing_off(arrangement, hold.pose),
            no_length=no_length,
            answered=hold.reason,
        )

    def __len__(self) -> int:
        return len(self.situation)

    def weak_spot(self, row: int) -> WeakSpot:
        """Return what gives first at one instant, as far as it is known."""
        spot: WeakSpot = NO_WEAK_SPOT if self.weak is None else self.weak[row]
        return spot

    def load_kn(self, columns: Sequence[int]) -> Floats:
        """Return (n, columns) the load of lines that counts, kN: the larger of computed and by cell."""
        counted = self.lines.tension_kn if self.counted_kn is None else self.counted_kn
        return counted[:, columns]

    def columns(self, rules: Sequence[Rule]) -> list[int]:
        """Return columns of the lines that rules are about."""
        place = {line.id: column for column, line in enumerate(self.stay.lines)}
        return [place[rule.subject] for rule in rules]
