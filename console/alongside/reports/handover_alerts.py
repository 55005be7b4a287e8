"""What became of the alerts of a watch: how bad each of them was, and whether somebody answered it."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from alongside.alerts.model import Alert, Event, Key, Standing
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

GROWS: Final = frozenset({"raised", "worsened", "escalated"})
STANDS: Final = {
    Standing.UNACKNOWLEDGED: "not acknowledged",
    Standing.SILENCED: "silenced, not acknowledged",
    Standing.ACKNOWLEDGED: "acknowledged",
    Standing.RECTIFIED: "over, not acknowledged",
}


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst stage of a standing alert, when it came to it last, and when that was acknowledged; None
    where nobody did."""

    stage: Stage
    time: float
    acknowledged: float | None


def counted(watch: Iterable[Event]) -> str:
    """`1 alarm, 2 caution`: every alert that was raised or grew worse, once, by the worst it came to; ""
    for none."""
    worst: Counter[Stage] = Counter()
    open_ones: dict[Key, Stage] = {}
    for event in watch:
        if event.alert is None or event.stage is None or event.event not in GROWS:
            continue
        key = event.alert, event.subject or ""
        if event.event == "raised" and key in open_ones:
            worst[open_ones.pop(key)] += 1
        open_ones[key] = max(open_ones.get(key, Stage.NORMAL), event.stage)
    worst.update(open_ones.values())
    return ", ".join(f"{worst[stage]} {stage.word}" for stage in sorted(worst, reverse=True))


def grew_bad(event: Event) -> bool:
    """Whether an alert came to be a warning or an alarm."""
    return event.event in GROWS and event.stage is not None and event.stage > Stage.CAUTION


def grown(event: Event) -> str:
    """`▲ ALARM Line 2 at 101 % of its stretch allowance (alarm from 100 %)`."""
    stage = event.stage or Stage.NORMAL
    return f"{MARKS[stage]} {stage.word.upper()} {safe(event.text)}"


def stands(alert: Alert, told: Sequence[Event], since: float, clock: DayClock) -> str:
    """`not acknowledged, was alarm at 18:22`: the state of a standing alert, and the worst that it was this
    watch where that was worse than it is now."""
    worst = worst_of(alert, told, since)
    state = _state(alert)
    if worst is None or worst.stage <= alert.stage:
        return state
    was = f"was {worst.stage.word} at {clock(worst.time)}"
    if worst.acknowledged is not None:
        state = "" if state == "acknowledged" else f"{state}, "
        return f"{state}{was}, acknowledged at {clock(worst.acknowledged)}"
    answered = "" if "not acknowledged" in state else ", not acknowledged"
    return f"{state}, {was}{answered}"


def _state(alert: Alert) -> str:
    if alert.suspended:
        return "cannot be judged, its gauge is lost"
    if alert.stage is Stage.CAUTION and not alert.owed:
        return "stands"
    return STANDS[alert.standing]


def worst_of(alert: Alert, told: Sequence[Event], since: float) -> Worst | None:
    """The worst that a standing alert was since a time, what it was at that time included."""
    own = [event for event in told if (event.alert, event.subject or "") == alert.key]
    own = [event for event in own if event.time >= alert.raised_at]
    held = [event for event in own if event.stage is not None and event.event in GROWS | {"eased"}]
    before = [event for event in held if event.time <= since]
    held = before[-1:] + [event for event in held if event.time > since]
    worst: Event | None = None
    for event in held:
        if worst is None or (event.stage or 0) >= (worst.stage or 0):
            worst = event
    if worst is None or worst.stage is None:
        return None
    answers = [event.time for event in own if event.event == "acknowledged" and event.time >= worst.time]
    return Worst(worst.stage, worst.time, min(answers, default=None))


def stages_now(alerts: Iterable[Alert]) -> dict[Key, Stage]:
    """Of every alert whose condition stands, the stage by its own value."""
    return {alert.key: alert.own_stage for alert in alerts if alert.standing is not Standing.RECTIFIED}


def rows(alerts: Sequence[Alert], told: Sequence[Event], since: float, clock: DayClock) -> Iterator[str]:
    """Two rows for every alert that stands: how and since when, and why."""
    for alert in alerts:
        state = stands(alert, told, since, clock)
        yield f"{MARKS[alert.stage]} {alert.stage.word:<8} {state}, since {clock(alert.raised_at)}"
        yield f"    {safe(alert.text)}"
