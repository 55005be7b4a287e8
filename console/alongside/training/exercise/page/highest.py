"""The highest figures of lines and ship, in each of the ways that a stay may go."""

from collections.abc import Iterator, Sequence
from math import inf, isnan

from alongside.alerts.bars import BAR_AT
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.training.exercise.course import ShipPeak
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.page.mattered import courses_of
from alongside.wording.figures import percent, quantity
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import condition
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

Row = tuple[str, ...]
"""What, then its figure as done, with nothing done and by the best plan."""


def highest_rows(debrief: Debrief, lines: Sequence[str]) -> Iterator[Row]:
    """Return a row for each figure of the lines, and of the ship those that came to a caution in any way."""
    for line in lines:
        yield from _of_line(debrief, line)
    yield from _of_ship(debrief)


def _of_line(debrief: Debrief, line: str) -> Iterator[Row]:
    display, name = debrief.exercise.stay.display, f"line {safe(line)}"

    def peak(way: Outcome, what: str) -> str:
        at = way.run.lines.index(line)
        share, time = getattr(way.run, what)[at], getattr(way.run, f"{what}_at")[at]
        return NOT_KNOWN if isnan(share) else f"{percent(share)} {clock(time, display)}"

    def stood(way: Outcome, *stages: Stage) -> str:
        return span(sum(float(way.run.seconds[way.run.lines.index(line), stage]) for stage in stages))

    def unknown(way: Outcome) -> float:
        return float(way.run.unknown_s[way.run.lines.index(line)])

    yield f"{name} stretch", *(peak(way, "stretch") for way in debrief.outcomes)
    yield f"{name} load", *(peak(way, "load") for way in debrief.outcomes)
    yield f"{name} at warning", *(stood(way, Stage.WARNING) for way in debrief.outcomes)
    yield f"{name} at alarm", *(stood(way, Stage.ALARM) for way in debrief.outcomes)
    if any(unknown(way) for way in debrief.outcomes):
        yield f"{name} not known", *(span(unknown(way)) for way in debrief.outcomes)


def _of_ship(debrief: Debrief) -> Iterator[Row]:
    display = debrief.exercise.stay.display
    ways = [{(each.cause, each.subject): each for each in course.peaks} for course in courses_of(debrief)]
    for key in ways[0]:
        peaks = [way.get(key) for way in ways]
        if any(each is not None and each.bar >= BAR_AT[Stage.CAUTION] for each in peaks):
            yield _name(*key), *(_figure(each, display) for each in peaks)


def _figure(peak: ShipPeak | None, display: Display) -> str:
    """A limit that is past without any wind is no share of what the lines hold."""
    if peak is None or isnan(peak.value):
        return NOT_KNOWN
    value = "past it in a calm" if peak.value == inf else quantity(peak.value, peak.unit)
    return f"{value} {clock(peak.at, display)}"


def _name(cause: str, subject: str) -> str:
    if cause == "holding":
        return "wind, of what the lines hold"
    least = ", least" if cause == "under_keel" else ""
    return f"{condition(cause, subject, None)}{least}"
