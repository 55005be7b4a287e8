"""How fast the feeds fill the disk, beside what was foreseen for them."""

import shutil
from collections import Counter, deque
from collections.abc import Iterable
from math import inf
from pathlib import Path
from typing import Final

from alongside.feeds.inbox import FeedLine
from alongside.record.need import COMPRESSED, DAY_S, TAG, Need
from alongside.wording.times import span

MONTH_DAYS: Final = 30.0
"""For so long the record should have room."""
MINUTE_S: Final = 60.0
MINUTES: Final = 10
"""The pace is that of so many minutes; the first is judged after two of them."""
FEWEST: Final = 2
FASTER: Final = 2.0
"""Times the pace that was foreseen, which is an upper bound already for gauges that speak once a second."""


class Pace:
    """What the feeds bring, minute by minute. `text` says what is faster than foreseen and fills the disk
    within 30 days; "" where nothing is, or the free room is not known."""

    def __init__(self, need: Need, folder: Path) -> None:
        self.text = ""
        self._foreseen = need.feeds / MONTH_DAYS
        self._folder = folder
        self._begun = -inf
        self._now: Counter[str] = Counter()
        self._minutes: deque[tuple[float, Counter[str]]] = deque(maxlen=MINUTES)

    def add(self, now: float, lines: Iterable[FeedLine]) -> None:
        """Count lines of a cycle; look at the disk once a minute."""
        if self._begun == -inf:
            self._begun = now
        for each in lines:
            self._now[each.feed] += len(each.line) + int(TAG)
        if now - self._begun < MINUTE_S:
            return
        self._minutes.append((now - self._begun, self._now))
        self._begun, self._now = now, Counter()
        if len(self._minutes) >= FEWEST:
            self.text = self._judged()

    def _judged(self) -> str:
        seconds = sum(length for length, _ in self._minutes)
        by_feed: Counter[str] = sum((brought for _, brought in self._minutes), Counter())
        a_day = by_feed.total() * COMPRESSED / seconds * DAY_S
        if a_day <= FASTER * self._foreseen:
            return ""
        try:
            free = shutil.disk_usage(self._folder).free
        except OSError:
            return ""
        days = free / a_day
        if days >= MONTH_DAYS:
            return ""
        (feed, _), *_ = by_feed.most_common(1)
        return (
            f"Feed {feed} fills the disk: {_size(a_day)} a day, foreseen {_size(self._foreseen)}; "
            f"room for {span(days * DAY_S)}"
        )


def _size(size: float) -> str:
    return f"{size / 1e9:.1f} GB" if size >= 1e9 else f"{max(size, 1e6) / 1e6:.0f} MB"
