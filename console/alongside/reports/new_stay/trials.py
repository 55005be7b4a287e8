"""What an answer does to the stay as it is known so far: its faults, what can hardly be meant, and how much
it matters, with what stands in for all that is not answered yet."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.errors import StayFaults, WrongInput
from alongside.reports.new_stay.asked_lines import HAND_TIGHT, HAND_TIGHT_SHARE
from alongside.reports.new_stay.asked_plans import NO_TIDE, waters_moved
from alongside.reports.new_stay.entry import Entry, draft, read_answer, standing
from alongside.reports.new_stay.question import Figure, Question
from alongside.reports.new_stay.questions import QUESTIONS
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.texts import one_text
from alongside.reports.new_stay.typed_fenders import fender_stiffness_of
from alongside.reports.new_stay.values import Refused, Row, Value, number_of, word_of
from alongside.reports.remarks.alike import alike_once
from alongside.reports.remarks.all import remarks_of
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.worst_line import WorstLine, same_line, worst_line
from alongside.stay.example_curves import example_curves
from alongside.stay.fender_kinds import KINDS
from alongside.stay.model import Stay
from alongside.stay.read import read_stay_text
from alongside.stay.rope_stretch import at_half, like
from alongside.wording.figures import percent, percent_range
from alongside.wording.safe import safe
from alongside.wording.times import clock

RESTS_ON: Final = (
    ("berth.fenders", "place"),
    ("berth.charted_depth", "fast"),
    ("berth.charted_depth", "tide"),
    ("berth.bollards", "fast"),
)
"""Parts of the file, and the questions that a remark on them rests on besides."""
AHEAD_S: Final = 300.0
"""So far two clocks may be apart."""
FAR_SIDE: Final = 0.25
"""Of the breadth: a fairlead so far off the centreline is one of that side."""
NO_CHANGE: Final = 0.005
"""Of the allowance: less is no change."""


def stay_of(sheet: Sheet, file: Path) -> Stay | None:
    """Return the stay of a whole sheet; None where it has faults."""
    try:
        return read_stay_text(one_text(sheet), file)
    except WrongInput:
        return None


def check_answer(entry: Entry, text: str, file: Path) -> None:
    """Raise Refused for an answer that cannot be read, or is a fault of the stay file."""
    here = standing(entry)
    if here.at is None:
        return
    question = here.at.question
    read_answer(question, text, here.sheet, here.before)
    try:
        read_stay_text(one_text(draft(entry, here.at, text)), file)
    except StayFaults as faults:
        own = [each for each in faults.faults if _is_of(each.path, question)]
        if own:
            raise Refused(f"{question.title}: {safe(own[0].path)}: {own[0].problem}") from None


def _is_of(path: str, question: Question) -> bool:
    return any(path == part or path.startswith((f"{part}.", f"{part}[", part)) for part in question.paths)


def doubts(before: Entry, after: Entry, file: Path) -> tuple[str, ...]:
    """Return what can hardly be meant of what is answered: the remarks that the last answer brought. Left out
    are those on what stands in, or that rest on it: they come once that is answered."""
    sheets = _without_tide(draft(before)), _without_tide(draft(after))
    old, new = (stay_of(each, file) for each in sheets)
    if new is None:
        return ()
    known = set() if old is None else {each.text for each in _on_answers(sheets[0], old)}
    odd = [each for each in _on_answers(sheets[1], new) if each.text not in known]
    early = set(odd_answers(sheets[1])) - set(odd_answers(sheets[0]))
    return *early, *(f"{safe(each.path)}: {safe(each.text)}" for each in alike_once(odd, new))


def _on_answers(sheet: Sheet, stay: Stay) -> Iterator[Remark]:
    """Yield the remarks on what is answered, but for those that rest on what is not."""
    given = sheet.answered
    questions = [each for each in QUESTIONS if given.get(each.key)]
    stand_ins = {line.id for line in stay.lines[given.get("lines", 0) :]} if "lines" in sheet else set()
    for each in remarks_of(stay):
        if (
            any(_is_of(each.path, question) for question in questions)
            and all(given.get(key) for part, key in RESTS_ON if each.path.startswith(part))
            and not (each.path == "lines" and stand_ins)
            and not stand_ins & set(re.findall(r"[^\s,;:]+", f"{each.text} {_line_at(each.path, stay)}"))
        ):
            yield each


def odd_answers(sheet: Sheet) -> Iterator[str]:
    """Yield what is odd of the answers themselves: lines that are fast later than it is now, fairleads on the
    side away from the berth."""
    at = sheet.number("fast", "at")
    if sheet.answered.get("fast") and at > sheet.now + AHEAD_S:
        then, now = (clock(each, sheet.display, "%d %b %H:%M") for each in (at, sheet.now))
        yield f"made fast at {then}, which is to come: it is {now}"
    to_quay = 1.0 if sheet.side == "port" else -1.0
    for row in sheet.all("fairleads")[: sheet.answered.get("fairleads", 0)]:
        if number_of(row, "off") * to_quay < -FAR_SIDE * sheet.number("hull", "breadth"):
            other = "starboard" if sheet.side == "port" else "port"
            yield f"fairlead {safe(word_of(row, 'name'))} lies to {other}, she is {sheet.side} side to"


def _without_tide(sheet: Sheet) -> Sheet:
    """Return a sheet without the tide that stands in."""
    return sheet if sheet.answered.get("tide") else sheet.having("tide", [{"waters": NO_TIDE}], 0)


def _line_at(path: str, stay: Stay) -> str:
    """Return the id of the line that a path lies in; "" where it lies in none."""
    match = re.match(r"lines\[(\d+)\]", path)
    return stay.lines[int(match[1])].id if match is not None else ""


# --- how much it matters


@dataclass(frozen=True, slots=True)
class Effect:
    """A figure that is so much more or less: the range of the worst line's stretch."""

    words: str
    low: float
    high: float

    @property
    def size(self) -> float:
        return self.high - self.low


def matters(entry: Entry, file: Path) -> str:
    """Return what more or less of each figure of the question does to the line that comes nearest to its
    stretch allowance; "" where that is not known."""
    here = standing(entry)
    if here.at is None:
        return ""
    question, sheet = here.at.question, draft(entry)
    swings = [figure for figure in question.figures if figure.swing]
    stay = stay_of(sheet, file) if swings else None
    worst = None if stay is None else worst_line(stay)
    if stay is None or worst is None:
        return ""
    effects = [each for figure in swings if (each := _effect(sheet, question, figure, worst, file))]
    effects.sort(key=lambda each: -each.size)
    parts = [
        f"{each.words}: {'no change' if each.size < NO_CHANGE else percent_range(each.low, each.high)}"
        for each in effects
    ]
    if not parts:
        return "known once it is answered"
    line = safe(stay.lines[worst.line].id)
    usual = ", of a usual set: not entered yet" if _stands_in(sheet, worst.line) else ""
    return f"worst line {line} (stretch {percent(worst.stretch_share)}{usual}): {'; '.join(parts)}"


def _stands_in(sheet: Sheet, line: int) -> bool:
    """Return whether a line is none of the officer's."""
    return "lines" in sheet and line >= sheet.answered.get("lines", 0)


def _effect(sheet: Sheet, question: Question, figure: Figure, worst: WorstLine, file: Path) -> Effect | None:
    """Return the effect of a figure in all rows of its question; None where it stands in none."""
    rows = sheet.all(question.key)
    if not any(_value(sheet, question, row, figure) or "waters" in row for row in rows):
        return None
    shares = [worst.stretch_share]
    for way in (-1.0, 1.0):
        stay = stay_of(_moved(sheet, question, figure, way), file)
        if stay is not None and worst.line < len(stay.lines):
            shares.append(same_line(stay, worst.line).stretch_share)
    known = [each for each in shares if each == each]
    spread = f"{figure.swing * 100:g} %" if figure.share else f"{figure.swing:g} {figure.unit}"
    return Effect(f"{figure.words} ± {spread}", min(known), max(known)) if len(known) > 1 else None


def _moved(sheet: Sheet, question: Question, figure: Figure, way: float) -> Sheet:
    rows = [_moved_row(sheet, question, row, figure, way) for row in sheet.all(question.key)]
    return sheet.having(question.key, rows, len(rows))


def _moved_row(sheet: Sheet, question: Question, row: Row, figure: Figure, way: float) -> Row:
    value = _value(sheet, question, row, figure)
    if "waters" in row:
        return {**row, "waters": waters_moved(str(row["waters"]), way * figure.swing)}
    if value is None:
        return row
    by = way * figure.swing * (abs(value.number) if figure.share else 1.0)
    if figure.name == "at_half" and "at_10" in row:
        five = {key: each for key, each in row.items() if key.startswith("at_") and isinstance(each, Value)}
        return {**row, **{key: each.moved(way * figure.swing * each.number) for key, each in five.items()}}
    others = {key: each for key, each in row.items() if key not in ("kind", "at_break")}
    return {**others, figure.name: value.moved(by)}


def _value(sheet: Sheet, question: Question, row: Row, figure: Figure) -> Value | None:
    """Return a figure of a row; what serves in its place where it is given another way."""
    value = row.get(figure.name)
    if isinstance(value, Value):
        return value if " paces" not in value.text else Value(value.number, f"{value.number:.4g}")
    otherwise = _OTHERWISE.get((question.key, figure.name))
    return None if otherwise is None else otherwise(sheet, row)


def _stiffness(_sheet: Sheet, row: Row) -> Value | None:
    if word_of(row, "kind") not in KINDS:
        return None
    kn = fender_stiffness_of(row)
    return Value(kn, f"{kn:g}")


def _hand_tight(sheet: Sheet, row: Row) -> Value | None:
    kn = HAND_TIGHT_SHARE * sheet.mbl_kn(word_of(row, "rope"))
    return Value(kn, f"{kn:g}") if row.get("tension") == HAND_TIGHT and kn > 0.0 else None


def _at_half(_sheet: Sheet, row: Row) -> Value | None:
    found = like(word_of(row, "material"), word_of(row, "construction"))
    half = at_half(example_curves()[found.example].curve) * found.factor
    return Value(half, f"{half:g}")


_OTHERWISE: Final[dict[tuple[str, str], Callable[[Sheet, Row], Value | None]]] = {
    ("fenders", "stiffness"): _stiffness,
    ("lines", "tension"): _hand_tight,
    ("ropes", "at_half"): _at_half,
}


def open_remarks(sheet: Sheet, file: Path) -> tuple[str, ...]:
    """Return what can hardly be meant of a sheet that is whole."""
    stay = stay_of(sheet, file)
    remarks = () if stay is None else alike_once(remarks_of(stay), stay)
    return *odd_answers(sheet), *(f"{safe(each.path)}: {safe(each.text)}" for each in remarks)


def final_faults(sheet: Sheet, file: Path) -> Iterator[str]:
    """Yield the faults of a sheet that is whole."""
    try:
        read_stay_text(one_text(sheet), file)
    except StayFaults as faults:
        yield from (f"{safe(each.path)}: {each.problem}" for each in faults.faults)
