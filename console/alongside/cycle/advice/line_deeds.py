"""What to do about a line that carries too much or too little."""

from math import isfinite, nan

from alongside.alerts.model import Alert
from alongside.alerts.over_brake import slipped_or_holds
from alongside.cycle.advice.headlines import of_lines
from alongside.cycle.advice.motion import STEADY_SHARE_PER_H, stretch_motion
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.cycle.advice.trial import Refusal
from alongside.cycle.line_row import LineRow
from alongside.stay.stage import Stage
from alongside.wording.cautions import CLEAR_DECK
from alongside.wording.figures import force_text, metres, percent, quantity
from alongside.wording.names import cause as cause_words
from alongside.wording.safe import safe


def limit_text(alert: Alert) -> str:
    """Return the limit that an alert has reached: ` (limit 85 %)`; "" where it has none."""
    return f" (limit {quantity(alert.limit, alert.unit)})" if isfinite(alert.limit) else ""


def tight(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about a share of what a line or its brake may take."""
    what = f"{cause_words(alert.cause)} {percent(alert.value)}{limit_text(alert)}"
    return _slack_away(alert, scene, alert.subject, what)


def braked(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about the load on a brake; one in question is looked at before anything is done with
    its winch."""
    row = scene.line(alert.subject)
    if row is None or row.asked is None:
        return tight(alert, scene)
    either = slipped_or_holds(scene.stay, row.asked.ran_out_m, row.asked.most_kn, row.asked.or_more)
    others = [line for line in scene.asked if line != alert.subject]
    large = of_lines("LOOK AT WINCH {}", [alert.subject, *others])
    do = f"Look at winch {safe(alert.subject)}: {either}"
    return Sentence(alert.stage, do, "", f"; {CLEAR_DECK}", large=large)


def loaded(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about a load."""
    row = scene.line(alert.subject)
    load = "" if row is None else f" {_load_words(row, scene)},"
    what = f"load{load} {percent(alert.value)} of WLL{limit_text(alert)}"
    return _slack_away(alert, scene, alert.subject, what)


def _load_words(row: LineRow, scene: Scene) -> str:
    """Return the load that counts: `23.1 t`, or `cell 30.6 t, computed 4.7 t` where it is the cell's."""
    load, computed = (force_text(kn, scene.stay.display) for kn in (row.counted_kn, row.tension_kn))
    return f"cell {load}, computed {computed}" if row.by_cell else computed


def bollard(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about a bollard: the line that pulls hardest on it is the one to slack."""
    on_it = {line.id for line in scene.stay.lines if scene.stay.berth.bears(alert.subject, line.bollard)}
    known = [row for row in scene.lines if row.id in on_it and isfinite(row.counted_kn)]
    what = f"bollard {safe(alert.subject)} load {percent(alert.value)}{limit_text(alert)}"
    if not known:
        return Sentence(alert.stage, f"Check lines: {what}", large="CHECK LINES")
    return _slack_away(alert, scene, max(known, key=lambda row: row.counted_kn).id, what, alert.subject)


def slack(alert: Alert, scene: Scene) -> Sentence:
    """Return what to do about a slack line: heave it, unless it is about to take up the slack by itself, or
    the lines would hold less with it."""
    line, row = alert.subject, scene.line(alert.subject)
    trend = float("nan") if row is None else row.trend_per_h
    load = "no load" if alert.value == 0.0 or row is None else force_text(row.tension_kn, scene.stay.display)
    limit = f" (limit {percent(alert.limit)} of WLL)" if isfinite(alert.limit) else ""
    what = f"slack, {load}{limit}"
    watch = of_lines("WATCH LINE {}", [line])
    if row is not None and _carries_load(row, alert, scene):
        cell = force_text(row.measured_kn, scene.stay.display)
        do = f"Look at line {safe(line)}: {what}, but its cell {cell}"
        return Sentence(alert.stage, do, large=of_lines("LOOK AT LINE {}", [line]))
    if row is not None and isfinite(trend) and trend >= STEADY_SHARE_PER_H and alert.stage is Stage.CAUTION:
        by = scene.motion.by(up=row.vertical_deg >= 0.0)
        return Sentence(alert.stage, f"Watch line {safe(line)}: {what}", f", taking up{by}", large=watch)
    size = scene.metres_to_heave_slack(line)
    if size == 0.0 or (scene.trial is not None and scene.cannot_heave([line], size)):
        why = ", takes up by itself within 1 h" if size == 0.0 else ""
        return Sentence(alert.stage, f"Watch line {safe(line)}: {what}", why, large=watch)
    by, large = _by(size), of_lines("HEAVE {}", [line])
    return Sentence(
        alert.stage, f"Heave line {safe(line)}{by}: {what}", large=large, by=by.removeprefix(" by ")
    )


def _carries_load(row: LineRow, alert: Alert, scene: Scene) -> bool:
    """Whether the cell of a line that is slack by what is computed says otherwise: it is looked at before
    anybody heaves on it."""
    wll_kn = {line.id: line.smallest_wll_kn for line in scene.stay.lines}.get(row.id, nan)
    return row.measured_kn > alert.limit * wll_kn


def _slack_away(alert: Alert, scene: Scene, line: str, what: str, on_bollard: str = "") -> Sentence:
    """Slack a line that carries too much, where the ship stands the wind with it done; one that eases by
    itself is only watched, up to a warning."""
    row, name = scene.line(line), safe(line)
    trend = float("nan") if row is None else row.trend_per_h
    easing = isfinite(trend) and trend <= -STEADY_SHARE_PER_H
    why = "" if row is None else _moved(alert, scene, row)
    watch = Sentence(alert.stage, f"Watch line {name}: {what}", why, large=of_lines("WATCH LINE {}", [line]))
    if easing and alert.stage < Stage.ALARM:
        return watch
    size = scene.metres_to_slack(line, on_bollard)
    refusal = scene.refusal({line: size})
    if alert.stage is Stage.CAUTION:
        if refusal is not None:
            return watch
        large = of_lines("STAND BY {}", [line])
        return Sentence(alert.stage, f"Stand by to slack line {name}: {what}", why, large=large)
    if refusal is not None:
        return _not_slacked(alert, scene, line, what, refusal)
    by = "" if line in scene.asked else _by(size)  # metres are for a winch that is known to hold
    now = " now" if alert.stage is Stage.ALARM else ""
    deed, large = f"Slack line {name}{by}{now}", of_lines("SLACK {}", [line])
    return Sentence(alert.stage, f"{deed}: {what}", why, large=large, by=by.removeprefix(" by "))


def _not_slacked(alert: Alert, scene: Scene, line: str, what: str, refusal: Refusal) -> Sentence:
    """Return that a line is not slacked in this wind; at its alarm, what helps where neither is right."""
    wind = refusal.wind.words(scene.stay.display)
    if alert.value_stage is Stage.ALARM:
        do = f"Line {safe(line)} at its limit and needed: tug to push on, then slack"
        return Sentence(alert.stage, do, f"; {what}, {wind}", large="CALL MASTER")
    return Sentence(alert.stage, f"Do not slack, {wind}: line {safe(line)} {what}", large="DO NOT SLACK")


def _moved(alert: Alert, scene: Scene, row: LineRow) -> str:
    """Return which way a line's load goes, and what has moved it: `, rising with the wind`."""
    plain = stretch_motion(row.trend_per_h, row.vertical_deg >= 0.0, scene.motion)
    if scene.movers is None or not plain.startswith(", rising"):
        return plain
    limit = scene.stay.limits.stretch_share.as_tuple()[max(alert.stage, Stage.CAUTION) - 1]
    return f", rising{scene.movers.of(row.id, limit)}"


def _by(size: float) -> str:
    return f" by {metres(size)}" if isfinite(size) else ""
