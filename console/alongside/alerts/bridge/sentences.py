"""Sentences of IEC 61162-1 about alerts, as bytes without their line end: fields by the standard's list, from
memory, checked in tests against a library that reads them.

ALF one alert, ALC list of alerts, HBT heartbeat, ARC command refused; ALR one alarm, for old receivers.
"""

import unicodedata
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Final

from alongside.alerts.bridge.numbers import IDENTIFIERS, category
from alongside.alerts.bridge.sent import Sent
from alongside.feeds.sentence import sentence

LONGEST_BODY: Final = 76
"""Characters between `$` and `*` that keep a sentence within the 82 of the standard."""
LONGEST_TITLE: Final = 16
MOST_LISTS: Final = 99
"""Sentences of one list of alerts."""
RESERVED: Final = frozenset("$*,!\\^~\x7f")
"""What stands for itself in no field; written as `^` and two hexadecimal digits."""
_PLAIN: Final = str.maketrans({"°": " deg", "–": "-", "—": "-", "·": "-", "×": "x", "→": ">", "…": "..."})
_CUT: Final = "..."


def alf(alert: Sent, instance: int, sequence: int, talker: str, maker: str) -> tuple[bytes, ...]:
    """Return one alert: a sentence with its title, and a second with its text where that says more."""
    identifier = IDENTIFIERS[alert.key[0]]
    number = f"{maker},{identifier},{instance},{alert.revision},{alert.escalations}"
    title, text = plain(alert.title).upper(), plain(alert.text)
    more = bool(text) and text.upper() != title
    stands = f"{clock(alert.at)},{category(alert.key[0])},{alert.priority},{alert.state}"
    first = f"{talker}ALF,{1 + more},1,{sequence % 10},{stands},{number},"
    sentences = [sentence(first + fitted(title, min(LONGEST_TITLE, LONGEST_BODY - len(first))))]
    if more:
        second = f"{talker}ALF,2,2,{sequence % 10},,,,,{number},"
        sentences.append(sentence(second + fitted(text, LONGEST_BODY - len(second))))
    return tuple(sentences)


def alc(alerts: Sequence[tuple[Sent, int]], sequence: int, talker: str, maker: str) -> tuple[bytes, ...]:
    """Return the list of alerts, each with its instance, in as many sentences as it needs; one without
    entries where there is none."""
    entries = [
        f",{maker},{IDENTIFIERS[alert.key[0]]},{instance},{alert.revision}" for alert, instance in alerts
    ]
    room = LONGEST_BODY - len(f"{talker}ALC,99,99,99,9")
    groups: list[list[str]] = [[]]
    for entry in entries:
        if groups[-1] and sum(map(len, groups[-1])) + len(entry) > room:
            groups.append([])
        groups[-1].append(entry)
    groups = groups[:MOST_LISTS]
    head = f"{talker}ALC,{len(groups):02d}"
    return tuple(
        sentence(f"{head},{place:02d},{sequence % 100:02d},{len(group)}{''.join(group)}")
        for place, group in enumerate(groups, 1)
    )


def hbt(every_s: float, well: bool, sequence: int, talker: str) -> bytes:
    """Return a heartbeat: how often it comes, s, and whether the console works as it should."""
    return sentence(f"{talker}HBT,{every_s:g},{'A' if well else 'V'},{sequence % 10}")


def arc(now: float, identifier: int, instance: int | None, command: str, talker: str, maker: str) -> bytes:
    """Return that a command was refused, naming it."""
    which = "" if instance is None else instance
    return sentence(f"{talker}ARC,{clock(now)},{maker},{identifier},{which},{command}")


def alr(alert: Sent, number: int, talker: str) -> bytes:
    """Return one alarm for old receivers: its condition `A` while it is beyond its limit, then whether it was
    acknowledged."""
    beyond = "V" if alert.state in "UN" else "A"
    answered = "V" if alert.state in "VSU" else "A"
    head = f"{talker}ALR,{clock(alert.at)},{number:03d},{beyond},{answered},"
    return sentence(head + fitted(plain(alert.text), LONGEST_BODY - len(head)))


def no_alr(talker: str) -> bytes:
    """Return that no alarm stands."""
    return sentence(f"{talker}ALR,,,V,V,")


def clock(time: float) -> str:
    """Return the time of day in UTC as `hhmmss.ss`."""
    hundredths = round(time * 100.0)
    at = datetime.fromtimestamp(hundredths // 100, UTC)
    return f"{at:%H%M%S}.{hundredths % 100:02d}"


def plain(text: str) -> str:
    """Return a text in printable ASCII: accents fall, what has no plain letter is `?`."""
    letters = unicodedata.normalize("NFKD", text.translate(_PLAIN))
    kept = (letter for letter in letters if not unicodedata.combining(letter))
    ascii_only = "".join(letter if " " <= letter <= "~" else "?" for letter in kept)
    return " ".join(ascii_only.split())


def fitted(text: str, room: int) -> str:
    """Return as much of a plain text as fits into so many characters of a field, reserved ones as `^2C`; one
    that is cut ends in dots, where there is room for them."""
    letters = [f"^{ord(letter):02X}" if letter in RESERVED else letter for letter in text]
    if sum(map(len, letters)) <= room:
        return "".join(letters)
    end = _CUT if room > 2 * len(_CUT) + LONGEST_TITLE else ""
    size, kept = len(end), []
    for letter in letters:
        size += len(letter)
        if size > room:
            break
        kept.append(letter)
    return "".join(kept).rstrip() + end
