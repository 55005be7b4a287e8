"""Which channel a figure may be, by the words that stand beside it; a guess, for somebody to look at."""

import re
from typing import Final

from alongside.stay.channels import SENTENCES
from alongside.stay.unit_words import factor, is_unit_word

_FORWARD: Final = r"F|FW|FWD|FORE|FORWARD|BOW"
_AFT: Final = r"A|AF|AFT|STERN"
_DRAUGHT: Final = r"(?:DR|DRFT|DRAFT|DRAUGHT|TIRANT)"
_WORDS: Final[tuple[tuple[str, str], ...]] = (
    (
        rf"{_DRAUGHT}S?_(?:{_FORWARD})|DR(?:{_FORWARD})[A-Z]?|(?:{_FORWARD})_{_DRAUGHT}|FWD|FORE|FORWARD",
        "draught_fwd",
    ),
    (rf"{_DRAUGHT}S?_(?:{_AFT})|DR(?:{_AFT})[A-Z]?|(?:{_AFT})_{_DRAUGHT}|AFT|STERN", "draught_aft"),
    (r"(?:MID|DRM)_?(?:P|PS|PORT)|DRMP", "draught_mid_port"),
    (r"(?:MID|DRM)_?(?:S|SB|STBD)|DRMS", "draught_mid_stbd"),
    (r"TIDE|TIDEGAUGE|LEVEL|WL|WATERLEVEL|WATER_LEVEL|PEGEL|HTD", "tide"),
    (r"HEEL|LIST|INCLINOMETER", "heel"),
    (r"HDG|HEADING|GYRO", "heading"),
    (r"(?:WIND_?)?(?:SPD|SPEED)|WS|WSPD|WIND", "wind_speed"),
    (r"(?:WIND_?)?(?:DIR|DIRECTION)|WD|WDIR", "wind_from"),
    (r"CURRENT|CUR_SPD", "current_speed"),
    (r"DEPTH|SOUNDER", "depth"),
)
_TENSION: Final = re.compile(r"(?:HOOK|CELL|LOAD|TENSION|TEN|LINE)_?([0-9]{1,2}[A-Z]?)")


def guessed(words: str, unit: str) -> str | None:
    """Return the channel that a name stands for, where its words say so and its unit fits; None where nothing
    does."""
    name = re.sub(r"[^A-Z0-9]+", "_", words.upper()).strip("_")
    if tension := _TENSION.fullmatch(name):
        return f"tension.{tension[1]}" if not unit or factor("kN", unit) is not None else None
    front, _, last = name.rpartition("_")
    name = front if front and is_unit_word(last) and len(last) > 1 else name
    if not name:
        return None
    for pattern, channel in _WORDS:
        if re.fullmatch(pattern, name) or re.fullmatch(pattern, name.rpartition("_")[2]):
            return channel
    return None


def of_sentence(formatter: str) -> tuple[str, ...]:
    """Return the channels that a sentence of the standard carries; none of XDR, which carries any."""
    return SENTENCES.get(formatter, ())
