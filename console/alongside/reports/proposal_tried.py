"""A proposal tried on the lines that it was made of: what is proposed must be read by the program itself."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from math import isfinite, isinf
from typing import Final

from alongside.errors import StayFaults
from alongside.feeds.intake import Intake
from alongside.stay.bare import bare_stay_of
from alongside.stay.channels import DIRECTIONS
from alongside.wording.safe import safe

TO_FILL: Final = {"[AT_4, AT_20]": "[0, 1]", ": SCALE": ": 1"}
"""What nobody but the engineer can say, and a number that serves to try the rest."""


@dataclass(slots=True)
class Tried:
    """Channels of a proposal that have no value, and that have one outside their range; each with why."""

    unread: dict[str, str] = field(default_factory=dict)
    outside: dict[str, str] = field(default_factory=dict)


def tried(
    text: str, known: Collection[str], channels: Collection[str], lines: Iterable[tuple[float, bytes]]
) -> Tried:
    """Return what becomes of some `channels` when the feed of `text`, which has all that are `known`, hears
    lines (time, line)."""
    for left_open, number in TO_FILL.items():
        text = text.replace(left_open, number)
    try:
        stay = bare_stay_of(text, known)
    except StayFaults as error:
        return Tried(dict.fromkeys(channels, f"would be refused: {error.faults[0].problem}"))
    intake, came = Intake(stay), Tried()
    (feed,) = stay.feeds
    for time, line in sorted(lines, key=lambda each: each[0]):
        intake.take(time, feed.name, line)
    tally = intake.tallies[feed.name]
    came.unread = dict.fromkeys(channels, f"would not be read: {tally}" if tally else "would not be read")
    for samples, _, raw in intake.newest_raw():
        source = samples.source
        if source.channel not in channels:
            continue
        value, (low, high) = raw * source.scale + source.offset, source.range
        if isinf(raw):
            unit = safe(samples.wrong_unit) or "not known"
            came.unread[source.channel] = f"unit {unit} is none of {source.channel}"
        elif isfinite(value):
            del came.unread[source.channel]
            if source.channel not in DIRECTIONS and not low <= value <= high:
                came.outside[source.channel] = f"{value:.6g} is outside {low:g} to {high:g}, and so refused"
    return came
