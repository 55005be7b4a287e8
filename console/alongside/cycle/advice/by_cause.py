"""What to do about each cause of an alert."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, nan
from typing import Final

from alongside.alerts.model import Alert
from alongside.alerts.phrases import bears, moved_where
from alongside.alerts.text import force_text, no_answer, percent
from alongside.cycle.advice.motion import (
    STEADY_M_PER_H,
    STEADY_SHARE_PER_H,
    Motion,
    clearance_motion,
    steepness_motion,
    stretch_motion,
)
from alongside.cycle.advice.saying import Saying
from alongside.cycle.picture import LineRow
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.units import clock_span
from alongside.wording.times import clock

MUCH_LOAD: Final = 0.5
"""From this share of its working load on, the load of a steep line is worth a word."""
IDLE: Final = 0.08
"""Up to this share of its working load a line does not help to hold her."""
PULLS_DOWN_DEG: Final = 45.0
"""From here on a line pulls down more than in."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What deeds are chosen by, at one instant."""

    stay: Stay
    lines: Mapping[str, LineRow]
    motion: Motion
    surge: float = nan
    sway: float = nan
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first in a stronger wind."""


def saying_of(alert: Alert, scene: Scene) -> Saying:
    """What to do about one active alert; a cause without a deed of its own says its own text."""
    deed = DEEDS.get(alert.cause)
    return Saying(alert.stage, alert.text) if deed is None else deed(alert, scene)


def _slack_away(alert: Alert, scene: Scene, line: str, what: str) -> Saying:
    """Slack a line that carries too much; one that is easing by itself is only watched, up to a warning."""
    row = scene.lines.get(line)
    trend = float("nan") if row is None else row.trend_per_h
    why = "" if row is None else stretch_motion(trend, row.vertical_deg >= 0.0, scene.motion)
    if alert.stage is Stage.ALARM:
        do = f"Slack line {line} now"
    elif isfinite(trend) and trend <= -STEADY_SHARE_PER_H:
        do = f"Watch line {line}"
    elif alert.stage is Stage.WARNING:
        do = f"Slack line {line}"
    else:
        do = f"Stand by to slack line {line}"
    return Saying(alert.stage, f"{do}: {what}", why)


def _stretch(alert: Alert, scene: Scene) -> Saying:
    return _slack_away(alert, scene, alert.subject, f"{percent(alert.value)} of its stretch")


def _load(alert: Alert, scene: Scene) -> Saying:
    row = scene.lines.get(alert.subject)
    load = "" if row is None else f", {force_text(row.tension_kn, scene.stay.display)}"
    return _slack_away(alert, scene, alert.subject, f"{percent(alert.value)} of its working load{load}")


def _brake(alert: Alert, scene: Scene) -> Saying:
    return _slack_away(alert, scene, alert.subject, f"{percent(alert.value)} of what its brake holds")


def _bollard(alert: Alert, scene: Scene) -> Saying:
    """The line that pulls hardest on the bollard is the one to slack."""
    on_it = [line.id for line in scene.stay.lines if line.bollard == alert.subject and line.id in scene.lines]
    known = [line for line in on_it if isfinite(scene.lines[line].tension_kn)]
    what = f"{percent(alert.value)} of its safe working load"
    if not known:
        return Saying(alert.stage, f"Watch bollard {alert.subject}: {what}")
    hardest = max(known, key=lambda line: scene.lines[line].tension_kn)
    return _slack_away(alert, scene, hardest, f"its bollard {alert.subject} bears {what}")


def _slack(alert: Alert, scene: Scene) -> Saying:
    """Heave a slack line, unless it is about to take up the slack by itself."""
    row = scene.lines.get(alert.subject)
    trend = float("nan") if row is None else row.trend_per_h
    taking_up = isfinite(trend) and trend >= STEADY_SHARE_PER_H
    what = "hangs slack" if alert.stage > Stage.CAUTION or alert.value == 0.0 else "nearly slack"
    if row is not None and taking_up and alert.stage is Stage.CAUTION:
        by = scene.motion.by(up=row.vertical_deg >= 0.0)
        return Saying(alert.stage, f"Watch line {alert.subject}: {what}", f", taking up{by}")
    return Saying(alert.stage, f"Heave line {alert.subject}: {what}")


def _steep(alert: Alert, scene: Scene) -> Saying:
    """A lead is cured by height or by another bollard, never by slackening; one that eases is watched."""
    row = scene.lines.get(alert.subject)
    down = row is None or not row.vertical_deg < 0.0
    what = f"leads {alert.value:.0f}° {'down' if down else 'up'}"
    why = steepness_motion(down, scene.motion)
    easing = scene.motion.rise <= -STEADY_M_PER_H if down else scene.motion.rise >= STEADY_M_PER_H
    if row is not None and row.load_share >= MUCH_LOAD:
        what = f"{what} at {percent(row.load_share)} of its working load"
    if alert.stage is Stage.ALARM and not easing:
        pulls = f", pulls {'down' if down else 'up'} more than in" if alert.value >= PULLS_DOWN_DEG else ""
        return Saying(alert.stage, f"Shift line {alert.subject} farther along: {what}{pulls}", why)
    then = "" if easing else f"; shift it farther along or wait for the {'ebb' if down else 'flood'}"
    return Saying(alert.stage, f"Watch line {alert.subject}: {what}", why, then)


def _under_keel(alert: Alert, scene: Scene) -> Saying:
    """The berth and the tide are the master's business; stopping to load is the first thing to ask for."""
    who = {Stage.CAUTION: "Watch the depth", Stage.WARNING: "Call the master"}
    do = f"{who.get(alert.stage, 'Call the master now')}: {alert.value:.2f} m under the keel"
    then = "; stop loading" if scene.motion.draught >= STEADY_M_PER_H and alert.stage > Stage.CAUTION else ""
    return Saying(alert.stage, do, clearance_motion(scene.motion), then)


def _drift(alert: Alert, scene: Scene) -> Saying:
    """Which line to tend follows from which end has moved; the whole set is looked at, not one line."""
    where = moved_where(scene.stay, alert.subject, getattr(scene, alert.subject, nan))
    do = "Stop cargo and tend her back" if alert.stage is Stage.ALARM else "Check the lines"
    return Saying(alert.stage, f"{do}: she is {alert.value:.2f} m {where}")


def _off_fenders(alert: Alert, scene: Scene) -> Saying:
    do = "Watch her side" if alert.stage is Stage.CAUTION else "Heave her in"
    return Saying(alert.stage, f"{do}: {alert.value:.2f} m off her fenders")


def _holding(alert: Alert, scene: Scene) -> Saying:
    """A line that carries next to nothing leaves the wind to the others: first it is to bear its part."""
    if not isfinite(alert.value):
        return Saying(alert.stage, alert.text)
    takes = f"takes {percent(alert.value)} of {bears(scene.weak)}"
    if alert.stage is Stage.CAUTION:
        return Saying(alert.stage, f"Watch the wind: it {takes}")
    idle = [row.id for row in scene.lines.values() if row.load_share < IDLE and row.role != "spring"]
    if idle:
        return Saying(alert.stage, f"Heave {_listed(idle)}: wind {takes}", "", "; call the master")
    do = "Call the master now, ask for tugs" if alert.stage is Stage.ALARM else "Call the master, more lines"
    return Saying(alert.stage, f"{do}: wind {takes}")


def _listed(lines: Sequence[str]) -> str:
    """`line 2`, `lines 2 and 5`, `lines 2, 5 and 7`, of many the first three."""
    if len(lines) == 1:
        return f"line {lines[0]}"
    shown = lines[:3]
    return f"lines {', '.join(shown[:-1])} and {shown[-1]}"


def _tension(alert: Alert, scene: Scene) -> Saying:
    """A lasting difference says that the length is not what it is believed to be, or that the cell is off."""
    row = scene.lines.get(alert.subject)
    if row is None or not isfinite(row.measured_kn):
        return Saying(alert.stage, alert.text)
    display = scene.stay.display
    cell, computed = force_text(row.measured_kn, display), force_text(row.tension_kn, display)
    what = f"cell says {cell}, computed {computed}"
    return Saying(alert.stage, f"Look at line {alert.subject}: {what}", "", "; tend to the cell if true")


def _calculation(alert: Alert, scene: Scene) -> Saying:
    since = clock(alert.raised_at, scene.stay.display)
    return Saying(alert.stage, f"{no_answer(alert.value)} since {since}: tend by eye")


def _record(alert: Alert, _scene: Scene) -> Saying:
    return Saying(alert.stage, f"Keep a written log: {alert.text[:1].lower()}{alert.text[1:]}")


def _clock(alert: Alert, _scene: Scene) -> Saying:
    ahead = f"times here run {clock_span(alert.value)} ahead"
    return Saying(alert.stage, f"Check the clock: {ahead}", "; tide and plan are those of then")


DEEDS: Final[dict[str, Callable[[Alert, Scene], Saying]]] = {
    "stretch": _stretch,
    "load": _load,
    "brake": _brake,
    "bollard": _bollard,
    "slack": _slack,
    "steep": _steep,
    "under_keel": _under_keel,
    "drift": _drift,
    "off_fenders": _off_fenders,
    "holding": _holding,
    "tension": _tension,
    "calculation": _calculation,
    "record": _record,
    "clock": _clock,
}
