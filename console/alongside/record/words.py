"""What there is to say about a record, in words."""

import shutil
from collections.abc import Mapping, Sequence
from math import floor, isfinite
from pathlib import Path
from typing import Final

from alongside.record.chain import Break, Chain, Link
from alongside.record.earlier import Earlier
from alongside.record.layout import WAL
from alongside.record.need import Need
from alongside.record.pieces import Missing
from alongside.record.salvage import Salvaged
from alongside.record.waiting import WaitingEntries, WaitingLines
from alongside.stay.model import Display
from alongside.wording.figures import counted, listed
from alongside.wording.times import at_second, from_to, span

JOURNAL: Final = "journal"
FEEDS: Final = "feeds"
MONTH_DAYS: Final = 30.0
NEVER_LESS_DAYS: Final = 3.0
"""However much the record holds already, room for so many days to come is asked for."""


def gap_text(begin: float, end: float, ended: bool | None, display: Display) -> str:
    """Return `no watch for 12 min, 18:17:12 to 18:29:28; it was cut off`, of UNIX seconds. `ended`: in order;
    None where that is not known."""
    how = {True: "; it had been ended", False: "; it was cut off", None: ""}[ended]
    return f"no watch for {span(floor(end) - floor(begin))}, {from_to(begin, end, display)}{how}"


def set_back_text(seconds: float) -> str:
    """Return that the clock was set back while there was no watch."""
    return f"the clock was set back by {span(seconds)} while there was no watch"


def left_text(earlier: Earlier | None, display: Display) -> str:
    """Return what a watch goes on with: the journal, only the second copy of the memory, or nothing."""
    if earlier is None:
        return "LENGTHS, ACKNOWLEDGEMENTS AND HISTORY OF BEFORE ARE LOST: check every line"
    when = at_second(earlier.time, display)
    if earlier.run is not None:
        return f"lengths, alerts and acknowledgements are those on record, of {when}"
    return (
        f"lengths, alerts and acknowledgements are those of {when}, from the second copy "
        "(now-a, now-b), history of before is not here: check the lines"
    )


def aside_text(kept: Path, salvaged: Salvaged | None = None) -> str:
    """Return that a journal was damaged and where it is, and what of it is in the new one."""
    text = f"The journal was damaged, kept aside as {kept.name}; a new one is begun"
    if salvaged is None:
        return text
    lost = f" ({_many(salvaged.lost_events, 'event or action', 'events and actions')} LOST)"
    events = f"{_many(salvaged.events, 'event or action', 'events and actions')}"
    states = f"{_many(salvaged.states, 'state')}{'' if salvaged.in_time else ', not the oldest ones'}"
    return f"{text} with what could be read: {events}{lost if salvaged.lost_events else ''}, {states}"


def older_text(earlier: Earlier, display: Display) -> str:
    """Return what a watch goes on with where the newest part of its journal may be lost."""
    when = at_second(earlier.remembered, display)
    return (
        f"lengths, alerts and acknowledgements are those of {when}; what changed after that may be missing: "
        "check the lines"
    )


def in_part_text(failed: Sequence[str]) -> str:
    """Return that parts of the record could not be read, by a fault of ours: `history (KeyError)`."""
    return f"Record read in part, a fault of ours, see the fault log: not {listed(failed)}"


def lost_text(
    faults: Mapping[str, str], entries: WaitingEntries, lines: WaitingLines, now: float, display: Display
) -> str:
    """Return `journal (disk full): 34 events and 2 actions lost since 18:17:12`, of the parts that fail at
    the end, in the time of the place; "" where nothing is lost."""

    def since(time: float) -> str:
        return f"lost since {at_second(time, display, now)}"

    parts = []
    if JOURNAL in faults and entries:
        lost = f"{counted(entries.events, 'event')} and {counted(entries.actions, 'action')}"
        parts.append(f"{JOURNAL} ({faults[JOURNAL]}): {lost} {since(entries.since)}")
    if FEEDS in faults and lines.count:
        parts.append(f"{FEEDS} ({faults[FEEDS]}): {counted(lines.count, 'sentence')} {since(lines.since)}")
    return "; ".join(parts)


def need_text(need: Need, folder: Path) -> str:
    """Return the need of 30 days as the watch reads it, with what is free on the disk if that is known."""
    text = f"Record in {folder}: {MONTH_DAYS:.0f} days need at most {need.total / 1e6:.0f} MB"
    try:
        free = shutil.disk_usage(folder).free
    except OSError:
        return text
    short = ", NOT ENOUGH" if free < need.total else ""
    return f"{text}, {free / 1e6:.0f} MB are free{short}"


def too_little_room_text(need: Need, folder: Path) -> str:
    """Return what rings where there is less room than 30 days need, "" where there is enough or that is not
    known. What the record holds already is off the need."""
    try:
        free = shutil.disk_usage(folder).free
        size = sum(path.stat().st_size for path in folder.iterdir() if path.is_file())
    except OSError:
        return ""
    to_come = max(need.total - size, need.total * NEVER_LESS_DAYS / MONTH_DAYS)
    if free >= to_come:
        return ""
    return (
        f"NOT ENOUGH room for all that is to come: {free / 1e6:.0f} MB are free, "
        f"at most {to_come / 1e6:.0f} MB will be needed"
    )


MOST_BREAKS: Final = 5
MOST_LOGS: Final = 3


def missing_rows(missing: Missing, display: Display) -> list[str]:
    """Return which pieces are not there, by their names, each in a row."""
    rows = []
    if missing.wal:
        until = at_second(missing.journal_until, display)
        after = f"what was put on record after {until} is not here" if isfinite(missing.journal_until) else ""
        rows.append(f"MISSING {WAL}: {after or 'nothing of what was put on record is here'}")
    if missing.logs:
        shown = list(missing.logs[:MOST_LOGS])
        if more := len(missing.logs) - len(shown):
            shown.append(f"{more} more")
        rows.append(f"MISSING {counted(len(missing.logs), 'feed log')}: {listed(shown)}")
    return rows


def chain_rows(chain: Chain, display: Display) -> list[str]:
    """Return whether a record is as it was written, where it is not, and its last hash, each in a row."""
    rows = [f"CHAIN BROKEN {break_text(each, display)}" for each in chain.breaks[:MOST_BREAKS]]
    if len(chain.breaks) > MOST_BREAKS:
        rows.append(f"and at {counted(len(chain.breaks) - MOST_BREAKS, 'more place')}")
    links = f"{_many(chain.events, 'event')} and {_many(chain.actions, 'action')}"
    if chain.last is not None:
        rows.append(f"chain {'of' if chain.breaks else 'whole:'} {links}")
        rows.append(f"last link {chain.last.number}, {_link(chain.last, display)}, SHA-256")
        rows.append(chain.last.hash.hex())
    if chain.before:
        until = at_second(chain.before_until, display)
        before = f"{_many(chain.before, 'event or action', 'events and actions')}"
        rows.append(f"not chained up to {until}: {before} of an older program")
    return rows


def break_text(broken: Break, display: Display) -> str:
    """Return where and how a chain is broken: `at event 57, 02 Mar 03:12:07: changed`."""
    place = "the beginning" if broken.at is None else _link(broken.at, display)
    missing = f"{counted(broken.count, 'event or action', 'events and actions')} missing"
    return {
        "changed": f"at {place}: changed after it was written",
        "added": f"at {place}: put in afterwards",
        "missing": f"after {place}: {missing}",
        "cut off": f"after {place}, its end: {missing}",
    }[broken.kind]


def _link(link: Link, display: Display) -> str:
    return f"{link.table.removesuffix('s')} {link.seq}, {at_second(link.time, display)}"


def _many(number: int, thing: str, things: str = "") -> str:
    return counted(number, thing, things).replace(str(number), f"{number:,}", 1)
