"""What to do about each cause of an alert: first the deed, then the reason with figure and limit."""

from collections.abc import Callable
from math import isfinite
from typing import Final

from alongside.alerts.model import Alert
from alongside.alerts.over_brake import slipped_or_holds
from alongside.alerts.phrases import moved_where
from alongside.alerts.text import no_answer
from alongside.cycle.advice.headlines import of_lines
from alongside.cycle.advice.motion import (
    STEADY_M_PER_H,
    STEADY_SHARE_PER_H,
    clearance_motion,
    steepness_motion,
    stretch_motion,
)
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.mechanics.reasons import NoLength
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.cautions import CLEAR_DECK
from alongside.wording.figures import force_text, lead, listed, metres, percent, quantity
from alongside.wording.names import cause as cause_words
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

IDLE: Final = 0.08
"""Up to this share of its working load a line does not help to hold the ship."""
PULLS_DOWN_DEG: Final = 45.0
"""From here on a line pulls down more than in."""
SHOWN_LINES: Final = 3


def sentence_of(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about one active alert; a cause without a deed of its own says its own text."""
    deed = DEEDS.get(alert.cause)
    return Sentence(alert.stage, alert.text, large="CHECK LINES") if deed is None else deed(alert, scene)


def limit_text(alert: Alert) -> str:
    """Return the limit that an alert has reached: ` (limit 85 %)`; "" where it has none."""
    return f" (limit {quantity(alert.limit, alert.unit)})" if isfinite(alert.limit) else ""


def _slack_away(alert: Alert, scene: Scene, line: str, what: str) -> Sentence:
    """Slack a line that carries too much; one that eases by itself is only watched, up to a warning."""
    row = scene.line(line)
    trend = float("nan") if row is None else row.trend_per_h
    why = "" if row is None else stretch_motion(trend, row.vertical_deg >= 0.0, scene.motion)
    easing = isfinite(trend) and trend <= -STEADY_SHARE_PER_H
    name, size = safe(line), scene.metres_to_slack(line)
    by = metres(size) if isfinite(size) else ""
    if line in scene.asked and alert.stage < Stage.ALARM:
        large = of_lines("LOOK AT WINCH {}", [line])
        return Sentence(alert.stage, f"Look at winch {name} before slacking: {what}", why, large=large)
    if easing and alert.stage < Stage.ALARM:
        return Sentence(
            alert.stage, f"Watch line {name}: {what}", why, large=of_lines("WATCH LINE {}", [line])
        )
    if alert.stage is Stage.CAUTION:
        large = of_lines("STAND BY {}", [line])
        return Sentence(alert.stage, f"Stand by to slack line {name}: {what}", why, large=large)
    deed = f"Slack line {name}{f' by {by}' if by else ''}{' now' if alert.stage is Stage.ALARM else ''}"
    return Sentence(alert.stage, f"{deed}: {what}", why, large=of_lines("SLACK {}", [line]), by=by)


def _share(alert: Alert, scene: Scene) -> Sentence:
    what = f"{cause_words(alert.cause)} {percent(alert.value)}{limit_text(alert)}"
    return _slack_away(alert, scene, alert.subject, what)


def _brake(alert: Alert, scene: Scene) -> Sentence:
    """A brake in question is looked at before anything is done with its winch."""
    row = scene.line(alert.subject)
    if row is None or row.asked is None:
        return _share(alert, scene)
    either = slipped_or_holds(scene.stay, row.asked.ran_out_m, row.asked.most_kn)
    others = [line for line in scene.asked if line != alert.subject]
    large = of_lines("LOOK AT WINCH {}", [alert.subject, *others])
    do = f"Look at winch {safe(alert.subject)}: {either}"
    return Sentence(alert.stage, do, "", f"; {CLEAR_DECK}", large=large)


def _load(alert: Alert, scene: Scene) -> Sentence:
    row = scene.line(alert.subject)
    load = "" if row is None else f" {force_text(row.tension_kn, scene.stay.display)},"
    what = f"load{load} {percent(alert.value)} of WLL{limit_text(alert)}"
    return _slack_away(alert, scene, alert.subject, what)


def _bollard(alert: Alert, scene: Scene) -> Sentence:
    """The line that pulls hardest on the bollard is the one to slack."""
    on_it = {line.id for line in scene.stay.lines if line.bollard == alert.subject}
    known = [row for row in scene.lines if row.id in on_it and isfinite(row.tension_kn)]
    what = f"bollard {safe(alert.subject)} load {percent(alert.value)}{limit_text(alert)}"
    if not known:
        return Sentence(alert.stage, f"Check lines: {what}", large="CHECK LINES")
    return _slack_away(alert, scene, max(known, key=lambda row: row.tension_kn).id, what)


def _slack(alert: Alert, scene: Scene) -> Sentence:
    """Heave a slack line, unless it is about to take up the slack by itself."""
    row, name = scene.line(alert.subject), safe(alert.subject)
    trend = float("nan") if row is None else row.trend_per_h
    load = "no load" if alert.value == 0.0 or row is None else force_text(row.tension_kn, scene.stay.display)
    limit = f" (limit {percent(alert.limit)} of WLL)" if isfinite(alert.limit) else ""
    what = f"slack, {load}{limit}"
    if row is not None and isfinite(trend) and trend >= STEADY_SHARE_PER_H and alert.stage is Stage.CAUTION:
        by = scene.motion.by(up=row.vertical_deg >= 0.0)
        large = of_lines("WATCH LINE {}", [alert.subject])
        return Sentence(alert.stage, f"Watch line {name}: {what}", f", taking up{by}", large=large)
    large = of_lines("HEAVE {}", [alert.subject])
    return Sentence(alert.stage, f"Heave line {name}: {what}", large=large)


def _steep(alert: Alert, scene: Scene) -> Sentence:
    """A lead is cured by height or by another bollard, never by slackening; one that eases is watched."""
    row, name = scene.line(alert.subject), safe(alert.subject)
    down = row is None or not row.vertical_deg < 0.0
    what = f"{lead(alert.value if down else -alert.value)}{limit_text(alert)}"
    why = steepness_motion(down, scene.motion)
    easing = scene.motion.rise <= -STEADY_M_PER_H if down else scene.motion.rise >= STEADY_M_PER_H
    if alert.stage is Stage.CAUTION or (easing and alert.stage is Stage.WARNING):
        large = of_lines("WATCH LINE {}", [alert.subject])
        return Sentence(alert.stage, f"Watch line {name}: steep, {what}", why, large=large)
    wait = f", or wait for the {'ebb' if down else 'flood'}"
    pulls = f"; it pulls {'down' if down else 'up'} more than in"
    then = pulls if alert.stage is Stage.ALARM and alert.value >= PULLS_DOWN_DEG else wait
    do = f"Move line {name} farther along, a second line out first: {what}"
    return Sentence(alert.stage, do, why, then, large=of_lines("MOVE LINE {}", [alert.subject]))


def _under_keel(alert: Alert, scene: Scene) -> Sentence:
    """The berth and the tide are the master's business; stopping to load is the first thing to ask for."""
    what = f"UKC {metres(alert.value)}{limit_text(alert)}"
    why = clearance_motion(scene.motion)
    if alert.stage is Stage.CAUTION:
        return Sentence(alert.stage, f"Watch the depth, read draughts: {what}", why, large="READ DRAUGHTS")
    now = " now" if alert.stage is Stage.ALARM else ""
    return Sentence(alert.stage, f"Call the master{now}, stop cargo: {what}", why, large="CALL MASTER")


def _drift(alert: Alert, scene: Scene) -> Sentence:
    """Which line to tend follows from which end has moved; the whole set is looked at, not one line."""
    where = moved_where(scene.stay, alert.subject, getattr(scene, alert.subject, float("nan")))
    what = f"ship {metres(alert.value)} {where}{limit_text(alert)}"
    if alert.stage is Stage.ALARM:
        return Sentence(alert.stage, f"Stop cargo, heave ship back: {what}", large="STOP CARGO")
    return Sentence(alert.stage, f"Check lines: {what}", large="CHECK LINES")


def _off_fenders(alert: Alert, scene: Scene) -> Sentence:
    """Breasts are heaved evenly, only those that stay well under their warning; without any it is the
    master's and the tugs' business."""
    what = f"ship {metres(alert.value)} off fenders{limit_text(alert)}"
    if alert.stage is Stage.CAUTION:
        return Sentence(alert.stage, f"Watch the ship's side: {what}", large="CHECK LINES")
    most = scene.stay.limits.stretch_share.as_tuple()[1] / 2.0
    breasts = [row.id for row in scene.lines if row.role == "breast" and row.stretch_share < most]
    if not breasts:
        return Sentence(alert.stage, f"Call the master, order tugs: {what}", large="CALL MASTER")
    do = f"Heave {_lines(breasts)} evenly: {what}"
    return Sentence(alert.stage, do, "", "; call the master", large=of_lines("HEAVE {}", breasts))


def _holding(alert: Alert, scene: Scene) -> Sentence:
    """A line that carries next to nothing leaves the wind to the others: first it is to bear its part."""
    what = f"{alert.text[:1].lower()}{alert.text[1:]}"
    if alert.stage is Stage.CAUTION:
        return Sentence(alert.stage, f"Watch the wind: {what}", large="CHECK LINES")
    idle = [row.id for row in scene.lines if row.load_share < IDLE and row.role != "spring"]
    then = f"; heave {_lines(idle)}" if idle else ""
    if alert.stage is Stage.ALARM:
        return Sentence(alert.stage, f"Call the master, order tugs: {what}", "", then, large="CALL MASTER")
    if not idle:
        return Sentence(alert.stage, f"Call the master: {what}", large="CALL MASTER")
    do = f"Heave {_lines(idle)}: {what}"
    return Sentence(alert.stage, do, "", "; call the master", large=of_lines("HEAVE {}", idle))


def _lines(names: list[str]) -> str:
    """`line 2`, `lines 2 and 5`, `lines 2, 5 and 7`; of many the first three."""
    shown = [safe(name) for name in names[:SHOWN_LINES]]
    return f"{'line' if len(shown) == 1 else 'lines'} {listed(shown)}"


def _gangway(alert: Alert, _scene: Scene) -> Sentence:
    what = f"rail {metres(alert.value)} over quay{limit_text(alert)}"
    return Sentence(alert.stage, f"Shift or close the gangway: {what}", large="CLOSE GANGWAY")


def _tension(alert: Alert, scene: Scene) -> Sentence:
    """A lasting difference says that the length is not what it is believed to be, or that the cell is off."""
    row, name = scene.line(alert.subject), safe(alert.subject)
    large = of_lines("LOOK AT LINE {}", [alert.subject])
    if row is None or not isfinite(row.measured_kn):
        return Sentence(alert.stage, f"Look at line {name}: {alert.text}", large=large)
    display = scene.stay.display
    cell, computed = force_text(row.measured_kn, display), force_text(row.tension_kn, display)
    do = f"Look at line {name}: cell {cell}, computed {computed}"
    return Sentence(alert.stage, do, "", "; if the cell is right, tend to it", large=large)


def _ahead(alert: Alert, scene: Scene) -> Sentence:
    by = scene.metres_to_slack(alert.subject)
    deed = f"; slack line {safe(alert.subject)} by {metres(by)}" if isfinite(by) else ""
    large = of_lines("WATCH LINE {}", [alert.subject]) if alert.subject else "CHECK LINES"
    return Sentence(alert.stage, alert.text, "", deed, large=large)


def _parted(alert: Alert, _scene: Scene) -> Sentence:
    """Nothing is heaved before somebody has looked: the other lines bear its load."""
    do = f"Call the master: {alert.text[:1].lower()}{alert.text[1:]}"
    then = "; heave nothing before looking"
    return Sentence(alert.stage, do, "", then, large=of_lines("LINE {} PARTED", [alert.subject]))


def _not_known(alert: Alert, scene: Scene) -> Sentence:
    """What is not known is watched by eye; a length that cannot be is a mistake in the stay file."""
    row = scene.line(alert.subject)
    is_impossible = row is not None and row.no_length is NoLength.IMPOSSIBLE
    check = ", check the stay file" if is_impossible else ""
    do = f"Watch line {safe(alert.subject)} by eye{check}: {_said_of(alert)}"
    large = of_lines("LOOK AT LINE {}" if is_impossible else "WATCH LINE {}", [alert.subject])
    return Sentence(alert.stage, do, large=large)


def _said_of(alert: Alert) -> str:
    """Return the text of an alert without the line's name, which stands before it."""
    return alert.text.removeprefix(f"Line {safe(alert.subject)}").lstrip(": ")


def _calculation(alert: Alert, scene: Scene) -> Sentence:
    why = no_answer(alert.value)
    since = clock(alert.raised_at, scene.stay.display)
    do = f"Watch lines by eye: {why[:1].lower()}{why[1:]} since {since}"
    return Sentence(alert.stage, do, large="CHECK LINES")


def _record(alert: Alert, _scene: Scene) -> Sentence:
    if alert.stage == Stage.CAUTION:
        return Sentence(
            alert.stage, f"Check gauges: {alert.text[:1].lower()}{alert.text[1:]}", large="CHECK GAUGES"
        )
    do = f"Keep a written log: {alert.text[:1].lower()}{alert.text[1:]}"
    return Sentence(alert.stage, do, large="NOT ON RECORD")


def _clock(alert: Alert, _scene: Scene) -> Sentence:
    then = "; tide and plan are those of later"
    return Sentence(
        alert.stage, f"Check the clock: set back {span(alert.value)}", "", then, large="CHECK CLOCK"
    )


DEEDS: Final[dict[Cause, Callable[[Alert, Scene], Sentence]]] = {
    "stretch": _share,
    "load": _load,
    "brake": _brake,
    "bollard": _bollard,
    "slack": _slack,
    "steep": _steep,
    "under_keel": _under_keel,
    "drift": _drift,
    "off_fenders": _off_fenders,
    "holding": _holding,
    "gangway": _gangway,
    "tension": _tension,
    "parted": _parted,
    "not_known": _not_known,
    "ahead": _ahead,
    "calculation": _calculation,
    "record": _record,
    "clock": _clock,
}
