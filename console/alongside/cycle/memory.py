"""What is remembered from one block of cycles to the next, and over a restart."""

from dataclasses import dataclass, field

from alongside.alerts.bridge.sent import SentCount
from alongside.alerts.model import Watchlist
from alongside.cycle.decide_memory import NOTHING_DECIDED, DecideMemory
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.holding_now import Held
from alongside.cycle.lengths import Lengths
from alongside.cycle.motion_range import Minutes
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.cycle.plausibility.model import NOTHING_KNOWN, Plausibility
from alongside.cycle.watchkeeping import NOTHING_KEPT, Watchkeeping
from alongside.forecast.expected.wind_forecast import WindForecast
from alongside.forecast.tide.stand_in import Samples
from alongside.readings import NO_FEED_MEMORY, Codes, FeedMemory, Floats
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True)
class Memory:
    """All that one block of cycles hands to the next."""

    lengths: Lengths
    watchlist: Watchlist = field(default_factory=Watchlist)
    held: Held | None = None
    """What wind was worked out to be held last; None before, or where the ship is kept in place."""
    hearing: Codes | None = None
    """(c,) `alerts.hearing` of every channel at the last instant; None before the first."""
    residuals: Samples = ()
    """(time, m) measured minus predicted level while the tide was heard last."""
    foresight: ForecastMemory | None = None
    """What a replay goes by that looks ahead as it goes; None where nothing does, or something beside it."""
    plausibility: Plausibility = NOTHING_KNOWN
    """What the judgement of channels rests on."""
    feeds: FeedMemory = NO_FEED_MEMORY
    """What the intake must know of the feeds to go on."""
    held_by_witness: Held | None = None
    """As `held`, by the witnesses of doubtful gauges; None where nothing is doubtful."""
    held_if_slipped: Held | None = None
    """The same if brakes in question slipped; None where none is in question."""
    lengths_changed_at: Floats | None = None
    """(lines,) UNIX seconds at which each length last changed, minus infinity where it never did; None at the
    start."""
    motion: Minutes = ()
    """Least and most of surge, sway and yaw in each of the last minutes."""
    by_hand: HandReadings = ()
    """What somebody has read by hand."""
    wind_forecast: WindForecast = ()
    """What a weather forecast says of the wind, as somebody has typed it."""
    watchkeeping: Watchkeeping = NOTHING_KEPT
    """Standing orders, hand-over and self-test."""
    decided: DecideMemory = NOTHING_DECIDED
    """Times to decide by as they were said last, and what is ordered."""
    sent: tuple[SentCount, ...] = ()
    """How far the counters of alerts to the bridge have come."""

    @classmethod
    def at_start(cls, stay: Stay) -> "Memory":
        return cls(Lengths.before_all(stay))
