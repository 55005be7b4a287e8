"""Injections that are proposed for a stay, each with the reason: from what happened, and what would have made
it worse. They fit the stay; whether they fit the class is for the trainer."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from alongside.stay.model import Stay
from alongside.training.from_stay.moment import Went
from alongside.units import KNOT, iso_time
from alongside.wording.figures import percent

STRONGER: Final = 1.25
"""Times as hard as it blew."""
LEAST_GUST_KN: Final = 20.0
GUST_S: Final = 900.0
BEFORE_S: Final = 600.0
"""A gauge fails so long before the moment."""
LOST_S: Final = 1200.0
SURGE_M: Final = 0.3
WEAKER: Final = 0.9
"""A brake holds so much of the highest load of its line."""
LEAST_LOAD: Final = 0.3
"""Of the working limit: a brake that renders below that is no trouble."""
FASTER: Final = 1.5
GAUGES: Final = ("tide", "draught_aft", "draught_fwd", "wind_speed")
"""Which fails where none did: first what most rests on."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """An injection by the keys of the file, and why."""

    keys: dict[str, Any]
    why: str


def proposals(stay: Stay, went: Went) -> tuple[Proposal, ...]:
    """Return what is proposed, what happened first."""
    kinds = (_gauge, _gust, _brake, _water, _cargo)
    return tuple(each for kind in kinds for each in kind(stay, went))


def _channels(stay: Stay) -> set[str]:
    return {each.channel for feed in stay.feeds for each in feed.channels}


def _gauge(stay: Stay, went: Went) -> Iterator[Proposal]:
    """A gauge that was lost is lost again when it matters; else the first that most rests on."""
    times, known = went.times, _channels(stay)
    begin = max(times.moment - BEFORE_S, times.start)
    seconds = min(LOST_S, times.end - begin)
    lost = {each.subject: each.time for each in reversed(went.events) if each.event == "feed_lost"}
    channel = next((each for each in GAUGES if each in lost), "")
    if channel:
        why = f"{channel} was lost at {iso_time(lost[channel])}: here it is silent about the moment"
    else:
        channel = next((each for each in GAUGES if each in known), "")
        why = f"no gauge failed: {channel} fails when it matters"
    if channel and seconds > 0.0:
        yield Proposal(
            {"kind": "silent", "channel": channel, "at": iso_time(begin), "seconds": round(seconds)}, why
        )


def _gust(stay: Stay, went: Went) -> Iterator[Proposal]:
    if "wind_speed" not in _channels(stay):
        return
    times, highest = went.times, went.wind
    known = highest.value == highest.value
    blew = highest.value / KNOT if known else 0.0
    speed = max(round(STRONGER * blew), LEAST_GUST_KN)
    begin = min(max(times.moment, times.start), max(times.end - GUST_S, times.start))
    seconds = min(GUST_S, times.end - begin)
    keys: dict[str, Any] = {
        "kind": "gust",
        "at": iso_time(begin),
        "seconds": round(seconds),
        "speed_kn": speed,
    }
    if went.wind_from == went.wind_from:
        keys["from_deg"] = round(went.wind_from) % 360
    if known:
        why = f"it blew {blew:.0f} kn at most, at {iso_time(highest.at)}: a quarter more, at the moment"
    else:
        why = "nothing is known of the wind then"
    if seconds > 0.0:
        yield Proposal(keys, why)


def _brake(stay: Stay, went: Went) -> Iterator[Proposal]:
    """The brake of the line that had the highest load, or that was in question, holds less than that."""
    if not (stay.balance and stay.berth.fenders):
        return
    slipped = {
        each.line for each in went.events if each.event in ("brake_slipped", "brake_held") and each.line
    }
    rows = []
    for line, load, tension in zip(stay.lines, went.loads, went.tensions, strict=True):
        winch = stay.ship.winches.get(line.winch or "")
        holds = None if winch is None else winch.holding_kn
        if holds is None or not load.value >= LEAST_LOAD or not WEAKER * tension < holds:
            continue
        rows.append((line.id in slipped, load.value, line.id, tension))
    if rows:
        was, share, line_id, tension = max(rows)
        why = (
            f"line {line_id} had {percent(share)} of its working limit, the most of all: its brake slips then"
        )
        if was:
            why = f"the brake of line {line_id} was in question: here it holds less than the load"
        keys = {
            "kind": "brake_rendering",
            "line": line_id,
            "at": iso_time(max(went.times.moment - BEFORE_S, went.times.start)),
            "brake_kn": round(WEAKER * tension, 1),
        }
        yield Proposal(keys, why)


def _water(stay: Stay, went: Went) -> Iterator[Proposal]:
    if "tide" not in _channels(stay):
        return
    worst = max(zip(went.loads, stay.lines, strict=True), key=lambda pair: _known(pair[0].value))
    load, line = worst
    seconds = went.times.end - went.times.start
    why = (
        f"{SURGE_M:g} m more water: line {line.id} had {percent(load.value)} of its working limit without it"
    )
    if load.value != load.value:
        why = f"{SURGE_M:g} m more water than there was"
    keys = {
        "kind": "tide_surge",
        "at": iso_time(went.times.start),
        "seconds": round(seconds),
        "metres": SURGE_M,
    }
    yield Proposal(keys, why)


def _cargo(stay: Stay, went: Went) -> Iterator[Proposal]:
    stated = any(None not in (line.made_fast.draught_fwd, line.made_fast.draught_aft) for line in stay.lines)
    if not stay.ship.hydrostatics or not (stated or stay.simulate is not None):
        return
    begin = max(went.times.moment - BEFORE_S, went.times.start)
    for operation in stay.cargo:
        if operation.start <= begin < operation.end:
            keys = {"kind": "cargo_rate", "operation": operation.name, "at": iso_time(begin), "times": FASTER}
            yield Proposal(keys, f"{operation.name} was going on: it goes half as fast again")
            return


def _known(value: float) -> float:
    return value if value == value else -1.0
