"""Why a gauge is doubtful, in a few words: `2.4 m above the table since 10:30: datum, port or unit?`."""

from math import isfinite
from typing import Final

from alongside.stay.model import Display
from alongside.wording.figures import degrees, figure, force_text, metres
from alongside.wording.times import clock

WITNESSES: Final = {
    "table": "the table",
    "plan": "the cargo plan",
    "berth": "the berth's bearing",
    "gyro": "the berth's bearing, by which the wind is turned",
    "chart": "the charted depth and tide",
    "sounder": "the depth sounder",
    "midship": "the midship draughts",
    "heel": "the inclinometer",
    "hand": "the reading by hand",
}
"""By `Doubt.against`."""
LIKELY: Final = {
    "datum": "datum, port or unit?",
    "unit": "unit?",
    "half": "half of it: unit?",
    "double": "twice as much: unit?",
    "feet": "feet for metres?",
    "sign": "wrong sign?",
    "swapped": "two gauges exchanged?",
    "turned": "gyro or bearing turned?",
    "port": "another port?",
}
"""By `Doubt.likely`."""
SET_ASIDE: Final = "set aside by hand"
"""Why a gauge is not used that somebody who looked found wrong."""


def doubt_text(
    reason: str,
    channel: str,
    off: float,
    against: str,
    likely: str,
    hours: float,
    since: float,
    display: Display,
) -> str:
    """Return why a channel is doubtful, without its name; `reason` by the name of its `Reason`, the rest
    as in `cycle.plausibility.model.Doubt`."""
    ends = f" since {clock(since, display)}"
    cause = f": {LIKELY[likely]}" if likely in LIKELY else ""
    if likely == "zone":
        way = "early" if hours > 0.0 else "late"
        return f"the table seems {figure(abs(hours))} h {way}: zone?"
    if reason in ("FROZEN", "STILL"):
        return f"does not move{ends}"
    if reason == "JUMPED":
        return f"jumped {_amount(channel, abs(off), display)} {'up' if off > 0.0 else 'down'}{ends}{cause}"
    if reason == "NO_LINE":
        return f"{_amount(channel, off, display)} on a line that is not made fast"
    witness = WITNESSES.get(against, against)
    if not isfinite(off):
        return f"differs from {witness}{ends}{cause}"
    if channel in ("heading", "wind_from", "heel"):
        return f"{_amount(channel, abs(off), display)} from {witness}{ends}{cause}"
    way = "above" if off > 0.0 else "below"
    return f"{_amount(channel, abs(off), display)} {way} {witness}{ends}{cause}"


def _amount(channel: str, off: float, display: Display) -> str:
    if channel.startswith("tension."):
        return force_text(off, display)
    if channel in ("heading", "wind_from"):
        return degrees(off)
    return degrees(off, 1) if channel == "heel" else metres(off, 1 if off >= 1.0 else 2)
