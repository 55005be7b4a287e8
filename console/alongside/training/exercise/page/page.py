"""The page of a debrief itself."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from markupsafe import Markup

from alongside import __version__
from alongside.record.entries import stay_hash
from alongside.reports.printed.page_template import page_template
from alongside.stay.causes import Cause
from alongside.training.exercise.debrief import Debrief
from alongside.training.exercise.debrief_text import (
    ALERT_HEAD,
    alert_legend,
    alert_rows,
    beside_rows,
    best_rows,
    not_counted_rows,
    rounds_words,
)
from alongside.training.exercise.instructed_text import instructor_deeds
from alongside.training.exercise.lessons_text import (
    expected_rows,
    left_early,
    lesson_head,
    lesson_rows,
    points_rows,
    times_words,
)
from alongside.training.exercise.page.curves import Curves
from alongside.training.exercise.page.happened import Ordered, injected, ordered
from alongside.training.exercise.page.highest import highest_rows
from alongside.training.exercise.page.mattered import Mattered, courses_of, line_bars, mattered, ship_bars
from alongside.training.exercise.page.work_done import work_rows
from alongside.training.exercise.score import OF_THE_SHIP as OF_ANY_LINE
from alongside.wording.safe import safe
from alongside.wording.times import clock, span, zone_text

TEMPLATE: Final = Path(__file__).parent / "templates" / "debrief.html.jinja"
CURVES: Final[Mapping[Cause, str]] = {
    "bollard": "Bollards, the worst",
    "under_keel": "Water under the keel",
    "off_fenders": "Ship off her fenders",
    "holding": "Wind, of what the lines hold",
    "drift": "Ship off her place",
    "gangway": "Gangway",
}


def page(debrief: Debrief, *, all_lines: bool = False) -> str:
    """Return a debrief as HTML, with a curve of each line that mattered, or of all. The same deeds give the
    same page."""
    exercise, attempt = debrief.exercise, debrief.attempt
    display, end = exercise.stay.display, debrief.as_done.run.end
    put_in, orders = injected(exercise), ordered(debrief)
    matter = mattered(debrief, all_lines)
    curves = Curves(exercise.start, exercise.end, display, put_in, orders)
    return page_template(TEMPLATE, exercise.start, exercise.end, display).render(
        exercise=exercise,
        stay=exercise.stay,
        end=end,
        zone=zone_text(exercise.start, display),
        attempt=attempt,
        begun=None if attempt is None else clock(attempt.begun, display, "%d %B %Y %H:%M"),
        kept=[]
        if attempt is None
        else [words for words in (left_early(attempt, exercise.end, display), times_words(attempt)) if words],
        points=debrief.points,
        points_rows=list(points_rows(debrief.points)),
        lessons=[
            (number, each, lesson_head(each, display), list(lesson_rows(each, debrief)))
            for number, each in enumerate(debrief.lessons, start=1)
        ],
        expected=[expected_rows(each, met, display) for each, met in debrief.expected],
        happened=Markup(curves.what_happened()) if put_in or orders else None,
        put_in=put_in,
        instructor=list(instructor_deeds(exercise)),
        orders=orders,
        clock=lambda time: clock(time, display),
        curves=list(_curves(debrief, curves, orders, matter)),
        left_out=matter.left_out,
        highest=list(highest_rows(debrief, matter.lines)),
        beside=beside_rows(debrief),
        work=list(work_rows(debrief)),
        rounds=rounds_words(debrief),
        best=list(best_rows(debrief)),
        alert_head=ALERT_HEAD,
        alerts=list(alert_rows(debrief)),
        alert_legend=alert_legend(debrief),
        not_counted=list(not_counted_rows(debrief)),
        real=None if attempt is None else span(attempt.ended - attempt.begun),
        file=Path(exercise.file).name,
        stay_hash=stay_hash(exercise.stay),
        program=__version__,
    )


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A curve with its heading; `lesson` is the number of the lesson that it belongs to, None for none."""

    name: str
    lesson: int | None
    svg: Markup


def _curves(
    debrief: Debrief, curves: Curves, orders: Sequence[Ordered], matter: Mattered
) -> Iterator[_Drawn]:
    """Return the worst of the ship's limits, each of them that mattered, and the lines."""
    courses = courses_of(debrief)
    done = [each for each in orders if not each.work.why_not and each.work.end <= debrief.exercise.end]
    numbers = {each.line or each.cause: at for at, each in reversed([*enumerate(debrief.lessons, start=1)])}
    of_ship = [each for each in done if not each.line and not each.is_reading]
    if len(matter.causes) > 1:
        words = "The ship, worst of her limits"
        yield _Drawn(words, None, Markup(curves.curve(ship_bars(courses), words, of_ship)))
    for cause in matter.causes:
        words = CURVES[cause]
        bears = [each for each in done if not each.is_reading] if cause in OF_ANY_LINE else of_ship
        yield _Drawn(words, numbers.get(cause), Markup(curves.curve(ship_bars(courses, cause), words, bears)))
    for line in matter.lines:
        own = [each for each in done if each.line == line]
        words = f"Line {safe(line)}, worst of its limits"
        yield _Drawn(words, numbers.get(line), Markup(curves.curve(line_bars(courses, line), words, own)))
