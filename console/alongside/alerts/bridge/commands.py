"""What the bridge asks for: read from its sentences, and judged against the alert that it is about.

ACN is a command of IEC 61162-1 to one alert: acknowledge, silence, take the responsibility over, send again.
ACK acknowledges an alarm of an ALR. A line that is no whole sentence with its checksum asks for nothing.
"""

from dataclasses import dataclass
from typing import Final, Literal

from alongside.actions import FROM_THE_BRIDGE, Acknowledge, Action, Silence
from alongside.alerts.bridge.numbers import IDENTIFIERS, category
from alongside.alerts.model import Alert, Standing
from alongside.feeds.flaws import Flawed
from alongside.feeds.sentence import said_by, split_tags
from alongside.stay.stage import Stage

Deed = Literal["A", "S", "O", "Q"]
"""Acknowledge, silence, transfer of responsibility, send again."""
DEEDS: Final[tuple[Deed, ...]] = ("A", "S", "O", "Q")
_ACN_FIELDS: Final = 7
_MOST_DIGITS: Final = 7


@dataclass(frozen=True, slots=True)
class Command:
    """`number` is an identifier, or of an ACK a local number; None: of all alerts. `instance` None: of
    whichever alert has the identifier."""

    deed: Deed
    number: int | None
    instance: int | None = None


Refused = Literal["refused"]
Again = Literal["again"]


def acn_in(line: bytes, maker: str) -> Command | None:
    """Return the command of a line that is one to an alert of ours, None for any other line: on a group for
    commands there are those to others as well."""
    fields = _fields(line, "ACN", _ACN_FIELDS)
    if fields is None or fields[6] != "C":
        return None
    deed = next((each for each in DEEDS if each == fields[5]), None)
    asks_all = deed == "Q" and not any(fields[2:5])  # for the alerts of all makers
    if fields[2] != maker and not asks_all:
        return None
    number, instance = _number(fields[3]), _number(fields[4])
    if deed is None or (fields[4] and instance is None):
        return None
    if not fields[3]:
        return Command("Q", None) if deed == "Q" else None
    return Command(deed, number, instance) if number in IDENTIFIERS.values() else None


def ack_in(line: bytes) -> Command | None:
    """Return the acknowledgement of an old receiver; None for any other line."""
    fields = _fields(line, "ACK", 2)
    number = None if fields is None else _number(fields[1])
    return None if number is None else Command("A", number)


def judged(command: Command, alert: Alert) -> Action | Refused | Again:
    """Return what a command does to an alert: an action of the watch; nothing, because it may not be so; or
    nothing but that the alert is sent again, because it is so already or no more was asked."""
    if command.deed == "Q":
        return "again"
    if alert.stage <= Stage.CAUTION:
        return "refused"
    if command.deed == "S":
        sounds = alert.standing is Standing.UNACKNOWLEDGED and not (alert.suspended or alert.is_accepted)
        return Silence(FROM_THE_BRIDGE, alert.cause, alert.subject) if sounds else "again"
    if category(alert.cause) == "A":
        return "refused"
    if command.deed == "A":
        return Acknowledge(*alert.key, by=FROM_THE_BRIDGE) if alert.owed else "again"
    if alert.standing is Standing.RECTIFIED or not (alert.owed or alert.transferred):
        return "refused"
    return Acknowledge(*alert.key, by=FROM_THE_BRIDGE, transferred=True) if alert.owed else "again"


def _fields(line: bytes, formatter: str, count: int) -> list[str] | None:
    """Return the fields of a sentence of this kind, its address first; None for any other line."""
    try:
        _, rest = split_tags(line)
        fields = said_by(rest).decode("ascii").split(",")
    except (Flawed, UnicodeDecodeError):
        return None
    address = fields[0]
    return fields if len(fields) == count and len(address) == 5 and address[2:] == formatter else None


def _number(field: str) -> int | None:
    return int(field) if field.isascii() and field.isdigit() and len(field) <= _MOST_DIGITS else None
