"""What is agreed with the terminal for wind, how long what it calls for takes, and the wind forecast."""

from dataclasses import dataclass
from math import inf, isnan, nan
from typing import Final, Literal, get_args

Deed = Literal["stop_cargo", "disconnect", "tugs", "leave"]
"""What a limit calls for."""
Order = Literal["leave", "tugs", "pilot", "gang", "disconnect", "stop_cargo"]
"""What is ordered, called or begun; the same that may have a lead time."""
DEEDS: Final[tuple[Deed, ...]] = get_args(Deed)
ORDERS: Final[tuple[Order, ...]] = get_args(Order)
WITHOUT_TRANSFER: Final[tuple[Deed, ...]] = ("tugs", "leave")
"""Those that are agreed without transfer too: there is nothing to stop or to disconnect then."""


@dataclass(frozen=True, slots=True)
class WindLimit:
    """From `speed_ms` on, m/s, a 30 s mean or a gust (3 s), a deed is called for; only in wind from the
    sector of true directions `sector`, clockwise from the first to the second, both among them; None: from
    any."""

    do: Deed
    speed_ms: float
    gust: bool = False
    sector: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class LeadTimes:
    """Seconds that each takes: until tugs, pilot and gang are there once ordered, until cargo stands still,
    to disconnect with the gang there, to let go and clear the berth. NaN: not given."""

    stop_cargo: float = nan
    gang: float = nan
    disconnect: float = nan
    tugs: float = nan
    pilot: float = nan
    leave: float = nan

    @property
    def longest(self) -> float:
        """Return the seconds that all of them take, one after the other."""
        each = (self.stop_cargo, self.gang, self.disconnect, self.tugs, self.pilot, self.leave)
        return sum(seconds for seconds in each if not isnan(seconds))


@dataclass(frozen=True, slots=True)
class DecideBy:
    """Section `decide:`. `transfer` names the operations of the cargo plan that go over arms or hoses; None:
    all of them do."""

    with_transfer: tuple[WindLimit, ...] = ()
    without_transfer: tuple[WindLimit, ...] = ()
    lead: LeadTimes = LeadTimes()
    transfer: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class ForecastInFile:
    """What a weather forecast says of the wind from `at` on: 30 s mean and 3 s gust (0: none given), m/s, deg
    true from where. It is known from `issued` on; minus infinity: it always was."""

    at: float
    mean_ms: float
    gust_ms: float
    from_deg: float
    issued: float = -inf
