"""What the ropes' history has of the ropes of a stay, for `check`, the report and the hand-over.

The stay file alone says what is moored with what: the history changes no figure of it. Where the two differ,
`check` says what to write.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.errors import AlongsideError
from alongside.record.ropes.entry import serial_of
from alongside.record.ropes.parts import Part, parts_of
from alongside.reports.extras import need
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Display, Stay
from alongside.wording.figures import figure, force_text, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe

if TYPE_CHECKING:
    from alongside.reports.ropes.condition import Condition
    from alongside.reports.ropes.keeping import Ropes

DIFFERS: Final = 0.005
"""Shares of strength nearer than this are the same."""
CONSOLE_WAIT_S: Final = 0.2


@dataclass(frozen=True, slots=True)
class InStay:
    """A rope or tail of a stay, at its path in the file, and its condition; None where the history does not
    have it, or it has no serial number."""

    path: str
    part: Part
    condition: "Condition | None"


@dataclass(frozen=True, slots=True)
class StayHistory:
    """What the history that a stay file names has of its ropes on a day; `trouble` says why it cannot be
    read."""

    file: Path
    today: date
    ropes: tuple[InStay, ...] = ()
    trouble: str = ""

    def due(self) -> Iterator[str]:
        """Yield `RETIRE PL-2207 (line 3): …` for what is due, or that the history cannot be read."""
        if self.trouble:
            yield f"ropes' history not known: {safe(self.trouble)}"
            return
        from alongside.reports.ropes.history_text import due_together

        named = [
            (f"{each.part.key} (line {each.part.line})", each.condition)
            for each in self.ropes
            if each.condition is not None
        ]
        for word, names, why in due_together(named, self.today):
            yield f"{word} {safe(names)}: {safe(why)}"


def printed_condition(history: StayHistory, line: str, what: str) -> tuple[str, str, str]:
    """Return of the rope (`main`) or `tail` of a line what is left, when it is to be inspected, and when to
    be retired, as a page prints it."""
    found = [each.condition for each in history.ropes if (each.part.line, each.part.what) == (line, what)]
    one = next((each for each in found if each is not None), None)
    if one is None:
        return NOT_KNOWN, NOT_KNOWN, NOT_KNOWN
    by, following = one.retire_by(), one.inspect
    then, retire = (str(due.day) if due is not None and due.day else NOT_KNOWN for due in (following, by))
    return percent(one.residual), then, "now" if one.retire_now(history.today) else retire


def history_of_stay(
    stay: Stay, day: date, *, as_of: bool = False, wait_s: float | None = None
) -> StayHistory | None:
    """Return what the history has of the ropes of a stay; None where the file names none. `day` is that of a
    clock; with `as_of` a day of a record, on which what was entered later is not known."""
    if not stay.ropes_history:
        return None
    file = Path(stay.file).parent / stay.ropes_history
    try:
        need("check", "report", "rainflow")
        ropes = _read(file, day, as_of, wait_s)
    except (AlongsideError, OSError) as error:
        return StayHistory(file, day, trouble=" ".join(str(error).split()))
    from alongside.reports.ropes.condition import condition_of

    found = []
    for part, path in zip(parts_of(stay), _paths(stay), strict=True):
        one = ropes.of(serial_of(part.key)) if part.by_serial else None
        condition = None if one is None else condition_of(one.history, stay.ship.design_mbl_kn)
        found.append(InStay(path, part, condition))
    return StayHistory(file, ropes.today, tuple(found))


def ropes_due(stay: Stay, day: date) -> tuple[str, ...]:
    """Return what was due of the ropes of a stay on a day, quickly: a console asks again and again."""
    history = history_of_stay(stay, day, as_of=True, wait_s=CONSOLE_WAIT_S)
    return () if history is None else tuple(history.due())


def _read(file: Path, day: date, as_of: bool, wait_s: float | None) -> "Ropes":
    try:
        there = file.stat()
    except OSError:
        return _read_once(file, day, as_of, wait_s, (0, 0))
    return _read_once(file, day, as_of, wait_s, (there.st_mtime_ns, there.st_size))


@lru_cache(maxsize=2)
def _read_once(
    file: Path, day: date, as_of: bool, wait_s: float | None, _changed: tuple[int, int]
) -> "Ropes":
    """Return all that a database holds: read again only where the file has changed."""
    from alongside.reports.ropes.keeping import read_ropes

    return read_ropes(file, day, day if as_of else None, wait_s)


def _paths(stay: Stay) -> Iterator[str]:
    for index, line in enumerate(stay.lines):
        yield f"lines[{index}]"
        if line.tail is not None:
            yield f"lines[{index}].tail"


def history_remarks(history: StayHistory) -> Iterator[Remark]:
    """Yield what of a stay file is not as the history has it, and what is due."""
    if history.trouble:
        yield Remark("ropes_history", safe(history.trouble))
    for each in history.ropes:
        if not each.part.by_serial:
            yield Remark(each.path, "no serial number, so no history is kept of it: give its serial")
        elif each.condition is None:
            text = f"{safe(each.part.key)} is not in {safe(history.file.name)}: enter its certificate"
            yield Remark(f"{each.path}.serial", text)
        else:
            yield from _remarks(each, each.condition, history.today)


def _remarks(each: InStay, one: "Condition", today: date) -> Iterator[Remark]:
    path, rope, what = each.path, each.part.rope, one.history.what
    if one.retired is not None:
        yield Remark(f"{path}.serial", f"the {what} was retired {one.retired}")
    if why := one.retire_now(today):
        yield Remark(f"{path}.serial", f"retire the {what}: {safe('; '.join(why))}")
    if due := one.inspect_now(today):
        yield Remark(f"{path}.serial", f"inspect the {what}: {safe(due)}")
    if isfinite(one.residual) and abs(one.residual - rope.residual_strength) > DIFFERS:
        here = f"{percent(rope.residual_strength)} of MBL is taken as left"
        text = f"{here}, {percent(one.residual)} was {one.residual_by}: write residual_strength: "
        yield Remark(f"{path}.residual_strength", f"{text}{one.residual:g}")
    new = one.history.certificate.get("mbl_kn")
    if new is not None and abs(new - rope.mbl_kn) > DIFFERS * rope.mbl_kn:
        text = f"MBL {figure(rope.mbl_kn)} kN, {figure(new)} kN by the certificate of {safe(each.part.key)}"
        yield Remark(f"{path}.rope", f"{text}: another kind of rope, or another rope?")


def history_rows(history: StayHistory, display: Display) -> Iterator[str]:
    """Yield a row for each rope and tail of the stay that the history has: what is left, its WLL with that,
    when it is to be inspected and retired."""
    known = [(each, each.condition) for each in history.ropes if each.condition is not None]
    if known:
        from alongside.reports.ropes.values import cut

        head = f"{'line':>6} {'what':<4} {'serial':<14} {'left':>5} {'WLL':>9}"
        yield f"{head} {'inspected':<10} {'next':<10} retire by"
    for each, one in known:
        rope = each.part.rope
        worn = rope if not isfinite(one.residual) else replace(rope, residual_strength=one.residual)
        by, following = one.retire_by(), one.inspect
        days = (one.inspected, following and following.day, by and by.day)
        inspected, then, retire = (str(day) if day else NOT_KNOWN for day in days)
        name = cut(safe(each.part.key), 14)
        head = f"{safe(each.part.line):>6} {one.history.what:<4} {name:<14} {percent(one.residual):>5}"
        yield f"{head} {force_text(worn.wll_kn, display):>9} {inspected:<10} {then:<10} {retire}"
