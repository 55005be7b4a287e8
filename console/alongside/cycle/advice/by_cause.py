"""What to do about each cause of an alert: first the deed, then the reason with figure and limit."""

from collections.abc import Callable
from math import isfinite, nan
from typing import Final

from alongside.alerts.model import Alert
from alongside.alerts.phrases import RANGED, moved_where
from alongside.alerts.text import no_answer
from alongside.cycle.advice.deed_metres import BEARS
from alongside.cycle.advice.headlines import of_lines
from alongside.cycle.advice.line_deeds import bollard, braked, limit_text, loaded, slack, tight
from alongside.cycle.advice.motion import STEADY_M_PER_H, clearance_motion, steepness_motion
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.mechanics.reasons import NoLength
from alongside.stay.causes import Cause
from alongside.stay.model import Order
from alongside.stay.stage import Stage
from alongside.wording.decide import DEEDS as DEEDS_BY
from alongside.wording.figures import force_text, lead, listed, metres
from alongside.wording.learnt import OFFERED
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

PULLS_DOWN_DEG: Final = 45.0
"""From here on a line pulls down more than in."""
SHOWN_LINES: Final = 3
PULLED: Final[frozenset[Cause]] = frozenset({"stretch", "load", "brake"})
"""Causes of a line that carries too much."""


def sentence_of(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about one active alert; a cause without a deed of its own says its own text."""
    deed = DEEDS.get(alert.cause)
    return Sentence(alert.stage, alert.text, large="CHECK LINES") if deed is None else deed(alert, scene)


def _steep(alert: Alert, scene: Scene) -> Sentence:
    """A lead is cured by height or by another bollard, never by slackening; one that eases is watched, and no
    line is moved in a wind that is a warning."""
    row, name = scene.line(alert.subject), safe(alert.subject)
    down = row is None or not row.vertical_deg < 0.0
    what = f"{lead(alert.value if down else -alert.value)}{limit_text(alert)}"
    why = steepness_motion(down, scene.motion)
    if is_only_watched(alert, scene):
        large = of_lines("WATCH LINE {}", [alert.subject])
        return Sentence(alert.stage, f"Watch line {name}: steep, {what}", why, large=large)
    wait = f", or wait for the {'ebb' if down else 'flood'}"
    pulls = f"; it pulls {'down' if down else 'up'} more than in"
    then = pulls if alert.stage is Stage.ALARM and alert.value >= PULLS_DOWN_DEG else wait
    do = f"Move line {name} farther along, a second line out first: {what}"
    return Sentence(alert.stage, do, why, then, large=of_lines("MOVE LINE {}", [alert.subject]))


def is_only_watched(alert: Alert, scene: Scene) -> bool:
    """Return whether nothing is done about a steep lead yet: it is a caution, or a warning that eases, or one
    in a wind in which no line is moved."""
    row = scene.line(alert.subject)
    down, rise = row is None or not row.vertical_deg < 0.0, scene.motion.rise
    easing = rise <= -STEADY_M_PER_H if down else rise >= STEADY_M_PER_H
    blows = any(each.cause == "holding" and each.active_stage > Stage.CAUTION for each in scene.alerts)
    return alert.stage is Stage.CAUTION or ((easing or blows) and alert.stage is Stage.WARNING)


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
    if alert.subject in RANGED:
        what = f"{alert.text[:1].lower()}{alert.text[1:]}"
        stop = alert.stage is Stage.ALARM
        do = f"Stop cargo: {what}" if stop else f"Check lines: {what}"
        return Sentence(alert.stage, do, large="STOP CARGO" if stop else "CHECK LINES")
    where = moved_where(scene.stay, alert.subject, getattr(scene, alert.subject, float("nan")))
    what = f"ship {metres(alert.value)} {where}{limit_text(alert)}"
    if alert.stage is Stage.ALARM:
        return Sentence(alert.stage, f"Stop cargo, heave ship back: {what}", large="STOP CARGO")
    return Sentence(alert.stage, f"Check lines: {what}", large="CHECK LINES")


def _off_fenders(alert: Alert, scene: Scene) -> Sentence:
    """Breasts are heaved evenly, those that stay well under their warning, as a caution those that carry
    nothing; without any, where lines or brakes are at their limit, or the lines would hold less, it is the
    business of master and tugs."""
    what = f"ship {metres(alert.value)} off fenders{limit_text(alert)}"
    early = alert.stage is Stage.CAUTION
    most = scene.stay.limits.stretch_share.as_tuple()[1] / 2.0
    breasts = [
        row.id
        for row in scene.lines
        if row.role == "breast" and (row.load_share < BEARS if early else row.stretch_share < most)
    ]
    size = scene.metres_to_heave(breasts, onto_fenders=True) if breasts else nan
    if not breasts or _is_overloaded(scene) or scene.cannot_heave(breasts, size):
        if early:
            return Sentence(alert.stage, f"Watch the ship's side: {what}", large="CHECK LINES")
        return Sentence(alert.stage, f"Call the master, order tugs: {what}", large="CALL MASTER")
    by, large = metres(size) if isfinite(size) else "", of_lines("HEAVE {}", breasts)
    do = f"Heave {_lines(breasts)} evenly{f' by {by}' if by else ''}: {what}"
    return Sentence(alert.stage, do, "", "" if early else "; call the master", large=large, by=by)


def _is_overloaded(scene: Scene) -> bool:
    """Return whether a line or a brake is at its alarm: what pulls her off is more than hands can heave
    against."""
    return any(each.cause in PULLED and each.active_stage is Stage.ALARM for each in scene.alerts)


def _holding(alert: Alert, scene: Scene) -> Sentence:
    """A line that carries next to nothing leaves the wind to the others: first it is to bear its part, where
    more is held then."""
    text = scene.wind_text or alert.text
    what = f"{text[:1].lower()}{text[1:]}"
    if alert.stage is Stage.CAUTION:
        return Sentence(alert.stage, f"Watch the wind: {what}", large="CHECK LINES")
    idle = [row.id for row in scene.lines if row.load_share < BEARS and row.role != "spring"]
    size = scene.metres_to_heave(idle) if idle else nan
    if idle and scene.cannot_heave(idle, size):
        idle = []
    by = metres(size) if isfinite(size) and idle else ""
    heave = f"heave {_lines(idle)}{f' by {by}' if by else ''}"
    if alert.stage is Stage.ALARM:
        then = f"; {heave}" if idle else ""
        return Sentence(alert.stage, f"Call the master, order tugs: {what}", "", then, large="CALL MASTER")
    if not idle:
        return Sentence(alert.stage, f"Call the master: {what}", large="CALL MASTER")
    do = f"{heave[:1].upper()}{heave[1:]}: {what}"
    return Sentence(alert.stage, do, "", "; call the master", large=of_lines("HEAVE {}", idle), by=by)


def _lines(names: list[str]) -> str:
    """`line 2`, `lines 2 and 5`, `lines 2, 5 and 7`; of many the first three."""
    shown = [safe(name) for name in names[:SHOWN_LINES]]
    return f"{'line' if len(shown) == 1 else 'lines'} {listed(shown)}"


def _gangway(alert: Alert, _scene: Scene) -> Sentence:
    if alert.unit == "deg":
        what = f"{alert.text[:1].lower()}{alert.text[1:]}"
        return Sentence(alert.stage, f"Shift it or close it: {what}", large="CLOSE GANGWAY")
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
    right = OFFERED if alert.subject in scene.offered else "tend to it"
    return Sentence(alert.stage, do, "", f"; if the cell is right, {right}", large=large)


def _ahead(alert: Alert, scene: Scene) -> Sentence:
    by = scene.by_round(alert.subject)
    deed = f"; slack line {safe(alert.subject)} by {metres(by)}" if by > 0.0 else ""
    large = of_lines("WATCH LINE {}", [alert.subject]) if alert.subject else "CHECK LINES"
    return Sentence(alert.stage, alert.text, "", deed, large=large)


DECIDE: Final[dict[Order, str]] = {
    "stop_cargo": "STOP CARGO",
    "disconnect": "DISCONNECT",
    "tugs": "ORDER TUGS",
    "leave": "LEAVE BERTH",
}
"""Headlines; a pilot or a gang is the master's to order."""


def _decide(alert: Alert, _scene: Scene) -> Sentence:
    """The deed with its time and its reason stand first; from when on, and what has moved it, follow. It is
    the headline once it is due."""
    do, _, then = alert.text.partition("; ")
    order = next((order for order, deed in DEEDS_BY.items() if do.startswith(deed)), None)
    large = DECIDE.get(order, "CALL MASTER") if order and alert.stage > Stage.CAUTION else "CHECK LINES"
    return Sentence(alert.stage, do, "", f"; {then}" if then else "", large=large)


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


def _caller(alert: Alert, _scene: Scene) -> Sentence:
    do = f"Call by other means: {alert.text[:1].lower()}{alert.text[1:]}"
    return Sentence(alert.stage, do, large="CALL MASTER")


def _bridge(alert: Alert, _scene: Scene) -> Sentence:
    do = f"Tell the bridge by other means: {alert.text[:1].lower()}{alert.text[1:]}"
    return Sentence(alert.stage, do, "", "; check cable and port", large="TELL BRIDGE")


DEEDS: Final[dict[Cause, Callable[[Alert, Scene], Sentence]]] = {
    "stretch": tight,
    "load": loaded,
    "brake": braked,
    "bollard": bollard,
    "slack": slack,
    "steep": _steep,
    "under_keel": _under_keel,
    "drift": _drift,
    "off_fenders": _off_fenders,
    "holding": _holding,
    "gangway": _gangway,
    "tension": _tension,
    "parted": _parted,
    "not_known": _not_known,
    "decide": _decide,
    "ahead": _ahead,
    "calculation": _calculation,
    "record": _record,
    "clock": _clock,
    "caller": _caller,
    "bridge": _bridge,
}
