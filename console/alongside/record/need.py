"""How much room a record will need."""

from dataclasses import dataclass
from typing import Final

from alongside.record.states import Columns
from alongside.record.thinning import DENSE_S
from alongside.stay.channels import derived_channel
from alongside.stay.model import Feed, Stay

DAY_S: Final = 86_400.0
PACKED_NUMBER: Final = 2.9
"""Bytes of a number of a state, packed; measured at 2.4 to 2.8 on noisy states."""
PACKED_CODE: Final = 0.4
ROW: Final = 60.0
"""Bytes of a state's row, its index and its share of a page."""
EVENTS_A_DAY: Final = 2_000
EVENT: Final = 300.0
MEMORY: Final = 6_000.0
TAG: Final = 32.0
"""Bytes of the TAG block that each sentence is given."""
SENTENCE: Final = 22.0
A_CHANNEL: Final = 14.0
COMPRESSED: Final = 0.22
"""Of a sentence kept for good; measured at 0.12 to 0.2."""


@dataclass(frozen=True, slots=True)
class Need:
    """Bytes, at most: with alerts that change all the time, and every sentence once a second."""

    journal: float
    feeds: float

    @property
    def total(self) -> float:
        return self.journal + self.feeds


def need_of(stay: Stay, days: float = 30.0, sentences_per_s: float = 1.0) -> Need:
    """Return what a stay of so many days will need on the disk at most. `sentences_per_s` is how often each
    sentence is said; gauges faster than once a second need as much more."""
    channels = [source.channel for feed in stay.feeds for source in feed.channels]
    derived = [name for channel in channels if (name := derived_channel(channel))]
    columns = Columns.of(stay, channels + derived)
    state = PACKED_NUMBER * len(columns.numbers) + PACKED_CODE * len(columns.codes) + ROW
    a_day = DAY_S / DENSE_S * state + EVENTS_A_DAY * EVENT + DAY_S / 150.0 * MEMORY
    per_s = sum(_bytes_a_second(feed) for feed in stay.feeds) * sentences_per_s
    return Need(days * a_day, days * DAY_S * per_s * COMPRESSED)


def _bytes_a_second(feed: Feed) -> float:
    # Of registers each channel is a sentence of its own.
    sentences = {(s.sentence, s.talker, s.channel if s.register else "") for s in feed.channels}
    return len(sentences) * (TAG + SENTENCE) + len(feed.channels) * A_CHANNEL
