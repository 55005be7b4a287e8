"""Ropes, and the lines made of them."""

from dataclasses import dataclass
from typing import Final, Literal

Role = Literal["head", "breast", "spring", "stern"]
RopeKind = Literal["synthetic", "wire"]
CurveRows = tuple[tuple[float, float], ...]

STIFFNESS_BAND: Final = 0.25
"""Part of its stiffness by which a rope may be stiffer or softer than its curve, in 9 of 10 cases. Common
practice, no source."""
TENSION_BAND: Final = 0.30
"""Part of its tension by which a line may have been made fast harder or more gently than stated, in 9 of 10
cases: few ships can measure it. Common practice, no source."""

RETIRE_BELOW: Final = 0.75
"""Of the ship design MBL, below which a rope is retired: MSC.1/Circ.1620 as flag and class give it."""


@dataclass(frozen=True, slots=True)
class Rope:
    """One kind of rope. `curve` rows are (elongation %, load as a fraction of MBL), first (0, 0)."""

    name: str
    kind: RopeKind
    mbl_kn: float
    curve: CurveRows
    wll_fraction: float
    allowance_percent: float | None = None
    source: str = ""
    grade: str = ""
    certificate: str = ""
    stiffness_band: float = STIFFNESS_BAND
    residual_strength: float = 1.0
    """Share of `mbl_kn` that is left, by inspection."""
    material: str = ""
    mbl_tested: str = ""
    """`wet` or `dry`, "" where the file does not say."""
    wet_strength: float = 1.0
    """Share of `mbl_kn` that the rope has when wet: below 1 where that is of a dry test."""
    weight_kg_per_m: float = 0.0
    """Where it hangs, in air; 0: not given, and leads are straight."""
    design_mbl_kn: float | None = None
    """Ship design MBL of the ship that the rope is in use on, None where that is not given."""

    @property
    def strength_kn(self) -> float:
        """Return the load at which it breaks as it is now, kN: its curve stays one of `mbl_kn`."""
        return self.mbl_kn * self.residual_strength * self.wet_strength

    @property
    def of_design(self) -> float:
        """Return its strength as a share of the ship design MBL, of its own MBL where that is not given."""
        return self.strength_kn / (self.mbl_kn if self.design_mbl_kn is None else self.design_mbl_kn)

    @property
    def is_spent(self) -> bool:
        """Return whether too little is left of it: a rope so weak is retired."""
        return self.of_design < RETIRE_BELOW

    @property
    def wll_kn(self) -> float:
        """Return the working load limit, kN: a share of the least of its strength and the ship design MBL."""
        design = self.strength_kn if self.design_mbl_kn is None else self.design_mbl_kn
        return self.wll_fraction * min(self.strength_kn, design)


@dataclass(frozen=True, slots=True)
class Tail:
    rope: Rope
    length: float
    """Unstretched, m."""
    serial: str = ""
    """Of this very tail, as marked on it; "" where the file does not say."""


@dataclass(frozen=True, slots=True)
class SpareRope:
    """So many ropes of one kind and length, m, that are on board and in no line; `on` names the winch or
    bitts that a rope is kept on, "" for loose ones."""

    rope: Rope
    length: float
    number: int = 1
    tail: Tail | None = None
    on: str = ""


@dataclass(frozen=True, slots=True)
class Learnt:
    """What loads that were measured have shown of one line, and somebody has accepted."""

    stiffness: float = 1.0
    """So many times as stiff as the curves of its rope and tail: at a strain e they carry what the curves
    have at `stiffness` x e."""
    stiffness_band: float = STIFFNESS_BAND
    """Part of that by which it may be more or less, in 9 of 10 cases."""
    more_m: float = 0.0
    """Main rope that is out beyond what making fast says, m."""
    at_kn: float | None = None
    """The load at which its length is known, kN; None: that of making fast."""
    load_band: float = TENSION_BAND
    """Part of that load by which it may be off, in 9 of 10 cases."""
    source: str = ""


@dataclass(frozen=True, slots=True)
class MadeFast:
    """When and how hard a line was made fast. Tide and draughts that are None are taken from the first
    valid readings at or after `at`."""

    at: float
    tension_kn: float
    tide: float | None = None
    draught_fwd: float | None = None
    draught_aft: float | None = None
    heel_deg: float | None = 0.0
    """None: as measured at that moment."""
    tension_band: float = TENSION_BAND
    settled: bool | None = None
    """The tension is that of a ship lying on her fenders, else of one in place, just touching. None in
    records of a program that knew only the latter."""


@dataclass(frozen=True, slots=True)
class Tend:
    """One tending of a line: exactly one of metres paid out (negative = hove in) or a tension to reach."""

    line: str
    at: float
    paid_out: float | None = None
    to_tension_kn: float | None = None


@dataclass(frozen=True, slots=True)
class Line:
    id: str
    role: Role
    fairlead: str
    winch: str | None
    bollard: str
    rope: Rope
    tail: Tail | None
    made_fast: MadeFast
    tended: tuple[Tend, ...] = ()
    serial: str = ""
    """Of this very rope, as marked on it; "" where the file does not say."""
    fittings_kn: float | None = None
    """Least SWL of the ship's fittings that it passes, its chock and its bitts; None where none is known."""
    bight_with: str = ""
    """Id of the line that is the other part of the same rope; "" for a line by itself."""
    rope_length: float | None = None
    """Of all of its main rope, m; None where the file does not say."""
    learnt: Learnt | None = None
    """None where nothing was. The curves of rope and tail are those with it."""
    rope_since: float | None = None
    """When its main rope came into it, UNIX s, where the watch put it out or renewed it; None for a rope of
    the stay file."""

    @property
    def known_kn(self) -> tuple[float, float]:
        """Return the load at which its length is known, kN, and the part by which that may be off."""
        if self.learnt is None or self.learnt.at_kn is None:
            return self.made_fast.tension_kn, self.made_fast.tension_band
        return self.learnt.at_kn, self.learnt.load_band

    @property
    def smallest_mbl_kn(self) -> float:
        """Return the load at which the weaker of main rope and tail breaks as it is now, kN."""
        return min(rope.strength_kn for rope in (self.rope, *([] if self.tail is None else [self.tail.rope])))

    @property
    def smallest_wll_kn(self) -> float:
        """Working load limit of the weakest of main rope, tail and the ship's fittings that it passes, kN."""
        ropes = [self.rope] if self.tail is None else [self.rope, self.tail.rope]
        least = min(rope.wll_kn for rope in ropes)
        return least if self.fittings_kn is None else min(least, self.fittings_kn)
