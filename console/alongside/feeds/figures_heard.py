"""The figures that a feed bears, whatever its channels are: what an engineer picks channels from."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import inf
from typing import Final

from alongside.feeds.channel_guess import guessed, of_sentence
from alongside.feeds.columns import number_and_unit
from alongside.feeds.export_rows import cells_on_record
from alongside.feeds.flaws import Flawed
from alongside.feeds.line_shapes import NUMBERS, Shape, read_shape
from alongside.feeds.plain_numbers import feet_and_inches, plain_number
from alongside.feeds.routing import formatter
from alongside.feeds.selectors import selector_of
from alongside.feeds.sentence import is_sentence, said_by, split_tags
from alongside.stay.headings import unit_named
from alongside.stay.pattern_steps import LONGEST_SEARCHED
from alongside.stay.unit_words import is_unit_word

MOST_KINDS: Final = 12
"""Kinds of lines followed in one feed; noise makes them without end."""
MOST_FIGURES: Final = 40
ALL_OF: Final = 20
ONE_IN: Final = 53
"""So many lines of a kind are looked at each; then one of so many, a prime, so that of gauges that take turns
none is passed over. The rest only counts."""
MOST_SIDES: Final = 4
_UNIT_WORD: Final = re.compile(r"[ \t]*[;,|\t]?[ \t]*\"?([A-Za-z%°/'\"]{1,8})(?![A-Za-z0-9])")
_BRACKETS: Final = re.compile(r"\s*[(\[][^)\]]*[)\]]\Z")
_COMMA: Final = re.compile(rb"[-+]?[0-9]+,[0-9]+")
_THOUSANDS: Final = re.compile(
    r"(?<![0-9.,])(?:[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+)(?![0-9.,])"
)
"""May be one number, or two fields of which one has three decimals."""
_IN_NAME: Final = re.compile(r"[(\[_]([A-Za-z/]{1,4})[)\]]?\"?[ \t]*[:=]?[ \t]*\Z")


@dataclass(slots=True)
class FigureHeard:
    """One figure of one kind of line: `words` that stand with it, its unit where one is named, its values.
    `at` is its slot in a plain line, its field in a sentence; `name` that of its transducer."""

    at: int
    words: str = ""
    unit: str = ""
    name: str = ""
    count: int = 0
    last: float = float("nan")
    least: float = inf
    most: float = -inf
    channel: str | None = None
    sides: set[str] = field(default_factory=set)
    """Words that stood behind it: of a list, to which side."""
    unit_at: int = -1
    """Of a row: the column that bears its unit; -1 for none."""
    piece_of: str = ""
    """What it may be only a piece of: 1.200 of 1.200,50."""
    twin: bool = False
    """Of a row: another column has the same heading."""

    def hear(self, value: float) -> None:
        self.count += 1
        self.last = value
        self.least, self.most = min(self.least, value), max(self.most, value)

    def note_side(self, text: str) -> None:
        if text and len(self.sides) < MOST_SIDES:
            self.sides.add(text)


@dataclass(slots=True)
class KindHeard:
    """Lines of one kind: a plain line by its shape, a sentence by its address. `ours` is how far the times
    that it bears are ahead of ours, and `line` the newest of them that was looked at."""

    address: str = ""
    shape: Shape | None = None
    count: int = 0
    checked: bool = True
    line: bytes = b""
    time: float = 0.0
    figures: dict[int, FigureHeard] = field(default_factory=dict)
    standard: tuple[str, ...] = ()
    """Channels of a sentence of the standard."""
    columns: tuple[str, ...] = ()
    """Headings of a row of an export; figures are `at` their places."""
    commas: bool = False
    """Its decimals are written with a comma."""
    where: tuple[int, str] | None = None
    """The field by which gauges that send the same sentence in turn are told apart, and its text."""
    begin: list[tuple[float, bytes]] | None = field(default_factory=list)
    """Its first lines, until it is known whether there is such a field; then None."""
    passed: tuple[float, bytes] | None = None
    """Its newest line, where that was not looked at."""


class FiguresHeard:
    """Kinds of lines of one feed, and their figures. `are_rows`: its lines are rows of an export."""

    def __init__(self, are_rows: bool = False) -> None:
        self._are_rows = are_rows
        self._selectors: dict[bytes, int] = {}
        self._all = False
        self.kinds: dict[object, KindHeard] = {}
        self.other_lines = 0
        """Of more kinds than are followed."""

    def hear(self, time: float, line: bytes) -> None:
        """One line as it came. Nothing that it holds raises an exception."""
        try:
            rest = line if line[:1] == b"$" else split_tags(line)[1]
            if is_sentence(rest):
                self._hear_sentence(time, rest)
            elif self._are_rows:
                self._hear_row(time, rest)
            elif len(rest) <= LONGEST_SEARCHED:
                self._hear_plain(time, rest)
        except Flawed:
            return

    def _kind(self, key: object, time: float, line: bytes) -> KindHeard | None:
        """Return the kind, counted; None where the line is not looked at this time."""
        kind = self.kinds.get(key)
        if kind is None:
            if len(self.kinds) >= MOST_KINDS:
                self.other_lines += 1
                return None
            kind = self.kinds[key] = KindHeard()
        kind.count += 1
        is_looked_at = self._all or kind.count <= ALL_OF or kind.count % ONE_IN == 0
        kind.passed = None if is_looked_at else (time, line)
        return kind if is_looked_at else None

    def _hear_sentence(self, time: float, line: bytes) -> None:
        checked = b"*" in line
        address = line[1 : line.find(b",")]
        at = self._selectors.get(address)
        key: object = address if at is None else (address, *line.partition(b"*")[0].split(b",")[at : at + 1])
        kind = self._kind(key, time, line)
        if kind is None:
            return
        fields = said_by(line, needs_checksum=checked).split(b",")
        kind.address, kind.checked = fields[0].decode("ascii", "replace"), checked
        kind.line, kind.time = line, time
        sentence = formatter(fields[0])
        kind.standard = of_sentence(sentence)
        if sentence == "XDR":
            for place in range(2, len(fields) - 2, 4):
                name, unit = _text(fields[place + 2]), _text(fields[place + 1])
                self._figure(kind, place, fields[place], name, unit, name)
        elif not kind.standard and sentence != "ZDA":
            if at is not None and at < len(fields):
                kind.where = at, _text(fields[at])
            self._hear_fields(kind, fields, sentence)
            if at is None and kind.begin is not None:
                kind.begin.append((time, line))
                if len(kind.begin) >= ALL_OF:
                    self._tell_apart(address)

    def _hear_fields(self, kind: KindHeard, fields: list[bytes], sentence: str) -> None:
        for at in range(1, len(fields)):
            if kind.where is not None and at == kind.where[0]:
                continue
            behind = _text(fields[at + 1]) if at + 1 < len(fields) else ""
            words = _text(fields[at - 1]) if at > 1 else sentence
            figure = self._figure(kind, at, fields[at], words, behind if not _is_number(behind) else "")
            if figure is not None:
                figure.note_side(behind)

    def _tell_apart(self, address: bytes) -> None:
        """Find out whether several gauges send this sentence in turn; if so each is a kind of its own."""
        kind = self.kinds[address]
        begin = kind.begin or []
        at = selector_of([line.partition(b"*")[0].split(b",") for _, line in begin])
        if at is not None:
            self._selectors[address] = at
            del self.kinds[address]
            for time, line in begin:
                self._hear_sentence(time, line)
        elif len(begin) >= ALL_OF:
            kind.begin = None

    def _hear_plain(self, time: float, line: bytes) -> None:
        shape, texts = read_shape(line)
        kind = self._kind(shape, time, line)
        if kind is None:
            return
        wholes = _THOUSANDS.findall(line.decode("latin-1"))
        kind.shape, kind.line, kind.time = shape, line, time
        kind.commas = "comma" in shape.kinds
        for at, text in enumerate(texts):
            if shape.kinds[at] in NUMBERS:
                before, behind = shape.between[at], shape.between[at + 1]
                unit = _unit(before, behind)
                decimal = "comma" if shape.kinds[at] == "comma" else ""
                figure = self._figure(kind, at, text.encode("latin-1"), _words(before), unit, decimal=decimal)
                if figure is not None:
                    figure.piece_of = next((whole for whole in wholes if _is_piece(text, whole)), "")
                if figure is not None and shape.kinds[at + 1 : at + 2] == ("side",) and not behind.strip():
                    figure.note_side(texts[at + 1])

    def _hear_row(self, time: float, line: bytes) -> None:
        cells = cells_on_record(line)
        kind = self._kind(tuple(cells), time, line) if cells else None
        if kind is None:
            return
        kind.columns = tuple(name.decode("utf-8", "replace") for name in cells)
        kind.line, kind.time = line, time
        texts = list(cells.values())
        for at, (name, cell) in enumerate(zip(kind.columns, texts, strict=True)):
            try:
                text, unit = number_and_unit(cell)
            except ValueError:
                continue
            decimal = "comma" if _COMMA.fullmatch(text) else ""
            kind.commas |= bool(decimal)
            words = _BRACKETS.sub("", name)
            unit = unit or unit_named(name, "m")
            in_next = _unit_alone(texts[at + 1]) if at + 1 < len(texts) and not unit else ""
            figure = self._figure(kind, at, text, words, unit or in_next, decimal=decimal)
            if figure is not None:
                figure.unit_at = at + 1 if in_next else -1
                figure.twin = (
                    line.count(b";" + name.encode() + b"=") + line.startswith(name.encode() + b"=") > 1
                )

    def _figure(
        self, kind: KindHeard, at: int, text: bytes, words: str, unit: str, name: str = "", decimal: str = ""
    ) -> FigureHeard | None:
        try:
            metres = feet_and_inches(text)
            value = plain_number(text, decimal) if metres is None else metres
        except ValueError:
            return None
        if value != value:
            return None
        figure = kind.figures.get(at)
        if figure is None:
            if len(kind.figures) >= MOST_FIGURES:
                return None
            unit = "m" if metres is not None else unit
            figure = kind.figures[at] = FigureHeard(at, words, unit, name, channel=guessed(words, unit))
        figure.hear(value)
        return figure

    def _hear_passed(self) -> None:
        """Look at the newest line of each kind, so that what is shown is what its gauge shows."""
        self._all = True
        for kind in list(self.kinds.values()):
            if kind.passed is not None:
                kind.count -= 1
                self.hear(*kind.passed)
        self._all = False

    def figures(self) -> Iterator[tuple[KindHeard, FigureHeard]]:
        """Yield each figure, kinds in the order in which they were first heard."""
        self._hear_passed()
        undecided = [key for key, kind in self.kinds.items() if isinstance(key, bytes) and kind.begin]
        for address in undecided:
            self._tell_apart(address)
        for kind in self.kinds.values():
            for at in sorted(kind.figures):
                yield kind, kind.figures[at]


def _is_piece(text: str, whole: str) -> bool:
    """Return whether this is the number in front of a mark of `whole`, or behind one."""
    return any(whole.startswith(text + mark) or whole.endswith(mark + text) for mark in ",.")


def _unit_alone(cell: bytes) -> str:
    """Return the unit that a cell is; "" for any other cell."""
    text = _text(cell)
    return text if is_unit_word(text) and (len(text) > 1 or text in "mM'\"%") else ""


def _text(field_: bytes) -> str:
    return field_.decode("ascii", "replace").strip()


def _is_number(text: str) -> bool:
    return bool(re.fullmatch(r"[-+]?[0-9.]*", text))


def _words(before: str) -> str:
    """Return the words that name a figure: the last of those in front of it."""
    found = re.findall(r"[A-Za-z][A-Za-z_]*[0-9]{0,2}", before)
    return found[-1] if found else ""


def _unit(before: str, behind: str) -> str:
    """Return the unit that stands beside a figure; "" for none."""
    for match in (_UNIT_WORD.match(behind), _IN_NAME.search(before)):
        if match and is_unit_word(match[1]) and (len(match[1]) > 1 or match[1] in "mt'\"%"):
            return match[1]
    return ""
