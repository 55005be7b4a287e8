"""How readings by hand are typed, one grammar for the form and the command: `9.70`, `9,70 m`, pairs of crest
and trough `9.28/9.15 9.32/9.10`; `tide 3.40, heel 0.5 port, mid 9.90 10.10, wind 25 from 210, ukc 1.20`."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal, get_args

from alongside.errors import WrongInput
from alongside.stay.channels import KINDS
from alongside.stay.model import Display
from alongside.units import KNOT
from alongside.wording.safe import safe

Way = Literal["quay", "boat", "waves"]
WAYS: Final[tuple[Way, ...]] = get_args(Way)
MOST_WAVES_M: Final = 3.0
"""Higher than this nobody reads a mark."""
MOST_PAIRS: Final = 20
_NUMBER: Final = r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_PAIR: Final = re.compile(rf"({_NUMBER})/({_NUMBER})")
_VALUE: Final = re.compile(rf"({_NUMBER})\s*m?", re.IGNORECASE)
_HEEL: Final = re.compile(rf"heel\s+({_NUMBER})\s*(?:deg|°)?\s*(port|stbd|starboard)?", re.IGNORECASE)
_WIND: Final = re.compile(
    rf"wind\s+({_NUMBER})\s*(kn|m/s)?\s*(?:from\s+)?([0-9]{{1,3}})\s*(?:deg|°)?", re.IGNORECASE
)
_MID: Final = re.compile(rf"mid\s+({_NUMBER})\s+({_NUMBER})", re.IGNORECASE)
_LEVEL: Final = re.compile(r"(tide|fwd|aft|ukc)\s+(.+)", re.IGNORECASE)
LEVELS: Final = {"tide": "tide", "fwd": "draught_fwd", "aft": "draught_aft", "ukc": "under_keel"}
"""How a level is named where it is typed."""
EXAMPLE: Final = "tide 3.40, heel 0.5 port, mid 9.90 10.10, wind 25 from 210, ukc 1.20"


@dataclass(frozen=True, slots=True)
class TypedLevel:
    """A level, m, and the height of the waves that it was read in, m; 0 where none was typed."""

    value: float
    waves_m: float = 0.0


def typed_level(text: str) -> TypedLevel:
    """Return the level of a text: one figure, or the mean of several pairs of crest and trough. Raise
    WrongInput with what was expected."""
    text = text.strip()
    one = _VALUE.fullmatch(text)
    if one:
        return TypedLevel(number(one[1]))
    pairs = [_PAIR.fullmatch(each) for each in text.split()]
    if not pairs or len(pairs) > MOST_PAIRS or None in pairs:
        raise WrongInput(
            f"{safe(text)!r}, expected metres such as 9.70, or pairs such as 9.28/9.15 9.32/9.10"
        )
    heights = [(number(pair[1]), number(pair[2])) for pair in pairs if pair is not None]
    waves = sum(abs(crest - trough) for crest, trough in heights) / len(heights)
    if waves > MOST_WAVES_M:
        raise WrongInput(
            f"waves of {waves:.2f} m, expected at most {MOST_WAVES_M:g} m between crest and trough"
        )
    return TypedLevel(sum(crest + trough for crest, trough in heights) / (2.0 * len(heights)), waves)


def typed_others(text: str, display: Display) -> Iterator[tuple[str, TypedLevel]]:
    """Yield (channel, value in its unit) of what else was read, parts with commas between. Raise WrongInput
    with what was expected."""
    for part in re.split(r"[,;]\s+", text.strip()):
        if part:
            yield from _other(part.strip(), display)


def _other(part: str, display: Display) -> Iterator[tuple[str, TypedLevel]]:
    if heel := _HEEL.fullmatch(part):
        side = -1.0 if (heel[2] or "").lower() == "port" else 1.0
        yield "heel", TypedLevel(side * number(heel[1]))
    elif wind := _WIND.fullmatch(part):
        unit = (wind[2] or display.speed).lower()
        yield "wind_speed", TypedLevel(number(wind[1]) * (1.0 if unit == "m/s" else KNOT))
        yield "wind_from", TypedLevel(float(wind[3]))
    elif mid := _MID.fullmatch(part):
        yield "draught_mid_port", TypedLevel(number(mid[1]))
        yield "draught_mid_stbd", TypedLevel(number(mid[2]))
    elif level := _LEVEL.fullmatch(part):
        yield LEVELS[level[1].lower()], typed_level(level[2])
    else:
        raise WrongInput(f"{safe(part)!r}, expected such as: {EXAMPLE}")


def number(text: str) -> float:
    """Return a figure typed with a point or a comma."""
    return float(text.replace(",", "."))


def typed_way(text: str) -> tuple[Way, float]:
    """Return how it was read, and the height of the waves, m: `quay`, `b`, `waves 0.4`. Raise WrongInput with
    what was expected."""
    word, _, rest = text.strip().lower().partition(" ")
    way = next((each for each in WAYS if word and each.startswith(word)), None)
    height = _VALUE.fullmatch(rest.strip()) if rest.strip() else None
    if way is None or (rest.strip() and (height is None or way != "waves")):
        raise WrongInput(f"{safe(text)!r}, expected quay, boat, or waves and their height: waves 0.4")
    metres = number(height[1]) if height else 0.0
    if way == "waves" and not 0.0 < metres <= MOST_WAVES_M:
        raise WrongInput(
            f"waves of {metres:g} m, expected their height, above 0 and at most {MOST_WAVES_M:g} m"
        )
    return way, metres


def check_reading(channel: str, value: float, name: str) -> None:
    """Raise WrongInput for what cannot have been read: `name` is the channel in words."""
    low, high = KINDS[channel].range if channel in KINDS else (-5.0, 30.0)
    unit = KINDS[channel].unit if channel in KINDS else "m"
    if not (isfinite(value) and low <= value <= high):
        if unit == "m/s":  # as it is typed
            value, low, high, unit = value / KNOT, low / KNOT, high / KNOT, "kn"
        raise WrongInput(
            f"{name} {value:.4g} {unit} is not possible, expected {low:.4g} to {high:.4g} {unit}"
        )


def check_twice(values: Sequence[tuple[str, float]]) -> None:
    """Raise WrongInput where a channel is typed twice."""
    names = [channel for channel, _ in values]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise WrongInput(f"{twice} stands there twice, expected one reading of each")
