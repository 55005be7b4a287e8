"""Lines that are no sentences, read by the pattern of a feed."""

import re
from collections.abc import Callable, Sequence

from alongside.feeds.flaws import Flaw
from alongside.feeds.raw_values import RawValues
from alongside.feeds.sentence import NAN, number
from alongside.stay.model import Feed

NO_ANSWER = b"no answer"
"""Ends a line of a converter that was asked and said nothing."""

PatternListener = Callable[[float, bytes], bool]

_STUMP = re.compile(rb"(?:[0-9]\.|(?:^|[^0-9A-Za-z])-|[^\t\x02\x20-\x7e])\Z")
"""What stands in front of a number, two bytes at most, where it is the rest of another; 02 begins a text."""
_REST = re.compile(rb"\.[0-9]|[^\t\x20-\x7e][0-9.]")
"""What stands behind it."""


def pattern_listener(feed: Feed, all_samples: Sequence[RawValues]) -> PatternListener | None:
    """Return what hears a line by the pattern of a feed, and says whether it matched; None for a feed without
    one."""
    wanted = [(samples, samples.source.group) for samples in all_samples if samples.source.group is not None]
    if feed.pattern is None or not wanted:
        return None
    search = re.compile(feed.pattern.encode()).search

    def hear(time: float, line: bytes) -> bool:
        match = search(line)
        if match is None:
            return False
        for samples, group in wanted:
            text = match[group]
            if text is None:
                continue
            try:
                if _is_cut_out(line, *match.span(group)):
                    raise ValueError(f"a piece of a number: {text!r}")
                samples.take(time, number(text.strip()))
            except ValueError:
                samples.tally.count(Flaw.GARBLED)
                samples.take(time, NAN)
        return True

    return hear


def _is_cut_out(line: bytes, start: int, end: int) -> bool:
    """Return whether a number of a plain line is only what a pattern or noise left of another one: 5 of 12.5,
    1.5 of -1.5, 2.5 of 12.5 whose first digit came as a byte that is not printable.

    A dash behind a letter or digit parts two words; a comma may part two fields, and says nothing here.
    """
    return bool(_STUMP.search(line[max(0, start - 2) : start]) or _REST.match(line[end : end + 2]))
