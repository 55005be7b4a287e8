"""One line at an instant, as the Picture has it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import cos, isfinite, nan, radians, sin
from typing import Final, Literal

from alongside.mechanics.reasons import NoLength
from alongside.stay.causes import Cause, highest_bar
from alongside.stay.stage import Stage
from alongside.wording.marks import UNKNOWN_STAGES

QUIET_BELOW: Final = 60.0
"""Per cent of the bar below which a normal line asks for nothing."""
UNKNOWN: Final = 0.5
"""Severity of a line of which nothing is known, where no alert says so: between normal and caution."""


@dataclass(frozen=True, slots=True)
class IfSlipped:
    """One line as it is if brakes in question slipped: its load, and its stretch share. `ran_out_m` and
    `most_kn` are NaN where its own brake is not in question: metres that have run out over it then, and the
    highest load that it has borne if it held."""

    tension_kn: float
    stretch_share: float
    ran_out_m: float = nan
    most_kn: float = nan
    or_more: bool = False
    """Whether more may have run out than is known."""

    @property
    def is_asked(self) -> bool:
        """Return whether its own brake is in question."""
        return isfinite(self.ran_out_m)


@dataclass(frozen=True, slots=True)
class LastDeed:
    """What was entered of a line last, in words, when (UNIX seconds), and the main rope it would have
    without, m, NaN for none."""

    words: str
    time: float
    unstretched_m: float
    by: str = ""


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line at this instant; names and units as in the output of states, NaN where not known."""

    id: str
    role: str
    vertical_deg: float
    horizontal_deg: float
    outboard_m: float
    path_m: float
    unstretched_m: float
    elongation_pct: float
    stretch_share: float
    load_share: float
    tension_kn: float
    ahead_kn: float
    in_kn: float
    down_kn: float
    stage: Stage | None
    """Worst of `stages`; None where nothing is known: that is never normal."""
    trend_per_h: float
    """Change of stretch share an hour over the last quarter of an hour; NaN where too little is known."""
    measured_kn: float = float("nan")
    """What its load cell says: the mean."""
    peak_kn: float = float("nan")
    """The highest load of its cell in the last ten minutes."""
    by_cell: bool = False
    """Whether its cell's load counts for load, brake and bollard, being larger than the computed one."""
    stages: Mapping[Cause, Stage] = field(default_factory=dict)
    """Of every cause that watches this line, by the limits now, without deadband or delay. What is not known
    is left out."""
    because: Cause | Literal[""] = ""
    """Cause of the worst stage, of equal ones that with the highest bar; "" where all are normal."""
    bars: Mapping[Cause, float] = field(default_factory=dict)
    """How near it is to the limits of every cause that watches it or its bollard, per cent: 70 at caution, 85
    at warning, 100 at alarm (`alerts.bars`). NaN where not known."""
    bar_per_h: float = nan
    """Change of its highest bar an hour over the last quarter of an hour; NaN where too little is known."""
    why: str = ""
    """Why nothing is known of the line: `not made fast`, `tide not known`; "" where something is."""
    no_length: NoLength = NoLength.KNOWN
    """Why no length of it is known: the reason is the line's own then, whatever the gauges say."""
    tension_low_kn: float = nan
    """Least and greatest load and stretch that are likely, for what is not known of ropes and of making fast;
    NaN where not worked out."""
    tension_high_kn: float = nan
    stretch_low: float = nan
    stretch_high: float = nan
    if_slipped: IfSlipped | None = None
    """While a brake of any line is in question; None while none is."""
    last_deed: LastDeed | None = None
    """What was entered of it last and may be taken back; None for nothing."""

    @property
    def worst(self) -> Cause | Literal[""]:
        """Return the cause of its highest bar, whatever its stage; "" where no bar is known."""
        return highest_bar(self.bars)

    @property
    def bar(self) -> float:
        """Return its highest bar, per cent; NaN where none is known."""
        return self.bars[self.worst] if self.worst else nan

    @property
    def severity(self) -> float:
        """Return by what lines stand in order: its stage; of one that nothing is known of, the stage of its
        alert, else between normal and caution."""
        if self.stage is None:
            return float(UNKNOWN_STAGES.get(self.no_length.name, UNKNOWN))
        return float(self.stage)

    @property
    def is_quiet(self) -> bool:
        """Return whether it asks for nothing: normal, and no limit near."""
        return self.stage == Stage.NORMAL and not self.bar >= QUIET_BELOW

    @property
    def asked(self) -> IfSlipped | None:
        """Return the figures if its brake slipped, while that is in question; None while it is not."""
        return self.if_slipped if self.if_slipped is not None and self.if_slipped.is_asked else None

    @property
    def counted_kn(self) -> float:
        """Return the load that counts: the larger of computed and measured."""
        return self.measured_kn if self.by_cell else self.tension_kn

    def counted_share(self, wll_kn: float) -> float:
        """Return the load that counts over the line's smallest working load limit."""
        return self.measured_kn / wll_kn if self.by_cell else self.load_share

    @property
    def counted_pull(self) -> tuple[float, float, float]:
        """Return the pull of that load on the ship, kN: ahead, in and down."""
        if not self.by_cell:
            return self.ahead_kn, self.in_kn, self.down_kn
        level, down = (self.measured_kn * part for part in _cos_sin(self.vertical_deg))
        ahead, athwart = (level * part for part in _cos_sin(self.horizontal_deg))
        return ahead, athwart, down


def _cos_sin(angle_deg: float) -> tuple[float, float]:
    return cos(radians(angle_deg)), sin(radians(angle_deg))
