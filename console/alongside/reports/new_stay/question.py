"""What a question is: what is asked, where to find it, and how an answer is read."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from alongside.reports.new_stay.values import NONE, Refused, Row, Value, read_field, read_number
from alongside.stay.fields import Field
from alongside.wording.safe import safe

if TYPE_CHECKING:
    from alongside.reports.new_stay.sheet import Sheet

SECTIONS: Final = ("stay", "ship", "berth", "ropes", "lines", "plans")
MOST_TYPED: Final = 2000
"""Letters of one answer."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One word of an answer: a number of the field's unit, or a text where `is_word`. `swing` is how much
    more or less it may easily be, in its unit, or as a part of it where `share`: what is tried on the worst
    line. One that is `as_before` is that of the row before where it is not typed."""

    name: str
    words: str
    field: Field[float] | Field[str]
    is_word: bool = False
    optional: bool = False
    as_before: bool = False
    swing: float = 0.0
    share: bool = False
    unit: str = "m"
    written: Callable[[str, str], str] | None = None
    """Returns what is typed as the stay file writes it, given the words for it; may raise Refused."""

    def read(self, text: str, source: str) -> Value | str:
        """Return what was typed. Raise Refused."""
        typed = text if self.written is None else self.written(text, self.words)
        if self.is_word:
            return str(read_field(self.field, typed, self.words))  # type: ignore[misc]
        return read_number(self.field, typed, self.words, source)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Default:
    """An answer that serves where none is at hand, and where it comes from."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Typed:
    """One answer to be read: the text, what is known so far, the rows before it, and where guesses in it come
    from."""

    text: str
    sheet: "Sheet"
    before: Sequence[Row]
    source: str

    def refuse(self, what: str, expected: str) -> Refused:
        """Return the refusal of this answer."""
        return Refused(f"{what}, expected {expected}")


Reader = Callable[["Question", Typed], Row]


def in_order(question: "Question", typed: Typed) -> Row:
    """Return a row of figures in their order, parted by blanks."""
    return read_figures(question.figures, typed, typed.text.split())


def read_figures(figures: Sequence[Figure], typed: Typed, words: Sequence[str]) -> Row:
    """Return figures in their order. What is left out is as in the row before, or not known. Raise
    Refused."""
    if len(words) > len(figures):
        extra = safe(words[len(figures)])
        raise typed.refuse(f"{extra!r} is too much", f"{len(figures)} at most: {_names(figures)}")
    row: dict[str, Value | str] = {}
    last = typed.before[-1] if typed.before else {}
    for place, figure in enumerate(figures):
        given = place < len(words)
        if given and words[place] != NONE:
            row[figure.name] = figure.read(words[place], typed.source)
        elif not given and figure.as_before and figure.name in last:
            row[figure.name] = last[figure.name]
        elif not figure.optional:
            raise typed.refuse(f"{figure.words}: nothing given", f"{_names(figures)}, parted by blanks")
    return row


def _names(figures: Sequence[Figure]) -> str:
    return ", ".join(f"[{each.words}]" if each.optional else each.words for each in figures)


def _always(_sheet: "Sheet") -> bool:
    return True


def _no_default(_sheet: "Sheet") -> Default | None:
    return None


@dataclass(frozen=True, slots=True)
class Question:
    """One question. With `rows` it is put again until Enter alone, `least` rows at least; several rows of one
    answer stand between semicolons, or in a table (.csv) whose heads are the names of its figures.

    `asks` is the question, `form` what is typed, `where` where to find it. `paths` are the parts of the stay
    file that it fills: faults of these are faults of the answer."""

    key: str
    section: str
    title: str
    asks: str
    where: str
    figures: tuple[Figure, ...] = ()
    form: str = ""
    example: str = ""
    rows: bool = False
    least: int = 0
    asked: Callable[["Sheet"], bool] = _always
    default: Callable[["Sheet"], Default | None] = _no_default
    choices: Callable[["Sheet"], Sequence[str]] = field(default=lambda _sheet: ())
    reader: Reader = in_order
    paths: tuple[str, ...] = ()
    worded: Callable[["Sheet"], Mapping[str, str]] = field(default=lambda _sheet: {})
    """Texts (`asks`, `form`, `example`, `where`) that depend on what was answered."""

    def in_words_for(self, sheet: "Sheet") -> "Question":
        """Return the question in the words that fit what was answered."""
        return replace(self, **self.worded(sheet))  # type: ignore[arg-type]

    def typed_as(self) -> str:
        """Return what is typed, in words."""
        return self.form or " ".join(
            f"[{each.words}]" if each.optional or each.as_before else each.words for each in self.figures
        )
