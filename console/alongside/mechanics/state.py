"""What the mechanics say of every line, fender and the hull, at n instants. Arrays in, arrays out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.reasons import NoLength
from alongside.readings import Codes, Floats


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the ship lies, (n,) each: surge, sway m from the place (berth +x, +y), yaw rad counter-clockwise
    from above; tide m above CD; draughts m at the marks; heel deg starboard down +."""

    surge: Floats
    sway: Floats
    yaw: Floats
    tide: Floats
    draught_fwd: Floats
    draught_aft: Floats
    heel_deg: Floats
    time: Floats | None = None
    """UNIX seconds (n,), NaN where nobody has said: what is planned of other ships goes by it."""

    def __post_init__(self) -> None:
        if self.time is None:
            object.__setattr__(self, "time", np.full(np.shape(self.tide), np.nan))

    @property
    def when(self) -> Floats:
        """Return `time`, which is there."""
        assert self.time is not None
        return self.time


@dataclass(frozen=True, slots=True)
class LineStates:
    """Arrays (n, lines); NaN where there is no answer (pose not known, or line not made fast yet).

    The names are those of the output of states. Vertical angle deg, + = leads down from the fairlead;
    horizontal angle deg from the ship's head, 90 abeam on the quay side; lengths m; `elongation_pct` of
    path over total unstretched length (negative when slack); shares are 1 at the limit; pulls on the ship
    in kN: ahead, in (towards the quay), down.
    """

    vertical_deg: Floats
    horizontal_deg: Floats
    outboard_m: Floats
    path_m: Floats
    unstretched_m: Floats
    elongation_pct: Floats
    stretch_share: Floats
    load_share: Floats
    tension_kn: Floats
    ahead_kn: Floats
    in_kn: Floats
    down_kn: Floats

    @property
    def level_m(self) -> Floats:
        """Return the level part of what is outboard, m."""
        level: Floats = self.outboard_m * np.cos(np.radians(self.vertical_deg))
        return level


@dataclass(frozen=True, slots=True)
class FenderStates:
    """Arrays (n, fenders): deflection m, reaction kN."""

    deflection: Floats
    reaction_kn: Floats


@dataclass(frozen=True, slots=True)
class Hold:
    """The whole set at n instants: pose found, lines, fenders, and why an instant has no answer.

    `reason` (n,) is 0 where there is an answer; other codes are named by `alongside.mechanics.REASONS`.
    `without` (n,) says what the balance was found without, because it is not known: bits of `NO_WIND` and
    `NO_CURRENT` of `alongside.mechanics.exposure`; None for a ship held in place, where neither matters.
    """

    pose: Pose
    lines: LineStates
    fenders: FenderStates
    reason: Codes
    without: Codes | None = None
    no_length: Codes | None = None
    """(n, lines) `NoLength`: why a line has no length; None where nobody has said."""

    def why_no_length(self) -> Codes:
        """Return (n, lines) `NoLength`; a line without a length is one not made fast where nobody has said
        why."""
        if self.no_length is not None:
            return self.no_length
        unknown = np.isnan(self.lines.unstretched_m)
        codes: Codes = np.where(unknown, NoLength.NOT_FAST, NoLength.KNOWN).astype(np.int8)
        return codes

    def rows(self, start: int, stop: int) -> "Hold":
        """Return the instants start..stop-1 as views."""
        return self.at(slice(start, stop))

    def at(self, part: slice | NDArray[np.intp]) -> "Hold":
        """Return chosen instants, in the order given."""
        return Hold(
            Pose(**{name: getattr(self.pose, name)[part] for name in Pose.__dataclass_fields__}),
            LineStates(**{name: getattr(self.lines, name)[part] for name in LineStates.__dataclass_fields__}),
            FenderStates(self.fenders.deflection[part], self.fenders.reaction_kn[part]),
            self.reason[part],
            None if self.without is None else self.without[part],
            None if self.no_length is None else self.no_length[part],
        )
