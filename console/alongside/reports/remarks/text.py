"""What `check` says of a stay file without faults, in rows."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from alongside.errors import Fault
from alongside.reports.critique.all import plan_rows
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.alike import alike_once
from alongside.reports.remarks.all import placed, remarks_of
from alongside.reports.remarks.guesses import guess_rows
from alongside.reports.remarks.table import line_table
from alongside.reports.remarks.watched import not_watched
from alongside.reports.ropes.in_stay import StayHistory, history_of_stay, history_remarks, history_rows
from alongside.stay.model import Stay
from alongside.wording.figures import counted
from alongside.wording.learnt import as_learnt_rows
from alongside.wording.safe import safe


@dataclass(frozen=True, slots=True)
class Remarks:
    """What is odd in a stay file, and what it leaves unwatched and why."""

    remarks: tuple[Fault, ...]
    not_watched: tuple[str, ...]


def remarks_on(stay: Stay) -> Remarks:
    """Return the remarks at their places; without lines and columns where the file cannot be read any
    more."""
    try:
        remarks = placed(stay)
    except OSError:
        remarks = tuple(
            Fault(stay.file, 0, 0, each.path, each.text) for each in alike_once(remarks_of(stay), stay)
        )
    return Remarks(remarks, tuple(map(safe, not_watched(Afloat(stay)))))


def check_rows(stay: Stay, today: date | None = None) -> tuple[list[str], int]:
    """Return the rows (remarks, guesses and notes on the plan at their places, a table of the lines, which
    go by what was learnt, what is not watched) and the number of remarks. Where the file names the ropes'
    history, what that has of them on a day is among them; without `today` it is not looked at."""
    history = None if today is None else history_of_stay(stay, today)
    remarks = placed(stay, () if history is None else history_remarks(history))
    faults = (*remarks, *guess_rows(stay), *plan_rows(stay))
    return [*map(str, faults), *_rest(stay, history)], len(remarks)


def _rest(stay: Stay, history: StayHistory | None) -> Iterator[str]:
    afloat = Afloat(stay)
    yield from line_table(afloat)
    yield from as_learnt_rows(stay)
    if history is not None:
        yield from history_rows(history, stay.display)
    yield from (f"not watched: {safe(row)}" for row in not_watched(afloat))


def counted_remarks(number: int) -> str:
    """Return `no remarks`, `1 remark`, `3 remarks`."""
    return counted(number, "remark") if number else "no remarks"
