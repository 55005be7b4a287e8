"""Sentences of any type that a feed reads by the number of a field, written so that it reads them again."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from alongside.errors import WrongInput
from alongside.feeds.any_field import FieldChannel
from alongside.feeds.flaws import Tally
from alongside.feeds.routing import all_samples_of
from alongside.feeds.senders import Hearing
from alongside.readings import Floats
from alongside.stay.model import Feed, Source, Stay
from alongside.stay.unit_words import MILLIAMPERE, raw_unit
from alongside.training.simulate.sentences import Bodies, Texts, Write
from alongside.training.simulate.written import Writing, writings

TALKER: Final = "II"
UNITS: Final = {"m": "M", "deg": "D", "m/s": "M", "kN": "kN", MILLIAMPERE: MILLIAMPERE}
"""What is written into the field of a unit where the stay file leaves it open."""


Minus = tuple[tuple[str, str], ...]
"""Places, and the words there, that make a number negative."""


@dataclass(frozen=True, slots=True)
class PlacedLine:
    """A line whose numbers stand at places of the stay file: each channel in it with the names of its inputs
    and how they are written; `order` has (channel, input) of each place."""

    inputs: tuple[tuple[Source, tuple[str, ...], tuple[Writing, ...]], ...]
    order: tuple[tuple[str, int], ...]
    write: Write
    plain: bool


def field_sentences(stay: Stay, feed: Feed) -> list[PlacedLine]:
    """Return the sentences of a feed that are read by fields: as many channels in one as go together. Raise
    WrongInput where one would be taken for another."""
    lines: list[_Fields] = []
    for source in feed.channels:
        if not source.fields:
            continue
        where = f"{stay.file}: feeds.{feed.name}.channels.{source.channel}"
        address = _address(source)
        if any(_address(each) == address and not each.fields for each in feed.channels if each.sentence):
            raise WrongInput(f"{where}: {source.sentence} is read both by field and as it stands")
        same = [line for line in lines if line.address == address]
        line = next((each for each in same if each.takes(source)), None)
        if line is None:
            for each in same:
                each.refuse_mistaken(where, source)
            line = _Fields(address)
            lines.append(line)
        line.add(source)
    return [line.placed(stay, feed) for line in lines]


def _address(source: Source) -> str:
    sentence = source.sentence or ""
    return sentence if sentence.startswith("P") else f"{source.talker or TALKER}{sentence}"


class _Fields:
    """One sentence as it is put together: what stands in which field."""

    def __init__(self, address: str) -> None:
        self.address = address
        self._texts: dict[int, str] = {}
        self._sources: list[Source] = []
        self._taken: set[int] = set()
        """Fields that bear a number, or the word for its sign."""

    def takes(self, source: Source) -> bool:
        """Return whether the channel finds room beside the others."""
        texts, taken = _texts(source), set(source.fields) | {int(at) for at, _ in source.minus}
        fit = all(self._texts.get(at, text) == text for at, text in texts.items())
        mine = taken | set(texts)
        return fit and not (mine & self._taken) and not (taken & (set(self._texts) | self._taken))

    def add(self, source: Source) -> None:
        self._texts |= _texts(source)
        self._taken |= set(source.fields) | {int(at) for at, _ in source.minus}
        self._sources.append(source)

    def refuse_mistaken(self, where: str, source: Source) -> None:
        """Raise WrongInput where this sentence, or one for `source`, may be heard by the other's channel."""
        mine = dict(source.where)
        for other in self._sources:
            if not any(mine.get(at, text) != text for at, text in other.where):
                expected = "a field that tells them apart (where)"
                raise WrongInput(f"{where}: may be taken for {other.channel}, expected {expected}")

    def placed(self, stay: Stay, feed: Feed) -> PlacedLine:
        """Return the sentence, once it is known in which unit each field will be read."""
        last = max([*self._taken, *self._texts])
        texts = ["", *(self._texts.get(at, "") for at in range(1, last + 1))]
        texts[0] = self.address
        inputs = tuple(
            (source, tuple(map(str, source.fields)), self._writings(stay, feed, source, texts))
            for source in self._sources
        )
        order = tuple((source.channel, at) for source in self._sources for at in range(len(source.fields)))
        places = [(at, source.minus) for source in self._sources for at in source.fields]
        return PlacedLine(inputs, order, _Written(texts, places), plain=False)

    def _writings(self, stay: Stay, feed: Feed, source: Source, texts: list[str]) -> tuple[Writing, ...]:
        where = f"{stay.file}: feeds.{feed.name}.channels.{source.channel}"
        samples = all_samples_of(stay, {each.name: Tally() for each in stay.feeds}, Hearing())
        reader = FieldChannel(next(each for each in samples if each.source is source))
        factors = []
        for at in source.fields:
            sample = [text.encode() for text in texts]
            sample[at] = b"1.0"
            factor, word = reader.factor_of(sample, at)
            if factor is None:
                raise WrongInput(f"{where}: field {at} would be read in {word!r}")
            factors.append(factor)
        return writings(source, factors)


def _texts(source: Source) -> dict[int, str]:
    """Return what must stand in fields beside the number."""
    texts = {int(at): text for at, text in source.where}
    if source.unit_in is not None:
        texts[int(source.unit_in)] = source.unit or UNITS[raw_unit(source.channel, source.loop is not None)]
    return texts


class _Written:
    """Writes the numbers of a sentence into their fields."""

    def __init__(self, texts: Sequence[str], places: Sequence[tuple[int, Minus]]) -> None:
        self._texts, self._places = texts, places

    def __call__(self, _time: Floats, columns: Sequence[Texts]) -> Bodies:
        return [self._body(row) for row in zip(*columns, strict=True)]

    def _body(self, row: Sequence[str | None]) -> str | None:
        if all(text is None for text in row):
            return None
        fields = list(self._texts)
        for text, (at, minus) in zip(row, self._places, strict=True):
            fields[at] = "" if text is None else text.removeprefix("-") if minus else text
            if text is not None and minus and text.startswith("-"):
                for place, word in minus:
                    fields[int(place)] = word
        return ",".join(fields)
