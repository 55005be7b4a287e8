"""What a record will need, said beforehand."""

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.record.states import Columns
from alongside.record.thinning import DENSE_S
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
    """What a stay of so many days will need on the disk at most. `sentences_per_s` is how often each
    sentence is said; gauges faster than once a second need as much more."""
    channels = [source.channel for feed in stay.feeds for source in feed.channels]
    gust = ["wind_gust"] if "wind_speed" in channels else []
    columns = Columns.of(stay, channels + gust)
    state = PACKED_NUMBER * len(columns.numbers) + PACKED_CODE * len(columns.codes) + ROW
    a_day = DAY_S / DENSE_S * state + EVENTS_A_DAY * EVENT + DAY_S / 150.0 * MEMORY
    said = sum(_bytes_a_second(feed) for feed in stay.feeds) * sentences_per_s
    return Need(days * a_day, days * DAY_S * said * COMPRESSED)


def _bytes_a_second(feed: Feed) -> float:
    sentences = {(source.sentence, source.talker) for source in feed.channels}
    return len(sentences) * (TAG + SENTENCE) + len(feed.channels) * A_CHANNEL


def said_of(need: Need, folder: Path, days: float = 30.0) -> str:
    """The need as the watch reads it, with what is free where the record lies, if that can be asked."""
    text = f"Record in {folder}: {days:.0f} days need at most {need.total / 1e6:.0f} MB"
    try:
        free = shutil.disk_usage(folder).free
    except OSError:
        return text
    lack = ", NOT ENOUGH" if free < need.total else ""
    return f"{text}, {free / 1e6:.0f} MB are free{lack}"


def lack_of(need: Need, folder: Path, days: float = 30.0) -> str:
    """What is to be told loudly where there is less room than is needed yet, "" where there is enough or that
    cannot be asked. What the record holds already is off the need, but three days to come never are."""
    try:
        free = shutil.disk_usage(folder).free
        held = sum(path.stat().st_size for path in folder.iterdir() if path.is_file())
    except OSError:
        return ""
    to_come = max(need.total - held, need.total * 3.0 / days)
    if free >= to_come:
        return ""
    return (
        f"NOT ENOUGH room for all that is to come: {free / 1e6:.0f} MB are free, "
        f"at most {to_come / 1e6:.0f} MB will be needed"
    )
