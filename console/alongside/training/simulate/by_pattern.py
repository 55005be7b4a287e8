"""Plain lines that a feed reads by its pattern, written so that it reads them again.

A line that a pattern matches is made of the pattern itself: its letters as they stand, the shortest of what
repeats, the first of what may differ, and in its named groups what they are to hold. Each line that is made
is read again by the same pattern before it goes out: one that would be read otherwise is refused.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from itertools import islice, product
from typing import Final

from alongside.errors import WrongInput
from alongside.feeds.flaws import Flawed, Tally
from alongside.feeds.plain_lines import PatternChannel
from alongside.feeds.routing import all_samples_of
from alongside.feeds.row_times import stated_time
from alongside.feeds.senders import Hearing
from alongside.readings import Floats
from alongside.stay.model import Feed, RowTime, Source, Stay
from alongside.stay.pattern_cuts import cuts_of
from alongside.stay.pattern_steps import LONGEST_SEARCHED
from alongside.stay.unit_words import raw_unit, words_of
from alongside.training.simulate.by_field import UNITS, PlacedLine
from alongside.training.simulate.pattern_text import Piece, Slot, texts_of
from alongside.training.simulate.sentences import Bodies, Texts
from alongside.training.simulate.written import writings

SAME_TIME_S: Final = 1.0
SHAPES: Final = tuple(
    (sign, width, places)
    for sign, width, places in product(("", "+"), (0, *range(3, 11)), (None, 1, 2, 3, 4, 0))
)
"""How a number may be written: with a sign always, filled with zeros to a width, with so many decimals; None:
as many as its gauge shows."""
MOST_UNITS: Final = 100
SAMPLES: Final = ("1.5", "12.25", "0.75")


@dataclass(frozen=True, slots=True)
class Shape:
    """How the numbers of a line are written."""

    sign: str
    width: int
    places: int | None
    comma: bool

    def of(self, text: str) -> str:
        """Return a number in this shape."""
        places = len(text.partition(".")[2]) if self.places is None else self.places
        text = (
            f"{float(text):{self.sign}0{self.width or ''}.{places}f}"
            if self.width or self.sign
            else (text if self.places is None else f"{float(text):.{places}f}")
        )
        return text.replace(".", ",") if self.comma else text


def pattern_lines(stay: Stay, feed: Feed) -> list[PlacedLine]:
    """Return the plain lines that bear the channels of a feed that are read by its pattern. Raise WrongInput
    where none can be made of it."""
    wanted = [source for source in feed.channels if source.groups_read]
    if not wanted or feed.pattern is None:
        return []
    where = f"{stay.file}: feeds.{feed.name}.pattern"
    slots = {group for source in wanted for group in source.groups_read}
    slots |= {source.unit_in for source in wanted if source.unit_in is not None}
    slots |= {group for source in wanted for group, _ in source.minus}
    slots |= set(feed.time.groups) if feed.time is not None else set()
    lines: list[PlacedLine] = []
    left = {source.channel for source in wanted}
    for pieces in texts_of(feed.pattern, slots):
        bears = {piece.group for piece in pieces if isinstance(piece, Slot)}
        here = [each for each in wanted if set(each.groups_read) <= bears]
        torn = [each for each in wanted if each not in here and set(each.groups_read) & bears]
        if not torn and any(each.channel in left for each in here):
            lines.append(_line(stay, feed, where, pieces, here))
            left -= {source.channel for source in here}
    if left:
        raise WrongInput(f"{where}: no line can be made of it that bears {', '.join(sorted(left))}")
    return lines


def _line(
    stay: Stay, feed: Feed, where: str, pieces: Sequence[Piece], sources: Sequence[Source]
) -> PlacedLine:
    """Return one line with the numbers of some channels."""
    samples = all_samples_of(stay, {each.name: Tally() for each in stay.feeds}, Hearing())
    cuts = cuts_of(feed.pattern or "")
    readers = {
        each.source.channel: PatternChannel(each, feed.decimal, cuts)
        for each in samples
        if each.source in sources
    }
    tried = (_Written(where, feed, pieces, sources, readers, shape) for shape in _shapes(feed))
    writer = next((each for each in tried if each.fits()), None)
    if writer is None:
        raise WrongInput(f"{where}: no line could be made of it that is read again as it was written")
    match = writer.sample()
    inputs = []
    for source in sources:
        factors = [readers[source.channel].factor_of(match, group) for group in source.groups_read]
        if None in factors:
            raise WrongInput(f"{where}: {source.channel} would be read in another unit")
        known = [factor for factor in factors if factor is not None]
        inputs.append((source, source.groups_read, writings(source, known)))
    order = tuple((source.channel, at) for source in sources for at in range(len(source.groups_read)))
    return PlacedLine(tuple(inputs), order, writer, plain=True)


def _shapes(feed: Feed) -> Iterator[Shape]:
    for sign, width, places in SHAPES:
        yield Shape(sign, width, places, feed.decimal == "comma")


class _Written:
    """Writes numbers into the groups of a pattern."""

    def __init__(
        self,
        where: str,
        feed: Feed,
        pieces: Sequence[Piece],
        sources: Sequence[Source],
        readers: Mapping[str, PatternChannel],
        shape: Shape,
    ) -> None:
        assert feed.pattern is not None, "asked for only then"
        self._where = where
        self._search = re.compile(feed.pattern.encode()).search
        self._pieces, self._sources, self._shape = pieces, sources, shape
        self._readers = [(readers[source.channel], source.groups_read) for source in sources]
        self._groups = [group for source in sources for group in source.groups_read]
        self._time = feed.time
        self._minus = {group: source.minus for source in sources for group in source.groups_read}
        self._time_form = 0
        """Which of the forms that a time may have the pattern takes."""
        self._fixed: dict[str, str] = {}
        """Words for units in groups of their own."""

    def fits(self) -> bool:
        """Return whether lines of this shape are read as they are written; find how a time is written."""
        forms = len(time_texts(self._time, 0.0)) if self._time is not None else 1
        for form, words in product(range(forms), _unit_words(self._sources)):
            self._time_form, self._fixed = form, words
            if all(self._read_back([text] * len(self._groups), 1.7e9) is not None for text in SAMPLES):
                return True
        return False

    def sample(self) -> "re.Match[bytes]":
        """Return the match of a line."""
        match = self._read_back([SAMPLES[0]] * len(self._groups), 1.7e9)
        assert match is not None, "tried before"
        return match

    def __call__(self, time: Floats, columns: Sequence[Texts]) -> Bodies:
        return [
            self._body(row, at) for row, at in zip(zip(*columns, strict=True), time.tolist(), strict=True)
        ]

    def _body(self, row: Sequence[str | None], time: float) -> str | None:
        if all(text is None for text in row):
            return None
        if any(not _is_number(text) for text in row):  # a gauge that fails: the line is as it comes
            return self._line([text or "" for text in row], time)
        known = [text for text in row if text is not None]
        if self._read_back(known, time) is None:
            raise WrongInput(f"{self._where}: {', '.join(known)} would not be read as it is written")
        return self._line(known, time)

    def _read_back(self, numbers: Sequence[str], time: float) -> "re.Match[bytes] | None":
        """Return the match of the line that these numbers make; None where it says anything else."""
        line = self._line(numbers, time).encode("latin-1")
        match = self._search(line)
        if match is None or len(line) > LONGEST_SEARCHED:
            return None
        held = self._held(numbers, time)
        bears = {piece.group for piece in self._pieces if isinstance(piece, Slot)}
        if any(reader.is_piece(match, group) for reader, groups in self._readers for group in groups):
            return None
        if any((match[group] or b"").decode("latin-1") != held[group] for group in bears & held.keys()):
            return None
        if self._time is not None:
            try:
                if abs(stated_time(self._time, match, time) - time) > SAME_TIME_S:
                    return None
            except Flawed:
                return None
        return match

    def _held(self, numbers: Sequence[str], time: float) -> dict[str, str]:
        """Return what each named group is to hold; no word where a sign of its own is not needed."""
        held: dict[str, str] = dict(self._fixed)
        for group, text in zip(self._groups, numbers, strict=True):
            minus = self._minus[group]
            if minus and text.startswith("-"):
                text = text.removeprefix("-")
                held |= dict(minus)
            held[group] = self._shape.of(text) if _is_number(text) else text
        if self._time is not None:
            held |= dict(zip(self._time.groups, time_texts(self._time, time)[self._time_form], strict=True))
        return held

    def _line(self, numbers: Sequence[str], time: float) -> str:
        held = self._held(numbers, time)
        words = {word for minus in self._minus.values() for _, word in minus}
        return "".join(
            held[piece.group]
            if isinstance(piece, Slot) and piece.group in held
            else next((text for text in piece.otherwise if text not in words), "")
            if isinstance(piece, Slot)
            else piece
            for piece in self._pieces
        )


def _unit_words(sources: Sequence[Source]) -> list[dict[str, str]]:
    """Return what may stand in the groups of units: the word that the stay file names, else any that fits."""
    asked = [(source.unit_in, source) for source in sources if source.unit_in is not None]
    words = []
    for _, source in asked:
        unit = raw_unit(source.channel, source.loop is not None)
        words.append([source.unit] if source.unit else [UNITS[unit], *words_of(unit)])
    groups = [group for group, _ in asked]
    return [dict(zip(groups, chosen, strict=True)) for chosen in islice(product(*words), MOST_UNITS)]


def _is_number(text: str | None) -> bool:
    return text is not None and re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", text) is not None


def time_texts(row_time: RowTime, time: float) -> list[tuple[str, ...]]:
    """Return how a time may be written for the groups of a row, in every form that its reader takes."""
    if row_time.form == "unix":
        texts = [f"{time:.0f}", f"{time:.3f}", f"{time * 1000.0:.0f}"]
    else:
        zone = UTC if row_time.zone_s is None else timezone(timedelta(seconds=row_time.zone_s))
        moment = datetime.fromtimestamp(time, zone)
        if row_time.form == "iso":
            bare = moment.replace(tzinfo=None).isoformat(timespec="seconds")
            fine = moment.replace(tzinfo=None).isoformat(timespec="milliseconds")
            offset = moment.isoformat()[-6:]
            ends = ["Z", offset] if row_time.zone_s is None else ["", offset]
            texts = [
                f"{text}{end}".replace("T", between)
                for text in (bare, fine)
                for end in ends
                for between in ("T", " ")
            ]
        else:
            texts = [moment.strftime(row_time.form)]
    parts = [tuple(text.split(" ")) if len(row_time.groups) > 1 else (text,) for text in texts]
    return [each for each in parts if len(each) == len(row_time.groups)]
