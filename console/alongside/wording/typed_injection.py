"""What an instructor types to put trouble into an exercise: `gust 35 from 210 for 10 min`, `tide frozen for
20 min`, `part 4`, `brake 4 18 t`, `cargo Hold 3 x2`, `surge 0.5 for 60 min`, `terminal: words`."""

import re
from collections.abc import Callable
from typing import Final

from alongside.errors import WrongInput
from alongside.stay.gauge_faults import OF_VALUES
from alongside.stay.model import Stay
from alongside.wording.figures import force_text, speed_text
from alongside.wording.names import channel as channel_words
from alongside.wording.safe import safe
from alongside.wording.times import clock, span
from alongside.wording.typed_tending import line_of, load_kn, number
from alongside.wording.typed_times import time_of_day, times_of_day
from alongside.wording.typed_wind import typed_from, typed_speed

Typed = tuple[dict[str, str | float], str]
"""Keys and values of an injection as an exercise file has them, but for its time; and in words."""
SENDERS: Final = {
    "terminal": "terminal",
    "tug": "tug",
    "engine": "engine",
    "engine room": "engine",
    "master": "master",
}
KINDS: Final = {
    "dead": "silent",
    "spikes": "spike",
    "zero": "false_zero",
    "off": "offset",
    "drifts": "drift",
    "unit": "wrong_unit",
    **{kind: kind for kind in OF_VALUES},
}
GUST_S: Final = 600.0
TROUBLE_S: Final = 1800.0
LONGEST: Final = 200
"""Characters of a message."""
DAY_S: Final = 86400.0
EXPECTED: Final = (
    "gust 35 from 210 for 10 min, tide frozen for 20 min, part 4, brake 4 18 t, cargo NAME x2 or stops, "
    "surge 0.5 for 60 min, terminal: words"
)
_NUMBER: Final = r"[0-9]+(?:[.,][0-9]*)?"
_FOR: Final = re.compile(rf"\s+(?:for\s+)?({_NUMBER})\s*(s|min|h)$", re.IGNORECASE)
_SECONDS: Final = {"s": 1.0, "min": 60.0, "h": 3600.0}
_GUST: Final = re.compile(
    rf"gust\s+(?:of\s+)?({_NUMBER}\s*(?:kn|m/s)?)(?:\s+from\s+([0-9]{{1,3}}))?", re.IGNORECASE
)
_PART: Final = re.compile(
    r"part(?:s|ed)?\s+(?:line\s+)?(\S+)|(?:line\s+)?(\S+)\s+part(?:s|ed)", re.IGNORECASE
)
_BRAKE: Final = re.compile(
    rf"brake\s+(?:of\s+)?(?:line\s+)?(\S+)\s+(?:holds\s+)?({_NUMBER})\s*(t|kn)?", re.IGNORECASE
)
_CARGO: Final = re.compile(rf"cargo\s+(.+?)\s+(?:(stops?|stopped)|(?:x|times)\s*({_NUMBER}))", re.IGNORECASE)
_SURGE: Final = re.compile(rf"surge\s+(?:of\s+)?([+-]?{_NUMBER})\s*m?", re.IGNORECASE)
_GAUGE: Final = re.compile(rf"(.+?)\s+({'|'.join(KINDS)})(?:\s+(?:by\s+)?(\S+))?", re.IGNORECASE)
_MESSAGE: Final = re.compile(rf"({'|'.join(SENDERS)})\s*:\s*(.+)", re.IGNORECASE)


def typed_injection(text: str, stay: Stay) -> Typed:
    """Return the injection that a text means. Raise WrongInput with what was expected."""
    text = " ".join(text.split())
    message = _MESSAGE.fullmatch(text)
    if message is not None:
        return _message(message[1], message[2])
    lasts = _FOR.search(text)
    seconds = None if lasts is None else number(lasts[1]) * _SECONDS[lasts[2].lower()]
    short = text if lasts is None else text[: lasts.start()]
    for form, meaning in _MEANINGS:
        typed = form.fullmatch(short)
        if typed is not None:
            return meaning(typed, stay, seconds)
    raise WrongInput(f"{safe(text)!r}, expected such as {EXPECTED}")


def typed_moment(text: str, now: float, stay: Stay) -> float | None:
    """Return the time of the stay that is meant, UNIX s: `now` (None), `+10` minutes, or a time of day, the
    next one. Raise WrongInput with what was expected."""
    text = text.strip().lower()
    if text in ("", "now"):
        return None
    later = re.fullmatch(rf"\+\s*({_NUMBER})\s*(s|min|h)?", text)
    if later is not None:
        return float(round(now + number(later[1]) * _SECONDS[later[2] or "min"]))
    of_day = time_of_day(text)
    times = [] if of_day is None else times_of_day(of_day, stay.display, [(now, now + DAY_S)])
    if not times:
        raise WrongInput(f"at {safe(text)!r}, expected now, +10 (minutes) or a time such as 15:20")
    return times[0]


def moment_words(at: float | None, stay: Stay) -> str:
    """Return `at once`, or `at 15:20`."""
    return "at once" if at is None else f"at {clock(at, stay.display, '%H:%M:%S')}"


def _message(sender: str, words: str) -> Typed:
    words = safe(words).strip()
    if len(words) > LONGEST:
        raise WrongInput(f"{len(words)} characters, expected at most {LONGEST}: send two")
    name = SENDERS[sender.lower()]
    return {"kind": "message", "from": name, "text": words}, f"{name}: {words}"


def _gust(typed: re.Match[str], stay: Stay, seconds: float | None) -> Typed:
    speed, lasts = typed_speed(typed[1], stay.display, "gust"), seconds or GUST_S
    if speed <= 0.0:
        raise WrongInput("gust of 0, expected more")
    plain: dict[str, str | float] = {"kind": "gust", "seconds": lasts, "speed_ms": speed}
    way = ""
    if typed[2] is not None:
        plain["from_deg"] = typed_from(typed[2])
        way = f" from {typed[2]}°"
    return plain, f"gust of {speed_text(speed, stay.display)}{way} for {span(lasts)}"


def _part(typed: re.Match[str], stay: Stay, _seconds: float | None) -> Typed:
    line = line_of(stay, typed[1] or typed[2]).id
    return {"kind": "parted_line", "line": line}, f"line {safe(line)} parts"


def _brake(typed: re.Match[str], stay: Stay, _seconds: float | None) -> Typed:
    line = line_of(stay, typed[1])
    holds = load_kn(number(typed[2]), typed[3] or "", stay, line.smallest_mbl_kn)
    plain: dict[str, str | float] = {"kind": "brake_rendering", "line": line.id, "brake_kn": holds}
    return plain, f"brake of line {safe(line.id)} holds {force_text(holds, stay.display)}"


def _cargo(typed: re.Match[str], stay: Stay, _seconds: float | None) -> Typed:
    names = {each.name.lower(): each.name for each in stay.cargo}
    name = names.get(typed[1].lower())
    if name is None:
        known = ", ".join(safe(each) for each in names.values()) or "none: there is no cargo plan"
        raise WrongInput(f"no cargo operation {safe(typed[1])!r}, expected one of {known}")
    times = 0.0 if typed[2] else number(typed[3])
    how = "stops" if times == 0.0 else f"goes at {times:g} times its rate"
    return {"kind": "cargo_rate", "operation": name, "times": times}, f"cargo {safe(name)} {how}"


def _surge(typed: re.Match[str], stay: Stay, seconds: float | None) -> Typed:
    metres, lasts = float(typed[1].replace(",", ".")), seconds or 2.0 * TROUBLE_S
    plain: dict[str, str | float] = {"kind": "tide_surge", "seconds": lasts, "metres": metres}
    return plain, f"water {abs(metres):g} m {'higher' if metres >= 0.0 else 'lower'} for {span(lasts)}"


def _gauge(typed: re.Match[str], stay: Stay, seconds: float | None) -> Typed:
    heard = {source.channel for feed in stay.feeds for source in feed.channels}
    heard = {each for each in heard if not each.startswith("tension.")}
    known = {each: each for each in heard} | {channel_words(each).lower(): each for each in heard}
    name = known.get(typed[1].lower().removesuffix(" gauge"))
    if name is None:
        raise WrongInput(f"no gauge {safe(typed[1])!r}, expected one of {', '.join(sorted(heard))}")
    kind, lasts = KINDS[typed[2].lower()], seconds or TROUBLE_S
    plain: dict[str, str | float] = {"kind": kind, "channel": name, "seconds": lasts}
    words = f"{channel_words(name)} {kind.replace('_', ' ')}"
    if kind in ("offset", "drift") and typed[3] is None:
        raise WrongInput(f"{words} by how much? expected such as {name} {kind} 0.5 for 20 min")
    if kind == "wrong_unit":
        if typed[3] is None:
            raise WrongInput(f"{words}: which? expected such as {name} wrong_unit ft")
        plain["unit"] = typed[3]
        words = f"{channel_words(name)} in {safe(typed[3])}"
    elif typed[3] is not None:
        plain["by"] = _signed(typed[3], name)
        words += f" by {plain['by']:g}"
    return plain, f"{words} for {span(lasts)}"


def _signed(text: str, name: str) -> float:
    typed = re.fullmatch(rf"([+-]?)({_NUMBER})(?:m|°|kn)?", text)
    if typed is None:
        raise WrongInput(f"{name} by {safe(text)!r}, expected a number in its unit")
    return number(typed[2]) * (-1.0 if typed[1] == "-" else 1.0)


_MEANINGS: Final[tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Stay, float | None], Typed]], ...]] = (
    (_GUST, _gust),
    (_PART, _part),
    (_BRAKE, _brake),
    (_CARGO, _cargo),
    (_SURGE, _surge),
    (_GAUGE, _gauge),
)
