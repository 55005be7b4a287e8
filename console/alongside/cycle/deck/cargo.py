"""The cargo plan after what was entered of it: stopped, begun, at another rate, done."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from alongside.actions import ChangeCargo
from alongside.cycle.deck.altered import CargoNow
from alongside.errors import WrongInput
from alongside.stay.model import CargoOperation
from alongside.wording.safe import safe

Operations = tuple[CargoOperation, ...]
Change = Callable[[CargoOperation], CargoOperation]


def plan_after(before: CargoNow, action: ChangeCargo, now: float) -> tuple[CargoNow, str]:
    """Return the plan after what was entered at UNIX seconds, and that in words. What was planned until then
    counts as moved. Raise WrongInput for an operation that the plan has not, or that is not in that state."""
    if not (before.plan or before.waiting):
        raise WrongInput("the stay file has no cargo plan")
    match action.what:
        case "stopped":
            chosen = _chosen(action, [each for each in before.plan if each.end > now], "to be stopped")
            plan = _with(before.plan, chosen, lambda each: _moved(each, now))
            waiting = before.waiting + tuple(_from(_rest(each, now), each.start - now) for each in chosen)
            after = CargoNow(plan, now, waiting)
        case "begun":
            after = _begun(before, action, now)
        case "rate":
            after = _at_rate(before, action, now)
        case "done":
            left = [*(each for each in before.plan if each.end > now), *before.waiting]
            chosen = _chosen(action, left, "to be done")
            plan = _with(before.plan, chosen, lambda each: _moved(each, now))
            after = CargoNow(plan, now, tuple(each for each in before.waiting if each not in chosen))
    rate = "" if action.rate is None else f" {action.rate:g} t/h"
    words = {"rate": f"goes on at{rate}"}.get(action.what, action.what)
    return after, f"cargo{f' {safe(action.operation)}' if action.operation else ''} {words}"


def _chosen(action: ChangeCargo, among: Sequence[CargoOperation], what: str) -> list[CargoOperation]:
    """Return the operations that are meant. Raise WrongInput where there is none."""
    chosen = [each for each in among if action.operation in ("", each.name)]
    if not chosen:
        names = ", ".join(dict.fromkeys(safe(each.name) for each in among))
        expected = f"expected {names}" if names else "the plan is done"
        named = f"operation {safe(action.operation)}" if action.operation else "operation"
        raise WrongInput(f"there is no {named} {what}, {expected}")
    return chosen


def _begun(before: CargoNow, action: ChangeCargo, now: float) -> CargoNow:
    """What waits goes on; else the operation that is named, or the next of the plan, begins now."""
    again = [each for each in before.waiting if action.operation in ("", each.name)]
    if again:
        plan = before.plan + tuple(replace(each, start=now + each.start) for each in again)
        return CargoNow(plan, now, tuple(each for each in before.waiting if each not in again))
    left = [each for each in before.plan if each.end > now]
    chosen = _chosen(action, left, "to be begun")
    first = chosen[0] if action.operation else min(chosen, key=lambda each: (each.start <= now, each.start))
    return CargoNow(
        tuple(replace(each, start=now) if each is first else each for each in before.plan),
        now,
        before.waiting,
    )


def _at_rate(before: CargoNow, action: ChangeCargo, now: float) -> CargoNow:
    if action.rate is None or not action.rate > 0.0:
        raise WrongInput("at which rate? expected tonnes an hour, such as: rate 600")
    left = [each for each in before.plan if each.end > now and (action.operation or each.start <= now)]
    chosen = _chosen(action, left, "under way")
    plan = _with(before.plan, chosen, lambda each: _moved(each, now))
    rest = tuple(_from(replace(_rest(each, now), rate=action.rate), each.start, now) for each in chosen)
    return CargoNow(plan + rest, now, before.waiting)


def _with(plan: Operations, chosen: Sequence[CargoOperation], change: Change) -> Operations:
    """Return the plan with what is chosen changed; what then moves nothing is left out."""
    changed = (change(each) if each in chosen else each for each in plan)
    return tuple(each for each in changed if each.tonnes)


def _share(operation: CargoOperation, now: float) -> float:
    whole = operation.end - operation.start
    return min(max((now - operation.start) / whole, 0.0), 1.0)


def _moved(operation: CargoOperation, now: float) -> CargoOperation:
    """Return what of an operation the plan has by now."""
    return replace(operation, tonnes=operation.tonnes * _share(operation, now))


def _rest(operation: CargoOperation, now: float) -> CargoOperation:
    return replace(operation, tonnes=operation.tonnes * (1.0 - _share(operation, now)))


def _from(operation: CargoOperation, start: float, least: float = 0.0) -> CargoOperation:
    """Return an operation that starts then, at least so late."""
    return replace(operation, start=max(start, least))
