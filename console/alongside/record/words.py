"""What is said on the way out of what the disk never took."""

from collections.abc import Mapping
from datetime import datetime
from math import floor
from typing import Final

from alongside.record.waiting import WaitingEntries, WaitingLines
from alongside.stay.model import Display
from alongside.wording.times import zone_of

JOURNAL: Final = "journal"
FEEDS: Final = "feeds"


def lost_words(
    faults: Mapping[str, str], entries: WaitingEntries, lines: WaitingLines, now: float, display: Display
) -> str:
    """`journal (disk full): 34 events and 2 actions lost since 18:17:12`, of the parts that fail at the
    end, in the time of the place; "" where nothing is lost."""
    told = []
    if JOURNAL in faults and entries:
        events, actions = _counted(entries.events, "event"), _counted(entries.actions, "action")
        since = _since(entries.since, now, display)
        told.append(f"{JOURNAL} ({faults[JOURNAL]}): {events} and {actions} lost{since}")
    if FEEDS in faults and lines.count:
        said, since = _counted(lines.count, "sentence"), _since(lines.since, now, display)
        told.append(f"{FEEDS} ({faults[FEEDS]}): {said} lost{since}")
    return "; ".join(told)


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _since(time: float, now: float, display: Display) -> str:
    first, last = (datetime.fromtimestamp(floor(one), zone_of(display)) for one in (time, now))
    form = "%H:%M:%S" if first.date() == last.date() else "%d %b %H:%M:%S"
    return f" since {first:{form}}"
