"""The hand-over of a watch, as text to read on the screen and to print: how every line stands, which alerts
stand and why, what was done this watch and by whom, what comes in the next hours, notes.

Pure: everything comes from a Picture and the events before it.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import isfinite
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.alerts.text import force_text, percent
from alongside.cycle.advance import HAND_OVER
from alongside.cycle.advice.rounds import moves_in_words
from alongside.cycle.picture import LineRow, Picture
from alongside.forecast.model import LimitAhead
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.readings import REASON_TEXT, Floats, Quality, Reason
from alongside.reports.ahead_text import limit_words
from alongside.reports.handover_alerts import counted, grew_bad, grown, stages_now
from alongside.reports.handover_alerts import rows as alert_rows
from alongside.stay.stage import Stage
from alongside.units import clock_span, knots
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

WATCH_H: Final = 4.0
"""A watch lasts so long where nobody has said when it was taken over."""
AHEAD_H: Final = 6.0
STEP_S: Final = 300.0
DASH: Final = "—"
DEEDS: Final = frozenset({"acknowledged", "silenced", "tended"})
HAPPENED: Final = frozenset({"gap", "feed_lost", "feed_back", "started", "stopped"})
CAUTIONS: Final = (
    "Computed from the stay file and the gauges. The master's judgement, the ship's line management plan,",
    "port rules and the makers' data stand above it. Stay clear of snap-back zones.",
)


def watch_began(events: Iterable[Event], now: float, hours: float = WATCH_H) -> float:
    """When the present watch began: when it was last taken over, else so many hours ago."""
    taken = [event.time for event in events if event.subject == HAND_OVER and event.time <= now]
    return max(taken, default=now - hours * 3600.0)


def handover_text(
    picture: Picture, since: float, events: Sequence[Event] | None = None, hours: float = AHEAD_H
) -> list[str]:
    """The rows. `since` is when the watch began, `events` those from then on where the Picture's own log does
    not serve; `hours` how far ahead is told."""
    clock = DayClock(picture.stay.display, picture.time)
    told = picture.log if events is None else events
    by = kept_by(event for event in told if event.time == since)
    watch = [event for event in told if since <= event.time <= picture.time]
    return [
        f"HAND-OVER  {safe(picture.stay.name)}",
        f"{clock.whole(picture.time)}, watch since {clock(since)}",
        *_part("NOW", _now(picture)),
        *_part("LINES", _lines(picture)),
        *_part("ALERTS STANDING", _alerts(picture, told, since, clock)),
        *_part("DONE THIS WATCH", _done(watch, clock)),
        *_part(f"NEXT {hours:.0f} HOURS", _ahead(picture, hours, clock)),
        *_part("NOTES", _notes(watch, clock)),
        "",
        f"Handed over by {safe(by) or '......'}   Taken over by ......   at ......",
        "",
        *CAUTIONS,
    ]


def _part(title: str, rows: Iterable[str]) -> Iterator[str]:
    yield ""
    yield title
    for row in rows:
        yield f"  {row}"


def kept_by(events: Iterable[Event]) -> str:
    """Initials of whoever took over the watch last; "" where nobody did, or gave none."""
    taken = [event.text for event in events if event.subject == HAND_OVER]
    return taken[-1].partition(" by ")[2] if taken else ""


# --- now


def _now(picture: Picture) -> Iterator[str]:
    rate = ""
    if isfinite(picture.tide_rate):
        way = "making" if picture.tide_rate > 0.0 else "falling"
        rate = "" if abs(picture.tide_rate) < 0.03 else f", {way} {abs(picture.tide_rate):.1f} m/h"
    yield f"tide {_metres(picture.tide)}{rate}"
    heel = ""
    if isfinite(picture.heel_deg) and abs(picture.heel_deg) >= 0.05:
        heel = f", heel {abs(picture.heel_deg):.1f}° to {'starboard' if picture.heel_deg > 0.0 else 'port'}"
    fore_and_aft = f"draught forward {_metres(picture.draught_fwd)}, aft {_metres(picture.draught_aft)}"
    yield f"{fore_and_aft}, {_trim(picture.trim)}{heel}"
    yield _wind(picture)
    if picture.holding_text:
        yield safe(picture.holding_text)
    yield from _doubtful(picture)
    if picture.advice.text:
        yield f"advice: {safe(picture.advice.text)}"


def _metres(value: float) -> str:
    return f"{value:.2f} m" if isfinite(value) else DASH


def _trim(trim: float) -> str:
    if not isfinite(trim):
        return "trim not known"
    return f"{abs(trim):.2f} m by the {'stern' if trim >= 0.0 else 'head'}"


def _wind(picture: Picture) -> str:
    if not isfinite(picture.wind_ms):
        return "wind not known"
    in_knots = picture.stay.display.speed == "kn"

    def said(ms: float) -> str:
        return f"{knots(ms):.0f} kn" if in_knots else f"{ms:.0f} m/s"

    gust = f", gusts {said(picture.wind_gust_ms)}" if isfinite(picture.wind_gust_ms) else ""
    come_from = f" from {round(picture.wind_from_deg) % 360:03d}°" if isfinite(picture.wind_from_deg) else ""
    return f"wind {said(picture.wind_ms)}{come_from}{gust}"


def _doubtful(picture: Picture) -> Iterator[str]:
    """Gauges that are not good, and feeds that are not open."""
    for feed in picture.feeds:
        if not feed.open:
            yield f"feed {safe(feed.name)} not open: {safe(feed.note)}"
    bad: dict[str, list[str]] = {}
    for channel in picture.channels:
        if channel.quality is not Quality.GOOD and channel.reason is not Reason.NOT_FITTED:
            reason = REASON_TEXT[channel.reason] or channel.quality.name.lower()
            bad.setdefault(reason, []).append(channel.channel.replace("_", " "))
    for reason, channels in bad.items():
        yield f"not good: {safe(', '.join(channels))}: {reason}"


# --- lines


def _lines(picture: Picture) -> Iterator[str]:
    yield (
        f"{'line':<6}{'role':<8}{'stage':<11}{'stretch':>8}{'load':>10}{'of WLL':>8}"
        f"{'leads':>8}{'unstretched':>12}"
    )
    for row in picture.lines:
        yield _line(picture, row)


def _line(picture: Picture, row: LineRow) -> str:
    name = f"{safe(row.id):<6}{row.role:<8}"
    if not isfinite(row.unstretched_m):
        return f"{name}not made fast"
    if not isfinite(row.tension_kn):
        return f"{name}not known{'':>36}{row.unstretched_m:>10.2f} m"
    load = force_text(row.tension_kn, picture.stay.display)
    return (
        f"{name}{MARKS[row.stage]} {row.stage.word:<9}{percent(row.stretch_share):>8}{load:>10}"
        f"{percent(row.load_share):>8}{abs(row.vertical_deg):>6.0f}°{'↓' if row.vertical_deg >= 0.0 else '↑'}"
        f"{row.unstretched_m:>10.2f} m"
    )


# --- alerts


def _alerts(picture: Picture, told: Sequence[Event], since: float, clock: DayClock) -> Iterator[str]:
    if not picture.alerts:
        yield "none"
    yield from alert_rows(picture.alerts, told, since, clock)


# --- this watch


def _done(watch: Sequence[Event], clock: DayClock) -> Iterator[str]:
    if alerts := counted(watch):
        yield f"alerts by the worst they came to: {alerts}"
    rows = [event for event in watch if _tells(event)]
    for event in rows:
        yield f"{clock(event.time)}  {_what(event)}"
    if not rows:
        yield "nothing was tended, acknowledged or lost"


def _tells(event: Event) -> bool:
    return event.event in DEEDS or event.event in HAPPENED or _of_lines(event) or grew_bad(event)


def _what(event: Event) -> str:
    if event.event == "started":
        return f"watch started: {safe(event.text)}"
    if grew_bad(event):
        return grown(event)
    return safe(event.text) or event.event


def _of_lines(event: Event) -> bool:
    """A note on a line: made fast, parted, its brake has rendered."""
    return event.event == "note" and event.line is not None


def _notes(watch: Sequence[Event], clock: DayClock) -> Iterator[str]:
    notes = [event for event in watch if event.event == "note" and event.line is None]
    for event in notes:
        yield f"{clock(event.time)}  {safe(event.text)}"
    if not notes:
        yield "none"


# --- ahead


def _ahead(picture: Picture, hours: float, clock: DayClock) -> list[str]:
    """What comes: by the forecast where there is one, else by the tide table and the cargo plan alone."""
    end = picture.time + hours * 3600.0
    rows = [*_cargo(picture, end)]
    forecast = picture.forecast
    if forecast is None or forecast.reason:
        rows += _water(*_by_table(picture, end), "by the table")
        without = forecast.reason if forecast is not None else "not worked out"
        return [text for _, text in _stamped(rows, clock)] + [f"ahead: {without}"]
    here = (forecast.times >= picture.time) & (forecast.times <= end)
    rows += _water(forecast.times[here], forecast.tide.expected[here], "expected")
    rows += _limits(picture, forecast.limits, end, clock)
    for each in forecast.tending.rounds:
        if each.overdue or each.not_before <= end:
            when = "now" if each.overdue else f"before {clock(each.latest)}"
            rows.append((max(each.not_before, picture.time), f"tend {when}: {moves_in_words(each.moves)}"))
    told = [text for _, text in _stamped(rows, clock)]
    if not forecast.tending.rounds:
        told.append(f"no tending needed to keep every line short of {forecast.tending.within}")
    told += [
        f"tending cannot cure line {safe(cure.line)} from {clock(cure.time)} on"
        for cure in forecast.tending.cannot_cure
        if cure.time <= end
    ]
    return told


Row = tuple[float, str]


def _limits(picture: Picture, limits: Iterable[LimitAhead], end: float, clock: DayClock) -> Iterator[Row]:
    """Limits to come. One that is reached now is no news: its alert stands above."""
    reached = stages_now(picture.alerts)
    for limit in limits:
        stands = limit.standing or reached.get((limit.cause, limit.subject), Stage.NORMAL) >= limit.stage
        if stands or limit.expected is None or not picture.time < limit.expected <= end:
            continue
        early = clock(limit.not_before)
        between = f"between {early} and {clock(limit.no_later)}"
        if limit.no_later is None:
            between = f"not before {early}, or not at all"
        yield limit.expected, f"{MARKS[limit.stage]} {limit_words(limit)}, {between}"


def _stamped(rows: Iterable[Row], clock: DayClock) -> list[Row]:
    return [(time, f"{clock(time)}  {safe(text)}") for time, text in sorted(rows)]


def _by_table(picture: Picture, end: float) -> tuple[Floats, Floats]:
    times = np.arange(picture.time, end + 1.0, STEP_S)
    if picture.stay.tide is None:
        return times, np.full(times.size, np.nan)
    return times, expected_level(tide_table(picture.stay.tide), times).metres


def _water(times: Floats, metres: Floats, how: str) -> Iterator[Row]:
    """High and low waters; where there is none, the heights at both ends."""
    known = np.flatnonzero(np.isfinite(metres))
    if not known.size:
        return
    times, metres = times[known], metres[known]
    slope = np.sign(np.diff(metres))
    turns = np.flatnonzero(slope[:-1] * slope[1:] < 0.0) + 1
    for turn in turns.tolist():
        what = "high water" if slope[turn - 1] > 0.0 else "low water"
        yield float(times[turn]), f"{what} {metres[turn]:.2f} m {how}"
    if not turns.size and times.size:
        yield float(times[-1]), f"tide {metres[-1]:.2f} m {how}"


def _cargo(picture: Picture, end: float) -> Iterator[Row]:
    now = picture.time
    for operation in picture.stay.cargo:
        deed = "loading" if operation.tonnes > 0.0 else "discharging"
        what = f"{operation.name}: {deed} {abs(operation.tonnes):.0f} t at {operation.rate:.0f} t/h"
        if now < operation.start <= end:
            yield operation.start, f"{what} begins by plan"
        elif operation.start <= now < operation.end:
            yield now, f"{what} goes on, {clock_span(operation.end - now)} left by plan"
        if now < operation.end <= end:
            yield operation.end, f"{operation.name}: done by plan"
