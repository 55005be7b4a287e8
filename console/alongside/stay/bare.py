"""A stay that is nothing but one feed, to listen to a port that is in no stay file yet."""

from collections.abc import Collection
from dataclasses import replace
from pathlib import Path
from typing import Any

from alongside.errors import Fault, StayFaults
from alongside.stay.document import root_of
from alongside.stay.feeds import feed_of
from alongside.stay.fields import Field, listed
from alongside.stay.model import Berth, Feed, Marks, Place, Ship, Stay
from alongside.stay.records import record, required

NAME = "gauge"
"""Of the feed, and of whatever else must have one."""


def bare_stay(port: str) -> Stay:
    """Return a stay with a feed on a port, without channels; nothing else in it means anything."""
    ship = Ship(NAME, 1.0, 1.0, 1.0, 1.0, Marks(1.0, 0.0), {}, {})
    berth = Berth(NAME, 0.0, None, {})
    return Stay(NAME, "", "starboard", Place(0.0, 0.0), ship, berth, {}, (), (Feed(NAME, port, ()),))


def bare_stay_of(text: str, channels: Collection[str]) -> Stay:
    """Return such a stay with the feeds of a text of YAML, `feeds:` and what stands below it, which may be of
    these channels. Raises StayFaults."""
    faults: list[Fault] = []
    feeds: Field[dict[str, Any]] = record(dict, feeds=required(listed(feed_of(channels), least=1)))
    given = feeds.read(root_of(text, Path(NAME), faults))
    if faults:
        raise StayFaults(faults)
    return replace(bare_stay(""), feeds=tuple(given["feeds"]))
