"""What the loads of one line show."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import nan
from typing import Final, Literal

from alongside.forecast.learning.chosen import Explanation
from alongside.forecast.learning.one_line import SD
from alongside.readings import Floats
from alongside.stay.model import Learnt, Stay
from alongside.stay.model.lines import TENSION_BAND

SAME_LENGTH_M: Final = 1e-3
"""m within which a line has the length that it had: records have seven digits."""

Finding = Literal["as_computed", "stiffness", "length", "both", "cell", "nothing"]


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure and its standard deviation."""

    value: float = nan
    sd: float = nan

    @property
    def ends(self) -> tuple[float, float]:
        """Return between what it is likely to lie, 9 of 10."""
        return self.value - SD * self.sd, self.value + SD * self.sd


@dataclass(frozen=True, slots=True)
class LineFound:
    """What the loads of one line show; loads and lengths are those of the newest stretch of one length. `why`
    is the reason where nothing is offered."""

    line: str
    finding: Finding
    why: str = ""
    cells: int = 0
    """Readings of its cell that count, and loads that somebody has read."""
    by_hand: int = 0
    outliers: int = 0
    hours: float = 0.0
    left_out: tuple[tuple[str, int], ...] = ()
    computed_kn: float = nan
    measured_kn: float = nan
    then_kn: float = nan
    """What would be computed with what is found."""
    left_kn: float = nan
    """One standard deviation of what is left of a reading, kN."""
    stiffness: Spread = Spread()
    """So many times that of its curve as it is now."""
    more_m: Spread = Spread()
    """Main rope out beyond what making fast says with that stiffness, m."""
    rivals: tuple[tuple[Explanation, float], ...] = ()
    """Explanations by one figure that do nearly as well, each with it: a stiffness, metres, kN of the zero,
    part of the scale."""
    cell: tuple[Explanation, float] | None = None
    """The cell's own fault that explains its loads best, where that is the finding."""
    learnt: Learnt | None = None
    """What is offered; None where nothing is."""
    longer_m: float = 0.0
    """Metres of main rope by which the line is longer than computed once that is accepted."""
    unstretched_m: float = nan
    """Main rope, m, as computed in the newest stretch of one length."""

    def with_length(self, unstretched_m: float) -> "LineFound":
        """Return the same as it serves a line with so much main rope out now, m: where somebody has tended it
        since, the stiffness goes on, and nothing is known of the length."""
        if self.learnt is None or abs(unstretched_m - self.unstretched_m) <= SAME_LENGTH_M:
            return self
        if self.finding == "length":
            why = "its length was changed since: the new one is not known yet"
            return replace(self, finding="nothing", why=why, learnt=None, longer_m=0.0)
        of_rope = replace(
            self.learnt,
            more_m=self.learnt.more_m - self.more_m.value,
            at_kn=None,
            load_band=TENSION_BAND,
        )
        longer_m = self.longer_m - self.more_m.value
        return replace(self, finding="stiffness", learnt=of_rope, longer_m=longer_m)


def as_of_now(stay: Stay, found: Sequence[LineFound], unstretched: Floats) -> tuple[LineFound, ...]:
    """Return what was found as it serves the lengths of now, `unstretched` (lines,) m in the order of the
    stay."""
    now = dict(zip((line.id for line in stay.lines), unstretched.tolist(), strict=True))
    return tuple(each.with_length(now.get(each.line, nan)) for each in found)
