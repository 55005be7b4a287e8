"""What became of the alerts of a watch: how bad each of them was, and whether somebody answered it."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from alongside.alerts.episodes import RISES
from alongside.alerts.gear_text import BACK
from alongside.alerts.model import Alert, Event, Key, Standing
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import counted
from alongside.wording.marks import MARKS, stage_text
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

CHANGES: Final = RISES | {
    "eased",
    "rectified",
    "acknowledged",
    "cleared",
    "accepted",
    "acceptance_ended",
}


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst stage of a standing alert, when it last came to it, and when that was acknowledged; None
    where nobody did."""

    stage: Stage
    time: float
    acknowledged: float | None


def counted_alerts(watch: Iterable[Event]) -> str:
    """Return `1 alarm, 2 cautions`: every alert that was raised or worsened, once, by its worst stage; "" for
    none."""
    worst: Counter[Stage] = Counter()
    open_alerts: dict[Key, Stage] = {}
    for event in watch:
        if event.alert is None or event.stage is None or event.event not in RISES:
            continue
        key = event.alert, event.subject or ""
        if event.event == "raised" and key in open_alerts:
            worst[open_alerts.pop(key)] += 1
        open_alerts[key] = max(open_alerts.get(key, Stage.NORMAL), event.stage)
    worst.update(open_alerts.values())
    return ", ".join(counted(worst[stage], stage.word) for stage in sorted(worst, reverse=True))


def is_bad(event: Event) -> bool:
    """Return whether an alert came to a warning or an alarm."""
    return event.event in RISES and event.stage is not None and event.stage > Stage.CAUTION


def worsened_text(event: Event) -> str:
    """Return `▲ ALARM Line 2 stretch 101 % (limit 100 %)`."""
    return f"{stage_text(event.stage or Stage.NORMAL)} {safe(event.text)}"


def as_on_record(alerts: Iterable[Alert], log: Sequence[Event]) -> tuple[Alert, ...]:
    """Return alerts where a feed's is in the words of its last change, unless a channel shows its cause: who
    sends, and how fast, stands in events, not in states."""
    return tuple(
        replace(alert, text=_last_words(alert, log)) if alert.text.endswith(BACK) else alert
        for alert in alerts
    )


def _last_words(alert: Alert, log: Sequence[Event]) -> str:
    changes = (event for event in reversed(log) if (event.alert, event.subject or "") == alert.key)
    last = next((event for event in changes if event.event in RISES | {"eased", "rectified"}), None)
    return alert.text if last is None else last.text


def standing_rows(
    alerts: Sequence[Alert], log: Sequence[Event], since: float, clock: DayClock
) -> Iterator[str]:
    """Return two rows for every alert that stands: its state and since when, and why; `none` for no alert."""
    for alert in alerts:
        state = state_text(alert, log, since, clock)
        yield f"{MARKS[alert.stage]} {alert.stage.word:<8} {state}, since {clock(alert.raised_at)}"
        yield f"    {safe(alert.text)}"
        if alert.acceptance is not None:
            until, by = clock(alert.acceptance.until), safe(alert.acceptance.by)
            yield f"    accepted until {until} by {by} ({safe(alert.acceptance.reason)})"
    if not alerts:
        yield "none"
    if any(alert.is_accepted for alert in alerts):
        yield "What is accepted ends when you take over, unless you accept it anew."


def changed_rows(log: Sequence[Event], kept: float, now: float, clock: DayClock) -> Iterator[str]:
    """Return what became of alerts since the memory was kept that the others are from, and a row that says
    so; nothing where nothing did. Memories of the past lie minutes apart."""
    changes = [event for event in log if kept < event.time <= now and event.event in CHANGES]
    if changes:
        yield f"as of {clock(kept)}, changed since:"
    for event in changes:
        stage = "" if event.stage is None else f"{MARKS[event.stage]} {event.stage.word} "
        yield f"  {clock(event.time)}  {event.event}: {stage}{safe(event.text)}"


def state_text(alert: Alert, log: Sequence[Event], since: float, clock: DayClock) -> str:
    """Return `not acknowledged, was alarm at 18:22`: the state of a standing alert, and its worst of this
    watch where that was worse than now."""
    worst = worst_of(alert, log, since)
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
        return "not known, its gauge gives no signal"
    if alert.is_accepted:
        return names.ACCEPTED
    if alert.stage is Stage.CAUTION and not alert.owed:
        return "standing"
    return names.standing(alert.standing.name)


def worst_of(alert: Alert, log: Sequence[Event], since: float) -> Worst | None:
    """Return the worst of a standing alert since a time, its stage at that time included."""
    own = [event for event in log if (event.alert, event.subject or "") == alert.key]
    own = [event for event in own if event.time >= alert.raised_at]
    stages = [event for event in own if event.stage is not None and event.event in RISES | {"eased"}]
    before = [event for event in stages if event.time <= since]
    stages = before[-1:] + [event for event in stages if event.time > since]
    worst: Event | None = None
    for event in stages:
        if worst is None or (event.stage or 0) >= (worst.stage or 0):
            worst = event
    if worst is None or worst.stage is None:
        return None
    answers = [event.time for event in own if event.event == "acknowledged" and event.time >= worst.time]
    return Worst(worst.stage, worst.time, min(answers, default=None))


def stages_now(alerts: Iterable[Alert]) -> dict[Key, Stage]:
    """Return the stage by its own value of every alert whose condition stands."""
    return {alert.key: alert.value_stage for alert in alerts if alert.standing is not Standing.RECTIFIED}
