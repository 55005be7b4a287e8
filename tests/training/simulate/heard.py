"""What the feeds of a stay read in lines, before anything checks it."""

from collections.abc import Iterable

import numpy as np

from alongside.feeds.intake import Intake
from alongside.feeds.raw_values import RawValues
from alongside.feeds.sentence import split_tags
from alongside.readings import Floats
from alongside.stay.model import Stay


class Heard:
    """Values of channels in their units, as they were read; `time` and `value` by channel."""

    def __init__(self, stay: Stay, lines: Iterable[bytes]) -> None:
        self.time: dict[str, list[float]] = {}
        self.value: dict[str, list[float]] = {}
        self.intake = Intake(stay, self._note)
        last = -np.inf
        for line in lines:
            tag, _ = split_tags(line)
            source = None if tag.source is None else tag.source.decode()
            self.intake.take(tag.time, source, line.rstrip(b"\r\n"), tag.sender)
            last = max(last, tag.time)
        self.intake.readings(np.array([last]))

    def _note(self, samples: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        channel, source = samples.source.channel, samples.source
        self.time.setdefault(channel, []).extend(time.tolist())
        self.value.setdefault(channel, []).extend((raw * source.scale + source.offset).tolist())
        return time, raw

    def of(self, channel: str) -> tuple[Floats, Floats]:
        return np.array(self.time.get(channel, [])), np.array(self.value.get(channel, []))
