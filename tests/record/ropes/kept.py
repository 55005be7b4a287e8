"""Ropes of tests: entries, uses and records without a stay behind them."""

from typing import Any

import numpy as np

from alongside.record.ropes.entry import Entry
from alongside.record.ropes.parts import Part
from alongside.record.ropes.store import RecordKept
from alongside.record.ropes.use import Use, use_of
from alongside.reports.ropes.keeping import Found
from alongside.stay.model import Rope

HOUR = 3600.0
BEGIN = 1_772_424_000.0
"""2026-03-02T04:00:00Z"""
NOW = 1_795_968_000.0
"""2026-11-29T16:00:00Z"""


def entry(serial: str = "PL-2207", deed: str = "inspected", day: str = "2026-11-20", **fields: Any) -> Entry:
    if deed == "inspected":
        fields = {"findings": ["no damage"], **fields}
    return Entry(serial, deed, day, "TK", fields)


def use(
    serial: str, line: str = "3", begin: float = BEGIN, loads: tuple[float, ...] = (20.0, 80.0, 20.0)
) -> Use:
    """One use at a load every hour of a rope of 200 kN, WLL 100 kN."""
    rope = Rope("polyester", "synthetic", 200.0, ((0.0, 0.0), (10.0, 1.0)), 0.5)
    part = Part(serial, True, "main", line, "Test ship", rope)
    time = begin + 10.0 * np.arange(len(loads))
    return use_of(part, begin, begin, float(time[-1]), time, np.array(loads))


def found(*uses: Use, name: str = "record", begin: float | None = None, ship: str = "Test ship") -> Found:
    """A record with some uses, which begins and ends with them."""
    since = min(each.since for each in uses) if begin is None else begin
    until = max(each.until for each in uses)
    record = RecordKept(name, ship, "Test stay", since, until, len(uses))
    return Found(record, uses)
