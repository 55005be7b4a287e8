"""What advice is chosen by, at one instant."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from math import isfinite, nan

from alongside.alerts.model import Alert, Key
from alongside.alerts.rule_model import DueBy
from alongside.cycle.advice.coming import with_coming
from alongside.cycle.advice.motion import Motion
from alongside.cycle.advice.movers import Movers
from alongside.cycle.advice.trial import Refusal, Trial
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import ChannelRow, FeedRow
from alongside.cycle.plausibility.by_hand import HandReadings
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
    due: Sequence[DueBy] = ()
    """What is to be ordered by when for the wind to come."""
    stages: Mapping[tuple[Cause, str], Stage] = field(default_factory=dict)
    """By the limits now, as in the Picture."""
    unproved: bool = False
    """Whether the gauges have been heard for too short a time to be judged by their witnesses."""
    wind_text: str = ""
    """The wind against what is held in words; "" where the alert's own text serves."""
    trial: Trial | None = None
    """Tries deeds on the mechanics; None where nothing is known to try them on: none is refused then."""
    movers: Movers | None = None
    """Says what has moved a line; None where it is not known."""
    by_hand: HandReadings = ()
    """What was read by hand."""
    offered: Set[str] = frozenset()
    """Lines of which measured loads show something that nobody has accepted yet."""
    unmeasured: Sequence[str] = ()
    """Channels that lines rest on and no gauge gives well."""
    only_at_an_end: Set[Key] = frozenset()
    """Conditions that reach a worse stage at an end of the spread of what is only expected than as it is
    expected."""

    @property
    def motion(self) -> Motion:
        return Motion(self.tide_rate, self.draught_rate)

    @property
    def round(self) -> RoundAhead | None:
        """The next round; None where none is a plan. One whose time has passed is still to do: once a length
        changes, the rounds are planned anew."""
        return None if self.forecast is None else self.forecast.tending.next_round

    @property
    def asked(self) -> list[str]:
        """Return the lines whose brakes are in question."""
        return [row.id for row in self.lines if row.asked is not None]

    @property
    def slack_accepted(self) -> set[str | None]:
        """Return the lines that the watch has accepted as slack."""
        return {alert.line for alert in self.alerts if alert.is_accepted and alert.cause == "slack"}

    def line(self, name: str) -> LineRow | None:
        return next((row for row in self.lines if row.id == name), None)

    def by_round(self, line: str) -> float:
        """Return the metres to pay out (negative = heave in) of a line by the next round, if it begins now;
        NaN where it does not tend it, or is not to begin yet."""
        each = self.round
        if each is None or each.lengths_from > self.now or line in self.asked:
            return nan
        return next((move.pay_out_at(self.now) for move in each.moves if move.line == line), nan)

    def metres_to_slack(self, line: str, bollard: str = "") -> float:
        """Return the metres to slack a line by now: those of the next round, else those that bring it, and a
        bollard, just below the caution; NaN where neither is known."""
        metres = self.by_round(line)
        if metres > 0.0:
            return metres
        return nan if self.trial is None else self.trial.metres.to_slack(line, bollard)

    def metres_to_heave(self, lines: Sequence[str], onto_fenders: bool = False) -> float:
        """Return the metres to heave lines by evenly, until each bears a part or she lies on her fenders; NaN
        where that is not known or not one step is within limits."""
        metres = self.by_round(lines[0]) if len(lines) == 1 else nan
        if metres < 0.0:
            return -metres
        if self.trial is None:
            return nan
        each = self.trial.metres
        return each.to_heave_onto_fenders(lines) if onto_fenders else each.to_heave(lines)

    def metres_to_heave_slack(self, line: str) -> float:
        """Return the metres to heave a slack line by, as the next two hours are expected: 0 where it bears by
        itself soon, NaN where that is not known or not one step is within limits."""
        metres = self.by_round(line)
        if metres < 0.0:
            return -metres
        if self.trial is None:
            return nan
        coming = with_coming(self.trial.situation, self.forecast)
        return self.trial.metres.to_heave_for([line], coming)

    def refusal(self, moves: Mapping[str, float]) -> Refusal | None:
        """Return why moves (m to pay out) are not advised in this wind; None where nothing speaks against
        them."""
        known = {line: metres for line, metres in moves.items() if isfinite(metres)}
        return None if self.trial is None else self.trial.refusal(known)

    def cannot_heave(self, lines: Sequence[str], metres: float) -> bool:
        """Return whether lines are not to be heaved by so much: not one step is within limits, or the wind
        speaks against it."""
        if self.trial is None:
            return False
        return not isfinite(metres) or self.refusal(dict.fromkeys(lines, -metres)) is not None
