"""Ship and clock, the headline, and what comes next."""

from math import isfinite
from typing import Any

from alongside.alerts.state_text import counts
from alongside.cycle.calm_word import calm_word
from alongside.cycle.gauge_words import why_unknown
from alongside.cycle.picture import Picture
from alongside.cycle.to_come import to_come
from alongside.wording.look_page import NOTHING_AHEAD, WATCH_GONE
from alongside.wording.marks import MARKS, NOT_KNOWN, stage_text
from alongside.wording.safe import safe
from alongside.wording.times import bare_clock, zone_text


def of_now(picture: Picture) -> dict[str, Any]:
    """Return ship, berth, clock, and whether anybody keeps the watch; `time` in UNIX s."""
    display, now = picture.stay.display, picture.time
    return {
        "time": now if isfinite(now) else None,
        "ship": safe(picture.stay.ship.name),
        "berth": safe(picture.stay.berth.name),
        "clock": bare_clock(now, display, "%H:%M:%S"),
        "day": bare_clock(now, display, "%a %d %b"),
        "zone": zone_text(now, display),
        "kept": not picture.unkept,
        "unrecorded": safe(picture.unrecorded),
    }


def headline(picture: Picture) -> dict[str, Any]:
    """Return what must be done, large and as a sentence, with its stage and how much waits for an answer."""
    advice = picture.advice
    stage = advice.stage
    word = stage_text(stage)
    if calm := calm_word(picture):
        word = f"{NOT_KNOWN if calm == 'unknown' else MARKS[stage]} {calm}"
    large = WATCH_GONE if picture.unkept else safe(advice.large)
    return {
        "stage": stage.word,
        "word": word,
        "large": large or word.split(" ", 1)[1].upper(),
        "by": "" if picture.unkept else safe(advice.by),
        "text": safe(advice.text),
        "waiting": counts(picture.alerts),
    }


def next_deeds(picture: Picture) -> dict[str, Any]:
    """Return what the hours ahead bring, earliest first, each with its time; or why nothing is known."""
    display, now = picture.stay.display, picture.time
    rows = [
        {"kind": each.kind, "what": _capital(each.words), "when": each.at(now, display, count_down=True)}
        for each in to_come(picture)
    ]
    return {"rows": rows, "why": "" if rows else _why_none(picture)}


def _why_none(picture: Picture) -> str:
    forecast = picture.forecast
    if forecast is not None:
        return safe(forecast.reason) or NOTHING_AHEAD
    if picture.stay.tide is None:
        return "No tide to expect in the stay file"
    unknown = why_unknown(picture)
    return "Hours ahead not calculated yet" if unknown == "not known" else _capital(safe(unknown))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
