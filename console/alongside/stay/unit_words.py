"""Words for units as gauges write them beside a number, and what brings it to a channel's unit.

Factors are exact by definition: foot 0.3048 m, fathom 6 feet, mile 1609.344 m, pound-force 4.4482216152605 N.
A bare `ton` is in no list: it may be a metric, a long or a short one. Magnetic degrees are no true ones.
"""

from collections.abc import Mapping
from math import pi
from typing import Final

from alongside.stay.channels import kind_of
from alongside.units import KNOT, G

FOOT: Final = 0.3048
POUND_FORCE: Final = 4.4482216152605e-3
"""kN in one."""

MILLIAMPERE: Final = "mA"
"""The unit of a current loop."""


def _named(*units: tuple[float, str]) -> Mapping[str, float]:
    return {word: factor for factor, words in units for word in words.split()}


_WORDS: Final[Mapping[str, Mapping[str, float]]] = {
    "m": _named(
        (1.0, "m metre metres meter meters mtr"),
        (0.1, "dm"),
        (0.01, "cm"),
        (0.001, "mm"),
        (FOOT, "ft feet foot '"),
        (FOOT / 12.0, 'in inch inches "'),
        (6.0 * FOOT, "fm fathom fathoms"),
    ),
    "deg": _named((1.0, "deg degs degree degrees °"), (180.0 / pi, "rad"), (0.18 / pi, "mrad")),
    "m/s": _named(
        (1.0, "m/s mps"),
        (KNOT, "kn kt kts knot knots"),
        (1.0 / 3.6, "km/h kmh kph"),
        (1609.344 / 3600.0, "mph"),
        (FOOT, "ft/s fps"),
        (0.01, "cm/s"),
    ),
    "kN": _named(
        (1.0, "kn"),
        (0.001, "n"),
        (0.01, "dan"),
        (G, "t tf tonne tonnes mt"),
        (G / 1000.0, "kg kgf kgs kilopond kp"),
        (POUND_FORCE, "lb lbs lbf"),
        (1000.0 * POUND_FORCE, "kip kips klbf klb"),
    ),
    MILLIAMPERE: _named((1.0, "ma"), (1000.0, "a"), (0.001, "ua µa")),
}

_OTHERS: Final = frozenset(
    {"mn", "v", "mv", "bar", "mbar", "hpa", "kpa", "pa", "psi", "mh2o", "inh2o", "%", "ppm", "c", "°c", "f"}
    | {"°f", "k", "hz", "s", "ton", "tons", "st"}
)
"""Units that no channel is in."""
_UNLIKE: Final = frozenset({("m/s", "kN"), ("kN", "kn")})
"""Kilonewtons are no knots; in capitals either is written KN."""
_KNOWN: Final = frozenset().union(*_WORDS.values(), _OTHERS)
LONGEST_WORD: Final = max(map(len, _KNOWN))

FOLLOWING_FIELD: Final[Mapping[str, Mapping[str, float]]] = {
    "m": {"M": 1.0, "f": FOOT, "F": 6.0 * FOOT},
    "deg": {"D": 1.0, "T": 1.0},
    "m/s": {"N": KNOT, "M": 1.0, "K": 1.0 / 3.6, "S": 1609.344 / 3600.0},
    "kN": {"N": 0.001},
    MILLIAMPERE: {"A": 1000.0},
}
"""Letters for units in a field of their own, after IEC 61162-1 (from memory): f is feet, F fathoms, as in
DBT; N knots, K km/h, S statute miles an hour, as in MWV."""


def factor(unit: str, word: str) -> float | None:
    """Return what brings a number in `word` to `unit` (of a channel, or mA); None where it is no such
    unit."""
    if (unit, word) in _UNLIKE:
        return None
    return _WORDS[unit].get(word.lower())


def field_factor(unit: str, word: str) -> float | None:
    """Return the same for a unit that stands in a field of its own, where a letter has the standard's
    sense."""
    letters = FOLLOWING_FIELD[unit]
    return letters[word] if word in letters else factor(unit, word)


def is_unit_word(word: str) -> bool:
    """Return whether this is a word for a unit of anything."""
    return word.lower() in _KNOWN


def is_of_no_channel(word: str) -> bool:
    """Return whether this is a word for a unit that no channel is in, such as mbar or V."""
    return word.lower() in _OTHERS


def words_of(unit: str) -> tuple[str, ...]:
    """Return the words that stand for units which can be brought to `unit`."""
    return tuple(_WORDS[unit])


def raw_unit(channel: str, loop: bool) -> str:
    """Return the unit that a channel's raw value must be brought to: mA of a current loop."""
    return MILLIAMPERE if loop else kind_of(channel).unit
