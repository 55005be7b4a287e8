"""Which of all that stands is worth the one sentence."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf, isfinite, isnan, nan

from alongside.alerts.hearing import blind_without, channel_words
from alongside.alerts.model import Alert, Standing
from alongside.alerts.text import percent
from alongside.cycle.advice.by_cause import Scene, saying_of
from alongside.cycle.advice.motion import Motion
from alongside.cycle.advice.rounds import next_round, round_to_come
from alongside.cycle.advice.saying import Saying
from alongside.cycle.picture import Advice, ChannelRow, FeedRow, LineRow
from alongside.forecast.model import Forecast
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.readings import REASON_TEXT, Quality, Reason
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.times import clock

FIRST = (
    "calculation",
    "under_keel",
    "stretch",
    "load",
    "brake",
    "bollard",
    "drift",
    "off_fenders",
    "holding",
)
"""Causes that go before others of their stage: what can part, run out or ground."""
OF_LINES = frozenset({"steep", "stretch", "load", "slack", "brake"})
"""Causes that a line's own stage tells of: where it is within all limits, an alert is only running out."""
NOT_TRIED = "not opened yet"
"""Note of a port in the first moment."""
LAST = frozenset({"slack", "ahead", "feed", "record"})


def advise(
    stay: Stay,
    now: float,
    lines: Sequence[LineRow],
    alerts: Sequence[Alert],
    channels: Sequence[ChannelRow],
    tide_rate: float,
    draught_rate: float,
    forecast: Forecast | None = None,
    *,
    feeds: Sequence[FeedRow] = (),
    surge: float = nan,
    sway: float = nan,
    weak: WeakSpot = NO_WEAK_SPOT,
) -> Advice:
    """The sentence for one instant. Rates in m/h, tide + making, draught + deeper, NaN where not known.
    `feeds` say which port is not open and why, `surge` and `sway` (m) which way she has moved, `weak` what
    would give first in a stronger wind.

    Alerts that are suspended or rectified need no deed; the worst of the others by stage, then by kind, then
    by how near it is to its limit, is said, and how many more there are. The next tending round of the
    forecast is said instead where nothing but the caution that a limit comes soon stands, and where nothing
    worse than a caution stands and the round is due within the time of that caution: it is a caution itself
    then, whether or not an alert stands.
    """
    scene = Scene(stay, {line.id: line for line in lines}, Motion(tide_rate, draught_rate), surge, sway, weak)
    active = [alert for alert in alerts if alert.active_stage and not alert.suspended]
    active = [alert for alert in active if alert.cause != "feed" or _is_bad(alert, channels)]
    slack = {alert.line for alert in active if alert.cause == "slack"}
    active = [alert for alert in active if alert.cause != "steep" or alert.line not in slack]
    eased = {line.id for line in lines if isfinite(line.tension_kn) and line.stage is Stage.NORMAL}
    active = [alert for alert in active if alert.line not in eased or not _is_running_out(alert)]
    shut = _shut(feeds)
    lost = [row for row in channels if _lost(row) and _bears_lines(stay, row)]
    if lost:
        silent = {row.feed for row in lost}
        active = [alert for alert in active if alert.cause != "feed" or alert.subject not in silent]
    active.sort(key=_urgency)
    owed = any(alert.standing is Standing.RECTIFIED for alert in alerts)
    if forecast is not None and not lost and not owed:
        following = _round(forecast, now, stay, active)
        if following is not None:
            return following.advice()
    if active and (not lost or active[0].stage is Stage.ALARM):
        return _worst(active, channels, scene, now, shut, others=len(active) - 1 + bool(lost)).advice()
    if lost:
        return _blind(lost, alerts, stay, now, shut, others=len(active)).advice()
    return _quiet(stay, lines, alerts, channels, shut).advice()


def _round(forecast: Forecast, now: float, stay: Stay, active: Sequence[Alert]) -> Saying | None:
    """The next round, where it is what to do first."""
    following = round_to_come(forecast)
    words = next_round(forecast, now, stay.display)
    others = sum(alert.cause != "ahead" for alert in active)
    if following is None or words is None or any(alert.stage > Stage.CAUTION for alert in active):
        return None
    due = following.overdue or following.latest <= now + 60.0 * stay.outlook.soon_min
    if others and not due:
        return None
    if not due and not active:
        return replace(words, large="")
    return replace(words, stage=Stage.CAUTION, more=_more(others))


def _worst(
    active: Sequence[Alert],
    channels: Sequence[ChannelRow],
    scene: Scene,
    now: float,
    shut: Mapping[str, str],
    others: int,
) -> Saying:
    worst = active[0]
    if worst.cause == "feed":
        waiting = _waiting(scene.stay, channels, shut) if worst.stage is Stage.CAUTION else None
        saying = waiting or _check_feed(worst, channels, scene.stay, now, shut)
    else:
        saying = saying_of(worst, scene)
    return replace(saying, more=_more(others))


def _shut(feeds: Sequence[FeedRow]) -> dict[str, str]:
    """Why a port could not be opened, by feed; when it is tried again is for the page of the feeds."""
    why = {feed.name: feed.note.partition(", tried again")[0] for feed in feeds if not feed.open}
    return {name: note for name, note in why.items() if note not in ("", NOT_TRIED)}


def _is_bad(alert: Alert, channels: Sequence[ChannelRow]) -> bool:
    """Whether anything is the matter with a feed still; its alert stands for a while after."""
    return any(row.feed == alert.subject and row.quality is not Quality.GOOD for row in channels)


def _check_feed(
    alert: Alert, channels: Sequence[ChannelRow], stay: Stay, now: float, shut: Mapping[str, str]
) -> Saying:
    """A feed that is doubtful or lost, but without which the lines are still known."""
    bad = [row for row in channels if row.feed == alert.subject and row.quality is not Quality.GOOD]
    blind = blind_without(stay, [row.channel for row in bad if _lost(row)])
    then = f"; blind: {', '.join(blind)}" if blind else ""
    why = shut.get(alert.subject) or _trouble(bad, stay, now)
    return Saying(alert.stage, f"Check {alert.subject}: {why}", "", then)


def _blind(
    lost: Sequence[ChannelRow],
    alerts: Sequence[Alert],
    stay: Stay,
    now: float,
    shut: Mapping[str, str],
    others: int,
) -> Saying:
    stood = [alert for alert in alerts if alert.suspended and alert.stage > Stage.CAUTION and alert.line]
    was = f"; line {stood[0].line} was in {stood[0].stage.word}" if stood else ""
    closed = [feed for feed in dict.fromkeys(row.feed for row in lost) if feed in shut]
    why = "".join(f"; {feed}: {shut[feed]}" for feed in closed)
    do = f"Blind: {_trouble(lost, stay, now)}; look over the side"
    was = why + was
    return Saying(Stage.WARNING, do, was, "", _more(others))


def _waiting(stay: Stay, channels: Sequence[ChannelRow], shut: Mapping[str, str]) -> Saying | None:
    """Inputs of the lines that have not been heard since the start; a port that does not open is what to
    see to."""
    rows = [row for row in channels if row.reason is Reason.WAITING and _bears_lines(stay, row)]
    if not rows:
        return None
    waits = f"aiting for {_listed([channel_words(row.channel) for row in rows])}"
    feed = next((row.feed for row in rows if row.feed in shut), None)
    if feed is None:
        return Saying(Stage.CAUTION, f"W{waits}")
    return Saying(Stage.CAUTION, f"Check {feed}: {shut[feed]}", "", f"; w{waits}")


def _quiet(
    stay: Stay,
    lines: Sequence[LineRow],
    alerts: Sequence[Alert],
    channels: Sequence[ChannelRow],
    shut: Mapping[str, str],
) -> Saying:
    """No alert asks for a deed: say that, and how far it is to the next."""
    waiting = _waiting(stay, channels, shut)
    if waiting is not None:
        return waiting
    fast = [line for line in lines if not isnan(line.unstretched_m)]
    known = [line for line in fast if isfinite(line.tension_kn)]
    if not fast:
        return Saying(Stage.NORMAL, "No line is made fast yet")
    if not known:
        return Saying(Stage.CAUTION, "No load is known: the feeds give no tide or no draughts")
    owed = sum(alert.standing is Standing.RECTIFIED for alert in alerts)
    if owed:
        count = f"{owed} alert{'s' if owed > 1 else ''}"
        return Saying(Stage.CAUTION, f"Acknowledge {count}: nothing else to do", _band(lines, fast, known))
    worst = max(known, key=lambda line: line.stage)
    if worst.stage > Stage.CAUTION:
        do = f"Watch line {worst.id}: {worst.stage.word} reached, alerted if it lasts"
        return Saying(Stage.CAUTION, do)
    waits = any(line.stage for line in known)
    return Saying(Stage.NORMAL, f"Nothing to do{' yet' if waits else ''}", _band(lines, fast, known))


def _band(lines: Sequence[LineRow], fast: Sequence[LineRow], known: Sequence[LineRow]) -> str:
    """`: 16 lines within limits, worst line 3 at 54 % of its stretch`."""
    fine = sum(not line.stage for line in known)
    of = "" if fine == len(fast) else f" of {len(fast)}"
    plural = "s" if len(fast) != 1 else ""
    loose = len(lines) - len(fast)
    rest = f", {loose} not made fast" if loose else ""
    worst = max(known, key=lambda line: line.stretch_share if isfinite(line.stretch_share) else -inf)
    share = f", worst line {worst.id} at {percent(worst.stretch_share)} of its stretch"
    return f": {fine}{of} line{plural} within limits{rest}{share}"


def _urgency(alert: Alert) -> tuple[int, int, float]:
    kind = 0 if alert.cause in FIRST else 2 if alert.cause in LAST else 1
    return -alert.stage, kind, -_nearness(alert)


def _nearness(alert: Alert) -> float:
    """The value by the limit, 1 and more where it is reached; 0 where either is not known."""
    less_is_worse = alert.cause in ("slack", "under_keel")
    over, under = (alert.limit, alert.value) if less_is_worse else (alert.value, alert.limit)
    return over / under if isfinite(over) and isfinite(under) and under > 0.0 else 0.0


def _is_running_out(alert: Alert) -> bool:
    """Whether an alert of a line stands only for the delay with which it clears."""
    return alert.cause in OF_LINES and 0.0 < _nearness(alert) < 1.0


def _lost(row: ChannelRow) -> bool:
    return row.quality is Quality.LOST and row.reason not in (Reason.WAITING, Reason.NOT_FITTED)


def _bears_lines(stay: Stay, row: ChannelRow) -> bool:
    return "all lines" in blind_without(stay, [row.channel])


def _trouble(rows: Sequence[ChannelRow], stay: Stay, now: float) -> str:
    """`tide silent since 03:10`; those of one reason together, since the oldest was heard."""
    together: dict[Reason, list[ChannelRow]] = {}
    for row in rows:
        together.setdefault(row.reason, []).append(row)
    parts = []
    for reason, those in together.items():
        ages = [row.age for row in those if isfinite(row.age)]
        if reason is Reason.EXPECTED:
            parts.append(_stands_in(those, ages, stay, now))
            continue
        since = f" since {clock(now - max(ages), stay.display)}" if ages else ""
        parts.append(f"{_listed([channel_words(row.channel) for row in those])} {REASON_TEXT[reason]}{since}")
    return ", ".join(parts)


def _stands_in(rows: Sequence[ChannelRow], ages: Sequence[float], stay: Stay, now: float) -> str:
    """`tide gauge silent since 22:40, predicted tide stands in`."""
    names = _listed([channel_words(row.channel) for row in rows])
    since = f"silent since {clock(now - max(ages), stay.display)}" if ages else "not heard"
    return f"{names} gauge {since}, predicted {names} stands in"


def _listed(names: Sequence[str]) -> str:
    """`tide`, `tide and heel`, `tide, heel and gust`, `4 inputs`: one count, beside that of the alerts."""
    if len(names) > 3:
        return f"{len(names)} inputs"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _more(others: int) -> str:
    return f", and {others} more" if others > 0 else ""
