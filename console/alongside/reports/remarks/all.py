"""Every remark on a stay file, at its place."""

from collections.abc import Callable, Iterable, Iterator
from typing import Final

from alongside.errors import Fault
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.alike import alike_once
from alongside.reports.remarks.berth import berth_remarks
from alongside.reports.remarks.fittings import fitting_remarks
from alongside.reports.remarks.gauges import gauge_remarks
from alongside.reports.remarks.limits import limit_remarks
from alongside.reports.remarks.lines import line_remarks
from alongside.reports.remarks.making_fast import making_fast_remarks
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.plans import plan_remarks
from alongside.reports.remarks.ropes import rope_remarks
from alongside.reports.remarks.ship import ship_remarks
from alongside.reports.remarks.winches import winch_remarks
from alongside.stay.model import Stay
from alongside.stay.places import Places

SECTIONS: Final[tuple[Callable[[Afloat], Iterator[Remark]], ...]] = (
    ship_remarks,
    winch_remarks,
    berth_remarks,
    rope_remarks,
    line_remarks,
    fitting_remarks,
    making_fast_remarks,
    plan_remarks,
    limit_remarks,
    gauge_remarks,
)


def remarks_of(stay: Stay) -> tuple[Remark, ...]:
    """Return every remark, section by section."""
    afloat = Afloat(stay)
    return tuple(remark for section in SECTIONS for remark in section(afloat))


def placed(stay: Stay, more: Iterable[Remark] = ()) -> tuple[Fault, ...]:
    """Return the remarks, and `more` of them, at their places, in the order of the file; one that many
    aliases repeat, or that is the same of several lines, stands once.

    Raises OSError where the file cannot be read any more.
    """
    places = Places.of(stay.file)
    once: dict[tuple[str, int, int, str], Fault] = {}
    for remark in alike_once((*remarks_of(stay), *more), stay):
        file, line, column = places.at(remark.path)
        text = f"remark: {remark.text}"
        once.setdefault((file, line, column, remark.text), Fault(file, line, column, remark.path, text))
    return tuple(sorted(once.values()))
