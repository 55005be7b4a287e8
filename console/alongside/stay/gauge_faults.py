"""Troubles of gauges: the one list of kinds, for simulated logs and for exercises, and how each is read."""

import math
from collections.abc import Collection
from typing import Any, Final

from alongside.stay.channels import CHANNELS, TENSION, kind_of
from alongside.stay.fields import TIME, Field, choice, known, number, whole, word
from alongside.stay.model import GaugeFault
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.records import Key, exactly_one, optional, record, required
from alongside.stay.unit_words import factor, words_of
from alongside.units import iso_time

OF_VALUES: Final = ("silent", "frozen", "spike", "false_zero", "offset", "drift", "wrong_unit")
"""What a gauge may show wrong: it is put into a simulated log and into an exercise alike."""
OF_LINES: Final = ("swapped", "nonsense", "garbled", "checksum", "clock", "second_sender")
"""What only a log that is written anew can have: an exercise plays values that were read from lines."""
FAULTS_OF_A_LOG: Final = (*OF_VALUES, *OF_LINES)

SECONDS: Final = number("s", above=0, most=1_000_000)
NOTHING: Final = GaugeFault("", math.nan, math.nan, "silent")
"""In place of a trouble that could not be read."""

BY: Final[dict[str, Key]] = {
    "spike": optional(number()),
    "offset": required(number()),
    "drift": required(number("the channel's unit an hour")),
    "clock": required(number("s", least=-1_000_000, most=1_000_000)),
    "second_sender": optional(number()),
}


def gauge_fault_of(
    kinds: Collection[str], channels: Collection[str], feeds: Collection[str] = (), every: int | None = None
) -> Field[GaugeFault]:
    """Return the field of one trouble of these kinds. `every`: which values are spikes where it does not
    say."""
    fields = {kind: _fault_of(kind, channels, feeds, every) for kind in kinds}
    kind_field = choice(*kinds)

    def read(node: Node) -> GaugeFault:
        if node.entries("a table with kind, at, …") is None:
            return NOTHING
        if "kind" not in node:
            node.missing("kind", kind_field.expected)
            return NOTHING
        kind = kind_field.read(node["kind"])
        return fields[kind].read(node) if kind in fields else NOTHING

    return Field("a table with kind, at, …", read)


def _fault_of(
    kind: str, channels: Collection[str], feeds: Collection[str], every: int | None
) -> Field[GaugeFault]:
    channel = known(channels, "channel of the feeds")
    keys: dict[str, Key] = {
        "kind": required(choice(kind)),
        "channel": required(channel),
        "at": required(TIME),
        "seconds": optional(SECONDS),
        "until": optional(TIME),
    }
    checks = [exactly_one("seconds", "until"), _not_before_its_end]
    if kind == "silent" and feeds:
        keys |= {"feed": optional(known(feeds, "feed")), "channel": optional(channel)}
        checks.append(exactly_one("channel", "feed"))
    if kind == "clock":
        keys["feed"] = required(known(feeds, "feed"))
        del keys["channel"]
    if kind in BY:
        keys["by"] = BY[kind]
    if kind == "spike":
        keys["every"] = optional(whole(least=1, most=1000))
    if kind == "wrong_unit":
        keys["unit"] = required(word("a unit such as ft or kn", "[!-~°µ]{1,8}"))
        checks.append(_is_another_unit)
    if kind == "swapped":
        keys["other"] = required(channel)
        checks.append(_are_two_of_a_kind)

    def made(
        *, at: float, seconds: float | None = None, until: float = math.nan, unit: str = "", **more: Any
    ) -> GaugeFault:
        more = {"channel": "", **more} | ({"every": every} if kind == "spike" and "every" not in more else {})
        lasts = until - at if seconds is None else seconds
        return GaugeFault(at=at, seconds=lasts, shows=_of_unit(more["channel"], unit) or 1.0, **more)

    return record(made, *checks, **keys)


def _not_before_its_end(node: Node, fault: GaugeFault) -> None:
    if "until" in node and fault.seconds <= 0.0:
        node["until"].fault("the end is not after the beginning", f"later than {iso_time(fault.at)}")


def _of_unit(channel: str, unit: str) -> float | None:
    """Return how many of the channel's unit one of another is; None for no such unit."""
    known_channel = channel in CHANNELS or channel.startswith(TENSION)
    return factor(kind_of(channel).unit, unit) if known_channel and unit else None


def _is_another_unit(node: Node, fault: GaugeFault) -> None:
    if not fault.channel or "unit" not in node:
        return
    unit = node["unit"].word
    if _of_unit(fault.channel, unit) in (None, 1.0):
        own = kind_of(fault.channel).unit
        node["unit"].fault(f"{shown(unit)} is no other unit than {own}", one_of(words_of(own), unit))


def _are_two_of_a_kind(node: Node, fault: GaugeFault) -> None:
    if not (fault.channel and fault.other):
        return
    if fault.other == fault.channel:
        node["other"].fault("the same channel", "another one")
    elif kind_of(fault.other).unit != kind_of(fault.channel).unit:
        own = kind_of(fault.channel).unit
        node["other"].fault(f"{fault.other} is not in {own}", f"a channel in {own}")
