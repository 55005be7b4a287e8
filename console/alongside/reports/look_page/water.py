"""Wind against what the lines hold, tide, draughts, water under the keel, each with where it comes from; and
the gauges."""

from collections.abc import Iterable
from math import isfinite, nan
from typing import Any, Final

from alongside.alerts.limits_text import limits_text
from alongside.cycle.gauge_words import (
    AGED,
    DRAUGHTS,
    HEEL,
    NEEDED,
    expected,
    faults,
    missing,
    row_of,
    unsure,
)
from alongside.cycle.holding_words import now_only
from alongside.cycle.picture import ChannelRow, Picture
from alongside.cycle.to_come import water as next_water
from alongside.cycle.trends import STEADY_TIDE
from alongside.cycle.under_keel import clearance, sounded_lately
from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Quality, Reason
from alongside.stay.channels import PEAK
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.by_hand import hand_value
from alongside.wording.figures import bearing, degrees, figure, force_text, held_speed, metres, speed_text
from alongside.wording.look_page import NO_GAUGES
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, clock, short_span

LEVEL_M: Final = 0.005
UPRIGHT_DEG: Final = 0.05
WIDE: Final = ("wind", "hold")
"""Figures that have a row of their own."""
FRESH_S: Final = 5
"""Age, s, below which a value is as new as it can be."""


def water(picture: Picture) -> list[dict[str, Any]]:
    """Return the figures of wind and water in order of reading."""
    kept_in_place = [] if picture.stay.balance else ["hold", "contact"]
    figures = [_wind(picture), _hold(picture), _contact(picture), _tide(picture), *_draughts(picture)]
    figures += [_trim(picture), _heel(picture), *_under_keel(picture)]
    return [each for each in figures if each["name"] not in kept_in_place]


def _one(
    name: str, label: str, value: str, note: str = "", source: str = "", stage: Stage = Stage.NORMAL
) -> dict[str, Any]:
    mark = f"{MARKS[stage]} " if stage > Stage.NORMAL and value != NOT_KNOWN else ""
    return {
        "name": name,
        "label": label,
        "value": f"{mark}{value}",
        "note": note,
        "source": source,
        "stage": stage.word,
        "wide": name in WIDE,
    }


def _wind(picture: Picture) -> dict[str, Any]:
    display = picture.stay.display
    if not isfinite(picture.wind_ms):
        why = missing(picture, "wind_speed").removeprefix("wind: ") or names.reason("NOT_FITTED")
        return _one("wind", "Wind", NOT_KNOWN, why)
    gust = f"gust {speed_text(picture.wind_gust_ms, display)}" if isfinite(picture.wind_gust_ms) else ""
    come_from = f"from {bearing(picture.wind_from_deg)}" if isfinite(picture.wind_from_deg) else ""
    value = _doubted(picture, ("wind_speed",), speed_text(picture.wind_ms, display))
    note = ", ".join(filter(None, (gust, come_from)))
    return _one("wind", "Wind", value, note, _source(picture, ("wind_speed", "wind_from")), _holding(picture))


def _holding(picture: Picture) -> Stage:
    return picture.stages.get(("holding", ""), Stage.NORMAL)


def _hold(picture: Picture) -> dict[str, Any]:
    """Return the wind that is held from the weakest direction, what gives, and what is held from where it
    blows."""
    power, sentence = picture.holding, safe(picture.holding_text)
    if power is None or power.reason:
        return _one("hold", "Lines hold", NOT_KNOWN, sentence)
    at, display = power.weakest, picture.stay.display
    label = names.what_holds(power.gives_first[at], float(power.drift_m[at]))
    note = now_only(sentence).partition(". ")[0].rstrip(".")
    if isfinite(picture.holds_ms + picture.wind_from_deg):
        note += f". From where it blows: {_held(picture.holds_ms, display)}"
    value = _held(float(power.holds_ms[at]), display)
    return _one("hold", f"{label[:1].upper()}{label[1:]}", value, note, stage=_holding(picture))


def _held(ms: float, display: Display) -> str:
    return held_speed(ms, display, CAP_MS) if ms > 0.0 else "none"


def _contact(picture: Picture) -> dict[str, Any]:
    """Return the wind in which her side leaves the fenders first."""
    power = picture.holding
    if power is None or power.reason:
        return _one("contact", "Off fenders from", NOT_KNOWN)
    ms = float(power.contact_ms[power.first_off])
    stage = picture.stages.get(("off_fenders", ""), Stage.NORMAL)
    come_from = f"wind from {bearing(float(power.from_deg[power.first_off]))}" if ms < CAP_MS else ""
    value = held_speed(ms, picture.stay.display, CAP_MS)
    return _one("contact", "Off fenders from", value, come_from, stage=stage)


def _tide(picture: Picture) -> dict[str, Any]:
    if not isfinite(picture.tide):
        return _one("tide", "Tide", NOT_KNOWN, missing(picture, "tide").removeprefix("tide: "))
    rate = picture.tide_rate
    moves = ""
    if isfinite(rate):
        way = "rising" if rate > 0.0 else "falling"
        moves = "stands" if abs(rate) < STEADY_TIDE else f"{way} {figure(abs(rate), 2)} m/h"
    turn = next_water(picture)
    then = ""
    if turn is not None:
        name, at, height = turn
        then = f"{name} {metres(height, 1)} {DayClock(picture.stay.display, picture.time)(at)}"
    value = _doubted(picture, ("tide",), metres(picture.tide)) + _otherwise(picture, "tide")
    return _one("tide", "Tide", value, ", ".join(filter(None, (moves, then))), _source(picture, ("tide",)))


def _draughts(picture: Picture) -> list[dict[str, Any]]:
    known = (("draught_fwd", "Draught forward"), ("draught_aft", "Draught aft"))
    rows = []
    for channel, label in known:
        value: float = getattr(picture, channel)
        if isfinite(value):
            text = _doubted(picture, (channel,), metres(value)) + _otherwise(picture, channel)
            rows.append(_one(channel, label, text, "", _source(picture, (channel,))))
        else:
            why = missing(picture, channel).partition(": ")[2] or missing(picture, channel)
            rows.append(_one(channel, label, NOT_KNOWN, why))
    return rows


def _trim(picture: Picture) -> dict[str, Any]:
    trim = picture.trim
    if not isfinite(trim):
        return _one("trim", "Trim", NOT_KNOWN)
    by = "even" if abs(trim) < LEVEL_M else f"by the {'stern' if trim > 0.0 else 'head'}"
    return _one("trim", "Trim", _doubted(picture, DRAUGHTS, metres(abs(trim))), by)


def _heel(picture: Picture) -> dict[str, Any]:
    heel = picture.heel_deg
    if not isfinite(heel):
        return _one("heel", "Heel", NOT_KNOWN, "not measured")
    side = "" if abs(heel) < UPRIGHT_DEG else f"to {'starboard' if heel > 0.0 else 'port'}"
    value = _doubted(picture, HEEL, degrees(abs(heel), 1))
    return _one("heel", "Heel", value, side, _source(picture, HEEL))


def _under_keel(picture: Picture) -> list[dict[str, Any]]:
    """Return the water under the keel, computed, and what was sounded within the hour; nothing where the
    berth has no charted depth."""
    depth, ship = picture.stay.berth.charted_depth, picture.stay.ship
    if depth is None:
        return []
    clear, last = clearance(ship, depth, picture), sounded_lately(picture)
    limits = limits_text(picture.stay.limits, "under_keel")
    note = f"limits {limits}" if limits else ""
    if last is not None:
        read = f"read {metres(last.value, 1)} {clock(last.at, picture.stay.display)}"
        note = f"{read}, {note}" if note else read
    stage = picture.stages.get(("under_keel", ""), Stage.NORMAL)
    value = _doubted(picture, (*NEEDED, *HEEL), metres(clear, 1))
    source = _source(picture, NEEDED) if isfinite(clear) else ""
    return [_one("under_keel", "Under keel", value, note, source, stage)]


def _doubted(picture: Picture, channels: Iterable[str], text: str) -> str:
    """Return a figure with `?` where a channel that it rests on is doubtful or only expected."""
    return f"{text}?" if text != NOT_KNOWN and unsure(picture, channels) else text


def _otherwise(picture: Picture, channel: str) -> str:
    """Return ` or 4.68 m`: what the witness of a doubtful gauge has instead."""
    other = getattr(picture.by_witnesses, channel) if picture.by_witnesses is not None else nan
    same = figure(other, 2) == figure(getattr(picture, channel), 2)
    return f" or {metres(other)}" if isfinite(other) and not same else ""


def _source(picture: Picture, channels: Iterable[str]) -> str:
    """Return where a figure comes from and how old it is, that of its oldest channel: `gauges, 3 s`, `by hand
    06:30`, `no signal 18 min, expected from table`."""
    rows = [row for channel in channels if (row := row_of(picture, channel)) is not None]
    rows = [row for row in rows if row.reason is not Reason.NOT_FITTED]
    if not rows:
        return ""
    return _from(max(rows, key=lambda row: (row.quality.rank, row.age if isfinite(row.age) else 0.0)))


def _from(row: ChannelRow) -> str:
    if row.quality is Quality.GOOD and row.reason is not Reason.BY_HAND:
        return ", ".join(filter(None, (safe(row.feed), _ago(row.age))))
    return safe(_why(row))


def _ago(age: float) -> str:
    """Return how old a good value is: `under 5 s ago`, so that it does not change with each figure."""
    if not isfinite(age):
        return ""
    return f"under {FRESH_S} s ago" if age < FRESH_S else f"{short_span(age)} ago"


def _why(row: ChannelRow) -> str:
    """Return why a channel is not good, or where its value comes from."""
    if row.why:
        return row.why
    if row.quality is Quality.EXPECTED:
        return expected(row)
    age = f" {short_span(row.age)}" if row.reason in AGED and isfinite(row.age) else ""
    return f"{names.reason(row.reason.name)}{age}"


def gauges(picture: Picture) -> dict[str, Any]:
    """Return every gauge with its value, how far it can be believed and why; what is wrong with feeds."""
    rows = [
        {
            "name": names.channel(row.channel),
            "value": _value(picture, row),
            "quality": names.quality(row.quality.name),
            "good": row.quality is Quality.GOOD,
            "why": _from(row),
        }
        for row in picture.channels
    ]
    wrong = [safe(words) for words in faults((), picture.feeds)]
    return {"rows": rows, "wrong": wrong, "none": "" if rows else NO_GAUGES}


def _value(picture: Picture, row: ChannelRow) -> str:
    display = picture.stay.display
    if not isfinite(row.value):
        return NOT_KNOWN
    if row.channel.startswith(("tension.", PEAK)):
        return force_text(row.value, display)
    if row.channel.endswith(("_speed", "_gust")):
        return speed_text(row.value, display)
    if row.channel.endswith(("_from", "_to")) or row.channel == "heading":
        return bearing(row.value)
    return hand_value(row.channel, row.value, display)
