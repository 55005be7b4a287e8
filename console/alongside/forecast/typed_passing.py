"""A ship that passes: how she is typed, and a peak that was seen of her."""

import re
from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.pass_tried import MOST_MS, OtherShip
from alongside.forecast.peak_seen import SeenPeak
from alongside.stay.model import Display, Stay
from alongside.wording.figures import force_figure, slow_speed
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


def ship_and_peak(text: str, stay: Stay) -> tuple[OtherShip, SeenPeak | None]:
    """Return the ship that was typed, and the peak behind her: `…, peak 4=12 to 32 at 6 kn`. Raise WrongInput
    with what was expected."""
    ship, *peak = re.split(r",?\s+peak\s+", text, maxsplit=1, flags=re.IGNORECASE)
    if not peak:
        return other_ship(text), None
    loads, at, speed = peak[0].rpartition(" at ")
    if not at:
        raise WrongInput(f"{safe(peak[0])!r}: at which speed? expected such as: peak 4=12 to 32 at 6 kn")
    return other_ship(ship), seen_peak(loads, typed_speed(speed), stay)


def asked_words(ship: OtherShip, seen: SeenPeak | None, display: Display) -> str:
    """Return both as they can be typed again."""
    words = ship_words(ship, display)
    if seen is None:
        return words
    still, peak = (force_figure(each, display) for each in (seen.still_kn, seen.peak_kn))
    at = slow_speed(seen.speed_ms, display)
    return f"{words}, peak {safe(seen.line)}={still} to {peak} {display.force} at {at}"


def seen_peak(text: str, speed_ms: float, stay: Stay) -> SeenPeak:
    """Return the line and its load before a ship passed at a speed, m/s, and at the peak, from `4=12 to 32`.
    Raise WrongInput with what was expected."""
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
    return SeenPeak(line.id, still, peak, speed_ms)


def ship_words(ship: OtherShip, display: Display) -> str:
    """Return a ship as she can be typed again."""
    size = "x".join(f"{each:g}" for each in (ship.length, ship.breadth, ship.draught))
    depth = "" if ship.depth_m is None else f" depth {ship.depth_m:g} m"
    return f"{BEGINS} {size} at {ship.distance_m:g} m {slow_speed(ship.speed_ms, display)}{depth}"
