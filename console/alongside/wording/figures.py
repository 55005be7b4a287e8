"""Figures with their units, as a watch reads them. What is not known is a dash, never 0.

Loads 0.1 t or 1 kN; lengths 0.01 m; angles whole degrees; shares whole per cent, below 10 one decimal; wind
in whole knots, what lines hold rounded down wherever it stands.
"""

from collections.abc import Iterable, Sequence
from math import floor, isfinite, radians, tan
from typing import Final

from alongside.stay.model import Display
from alongside.units import knots, tonnes_force
from alongside.wording.marks import NOT_KNOWN

A_HAIR: Final = 0.02
"""Of a whole unit: so little below it, a speed that is rounded down still counts as that one."""


BELOW_TEN: Final = 9.95
"""What rounds to less than ten with one decimal."""


def figure(value: float, digits: int = 0) -> str:
    """Return a number with fixed decimals, never `-0`; a dash where it is not known."""
    if not isfinite(value):
        return NOT_KNOWN
    text = f"{value:.{digits}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def percent(share: float) -> str:
    """Return a share in per cent: `88 %`; below ten with a decimal where it has one: `0.6 %`."""
    if not isfinite(share):
        return NOT_KNOWN
    if abs(share) >= 0.0995:
        return f"{figure(share * 100.0)} %"
    text = figure(share * 100.0, 1)
    return f"{text.removesuffix('.0')} %"


def percent_short_of(per_cent: float, limits: Iterable[float]) -> str:
    """Return per cent, whole; rounded down where rounding up would reach a limit that is not reached: 69.6
    stands as `69 %` before a limit of 70."""
    if not isfinite(per_cent):
        return NOT_KNOWN
    rounded = round(per_cent)
    reaches = any(per_cent < limit <= rounded for limit in limits)
    return f"{floor(per_cent) if reaches else rounded} %"


def metres(value: float, digits: int = 2) -> str:
    """Return a length: `0.55 m`."""
    return f"{figure(value, digits)} m" if isfinite(value) else NOT_KNOWN


def degrees(value: float, digits: int = 0) -> str:
    """Return an angle: `32°`."""
    return f"{figure(value, digits)}°" if isfinite(value) else NOT_KNOWN


def slope(value: float) -> str:
    """Return a slope: `34°`; one that is less than 10 deg as what vehicles go by: `5.7°, 1 in 10`."""
    if not isfinite(value) or not 0.0 < value < 10.0:
        return degrees(value)
    return f"{degrees(value, 1)}, 1 in {figure(1.0 / tan(radians(value)), 1).removesuffix('.0')}"


def lead(vertical_deg: float) -> str:
    """Return which way a line leads from its fairlead, and how steeply: `32° down`, `50° up`."""
    if not isfinite(vertical_deg):
        return NOT_KNOWN
    size = degrees(abs(vertical_deg))
    return size if size == "0°" else f"{size} {'down' if vertical_deg > 0.0 else 'up'}"


def bearing(value: float) -> str:
    """Return a direction in three figures, `000°` to `359°`."""
    return f"{round(value) % 360:03d}°" if isfinite(value) else NOT_KNOWN


def force(kn: float, display: Display) -> float:
    """Return kilonewtons in the unit of the display."""
    return tonnes_force(kn) if display.force == "t" else kn


def force_figure(kn: float, display: Display) -> str:
    """Return a load without its unit: `23.1`, `227`."""
    return figure(force(kn, display), 1 if display.force == "t" else 0)


def force_text(kn: float, display: Display) -> str:
    """Return a load with its unit: `23.1 t`, `227 kN`."""
    return f"{force_figure(kn, display)} {display.force}" if isfinite(kn) else NOT_KNOWN


def range_figures(low_kn: float, high_kn: float, display: Display) -> str:
    """Return a range of loads without its unit, `19 to 38`, below ten with a decimal, `0.1 to 0.3`; "" where
    it is not known."""
    if not isfinite(low_kn + high_kn):
        return ""
    low, high = force(low_kn, display), force(high_kn, display)
    digits = 1 if high < BELOW_TEN else 0
    return f"{figure(low, digits)} to {figure(high, digits)}"


def force_range(low_kn: float, high_kn: float, display: Display) -> str:
    """Return the same with its unit: `19 to 38 t`; "" where it is not known."""
    figures = range_figures(low_kn, high_kn, display)
    return f"{figures} {display.force}" if figures else ""


def percent_range(low: float, high: float) -> str:
    """Return a range of shares: `74 to 100 %`; "" where it is not known."""
    return f"{figure(low * 100.0)} to {figure(high * 100.0)} %" if isfinite(low + high) else ""


def speed(ms: float, display: Display) -> float:
    """Return metres a second in the unit of the display."""
    return knots(ms) if display.speed == "kn" else ms


def speed_figure(ms: float, display: Display) -> str:
    """Return a speed without its unit: `41`, `21.1`."""
    return figure(speed(ms, display), 0 if display.speed == "kn" else 1)


def speed_text(ms: float, display: Display) -> str:
    """Return a speed of wind or current that was measured or is expected: `41 kn`, `21.1 m/s`."""
    return f"{speed_figure(ms, display)} {display.speed}" if isfinite(ms) else NOT_KNOWN


def slow_speed(ms: float, display: Display) -> str:
    """Return the speed of a ship that passes, knots with two decimals where it has them: `6 kn`, `7.25 kn`,
    `3.1 m/s`."""
    if display.speed != "kn":
        return f"{figure(ms, 1)} m/s"
    return f"{figure(knots(ms), 2).rstrip('0').rstrip('.')} kn"


def held_speed(ms: float, display: Display, cap_ms: float = float("inf")) -> str:
    """Return a wind that is held, rounded down to a whole unit so that it is held: `41 kn`.

    From `cap_ms`, where the search ended, on: `more than 116 kn`.
    """
    if not isfinite(speed(ms, display)):
        return NOT_KNOWN
    text = f"{floor(speed(min(ms, cap_ms), display) + A_HAIR)} {display.speed}"
    return f"more than {text}" if ms >= cap_ms else text


def quantity(value: float, unit: str) -> str:
    """Return a value in the unit of a rule: "" a share, `deg`, `m`, or any other with whole numbers."""
    if not unit:
        return percent(value)
    if unit == "deg":
        return degrees(value)
    return f"{figure(value, 2 if unit == 'm' else 0)} {unit}" if isfinite(value) else NOT_KNOWN


def listed(names: Sequence[str]) -> str:
    """Return names in a row: `4`, `4 and 10`, `4, 10 and 12`."""
    return "".join(names) if len(names) < 2 else f"{', '.join(names[:-1])} and {names[-1]}"


def counted(number: int, thing: str, things: str = "") -> str:
    """Return a number of things: `1 line`, `3 lines`."""
    return f"{number} {thing if number == 1 else things or f'{thing}s'}"
