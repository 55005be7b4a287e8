"""Periods of her motions beside a reported wave: how a wave is typed, and what comes of it, in words."""

import re
from collections.abc import Iterable, Iterator
from math import isfinite
from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.periods import MOTIONS, OtherLoads, Period, Wave, cures
from alongside.wording.figures import figure, percent
from alongside.wording.safe import safe
from alongside.wording.typed_tending import NUMBER, number

BEGINS: Final = "wave"
EXAMPLE: Final = "wave 60 to 80 s"
LONGEST_S: Final = 3600.0
_FORM: Final = re.compile(
    rf"(?:{BEGINS}\s+)?(?P<shortest>{NUMBER})\s*s?(?:\s*(?:to|-)\s*(?P<longest>{NUMBER})\s*s?)?",
    re.IGNORECASE,
)
MOST_CURES: Final = 3
CAUTION: Final = (
    "The periods are those at the loads of now, for small motions; large ones take longer.",
    "The master's judgement, the ship's line management plan and port rules stand above it.",
)


def typed_wave(text: str) -> Wave:
    """Return the wave that was typed: `wave 60 to 80 s`, or one period. Raise WrongInput with what was
    expected."""
    match = _FORM.fullmatch(" ".join(text.split()))
    if match is None:
        raise WrongInput(f"{safe(text)!r}: not understood, expected periods in seconds, such as: {EXAMPLE}")
    shortest = number(match["shortest"])
    longest = shortest if match["longest"] is None else number(match["longest"])
    if not 1.0 <= shortest <= longest <= LONGEST_S:
        raise WrongInput(f"{safe(text)!r}: expected 1 to {LONGEST_S:g} s, the shortest period first")
    return Wave(shortest, longest)


def wave_words(wave: Wave) -> str:
    """Return a wave as it can be typed again."""
    to = "" if wave.longest == wave.shortest else f" to {wave.longest:g}"
    return f"{BEGINS} {wave.shortest:g}{to} s"


def period_words(period: Period) -> str:
    """Return `surge 68 s (58 to 79)`."""
    if not isfinite(period.expected):
        return f"{period.motion}: nothing draws her back"
    longest = figure(period.longest) if isfinite(period.longest) else "more"
    return f"{period.motion} {figure(period.expected)} s ({figure(period.shortest)} to {longest})"


def own_periods(periods: Iterable[Period]) -> str:
    """Return all her periods: `Her own periods: surge 68 s (58 to 79), …`."""
    return f"Her own periods: {', '.join(map(period_words, periods))}"


def ranging_sentence(periods: tuple[Period, ...], wave: Wave) -> str:
    """Return whether she ranges in a wave: `Surge 68 s, wave 60 to 80 s: SHE WILL RANGE`."""
    near = [each for each in periods if wave.is_near(each.expected)]
    if near:
        which = ", ".join(f"{each.motion} {figure(each.expected)} s" for each in near)
        return f"{which[0].upper()}{which[1:]}, {wave_words(wave)}: SHE WILL RANGE"
    may = [each for each in periods if wave.may_be_near(each)]
    if may:
        return f"{', '.join(map(period_words, may))}, {wave_words(wave)}: she MAY RANGE"
    return f"No motion of hers is near {wave_words(wave)}"


def ranging_rows(periods: tuple[Period, ...], wave: Wave | None, tried: Iterable[OtherLoads]) -> list[str]:
    """Return the periods, what a wave makes of them, and what other loads of the lines would make of both."""
    rows = [own_periods(periods)]
    if wave is None:
        return rows
    rows = [ranging_sentence(periods, wave), *rows]
    if any(wave.may_be_near(each) for each in periods):
        rows += ["", *_cure_rows(list(tried), wave)]
    return rows


def _cure_rows(tried: list[OtherLoads], wave: Wave) -> Iterator[str]:
    serve = sorted(cures(tried, wave), key=lambda each: each.load_share)[:MOST_CURES]
    if not serve:
        yield "No tighter or slacker set brings her clear of it with all lines under their warnings."
    for each in serve:
        yield f"{_set_words(each)}: {_all(each)}; loads to {percent(each.load_share)} of a limit"
    yield ""
    head = " ".join(f"{motion:>7}" for motion in MOTIONS)
    yield f"{'lines set to':<24}{head}   highest load"
    for each in tried:
        figures = " ".join(f"{_seconds(value):>7}" for value in each.periods)
        over = "" if each.serves else "  over a warning"
        yield f"{_set_words(each):<24}{figures}   {percent(each.load_share):>7}{over}"


def _set_words(each: OtherLoads) -> str:
    way = "tighter" if each.factor > 1.0 else "slacker"
    return f"{each.lines} {way}, {figure(each.factor, 1)} x"


def _all(each: OtherLoads) -> str:
    return ", ".join(f"{name} {_seconds(value)} s" for name, value in zip(MOTIONS, each.periods, strict=True))


def _seconds(value: float) -> str:
    return figure(value) if isfinite(value) else "none"
