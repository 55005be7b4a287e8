"""What is watched, through which feeds, within which limits, and in which units it is shown."""

from dataclasses import dataclass
from typing import Literal

Combination = Literal["mean", "sum", "difference", "quotient"]
"""What becomes of several inputs of one channel: the first less the second, the first over the second."""


RegisterType = Literal["int16", "uint16", "int32", "uint32", "float32", "int64", "uint64", "float64"]


@dataclass(frozen=True, slots=True)
class Register:
    """Registers of a Modbus device that bear one number: `address` of the first, counted from 0 as on the
    wire. `order`: which of the bytes as they come is the first of the number, which the second, and so on."""

    table: Literal["holding", "input"]
    address: int
    type: RegisterType
    order: tuple[int, ...]
    station: int = 1


@dataclass(frozen=True, slots=True)
class Source:
    """Where one channel comes from within a feed, and what its values must pass.

    `sentence` is an NMEA formatter (XDR, MWV, …); `name` the XDR transducer name, or several whose mean
    is meant; `group` the named group of the feed's `pattern` for gauges that speak no NMEA.
    A value is raw x scale + offset. `unit` is the unit field of an XDR as the gauge sends it, any other is
    refused; with `checks_unit` the standard's letters are taken and brought to the channel's unit; with
    neither any unit is. Limits: `range`, `rate_per_s` (largest believable change),
    `freeze_s` (unchanged to the last digit this long is suspect; None = never), `stale_s` (older is
    suspect), `lost_s` (older is unknown), `smooth_s` (mean over this long after spikes are rejected;
    0 = newest value as it is).

    Of any sentence `fields` are the numbers of the fields that are read, 1 behind its address. Several
    `groups` or `fields` become one value by `combine` (`weights`: of a sum). `unit_in` is the group or field
    that bears the unit; a number in `unit` is multiplied by `unit_factor`. `loop`: the values at 4 and at 20
    mA, of a raw value in mA. `where`: fields or columns that must hold a text; `minus`: groups, fields or
    columns whose text makes the value negative.
    """

    channel: str
    sentence: str | None = None
    talker: str | None = None
    names: tuple[str, ...] = ()
    reference: str | None = None
    group: str | None = None
    unit: str | None = None
    checks_unit: bool = False
    scale: float = 1.0
    offset: float = 0.0
    range: tuple[float, float] = (float("-inf"), float("inf"))
    rate_per_s: float | None = None
    freeze_s: float | None = None
    stale_s: float = 60.0
    lost_s: float = 300.0
    smooth_s: float = 0.0
    fields: tuple[int, ...] = ()
    groups: tuple[str, ...] = ()
    combine: Combination = "mean"
    weights: tuple[float, ...] = ()
    unit_in: str | None = None
    unit_factor: float | None = None
    """None in a record of an older program, which made it of unit and scale."""
    loop: tuple[float, float] | None = None
    counts: tuple[float, float] | None = None
    """What the raw value of a current loop is at 4 and at 20 mA, where it is no mA but counts."""
    where: tuple[tuple[str, str], ...] = ()
    minus: tuple[tuple[str, str], ...] = ()
    columns: tuple[str, ...] = ()
    """Headings of the columns of an export that are read, several as of groups."""
    register: Register | None = None

    @property
    def groups_read(self) -> tuple[str, ...]:
        """Return the groups of the pattern that its values come from."""
        return self.groups if self.group is None else (self.group,)


@dataclass(frozen=True, slots=True)
class RowTime:
    """The time that a row bears itself: the groups, or columns, it stands in, joined by a blank; `form` as
    for strptime, or `iso`, or `unix`; `zone_s` seconds east of UTC, None where the time names its zone."""

    groups: tuple[str, ...]
    form: str = "iso"
    zone_s: float | None = None


@dataclass(frozen=True, slots=True)
class Poll:
    """Prompts that are sent in turn, one every `every_s`; each is answered within `answer_s`, or not. Of
    registers there are no prompts: all of them are asked for every `every_s`."""

    prompt: tuple[str, ...] = ()
    every_s: float = 1.0
    answer_s: float = 0.5


@dataclass(frozen=True, slots=True)
class Feed:
    """`port` is `serial:/dev/ttyUSB0?baud=4800`, `udp:PORT`, `udp:GROUP:PORT` or `tcp:HOST:PORT`; `admit`
    says what else is taken than sentences of the standard with a checksum."""

    name: str
    port: str
    channels: tuple[Source, ...]
    pattern: str | None = None
    admit: tuple[Literal["no_checksum", "makers", "sentences"], ...] = ()
    poll: Poll | None = None
    """What is sent; None: nothing ever is."""
    decimal: Literal["", "point", "comma"] = ""
    """How a plain line writes decimals; "" takes a point, and nothing where a comma leaves it open."""
    time: RowTime | None = None


@dataclass(frozen=True, slots=True)
class StageLimits:
    """Thresholds of one cause; a stage that is None is not used. For causes where less is worse
    (slack, under-keel clearance) they fall from caution to alarm."""

    caution: float | None = None
    warning: float | None = None
    alarm: float | None = None

    @property
    def used(self) -> bool:
        """Return whether any stage has a limit."""
        return any(limit == limit for limit in self.as_tuple())

    def as_tuple(self) -> tuple[float, float, float]:
        """Return (caution, warning, alarm), NaN where a stage is not used."""
        nan = float("nan")
        caution, warning, alarm = (nan if v is None else v for v in (self.caution, self.warning, self.alarm))
        return caution, warning, alarm


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits by cause. Defaults: steep from OCIMF MEG2 (25 deg, berths not above 30) with 45 deg, where
    a line pulls down as hard as in; the shares and clearances are common practice, no source."""

    steep_deg: StageLimits = StageLimits(25.0, 30.0, 45.0)
    stretch_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    load_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    slack_share: StageLimits = StageLimits(0.04, 0.01, None)
    brake_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    bollard_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    under_keel_m: StageLimits = StageLimits(1.00, 0.60, 0.30)
    surge_m: StageLimits | None = None
    """Drift along the berth, either way. None: by the cargo gear, see `alongside.stay.gear`."""
    sway_m: StageLimits | None = None
    surge_range_m: StageLimits | None = None
    """Peak to peak in 15 min. None: by the cargo gear."""
    sway_range_m: StageLimits | None = None
    yaw_range_deg: StageLimits | None = None
    off_fenders_m: StageLimits = StageLimits(0.02, 0.15, 0.50)
    """The ship's side off the nearest fender; common practice, no source: she is to lie on them."""
    holding_share: StageLimits = StageLimits(0.60, 0.75, 0.90)
    """The 30 s wind by what the set can hold from where it blows; common practice, no source."""
    tension_share: StageLimits = StageLimits(0.10, 0.25, 0.50)
    """Measured against computed tension, either way, as a share of WLL; common practice, no source."""


@dataclass(frozen=True, slots=True)
class HoldingSettings:
    """What is kept in hand when holding power is calculated: `gust_factor` multiplies the 30 s wind, `margin`
    is the part of every strength that is not used."""

    gust_factor: float = 1.0
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class ByHand:
    """How often draughts and tide board are to be read where no gauge gives them, minutes; None: nobody is
    reminded."""

    every_min: float | None = 120.0


@dataclass(frozen=True, slots=True)
class StandingOrder:
    """What the master wants done without being asked again, in words: nothing in it is watched."""

    text: str
    by: str = ""
    at: float | None = None
    """UNIX seconds at which it was given; None where the file does not say."""


@dataclass(frozen=True, slots=True)
class Display:
    """Units on screen: force t or kN, speed kn or m/s, zone a fixed offset or an IANA name."""

    force: Literal["t", "kN"] = "t"
    speed: Literal["kn", "m/s"] = "kn"
    zone: str = "+00:00"
