"""Numbers as the page has them: in the units and the zone of the stay's display, a dash where not known."""

from dataclasses import dataclass
from datetime import datetime, tzinfo
from math import isfinite
from typing import Final

from alongside.stay.model import Display
from alongside.units import clock_span, knots, tonnes_force
from alongside.wording.times import zone_of

DASH: Final = "–"
DAYS_FROM_S: Final = 72.0 * 3600.0
"""So long and longer is told in days."""


@dataclass(frozen=True, slots=True)
class Shown:
    """How one stay wants numbers to be shown."""

    display: Display

    @property
    def zone(self) -> tzinfo:
        return zone_of(self.display)

    @property
    def force_unit(self) -> str:
        return self.display.force

    @property
    def speed_unit(self) -> str:
        return self.display.speed

    @property
    def zone_name(self) -> str:
        text = self.display.zone
        return "UTC" if text in ("Z", "UTC", "+00:00") else text if text[:1].isalpha() else f"UTC{text}"

    def in_force(self, kn: float) -> float:
        return tonnes_force(kn) if self.display.force == "t" else kn

    def in_speed(self, ms: float) -> float:
        return knots(ms) if self.display.speed == "kn" else ms

    def force(self, kn: float) -> str:
        """`12.3 t` or `121 kN`."""
        digits = 1 if self.display.force == "t" else 0
        return number(self.in_force(kn), digits, f" {self.force_unit}")

    def speed(self, ms: float) -> str:
        return number(self.in_speed(ms), 0 if self.display.speed == "kn" else 1, f" {self.speed_unit}")

    def time(self, seconds: float) -> str:
        """`2 Mar 04:10:05` in the zone of the display."""
        return self._local(seconds, "%H:%M:%S")

    def minute(self, seconds: float) -> str:
        """`2 Mar 04:10`."""
        return self._local(seconds, "%H:%M")

    def day_and_minute(self, seconds: float) -> str:
        """`2 March 2026 04:10`."""
        if not isfinite(seconds):
            return DASH
        local = datetime.fromtimestamp(seconds, self.zone)
        return f"{local.day} {local:%B %Y %H:%M}"

    def _local(self, seconds: float, clock: str) -> str:
        if not isfinite(seconds):
            return DASH
        local = datetime.fromtimestamp(seconds, self.zone)
        return f"{local.day} {local:%b} {local.strftime(clock)}"


def number(value: float, digits: int, unit: str = "") -> str:
    """A number with so many decimals; a dash where it is not known. No minus before a zero."""
    if not isfinite(value):
        return DASH
    return f"{round(value, digits) + 0.0:.{digits}f}{unit}".replace("-", "−")


def percent(share: float) -> str:
    return f"{100.0 * share:.0f} %" if isfinite(share) else DASH


def span(seconds: float) -> str:
    """`3 h 05 min`, `12 d 7 h`; a dash for none."""
    if isfinite(seconds) and seconds >= DAYS_FROM_S:
        hours = round(seconds / 3600.0)
        return f"{hours // 24} d {hours % 24} h"
    return clock_span(seconds) if isfinite(seconds) and seconds >= 0.5 else DASH
