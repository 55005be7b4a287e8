"""How much work each way that a stay went took of the crew."""

from collections.abc import Callable, Iterator
from math import isfinite

from alongside.actions import ReadByHand
from alongside.training.exercise.crew import Work
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.page.happened import ORDERS
from alongside.wording.figures import figure, metres


def work_rows(debrief: Debrief) -> Iterator[tuple[str, ...]]:
    """Return rows of a table: what, and how much as done, with nothing done and by the best plan."""
    rows: tuple[tuple[str, Callable[[Outcome], str]], ...] = (
        ("orders", lambda way: f"{len(_orders(way))}"),
        ("of these carried out", lambda way: f"{len(_carried_out(way))}"),
        ("rounds", lambda way: f"{way.rounds}"),
        ("lines tended", lambda way: f"{way.moves}"),
        ("slacked", lambda way: metres(_metres(way, 1.0))),
        ("hove in", lambda way: metres(_metres(way, -1.0))),
        ("readings by hand", lambda way: f"{_readings(way)}"),
        ("crew", lambda way: f"{figure(_crew_minutes(way))} min"),
    )
    for what, of in rows:
        yield what, *(of(way) for way in debrief.outcomes)


def _orders(way: Outcome) -> list[Work]:
    return [work for work in way.run.works if isinstance(work.order.action, ORDERS)]


def _carried_out(way: Outcome) -> list[Work]:
    return [work for work in _orders(way) if not work.why_not and work.end <= way.run.end]


def _metres(way: Outcome, sign: float) -> float:
    """Return metres slacked (sign 1) or hove in (-1)."""
    tended = [event.value or 0.0 for event in way.run.events if event.event == "tended"]
    return sum(abs(each) for each in tended if each * sign > 0.0)


def _readings(way: Outcome) -> int:
    return sum(isinstance(work.order.action, ReadByHand) for work in _carried_out(way))


def _crew_minutes(way: Outcome) -> float:
    """Return minutes of all hands, the walk with them, within the exercise."""
    seconds = sum(
        work.hands * (min(work.end, way.run.end) - work.leave)
        for work in _orders(way)
        if work.hands and isfinite(work.leave) and work.leave < way.run.end
    )
    return seconds / 60.0
