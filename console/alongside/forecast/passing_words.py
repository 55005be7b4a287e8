"""A ship that passes: how she is typed, and what she does to the lines, in words."""

import re
from math import floor, inf, isnan
from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.ship_passes import MOST_MS, OtherShip, Passed, peak_at, speed_by_peak
from alongside.stay.model import Display, Stay
from alongside.units import KNOT
from alongside.wording.figures import figure, force_figure, metres, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import what_gives
from alongside.wording.safe import safe
from alongside.wording.typed_speed import typed_speed
from alongside.wording.typed_tending import NUMBER, line_of, load_kn, number

BEGINS: Final = "passing"
EXAMPLE: Final = "passing 220x32x9.5 at 100 m 6 kn"
_SIZE: Final = "x".join(rf"\s*(?P<{name}>{NUMBER})\s*(?:m\s*)?" for name in ("length", "breadth", "draught"))
_FORM: Final = re.compile(
    rf"(?:{BEGINS}\s+)?{_SIZE},?\s+at\s+(?P<distance>{NUMBER})\s*m?,?\s+(?P<speed>(?:{NUMBER})\s*(?:kn|m/s))"
    rf"(?:,?\s+depth\s+(?P<depth>{NUMBER})\s*m?)?",
    re.IGNORECASE,
)
_PEAK: Final = re.compile(
    rf"(?P<line>.+?)=(?P<still>{NUMBER})\s*(?P<still_unit>t|kn)?\s*(?:to|-)\s*(?P<peak>{NUMBER})\s*(?P<peak_unit>t|kn)?",
    re.IGNORECASE,
)
SIZES: Final = {
    "length": (5.0, 500.0),
    "breadth": (2.0, 100.0),
    "draught": (0.5, 30.0),
    "distance": (5.0, 2000.0),
}
CAUTION: Final = (
    "An estimate: slim hulls in wide, still water, her own motion left out. The pull",
    "may be half or twice as large; judged is twice. Slack lines let her gather way:",
    "heave them in before. The master's judgement, the ship's line management plan",
    "and port rules stand above it.",
)


def other_ship(text: str) -> OtherShip:
    """Return the ship that was typed: `220x32x9.5 at 100 m 6 kn depth 14`; the distance is from centreline to
    centreline. Raise WrongInput with what was expected."""
    match = _FORM.fullmatch(" ".join(text.split()))
    if match is None:
        expected = f"expected LENGTHxBREADTHxDRAUGHT at DISTANCE m SPEED kn, such as: {EXAMPLE}"
        raise WrongInput(f"{safe(text)!r}: not understood, {expected}")
    for name, (least, most) in SIZES.items():
        if not least <= number(match[name]) <= most:
            raise WrongInput(f"{name} {match[name]} m is not possible, expected {least:g} to {most:g} m")
    speed = typed_speed(match["speed"])
    if speed > MOST_MS:
        raise WrongInput(f"{match['speed']} is not possible, expected at most {MOST_MS:g} m/s")
    depth = None if match["depth"] is None else number(match["depth"])
    length, breadth, draught, distance = (number(match[name]) for name in SIZES)
    return OtherShip(length, breadth, draught, distance, speed, depth)


def seen_peak(text: str, stay: Stay) -> tuple[str, float, float]:
    """Return the line and its load, kN, before a ship passed and at the peak, from `4=12 to 32`. Raise
    WrongInput with what was expected."""
    match = _PEAK.fullmatch(text.strip())
    if match is None:
        raise WrongInput(f"{safe(text)!r}: not understood, expected LINE=LOAD to PEAK, such as: 4=12 to 32")
    line = line_of(stay, match["line"])
    still, peak = (
        load_kn(number(match[name]), match[f"{name}_unit"] or "", stay, line.smallest_mbl_kn, "")
        for name in ("still", "peak")
    )
    if not peak > still:
        raise WrongInput(f"{safe(text)!r}: the peak is no more than the load before, expected more")
    return line.id, still, peak


def ship_words(ship: OtherShip, display: Display) -> str:
    """Return a ship as she can be typed again."""
    size = "x".join(f"{each:g}" for each in (ship.length, ship.breadth, ship.draught))
    depth = "" if ship.depth_m is None else f" depth {ship.depth_m:g} m"
    return f"{BEGINS} {size} at {ship.distance_m:g} m {_speed(ship.speed_ms, display)}{depth}"


def passing_sentence(passed: Passed, display: Display, by_peak_ms: float = inf) -> str:
    """Return what is most to be known: what gives, or that nothing does, and the speed to ask for, which is
    never more than hers. `by_peak_ms`: at which a line comes to its limit by a peak that was seen, NaN where
    it is over it before."""
    what = what_gives(passed.gives, passed.where)
    if passed.gives == "drift":
        what = f"{metres(max(passed.moved_m), 1)} off her place"
    if passed.ask_ms is None:
        return f"OVER A LIMIT before she comes: {what}"
    if isnan(by_peak_ms):
        return "OVER A LIMIT before she comes: the load that was seen"
    hers = passed.ship.speed_ms
    ask = f" Ask for at most {_at_most(min(passed.ask_ms, by_peak_ms, hers), display)}."
    if passed.share[2] >= 1.0:
        end = "as computed" if passed.share[1] >= 1.0 else "with twice the pull computed"
        return f"TOO FAST: {end}, {what} first.{ask}"
    if by_peak_ms <= hers:
        return f"TOO FAST by the peak that was seen, not by the pull computed.{ask}"
    return f"Nothing gives: at most {percent(passed.share[2])} of a limit with twice the pull.{ask}"


def passing_rows(passed: Passed, stay: Stay, by_peak_ms: float = inf) -> list[str]:
    """Return the answer in rows, without the caution; `by_peak_ms` as in `passing_sentence`."""
    display = stay.display
    along, off, on = (force_figure(each, display) for each in passed.pull_kn)
    moved = " and ".join(metres(each, 1) for each in passed.moved_m)
    rows = [
        passing_sentence(passed, display, by_peak_ms),
        "",
        f"Pull as computed, {display.force}: {along} along, {off} off the quay, {on} on to it; "
        f"{metres(passed.depth_m, 1)} of water.",
        f"With twice the pull she moves {moved} along and across.",
        _fenders(passed, display),
        "",
        f"{'line':<8}{'before':>8}  {'half':>6} {'computed':>8} {'twice':>6}   {'limit':>6}, {display.force}",
    ]
    for line in passed.lines:
        half, computed, twice = (_load(each, display) for each in line.peak_kn)
        over = "  over its limit" if line.peak_kn[2] > line.limit_kn else ""
        still, limit = _load(line.still_kn, display), _load(line.limit_kn, display)
        rows.append(f"{safe(line.line):<8}{still:>8}  {half:>6} {computed:>8} {twice:>6}   {limit:>6}{over}")
    return rows


def most_by_peak(stay: Stay, seen_ms: float, line: str, still: float, peak: float) -> float:
    """Return the speed, m/s, at which the same ship brings a line to its working limit or its brake; NaN
    where its load before is over it."""
    one = next(each for each in stay.lines if each.id == line)
    winch = stay.ship.winches.get(one.winch or "")
    holding = None if winch is None else winch.holding_kn
    limit = one.smallest_wll_kn if holding is None else min(one.smallest_wll_kn, holding)
    return speed_by_peak(seen_ms, still, peak, limit)


def peak_rows(stay: Stay, ship: OtherShip, seen_ms: float, line: str, still: float, peak: float) -> list[str]:
    """Return what a peak that was seen as the same ship passed at a speed says of her next pass."""
    display = stay.display
    highest = most_by_peak(stay, seen_ms, line, still, peak)
    ask = (
        "its load before is over its limit"
        if isnan(highest)
        else f"at its limit at {_speed(highest, display)}"
    )
    next_peak = force_figure(peak_at(ship.speed_ms, seen_ms, still, peak), display)
    return [
        f"By the peak of line {safe(line)}, {force_figure(peak, display)} {display.force} at "
        f"{_speed(seen_ms, display)}: {next_peak} {display.force} at {_speed(ship.speed_ms, display)}, {ask}",
    ]


def _fenders(passed: Passed, display: Display) -> str:
    if passed.on_fenders_ms is None:
        return "She is off her fenders before the other comes."
    if not passed.off_fenders:
        return "She stays on her fenders."
    return f"She comes off her fenders; not below {_speed(passed.on_fenders_ms, display)}."


def _speed(ms: float, display: Display) -> str:
    return (
        f"{figure(ms / KNOT, 2).rstrip('0').rstrip('.')} kn"
        if display.speed == "kn"
        else f"{figure(ms, 1)} m/s"
    )


def _at_most(ms: float, display: Display) -> str:
    """Return a speed to ask for, in quarters of a knot or tenths of a metre a second, never rounded up."""
    unit, parts = (KNOT, 4.0) if display.speed == "kn" else (1.0, 10.0)
    return _speed(floor(ms / unit * parts + 1e-6) / parts * unit, display)


def _load(kn: float, display: Display) -> str:
    return NOT_KNOWN if isnan(kn) else force_figure(kn, display)
