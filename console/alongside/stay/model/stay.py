"""All of a stay."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf
from typing import Literal

from alongside.stay.model.alerts_out import AlertsOut
from alongside.stay.model.berth import Berth
from alongside.stay.model.beside import Beside
from alongside.stay.model.decide import DecideBy, ForecastInFile
from alongside.stay.model.guess import Guess
from alongside.stay.model.lines import Line, Rope, SpareRope
from alongside.stay.model.plans import (
    CargoOperation,
    CurrentForecast,
    LookAhead,
    Scenario,
    TidePlan,
    TugAlongside,
)
from alongside.stay.model.ship import Place, Ship
from alongside.stay.model.watched import ByHand, Display, Feed, HoldingSettings, Limits, StandingOrder

Alongside = Literal["starboard", "port"]


@dataclass(frozen=True, slots=True)
class Stay:
    name: str
    file: str
    alongside: Alongside
    place: Place
    ship: Ship
    berth: Berth
    ropes: Mapping[str, Rope]
    lines: tuple[Line, ...]
    feeds: tuple[Feed, ...] = ()
    limits: Limits = field(default_factory=Limits)
    gear: str = "ship_gear"
    """What works the cargo: it says how far she may move, see `alongside.stay.gear`."""
    balance: bool = True
    holding: HoldingSettings = field(default_factory=HoldingSettings)
    by_hand: ByHand = field(default_factory=ByHand)
    display: Display = field(default_factory=Display)
    tide: TidePlan | None = None
    current: tuple[CurrentForecast, ...] = ()
    cargo: tuple[CargoOperation, ...] = ()
    simulate: Scenario | None = None
    outlook: LookAhead = field(default_factory=LookAhead)
    beside: Mapping[str, Beside] = field(default_factory=dict)
    """Ships and barges inside and outside of her, by name."""
    guesses: tuple[Guess, ...] = ()
    """Values of the file that are estimates, in the order in which it is read."""
    amended: bool = False
    """It is not as the file has it: with what a watch entered of the deck."""
    tugs: tuple[TugAlongside, ...] = ()
    """At the ship now. Not of the file: a watch enters them."""
    cargo_as_of: float = -inf
    """UNIX seconds from which on the cargo plan is what the watch entered, minus infinity for the file's."""
    standing_orders: tuple[StandingOrder, ...] = ()
    alerts_out: AlertsOut | None = None
    """Where alerts go beside the console; None: nowhere."""
    spare_ropes: tuple[SpareRope, ...] = ()
    """Ropes on board that are in no line."""
    ropes_history: str = ""
    """File with the history of the ropes by serial number, beside the stay file; "" where none is named. It
    changes no figure: what is due is read from it by `check`, report and hand-over."""
    decide: DecideBy | None = None
    """Limits agreed with the terminal, and lead times; None: nothing is."""
    wind_forecast: tuple[ForecastInFile, ...] = ()
    """What weather forecasts say of the wind, as far as the file has them, in the order of their issue."""
    cargo_waits: tuple[CargoOperation, ...] = ()
    """Operations that the watch has stopped and that are not done. Not of the file."""
