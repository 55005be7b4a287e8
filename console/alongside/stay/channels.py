"""The channels that feeds can fill, which sentence can bear which, and what their values must pass by
default.

| channel | why these defaults |
| --- | --- |
| tide, draughts | The raw value contains swell: a swell of 1 m height and 5 s moves 0.63 m in a second, so
1.0 m/s lets it pass. The mean over 180 s takes it out. The freeze limit is wide because a gauge that shows
centimetres may say the same for long: a tide of 1.3 m range stands within one centimetre for just under 30
min about high water | | heel | rolls alongside have periods of 8 to 15 s: 30 s takes them out; an
inclinometer of 0.1 deg may well show one value for hours | | heading | a ship alongside keeps it: never
frozen; no rate, it jumps from 359.9 to 0.0 | | wind | 30 s is the mean that mooring criteria are stated for;
in a calm both vane and cups stand still: never frozen | | current, depth | as slow as the tide, from
instruments that step in tenths | | tension | a load cell of a slack line may stand at one value; a snatch has
no believable rate |"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, get_args

from alongside.units import KNOT

Channel = Literal[
    "tide",
    "draught_fwd",
    "draught_aft",
    "draught_mid_port",
    "draught_mid_stbd",
    "heel",
    "heading",
    "wind_speed",
    "wind_from",
    "current_speed",
    "current_to",
    "depth",
]
CHANNELS: Final[tuple[Channel, ...]] = get_args(Channel)
"""Every channel but the line tensions, which are `tension.<line id>`. Units: m, deg, m/s; `wind_from` and
`current_to` are degrees true by the time they are readings."""

DIRECTIONS: Final = frozenset({"heading", "wind_from", "current_to"})
"""Angles on the whole circle: their means are means of directions."""

TENSION: Final = "tension."
PEAK: Final = "tension_peak."
"""The highest load of a line's cell in the last ten minutes."""


def derived_channel(channel: str) -> str | None:
    """Return the channel that an intake makes of another: `wind_gust` of `wind_speed`, `tension_peak.3` of
    `tension.3`; None of any other."""
    if channel == "wind_speed":
        return "wind_gust"
    return PEAK + channel.removeprefix(TENSION) if channel.startswith(TENSION) else None


SENTENCES: Final[Mapping[str, tuple[Channel, ...]]] = {
    "XDR": (),
    "MWV": ("wind_speed", "wind_from"),
    "MWD": ("wind_speed", "wind_from"),
    "VWR": ("wind_speed", "wind_from"),
    "VWT": ("wind_speed", "wind_from"),
    "HDT": ("heading",),
    "HDG": ("heading",),
    "THS": ("heading",),
    "VDR": ("current_speed", "current_to"),
    "VBW": ("current_speed", "current_to"),
    "DPT": ("depth",),
    "DBT": ("depth",),
}
"""Channels that a sentence can carry; XDR carries any, distinguished by the names of its transducers."""

REFERENCES: Final[Mapping[str, tuple[str, ...]]] = {
    "MWV": ("R", "T"),
    "DPT": ("transducer", "waterline", "keel"),
}
"""What `reference` may say, for the sentences that heed it."""


@dataclass(frozen=True, slots=True)
class ChannelKind:
    """Default limits of a channel, as in `model.Source`."""

    unit: str
    range: tuple[float, float]
    rate_per_s: float | None
    freeze_s: float | None
    stale_s: float
    lost_s: float
    smooth_s: float


_DRAUGHT: Final = ChannelKind("m", (0.0, 30.0), 1.0, 1800.0, 60.0, 300.0, 180.0)

KINDS: Final[Mapping[str, ChannelKind]] = {
    "tide": ChannelKind("m", (-5.0, 20.0), 1.0, 1800.0, 60.0, 300.0, 180.0),
    "draught_fwd": _DRAUGHT,
    "draught_aft": _DRAUGHT,
    "draught_mid_port": _DRAUGHT,
    "draught_mid_stbd": _DRAUGHT,
    "heel": ChannelKind("deg", (-30.0, 30.0), 5.0, None, 60.0, 300.0, 30.0),
    "heading": ChannelKind("deg", (0.0, 360.0), None, None, 60.0, 300.0, 0.0),
    "wind_speed": ChannelKind("m/s", (0.0, 75.0), 20.0, None, 15.0, 60.0, 30.0),
    "wind_from": ChannelKind("deg", (0.0, 360.0), None, None, 15.0, 60.0, 30.0),
    "current_speed": ChannelKind("m/s", (0.0, 10.0), 2.0, None, 60.0, 300.0, 60.0),
    "current_to": ChannelKind("deg", (0.0, 360.0), None, None, 60.0, 300.0, 60.0),
    "depth": ChannelKind("m", (0.0, 200.0), 2.0, None, 60.0, 300.0, 60.0),
}

TENSION_KIND: Final = ChannelKind("kN", (-50.0, 5000.0), None, None, 15.0, 60.0, 30.0)
"""A load cell may be somewhat below zero when nothing pulls."""


XDR_UNITS: Final[Mapping[str, Mapping[str, float]]] = {
    "m": {"M": 1.0},
    "deg": {"D": 1.0},
    "kN": {"N": 0.001},
    "m/s": {"M": 1.0, "N": KNOT, "K": 1.0 / 3.6},
}
"""What the unit letters of an XDR stand for, in the channel's unit: metres, degrees, newtons. The standard
has none for speeds: those of MWV. Feet have no letter of their own: F is fathoms elsewhere."""


def xdr_units(channel: str) -> Mapping[str, float]:
    """Return the unit letters that an XDR may bear for a channel, and what to multiply its value with."""
    return XDR_UNITS[kind_of(channel).unit]


def kind_of(channel: str) -> ChannelKind:
    """Default limits of a channel; KeyError for one that there is not."""
    return TENSION_KIND if channel.startswith(TENSION) else KINDS[channel]
