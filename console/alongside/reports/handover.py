"""The hand-over of a watch, as text to read on the screen and to print: each line, each alert that stands and
why, what was done this watch and by whom, what comes in the next hours, notes.

Pure: everything comes from a Picture and the events before it.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import inf, isfinite
from textwrap import wrap
from typing import Final

from alongside.alerts.model import Event
from alongside.alerts.over_brake import slipped_or_holds
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Picture
from alongside.cycle.watchkeeping import HAND_OVER, RECORD_TRIED
from alongside.cycle.who_holds import held_by_rows
from alongside.readings import Quality, Reason
from alongside.reports.handover_ahead import hours_ahead
from alongside.reports.handover_alerts import (
    changed_rows,
    counted_alerts,
    is_bad,
    standing_rows,
    worsened_text,
)
from alongside.reports.handover_decide import decide_part
from alongside.reports.handover_deck import otherwise, tug_rows
from alongside.reports.handover_watch import hand_over_rows, order_rows
from alongside.wording.cautions import SNAP_BACK
from alongside.wording.figures import (
    bearing,
    degrees,
    figure,
    force_figure,
    force_text,
    lead,
    listed,
    metres,
    percent,
    range_figures,
    speed_text,
)
from alongside.wording.marks import BY_CELL, MARKS, unknown_text
from alongside.wording.names import channel as channel_name
from alongside.wording.names import not_taken, stands_in
from alongside.wording.names import quality as quality_word
from alongside.wording.names import reason as reason_word
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, placed

WATCH_H: Final = 4.0
"""A watch lasts so long where nobody has entered when it was taken over."""
AHEAD_H: Final = 6.0
PAGE_COLUMNS: Final = 80
"""Of a page of A4 at ten characters an inch."""
STEADY_M_PER_H: Final = 0.03
"""A tide that changes by less is neither rising nor falling."""
UPRIGHT_DEG: Final = 0.05
ACTS: Final = frozenset(
    {"acknowledged", "accepted", "silenced", "tended", "brake_slipped", "brake_held", "reading"}
)
OF_LINES: Final = frozenset({"note", "parted", "made_fast", "let_go"})
NOTED: Final = frozenset(
    {
        "note",
        "watch_taken",
        "watch_handed",
        "orders_read",
        "order_given",
        "order_withdrawn",
        "self_test",
    }
)
HAPPENED: Final = frozenset({"gap", "feed_lost", "feed_back", "started", "stopped"})
CAUTIONS: Final = (
    "Computed from the stay file and the gauges. The master's judgement, the ship's",
    "line management plan, port rules and the makers' data stand above it.",
    *wrap(SNAP_BACK, PAGE_COLUMNS),
)


def watch_began(events: Iterable[Event], now: float, hours: float = WATCH_H) -> float:
    """Return when the present watch began: when it was last taken over, else so many hours ago, or where the
    record begins if that is later."""
    past = [event for event in events if event.time <= now]
    take_overs = [event.time for event in past if event.subject == HAND_OVER]
    begins = [event.time for event in past[:1] if event.event == "started"]
    return max(take_overs, default=max([now - hours * 3600.0, *begins]))


def handover_text(
    picture: Picture,
    since: float,
    events: Sequence[Event] | None = None,
    hours: float = AHEAD_H,
    record: Sequence[str] = (),
    ropes: Sequence[str] = (),
    kept: float = inf,
    until: float = -inf,
) -> list[str]:
    """Return the rows of the page. `since` is when the watch began, `events` those from then on where the
    Picture's own log is too short, `until` when they end where that is after the Picture; `hours` is how far
    ahead the page goes; `record` says whether the record is as it was written, `ropes` what is due of them;
    the Picture's alerts are those of `kept`, where that is before its time."""
    clock = DayClock(picture.stay.display, picture.time)
    log = picture.log if events is None else events
    initials = kept_by(event for event in log if event.time == since)
    watch = [event for event in log if since <= event.time <= max(picture.time, until)]
    held = picture.who_holds if picture.holding_text else ()
    to_decide = decide_part(picture, clock)
    who_holds = [safe(row) for row in held_by_rows(held, picture.stay.display)]
    return [
        f"HAND-OVER  {safe(picture.stay.name)}",
        f"{clock.whole(picture.time)}, watch since {clock(since)}",
        *(f"  {row}" for row in hand_over_rows(picture, clock)),
        *_part("STANDING ORDERS", order_rows(picture, clock)),
        *_part("NOW", _now(picture)),
        *_part("LINES", (*_lines(picture), *otherwise(picture))),
        *(
            _part("WINCH BRAKES IN QUESTION", _brakes(picture))
            if any(row.asked for row in picture.lines)
            else ()
        ),
        *_part("ALERTS STANDING", standing_rows(picture.alerts, log, since, clock)),
        *(f"  {row}" for row in changed_rows(log, kept, picture.time, clock)),
        *(_part("TO DECIDE", to_decide) if to_decide else ()),
        *(_part("WHO HOLDS HER", who_holds) if who_holds else ()),
        *_part("DONE THIS WATCH", _done(watch, clock)),
        *_part(f"NEXT {hours:.0f} HOURS", hours_ahead(picture, hours, clock)),
        *_part("NOTES", _notes(watch, clock)),
        *(_part("ROPES DUE", ropes) if ropes else ()),
        *(_part("RECORD", record) if record else ()),
        "",
        f"Handed over by {safe(initials) or '......'}   Taken over by ......   at ......",
        "",
        *CAUTIONS,
    ]


def folded(rows: Iterable[str], columns: int = PAGE_COLUMNS) -> Iterator[str]:
    """Return rows that fit on paper; the rest of a longer one stands in below it."""
    for row in rows:
        start = " " * (len(row) - len(row.lstrip()))
        yield from wrap(row, columns, subsequent_indent=f"{start}    ") if len(row) > columns else [row]


def kept_by(events: Iterable[Event]) -> str:
    """Return the initials of whoever took over the watch last; "" where nobody did, or gave none."""
    take_overs = [event.text for event in events if event.subject == HAND_OVER]
    return take_overs[-1].partition(" by ")[2] if take_overs else ""


def _part(title: str, rows: Iterable[str]) -> Iterator[str]:
    yield ""
    yield title
    for row in rows:
        yield f"  {row}"


def _brakes(picture: Picture) -> Iterator[str]:
    """Say what nobody has answered yet."""
    for row in picture.lines:
        if row.asked is not None:
            asked = row.asked
            either = slipped_or_holds(picture.stay, asked.ran_out_m, asked.most_kn, asked.or_more)
            loads = [force_text(kn, picture.stay.display) for kn in (row.tension_kn, row.asked.tension_kn)]
            yield f"line {safe(row.id)}: {either}: look at its winch"
            yield f"    carries {loads[0]}, or {loads[1]} if it slipped; until answered, the worse is watched"


# --- now


def _now(picture: Picture) -> Iterator[str]:
    yield f"tide {metres(picture.tide)}{_tide_rate(picture.tide_rate)}"
    fore_and_aft = f"draught forward {metres(picture.draught_fwd)}, aft {metres(picture.draught_aft)}"
    yield f"{fore_and_aft}, {_trim(picture.trim)}{_heel(picture.heel_deg)}"
    yield _wind(picture)
    yield from tug_rows(picture)
    if picture.holding_text:
        yield safe(picture.holding_text)
    yield from _not_good(picture)
    if picture.advice.text:
        yield f"advice: {safe(picture.advice.text)}"


def _tide_rate(m_per_h: float) -> str:
    if not isfinite(m_per_h) or abs(m_per_h) < STEADY_M_PER_H:
        return ""
    return f", {'rising' if m_per_h > 0.0 else 'falling'} {figure(abs(m_per_h), 1)} m/h"


def _trim(trim: float) -> str:
    if not isfinite(trim):
        return "trim not known"
    return f"{metres(abs(trim))} by the {'stern' if trim >= 0.0 else 'head'}"


def _heel(heel_deg: float) -> str:
    if not isfinite(heel_deg) or abs(heel_deg) < UPRIGHT_DEG:
        return ""
    return f", heel {degrees(abs(heel_deg), 1)} to {'starboard' if heel_deg > 0.0 else 'port'}"


def _wind(picture: Picture) -> str:
    if not isfinite(picture.wind_ms):
        return "wind not known"
    display = picture.stay.display
    gust = f", gusts {speed_text(picture.wind_gust_ms, display)}" if isfinite(picture.wind_gust_ms) else ""
    from_deg = f" from {bearing(picture.wind_from_deg)}" if isfinite(picture.wind_from_deg) else ""
    return f"wind {speed_text(picture.wind_ms, display)}{from_deg}{gust}"


def _not_good(picture: Picture) -> Iterator[str]:
    """Feeds that are not open, and channels that are not good, those of one reason together."""
    for feed in picture.feeds:
        if not feed.open:
            yield f"feed {safe(feed.name)} not open: {safe(feed.note)}"
        if words := not_taken(feed.dropped, feed.others, feed.port):
            yield f"feed {safe(feed.name)}: {words}"
    alike: dict[str, list[str]] = {}
    for row in picture.channels:
        if row.quality is not Quality.GOOD and row.reason is not Reason.NOT_FITTED:
            word, why = quality_word(row.quality.name), row.why or reason_word(row.reason.name)
            trouble = word if why in ("", word) else f"{word} ({why})"
            if row.reason is Reason.BY_HAND:
                trouble = row.why
            if row.reason is Reason.EXPECTED:
                silent = row.why or ("no signal" if row.feed else "no gauge, not read")
                trouble = f"{silent}; expected from {stands_in(row.channel)}"
            alike.setdefault(trouble, []).append(channel_name(row.channel))
    for trouble, names in alike.items():
        yield f"{listed(names)}: {trouble}"


# --- lines


def _lines(picture: Picture) -> Iterator[str]:
    yield (
        f"{'line':<6}{'role':<7}{'stage':<10}{'stretch':>8}{'load':>8}{'of WLL':>7}"
        f"{'likely':>11}{'lead':>9}{'rope':>8}"
    )
    for row in picture.lines:
        yield _line(picture, row)


def _line(picture: Picture, row: LineRow) -> str:
    """Return one row of at most 74 cells; `likely` is the range of the load, `rope` the main rope out."""
    name = f"{safe(row.id):<6}{row.role:<7}"
    if row.stage is None:
        length = f"{metres(row.unstretched_m):>8}" if isfinite(row.unstretched_m) else ""
        words = f"{unknown_text(row.no_length.name)}  {row.why}"
        return f"{name}{words:<53}{length}".rstrip()
    display = picture.stay.display
    load = force_text(row.counted_kn, display)
    if row.by_cell:
        load = f"{force_figure(row.counted_kn, display)}{BY_CELL} {display.force}"
    wll = next(line.smallest_wll_kn for line in picture.stay.lines if line.id == row.id)
    likely = range_figures(row.tension_low_kn, row.tension_high_kn, display)
    return (
        f"{name}{MARKS[row.stage]} {row.stage.word:<8}{percent(row.stretch_share):>8}{load:>8}"
        f"{percent(row.counted_share(wll)):>7}{likely:>11}{lead(row.vertical_deg):>9}{metres(row.unstretched_m):>8}"
    )


# --- this watch


def _done(watch: Sequence[Event], clock: DayClock) -> Iterator[str]:
    if alerts := counted_alerts(watch):
        yield f"alerts by worst stage: {alerts}"
    rows = [event for event in watch if _belongs(event)]
    for event in rows:
        yield f"{clock(event.time)}  {placed(_what(event), clock.display, event.time)}"
    if not rows:
        yield "nothing was tended, acknowledged or lost"


def _belongs(event: Event) -> bool:
    return event.event in ACTS or event.event in HAPPENED or _of_lines(event) or is_bad(event)


def _what(event: Event) -> str:
    if event.event == "started":
        return f"watch started: {safe(event.text)}"
    if is_bad(event):
        return worsened_text(event)
    return safe(event.text) or event.event.replace("_", " ")


def _of_lines(event: Event) -> bool:
    """A note on a line, that it was made fast (a note in records of old), let go, or that it parted."""
    return event.event in OF_LINES and event.line is not None


def _is_of_ship(event: Event) -> bool:
    return event.line is None and event.subject != RECORD_TRIED


def _notes(watch: Sequence[Event], clock: DayClock) -> Iterator[str]:
    notes = [event for event in watch if event.event in NOTED and _is_of_ship(event)]
    for event in notes:
        yield f"{clock(event.time)}  {safe(event.text)}"
    if not notes:
        yield "none"
