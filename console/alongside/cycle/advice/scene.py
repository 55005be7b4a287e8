"""What advice is chosen by, at one instant."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import nan

from alongside.alerts.model import Alert
from alongside.cycle.advice.motion import Motion
from alongside.cycle.picture import ChannelRow, FeedRow, LineRow
from alongside.forecast.model import Forecast, RoundAhead
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class Scene:
    """Rates in m/h, tide + rising, draught + deeper, NaN where not known; surge and sway in m."""

    stay: Stay
    now: float
    lines: Sequence[LineRow] = ()
    alerts: Sequence[Alert] = ()
    channels: Sequence[ChannelRow] = ()
    feeds: Sequence[FeedRow] = ()
    """Which port is not open, and why."""
    tide_rate: float = nan
    draught_rate: float = nan
    surge: float = nan
    sway: float = nan
    forecast: Forecast | None = None
    stages: Mapping[tuple[Cause, str], Stage] = field(default_factory=dict)
    """By the limits now, as in the Picture."""
    unproved: bool = False
    """Whether the gauges have been heard for too short a time to be judged by their witnesses."""

    @property
    def motion(self) -> Motion:
        return Motion(self.tide_rate, self.draught_rate)

    @property
    def round(self) -> RoundAhead | None:
        """The next round; None where none is needed. One whose time has passed is still to do: once a length
        changes, the rounds are planned anew."""
        rounds = () if self.forecast is None else self.forecast.tending.rounds
        return rounds[0] if rounds else None

    @property
    def asked(self) -> list[str]:
        """Return the lines whose brakes are in question."""
        return [row.id for row in self.lines if row.asked is not None]

    def line(self, name: str) -> LineRow | None:
        return next((row for row in self.lines if row.id == name), None)

    def metres_to_slack(self, line: str) -> float:
        """Metres that the next round slacks a line by; NaN where it does not, or would leave too little for
        the wind."""
        each = self.round
        if each is None or each.leaves_little or line in self.asked:
            return nan
        return next((m.pay_out_m for m in each.moves if m.line == line and m.pay_out_m > 0.0), nan)
