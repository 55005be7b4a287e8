"""Rows of an export that a feed reads by its headings, written as they stand on record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from alongside.errors import WrongInput
from alongside.feeds.columns import ColumnChannel
from alongside.feeds.export_rows import line_of_cells, time_in
from alongside.feeds.flaws import Flawed, Tally
from alongside.feeds.routing import all_samples_of
from alongside.feeds.senders import Hearing
from alongside.readings import Floats
from alongside.stay.exports import columns_used
from alongside.stay.model import Feed, RowTime, Source, Stay
from alongside.stay.unit_words import raw_unit
from alongside.training.simulate.by_field import UNITS, Minus, PlacedLine
from alongside.training.simulate.by_pattern import SAME_TIME_S, time_texts
from alongside.training.simulate.sentences import Bodies, Texts
from alongside.training.simulate.written import Writing, writings


def column_rows(stay: Stay, feed: Feed) -> list[PlacedLine]:
    """Return the row of a feed that is read by columns; none of any other. Raise WrongInput where one column
    is to hold two things."""
    sources = [source for source in feed.channels if source.columns]
    if not sources or feed.time is None:
        return []
    where = f"{stay.file}: feeds.{feed.name}.channels"
    fixed = _fixed(where, sources)
    values = [(source, column) for source in sources for column in source.columns]
    names = [column for _, column in values]
    twice = [column for column in names if names.count(column) > 1 or column in fixed]
    if twice:
        raise WrongInput(f"{where}: column {twice[0]!r} would hold two things, expected one")
    form = _time_form(where, feed.time)
    samples = all_samples_of(stay, {each.name: Tally() for each in stay.feeds}, Hearing())
    sample = {name.encode(): fixed.get(name, "").encode() for name in columns_used(feed)}
    inputs = []
    for source in sources:
        reader = ColumnChannel(next(each for each in samples if each.source is source), feed.decimal)
        inputs.append((source, source.columns, _writings(where, source, reader, sample)))
    order = tuple((source.channel, at) for source in sources for at in range(len(source.columns)))
    places = [(column, source.minus) for source, column in values]
    row = _Row(columns_used(feed), fixed, places, feed.time, form, feed.decimal == "comma")
    return [PlacedLine(tuple(inputs), order, row, plain=True)]


def _fixed(where: str, sources: Sequence[Source]) -> dict[str, str]:
    """Return what stands in columns beside the numbers."""
    fixed: dict[str, str] = {}
    for source in sources:
        texts = list(source.where)
        if source.unit_in is not None:
            word = source.unit or UNITS[raw_unit(source.channel, source.loop is not None)]
            texts.append((source.unit_in, word))
        for column, text in texts:
            if fixed.setdefault(column, text) != text:
                raise WrongInput(f"{where}: column {column!r} would hold two things, expected one")
    return fixed


def _writings(
    where: str, source: Source, reader: ColumnChannel, sample: Mapping[bytes, bytes]
) -> tuple[Writing, ...]:
    factors = []
    for at, column in enumerate(source.columns):
        factor = reader.factor_of(sample, "", at)
        if factor is None:
            raise WrongInput(f"{where}.{source.channel}: column {column!r} would be read in another unit")
        factors.append(factor)
    return writings(source, factors)


def _time_form(where: str, row_time: RowTime) -> int:
    """Return in which of its forms the time of a row is read again."""
    time = 1.7e9
    for form, texts in enumerate(time_texts(row_time, time)):
        try:
            cells = dict(zip((each.encode() for each in row_time.groups), _encoded(texts), strict=True))
            if abs(time_in(cells, row_time, time) - time) <= SAME_TIME_S:
                return form
        except Flawed:
            continue
    raise WrongInput(f"{where}: no time could be written in the form {row_time.form!r}")


def _encoded(texts: Sequence[str]) -> list[bytes]:
    return [text.encode() for text in texts]


@dataclass(frozen=True, slots=True)
class _Row:
    """Writes numbers into the columns of a row."""

    names: tuple[str, ...]
    fixed: Mapping[str, str]
    places: Sequence[tuple[str, Minus]]
    time: RowTime
    form: int
    comma: bool

    def __call__(self, time: Floats, columns: Sequence[Texts]) -> Bodies:
        rows = zip(*columns, strict=True)
        return [self._body(row, at) for row, at in zip(rows, time.tolist(), strict=True)]

    def _body(self, row: Sequence[str | None], time: float) -> str | None:
        if all(text is None for text in row):
            return None
        held = dict.fromkeys(self.names, "") | dict(self.fixed)
        held |= dict(zip(self.time.groups, time_texts(self.time, time)[self.form], strict=True))
        for text, (column, minus) in zip(row, self.places, strict=True):
            text = text or ""
            if minus and text.startswith("-"):
                text = text.removeprefix("-")
                held |= dict(minus)
            held[column] = text.replace(".", ",") if self.comma else text
        return line_of_cells(self.names, [held[name] for name in self.names]).decode("latin-1")
