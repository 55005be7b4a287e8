"""What `check` says of a stay file without faults, in rows."""

from collections.abc import Iterator

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.all import placed
from alongside.reports.remarks.table import line_table
from alongside.reports.remarks.watched import not_watched
from alongside.stay.model import Stay
from alongside.wording.figures import counted
from alongside.wording.safe import safe


def check_rows(stay: Stay) -> tuple[list[str], int]:
    """Return the rows (remarks at their places, a table of the lines, what is not watched) and the number of
    remarks."""
    remarks = placed(stay)
    return [*map(str, remarks), *_rest(stay)], len(remarks)


def _rest(stay: Stay) -> Iterator[str]:
    afloat = Afloat(stay)
    yield from line_table(afloat)
    yield from (f"not watched: {safe(row)}" for row in not_watched(afloat))


def counted_remarks(number: int) -> str:
    """Return `no remarks`, `1 remark`, `3 remarks`."""
    return counted(number, "remark") if number else "no remarks"
