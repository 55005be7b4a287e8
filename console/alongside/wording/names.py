"""Names of channels, causes, qualities, states of alerts and what gives: one word for one thing."""

from collections.abc import Mapping, Sequence
from math import isfinite, nan
from typing import Final

from alongside.stay.causes import Cause, known_cause
from alongside.stay.channels import PEAK
from alongside.wording.decide import DEEDS, THEN
from alongside.wording.figures import counted, listed, metres
from alongside.wording.safe import safe

CHANNELS: Final = {
    "tide": "tide",
    "draught_fwd": "draught forward",
    "draught_aft": "draught aft",
    "draught_mid_port": "midship draught port",
    "draught_mid_stbd": "midship draught starboard",
    "heel": "heel",
    "heading": "heading",
    "wind_speed": "wind",
    "wind_gust": "gust",
    "wind_from": "wind direction",
    "current_speed": "current",
    "current_to": "current direction",
    "depth": "depth",
    "under_keel": "under keel",
    "wind_forecast": "wind forecast",
}
SHORT_CHANNELS: Final = CHANNELS | {"draught_fwd": "draught F", "draught_aft": "draught A"}
"""For narrow columns."""

CAUSES: Final[Mapping[Cause, str]] = {
    "steep": "steep",
    "stretch": "stretch",
    "load": "load",
    "slack": "slack",
    "brake": "brake",
    "bollard": "bollard",
    "under_keel": "under keel",
    "drift": "drift",
    "off_fenders": "off fenders",
    "gangway": "gangway",
    "holding": "holding",
    "tension": "tension",
    "not_known": "not known",
    "parted": "parted",
    "decide": "decide",
    "feed": "feed",
    "heading": "heading",
    "ahead": "ahead",
    "calculation": "calculation",
    "record": "record",
    "clock": "clock",
    "caller": "second caller",
    "bridge": "alerts to the bridge",
}

REASONS: Final = {
    "NONE": "",
    "WAITING": "not heard yet",
    "STALE": "late",
    "SILENT": "no signal",
    "OUT_OF_RANGE": "out of range",
    "TOO_FAST": "changes too fast",
    "FROZEN": "does not move",
    "SPIKES": "spikes",
    "INVALID": "gauge says not valid",
    "WRONG_UNIT": "wrong unit",
    "NOT_FITTED": "not fitted",
    "EXPECTED": "expected, not measured",
    "JUMPED": "jumped",
    "STILL": "does not move",
    "DIFFERS": "differs from what is expected",
    "DISAGREES": "disagrees with another gauge",
    "NO_LINE": "load on a line that is not made fast",
    "CLOSED": "port not open",
    "BY_HAND": "by hand",
    "APART": "apart from the reading by hand",
}
"""By the name of `readings.Reason`."""

NO_LENGTH: Final = {
    "KNOWN": "",
    "NOT_FAST": "not made fast",
    "WAITING": "not made fast, readings missing",
    "IMPOSSIBLE": "length not known",
    "PARTED": "parted",
    "LET_GO": "let go",
}
"""Why a line has no length, by the name of `mechanics.reasons.NoLength`."""
SHORT_NO_LENGTH: Final = NO_LENGTH | {
    "NOT_FAST": "not fast",
    "WAITING": "not fast",
    "IMPOSSIBLE": "no length",
}
"""For narrow columns."""

QUALITIES: Final = {"GOOD": "good", "SUSPECT": "doubtful", "LOST": "no signal", "EXPECTED": "expected"}
"""By the name of `readings.Quality`."""

STANDINGS: Final = {
    "UNACKNOWLEDGED": "not acknowledged",
    "SILENCED": "silenced, not acknowledged",
    "ACKNOWLEDGED": "acknowledged",
    "RECTIFIED": "cleared, not acknowledged",
}
"""States of an alert, by the name of `alerts.model.Standing`."""
SHORT_STANDINGS: Final = {
    "UNACKNOWLEDGED": "not ack",
    "SILENCED": "silenced",
    "ACKNOWLEDGED": "ack",
    "RECTIFIED": "cleared",
}
"""For narrow columns."""
NO_ALERTS: Final = "No alerts"
IN_EXAM: Final = "Not done: in an exam time goes on by itself"
ALERTS_NOT_KNOWN: Final = "Alerts not known yet: waiting for the first figures"
WITH_BRIDGE: Final = "bridge"
"""State of an alert for which the bridge has taken the responsibility over."""
ACCEPTED: Final = "accepted"
"""State of an alert that the watch has accepted for a time."""

GIVES: Final = {
    "wll": "load of line {}",
    "brake": "brake of line {}",
    "bollard": "bollard {}",
    "drift": "drift",
    "off_fenders": "fenders",
}
"""What gives first in a stronger wind, by `mechanics.usage.Gives`."""


def channel(name: str, short: bool = False) -> str:
    """Return a channel in words: `draught forward`, `load cell of line 3`; `short` for narrow columns."""
    if name.startswith("tension."):
        return f"load cell of line {safe(name.removeprefix('tension.'))}"
    if name.startswith(PEAK):
        return f"peak load of line {safe(name.removeprefix(PEAK))}"
    return (SHORT_CHANNELS if short else CHANNELS).get(name, safe(name))


def cause(name: str) -> str:
    """Return a cause in words: `under keel`."""
    known = known_cause(name)
    return CAUSES[known] if known else safe(name.replace("_", " "))


def reason(name: str) -> str:
    """Return why a value is not good, by the name of its `Reason`."""
    return REASONS[name]


def stands_in(channel_name: str) -> str:
    """Return what a channel that is not heard is expected from."""
    return "table" if channel_name == "tide" else "plan and last reading"


def no_length(name: str, short: bool = False) -> str:
    """Return why a line has no length, by the name of its `NoLength`; `short` for narrow columns."""
    return (SHORT_NO_LENGTH if short else NO_LENGTH)[name]


def without(lines: Sequence[tuple[str, str]]) -> str:
    """Return lines that a result leaves out, each with why: `line 4 (not made fast), line 7 (parted)`; those
    of one reason together, "" for none."""
    together: dict[str, list[str]] = {}
    for line, why in lines:
        together.setdefault(why, []).append(safe(line))
    return ", ".join(
        f"{'line' if len(those) == 1 else 'lines'} {listed(those)} ({why})" for why, those in together.items()
    )


def quality(name: str) -> str:
    """Return how far a value can be believed, by the name of its `Quality`."""
    return QUALITIES[name]


def standing(name: str, short: bool = False) -> str:
    """Return the state of an alert, by the name of its `Standing`; `short` for narrow columns."""
    return (SHORT_STANDINGS if short else STANDINGS)[name]


def waiting(to_acknowledge: int, cleared: int, accepted: int) -> str:
    """Return `3 to acknowledge, 1 cleared, 2 accepted`: how many alerts are so; "" for none."""
    parts = (
        (to_acknowledge, f"{to_acknowledge} to acknowledge"),
        (cleared, f"{cleared} cleared"),
        (accepted, f"{accepted} {ACCEPTED}"),
    )
    return ", ".join(words for count, words in parts if count)


def no_alerts(is_known: bool) -> str:
    """Return what stands where there is no alert; before the first figures none is known yet."""
    return NO_ALERTS if is_known else ALERTS_NOT_KNOWN


def drift_drawn(factor: int, is_known: bool = True) -> str:
    """Return how a plan has her drift: `drift x10`, or that she is drawn in place; "" where as it is."""
    if not is_known:
        return "drawn in place"
    return f"drift x{factor}" if factor > 1 else ""


def what_gives(kind: str | None, where: str | None) -> str:
    """Return what gives first: `brake of line 4`; "" where nothing does."""
    return GIVES[kind].format(safe(where or "")) if kind else ""


def what_holds(gives: str | None, moved_m: float = nan) -> str:
    """Return what stands before a wind by what gives then: `lines hold`, or `ship 1.0 m off place from`
    (`ship off place from` where `moved_m` is not known) where it is the reach alone that is lost, and nothing
    gives."""
    if gives != "drift":
        return "lines hold"
    far = f" {metres(moved_m, 1)}" if isfinite(moved_m) else ""
    return f"ship{far} off place from"


def not_taken(dropped: int, others: int, port: str = "") -> str:
    """Return what was not taken from a port: `1200 lines dropped: too many`; "" for nothing."""
    too_many = f"{counted(dropped, 'line')} dropped: too many" if dropped else ""
    not_from = f"{counted(others, 'datagram')} of others not used" if others else ""
    if others and port.startswith("tcp-in:"):
        not_from = f"{counted(others, 'call')} refused"
    return ", ".join(part for part in (too_many, not_from) if part)


def line_numbers(source: str, sender: str, *counts: int) -> str:
    """Return `WI0001 from 10.0.0.5: 3 of 1206 numbered lines missing, 1 repeated` by the counts of lines
    heard, missing, repeated, late, and of restarts."""
    heard, missing, repeated, late, restarts = counts
    words = [f"{missing} of {counted(heard + missing, 'numbered line')} missing"]
    words += [f"{count} {word}" for count, word in ((repeated, "repeated"), (late, "late")) if count]
    if restarts:
        words.append(f"began anew {counted(restarts, 'time')}")
    return f"{source or 'no source'}{f' from {sender}' if sender else ''}: {', '.join(words)}"


_OF_SHIP: Final[dict[tuple[str, str], str]] = {
    ("drift", "surge"): "ship off place along the berth",
    ("drift", "sway"): "ship off place across the berth",
    ("drift", "surge_range"): "ship's range along the berth",
    ("drift", "sway_range"): "ship's range across the berth",
    ("drift", "yaw_range"): "ship's range in yaw",
    ("gangway", "low"): "gangway too low",
    ("gangway", "high"): "gangway too high",
    ("gangway", "slope"): "gangway slope",
    **{("decide", order): f"time to {deed.lower()}" for order, deed in DEEDS.items() if order in THEN},
}
_NAMED: Final = {"off_fenders": "ship off fenders", "under_keel": "UKC", "bollard": "bollard {} load"}


def condition(name: str, subject: str, line: str | None) -> str:
    """Return a cause with its subject: `line 4 stretch`, `bollard B12 load`, `ship off fenders`."""
    if line is not None:
        return f"line {safe(line)} {cause(name)}"
    if (name, subject) in _OF_SHIP:
        return _OF_SHIP[name, subject]
    if name in _NAMED:
        return _NAMED[name].format(safe(subject))
    return f"{cause(name)} {safe(subject)}".strip()
