"""The legend of a polar: what each letter and mark means, and the wind now against what is held."""

import math
from dataclasses import dataclass

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.holding_sectors import (
    Kind,
    held_from,
    kind_from,
    kinds_of,
    nearest,
)
from alongside.reports.holding_polar import (
    AHEAD,
    AROUND,
    CONTACT,
    GUST,
    MEAN,
    TEXT,
    WEAKEST,
    WIND,
    Wind,
    draw_polar,
)
from alongside.stay.model import Stay
from alongside.wording.figures import bearing, held_speed, percent, speed_text
from alongside.wording.names import what_gives, what_holds


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of the legend: the mark it explains ("" for none) and what it means, for the weakest and for
    the wind with their ink."""

    mark: str
    text: str
    ink: int = TEXT


def legend(holding: HoldingPower, stay: Stay, wind: Wind) -> list[Entry]:
    """Return what gives first, the weakest first, and the wind now against what is held from there."""
    side = "starboard" if stay.alongside == "starboard" else "port"
    heading = (stay.berth.bearing_of_x + (0.0 if side == "starboard" else 180.0)) % 360.0
    entries = [_wind_entry(holding, stay, wind)]
    if wind.ahead_at:
        strongest = f"{speed_text(wind.ahead_ms, stay.display)} from {bearing(wind.ahead_from_deg)}"
        entries.append(Entry(AHEAD, f"strongest expected: {strongest} at {wind.ahead_at}"))
    if wind.otherwise:
        entries.append(Entry(" ", f"{wind.which.strip()}; lines hold {wind.otherwise}"))
    for kind in () if holding.reason else kinds_of(holding):
        text = _kind_text(holding, kind, stay)
        entries.append(Entry(kind.letter, text, WEAKEST if kind.letter == "A" else TEXT))
    if not holding.reason and float(holding.contact_ms.min()) < CAP_MS:
        at = holding.first_off
        first = f"{_held(float(holding.contact_ms[at]), stay)} from {bearing(float(holding.from_deg[at]))}"
        entries.append(Entry("·", f"off her fenders first at {first}", CONTACT))
    if not holding.reason and bool((holding.holds_ms >= CAP_MS).any()):
        entries.append(Entry(" ", f"no letter: holds {_held(CAP_MS, stay)}"))
    entries.append(Entry(" ", f"heads {heading:03.0f}°, {side} side to the quay at the foot"))
    return entries


def held_against(holding: HoldingPower, wind: Wind) -> float:
    """Return the wind, m/s, that is held from where the wind blows now; NaN where not known."""
    return wind.holds_ms if math.isfinite(wind.holds_ms) else held_from(holding, wind.from_deg)


def _wind_entry(holding: HoldingPower, stay: Stay, wind: Wind) -> Entry:
    if not wind.known:
        return Entry(MEAN, "wind now: not known", WIND)
    text = f"wind now {speed_text(wind.mean_ms, stay.display)} from {bearing(wind.from_deg)}"
    if math.isfinite(wind.gust_ms):
        text += f", {GUST} gust {speed_text(wind.gust_ms, stay.display)}"
    if holding.reason:
        return Entry(MEAN, text, WIND)
    held = held_against(holding, wind)
    weakest = math.isfinite(wind.weak_from_deg)
    kind = kind_from(holding, wind.weak_from_deg if weakest else wind.from_deg)
    if kind is None:
        return Entry(MEAN, f"{text}; lines hold {_held(CAP_MS, stay)} from there", WIND)
    if held <= 0.0:
        return Entry(MEAN, f"{text}; a limit is passed without any wind", WIND)
    share = percent(wind.mean_ms / held)
    there = bearing(wind.weak_from_deg) if weakest else "there"
    if kind.gives == "drift":
        off = f"{_off_place(holding, kind.from_deg)} {_held(held, stay)}"
        off += f", wind {there}" if weakest else ""
        return Entry(MEAN, f"{text}: {share} of the limit; {off} ({kind.letter})", WIND)
    return Entry(
        MEAN, f"{text}: {share} of the {_held(held, stay)} that lines hold from {there} ({kind.letter})", WIND
    )


def _kind_text(holding: HoldingPower, kind: Kind, stay: Stay) -> str:
    """Return `brake of line 4: 55 kn from 120°`, or `ship 1.0 m off place from 52 kn, wind 145°`."""
    held, come_from = _held(kind.least_ms, stay), bearing(kind.from_deg)
    if kind.gives == "drift":
        return f"{_off_place(holding, kind.from_deg)} {held}, wind {come_from}"
    return f"{what_gives(kind.gives, kind.where)}: {held} from {come_from}"


def _off_place(holding: HoldingPower, from_deg: float) -> str:
    """Return `ship 1.0 m off place from`, as far as she has moved with the wind from a direction."""
    return what_holds("drift", float(holding.drift_m[nearest(holding, from_deg)]))


def _held(ms: float, stay: Stay) -> str:
    return held_speed(ms, stay.display, CAP_MS)


def polar_text(
    holding: HoldingPower, stay: Stay, wind_ms: float, wind_from: float, columns: int, rows: int
) -> list[str]:
    """Return the polar with its legend beside it, as plain rows for a terminal of so many columns; `wind_ms`
    and `wind_from` NaN where not known. Rows end where their text does."""
    wind = Wind(wind_ms, math.nan, wind_from)
    across = min(2 * rows + 2 * AROUND, columns)
    drawn = [
        "".join(text for text, _ink in row) for row in draw_polar(holding, stay, wind, across, rows).runs()
    ]
    words = [f"{entry.mark} {entry.text}" for entry in legend(holding, stay, wind)]
    room = columns - across - 2
    if room < 24:
        return [row.rstrip() for row in drawn] + words
    beside = [part for row in words for part in _folded(row, room)][: len(drawn)]
    beside += [""] * (len(drawn) - len(beside))
    return [f"{row}  {text}".rstrip() for row, text in zip(drawn, beside, strict=True)]


def _folded(text: str, room: int) -> list[str]:
    """Return a row of the legend over as many as it takes, the later ones set in under the words."""
    rows, row = [], ""
    for word in text.split(" "):
        longer = f"{row} {word}" if row else word
        if len(longer) > room and row.strip():
            rows.append(row)
            longer = f"  {word}"
        row = longer
    return [*rows, row]
