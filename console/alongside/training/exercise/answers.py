"""What a trainee's orders change of the exercise itself: cargo that stops, a gauge that is mended; and what
was really to be read."""

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite

from alongside.actions import CallOut, ChangeCargo, Done, LineGone, Note, ReadByHand
from alongside.stay.model import CargoOperation, GaugeFault
from alongside.training.exercise.crew import Work, works
from alongside.training.exercise.effects import Uncounted
from alongside.training.exercise.eyes import really_read
from alongside.training.exercise.model import CargoRate, Exercise, Injection, PartedLine


def met_by(exercise: Exercise, orders: Sequence[Done]) -> tuple[Work, ...]:
    """Return what becomes of the orders in this exercise, in order of time."""
    begun = [order for order in orders if order.time >= exercise.start]
    return tuple(_believed(exercise, work) for work in works(exercise.stay, exercise.crew, begun))


def as_met(exercise: Exercise, done: Sequence[Work]) -> Exercise:
    """Return the exercise with what these works change of cargo and gauges, each from its end on."""
    injections: tuple[Injection, ...] = _without_restarts(exercise, rates_of(exercise, done))
    for work in done:
        if work.why_not or not isfinite(work.end):
            continue
        match work.order.action:
            case ChangeCargo() if exercise.stay.ship.hydrostatics:
                injections += rates_of(exercise, [work])
            case CallOut("engineer", about):
                mended = work.end + 60.0 * exercise.crew.engineer_min
                injections = tuple(_mended(each, about, work.end, mended) for each in injections)
    return exercise if injections == exercise.injections else replace(exercise, injections=injections)


def _without_restarts(exercise: Exercise, ordered: Sequence[CargoRate]) -> tuple[Injection, ...]:
    """Return the injections but for rates that the file has of cargo that stands still by order then: nobody
    pumps faster what was stopped. An instructor's stand, who sees that it does."""
    by_hand = exercise.instructed.injections

    def stands(rate: Injection) -> bool:
        if not isinstance(rate, CargoRate) or rate in by_hand:
            return True
        before = [each for each in ordered if each.operation == rate.operation and each.at <= rate.at]
        return not before or max(before, key=lambda each: each.at).times > 0.0

    return tuple(each for each in exercise.injections if stands(each))


def rates_of(exercise: Exercise, done: Sequence[Work]) -> tuple[CargoRate, ...]:
    """Return how operations of the plan go otherwise by these works."""
    return tuple(
        rate
        for work in done
        if not work.why_not and isfinite(work.end) and isinstance(work.order.action, ChangeCargo)
        for rate in _rates(exercise.stay.cargo, work.order.action, work.end)
    )


def cargo_rates(exercise: Exercise, done: Sequence[Work]) -> tuple[CargoRate, ...]:
    """Return all rates of cargo, those that were put in and those by these works."""
    ordered = rates_of(exercise, done)
    put_in = [each for each in _without_restarts(exercise, ordered) if isinstance(each, CargoRate)]
    return (*put_in, *ordered)


def deeds_of(done: Sequence[Work], until: float) -> tuple[Done, ...]:
    """Return what takes effect up to a time, each when it is done, in order of time."""
    took = [Done(work.end, work.order.action) for work in done if not work.why_not and work.end <= until]
    return tuple(sorted(took, key=lambda each: each.time))


def as_read(exercise: Exercise, deed: Done) -> Done:
    """Return a reading as somebody really read it; any other deed as it is. `exercise` is as it was met. What
    cannot be read in the recorded stay is a note that says so."""
    if not isinstance(deed.action, ReadByHand):
        return deed
    read = really_read(exercise, deed.action, deed.time)
    return replace(deed, action=read or Note("Sent to look: nothing could be read", deed.action.by))


def without_effect(done: Sequence[Work], until: float) -> list[Uncounted]:
    """Return orders that had no effect, or none before a time, and why."""
    late = "not done before the end"
    return [
        Uncounted(work.order, work.why_not or late)
        for work in done
        if work.order.time <= until and (work.why_not or work.end > until)
    ]


def _believed(exercise: Exercise, work: Work) -> Work:
    """Nobody parts a line by saying so."""
    action = work.order.action
    if isinstance(action, LineGone) and action.how == "parted":
        parted = [each for each in exercise.injections if isinstance(each, PartedLine)]
        if not any(each.line == action.line and each.at <= work.order.time for each in parted):
            return replace(work, why_not="it has not parted")
    return work


def _rates(plan: Sequence[CargoOperation], cargo: ChangeCargo, at: float) -> list[CargoRate]:
    """Return how the operations that are meant go on."""
    meant = [each for each in plan if cargo.operation in ("", each.name)]
    if cargo.what == "begun" and not cargo.operation:
        meant = [each for each in meant if each.start <= at] or meant[:1]
    if cargo.what in ("stopped", "done"):
        return [CargoRate(each.name, at, 0.0) for each in meant]
    return [CargoRate(each.name, at, (cargo.rate or each.rate) / each.rate) for each in meant]


def _mended(injection: Injection, channel: str, told: float, at: float) -> Injection:
    """A gauge that was failing when somebody said so works again at a time."""
    if not isinstance(injection, GaugeFault) or injection.channel != channel:
        return injection
    if not injection.at <= told < injection.end or at >= injection.end:
        return injection
    return replace(injection, seconds=at - injection.at)
