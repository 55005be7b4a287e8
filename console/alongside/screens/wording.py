"""Figures and outside text as they stand on the screen. What is not known is a dash, never 0."""

import math
import unicodedata
from datetime import UTC, datetime, timezone, tzinfo
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from alongside.stay.model import Display
from alongside.units import knots, tonnes_force

DASH: Final = "—"

_ARROWS: Final = "→↘↓↙←↖↑↗"


def figure(value: float, digits: int = 0) -> str:
    """A number with fixed decimals, or a dash; never `-0`."""
    if not math.isfinite(value):
        return DASH
    text = f"{value:.{digits}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def percent(share: float) -> str:
    return DASH if not math.isfinite(share) else f"{figure(share * 100.0)} %"


def degrees(value: float, digits: int = 0) -> str:
    return DASH if not math.isfinite(value) else f"{figure(value, digits)}°"


def bearing(value: float) -> str:
    """Three figures, 000 to 359."""
    return DASH if not math.isfinite(value) else f"{round(value) % 360:03d}°"


def force(kn: float, display: Display) -> float:
    """Kilonewtons in the unit of the display."""
    return tonnes_force(kn) if display.force == "t" else kn


def force_text(kn: float, display: Display) -> str:
    """A load with its unit: `23.1 t`, `227 kN`."""
    value = force(kn, display)
    if not math.isfinite(value):
        return DASH
    return f"{figure(value, 1 if display.force == 't' else 0)} {display.force}"


def speed(ms: float, display: Display) -> float:
    """Metres a second in the unit of the display."""
    return knots(ms) if display.speed == "kn" else ms


def span(seconds: float) -> str:
    """How long ago: `8 s`, `12 min`, `2 h 05`, `3 d`."""
    if not math.isfinite(seconds):
        return DASH
    whole = max(0, int(seconds))
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min"
    if whole < 48 * 3600:
        return f"{whole // 3600} h {whole % 3600 // 60:02d}"
    return f"{whole // 86400} d"


@lru_cache(maxsize=8)
def zone_of(display: Display) -> tzinfo:
    """The display's zone: a fixed offset or an IANA name; UTC where this machine does not know the name,
    and then the screen says UTC."""
    try:
        return datetime.strptime(display.zone, "%z").tzinfo or UTC
    except ValueError:
        pass
    try:
        return ZoneInfo(display.zone)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC


def local(time: float, display: Display) -> datetime:
    return datetime.fromtimestamp(time, zone_of(display))


def clock(time: float, display: Display, form: str = "%H:%M:%S") -> str:
    return DASH if not math.isfinite(time) else format(local(time, display), form)


def zone_text(time: float, display: Display) -> str:
    """The zone as shown beside the clock: `UTC+02:00`, with the name where the stay file gives one."""
    if not math.isfinite(time):
        return display.zone
    zone = zone_of(display)
    offset = local(time, display).strftime("%z")
    shown = "UTC" if offset == "+0000" else f"UTC{offset[:3]}:{offset[3:5]}"
    return shown if isinstance(zone, timezone) else f"{shown} {display.zone}"


def trend_arrow(rate: float, steady: float) -> str:
    """An arrow for a rate of change; nothing moves faster than `steady` counts as steady."""
    if not math.isfinite(rate):
        return " "
    return "→" if abs(rate) < steady else ("↑" if rate > 0 else "↓")


def compass_arrow(clockwise_from_right: float) -> str:
    """One of eight arrows; 0 points right, 90 down the screen."""
    return _ARROWS[round(clockwise_from_right / 45.0) % 8]


def outside(text: str) -> str:
    """Text that came from outside (names, notes, log lines, gauges) made safe to show: control and
    formatting characters, which could move the cursor or turn the writing round, become a visible dot;
    line ends become blanks."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_safe(character) for character in text)


def _safe(character: str) -> str:
    if character in "\r\n\t":
        return " "
    return "·" if unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp") else character
