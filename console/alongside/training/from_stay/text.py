"""The text of an exercise that is cut from a stay, with what a trainer has to look at as comments."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from alongside.actions import TendLine
from alongside.alerts.model import Event
from alongside.stay.model import Order, Stay
from alongside.stay.stage import Stage
from alongside.training.exercise.best_plan import moves_of
from alongside.training.exercise.file import agreed_minutes
from alongside.training.exercise.model import Exercise, LineStood
from alongside.training.exercise.yardstick import Yardstick
from alongside.training.from_stay.moment import Times
from alongside.training.from_stay.proposals import Proposal
from alongside.units import iso_time

STAY: Final = "stay.yaml"
LOG: Final = "feeds.log.gz"
EXERCISE: Final = "exercise.yaml"
HARD_FROM: Final = 4
"""So many injections are proposed as hard."""
LONGEST: Final = 120
"""Letters of what happened, in one row."""
EARLY_S: Final = 900.0
"""A deed that the best plan does is expected from so long before it may first be begun."""

ORDERS: Final[dict[Order, str]] = {
    "stop_cargo": "stop cargo",
    "gang": "call linesmen",
    "tugs": "call tugs",
    "pilot": "call pilot",
    "disconnect": "disconnect",
}
"""What is typed for each."""

Unfit = tuple[tuple[Proposal, str], ...]
"""What is not proposed, as the exercise would be refused with it, and why."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What goes into the file. `happened` are events that the trainer should know of."""

    name: str
    stay: Stay
    times: Times
    stood: tuple[LineStood, ...]
    proposals: tuple[Proposal, ...]
    happened: tuple[Event, ...]
    missing: tuple[str, ...] = ()
    unfit: Unfit = ()


def exercise_text(draft: Draft, exercise: Exercise | None = None, measure: Yardstick | None = None) -> str:
    """Return the text; with what the best plan does as expected deeds, once it is known."""
    return "\n".join(_rows(draft, exercise, measure)) + "\n"


def _rows(draft: Draft, exercise: Exercise | None, measure: Yardstick | None) -> Iterator[str]:
    times, count = draft.times, len(draft.proposals)
    yield "# Cut from a recorded stay. Look at what is marked with a # before a class has it."
    yield "# Who kept the watch is not in it; names of ship and berth are as in stay.yaml."
    yield from (f"# Not carried over: {each}." for each in draft.missing)
    yield "format: 1"
    yield f"name: {json.dumps(draft.name, ensure_ascii=False)}"
    yield f"stay: {STAY}"
    yield f"log: {LOG}"
    yield f"start: {iso_time(times.start)}"
    yield f"# the moment: {iso_time(times.moment)}"
    yield f"end: {iso_time(times.end)}"
    yield 'story: "You take over. See that she lies safely."            # say what a relief must know'
    level = 1 if count <= 1 else 2 if count < HARD_FROM else 3
    yield f"level: {level}                                               # a guess, by {count} injections"
    yield 'aims: "To be filled in"                              # what is to be learnt'
    yield "tending: trainee"
    if draft.stay.decide is not None:
        yield "shows: {ahead: yes, advice: yes, decide: yes}        # limits and forecast of the stay"
        lead = agreed_minutes(draft.stay)
        if lead:
            yield f"crew: {_flow(lead)}        # lead_min of the stay"
    yield "pass_mark: 60"
    yield from _happened(draft.happened)
    yield "injections:" if draft.proposals else "injections: []"
    for each in draft.proposals:
        yield f"  # proposed: {each.why}"
        yield f"  - {_flow(each.keys)}"
    yield from (f"  # not proposed: {_flow(each.keys)}: {_one_row(why)}" for each, why in draft.unfit)
    yield from _expected(exercise, measure)
    yield "# deeds that you expect beside, for example:"
    yield '#  - {deed: call, whom: master, since: TIME, by: TIME, why: "…"}'
    if draft.stood:
        yield "stood:                       # what each line had out, main rope, unstretched; computed then"
        yield from (f"  - {_flow(_of_stood(each))}" for each in draft.stood)


def _happened(events: Sequence[Event]) -> Iterator[str]:
    if events:
        yield "# What really happened then:"
        yield from (f"#   {iso_time(each.time)} {each.event}: {_one_row(each.text)}" for each in events)


def _expected(exercise: Exercise | None, measure: Yardstick | None) -> Iterator[str]:
    called = [] if measure is None else [each for each in measure.called if not each.overdue]
    if exercise is None or measure is None or not (measure.plan.rounds or called):
        yield "expected: []"
        return
    yield "expected:                    # what the best plan does; widen or leave out as you see fit"
    moves = moves_of(exercise, measure.plan, measure.nothing.lines)
    seen: set[tuple[str, bool]] = set()
    for move, since in zip(moves, _since(measure), strict=True):
        action = move.action
        assert isinstance(action, TendLine), "a plan tends lines"
        metres = action.paid_out or 0.0
        key = (action.line, metres > 0.0)
        if key in seen:
            continue
        seen.add(key)
        way = "slack" if metres > 0.0 else "heave"
        keys = {
            "deed": "tend",
            "line": action.line,
            "way": way,
            "since": iso_time(max(since - EARLY_S, exercise.start)),
            "by": iso_time(max(move.time, exercise.start)),
            "why": f"the best plan has it {'slacked' if metres > 0.0 else 'hove'} by {abs(metres):.2f} m",
        }
        yield f"  - {_flow(keys)}"
    for each in called:
        keys = {
            "order": ORDERS[each.order],
            "since": iso_time(max(each.since - EARLY_S, exercise.start)),
            "by": iso_time(min(each.by, exercise.end)),
            "why": "it is due by the limits agreed and the wind forecast",
        }
        yield f"  - {_flow(keys)}"


def _since(measure: Yardstick) -> list[float]:
    return [each.not_before for each in measure.plan.rounds for _ in each.moves]


def _of_stood(stood: LineStood) -> dict[str, Any]:
    keys: dict[str, Any] = {"at": iso_time(stood.at), "line": stood.line}
    return keys | ({"gone": stood.gone} if stood.gone else {"out_m": stood.out_m})


def _flow(keys: dict[str, Any]) -> str:
    return "{" + ", ".join(f"{key}: {_value(key, value)}" for key, value in keys.items()) + "}"


def _value(key: str, value: Any) -> str:
    plain = key in ("kind", "at", "since", "by", "deed", "way", "gone", "channel")
    return str(value) if plain or not isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _one_row(text: str) -> str:
    row = " ".join(text.split())
    return row if len(row) <= LONGEST else f"{row[: LONGEST - 1]}…"


def worth_knowing(events: Sequence[Event]) -> tuple[Event, ...]:
    """Return events that a trainer should know of: alerts of warning or worse, gauges, brakes, what parted;
    nothing that somebody typed."""
    return tuple(each for each in events if _is_worth_knowing(each))


def _is_worth_knowing(event: Event) -> bool:
    if event.event in ("feed_lost", "parted", "brake_slipped", "brake_held"):
        return True
    return event.event in ("raised", "worsened") and event.stage is not None and event.stage >= Stage.WARNING
