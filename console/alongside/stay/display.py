"""Section `display:`, the units and the clock on screen."""

import re
from typing import Final

from alongside.stay.fields import Field, choice
from alongside.stay.model import Display
from alongside.stay.nodes import Node, shown
from alongside.stay.records import optional, record

_OFFSET: Final = re.compile(r"[-+](0\d|1[0-4]):[0-5]\d", re.ASCII)
_NAME: Final = re.compile(r"[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+)*", re.ASCII)


def _read_zone(node: Node) -> str:
    text = node.text(ZONE.expected) or ""
    if text and not _OFFSET.fullmatch(text) and not _is_zone_name(text):
        node.fault(f"{shown(text)} is not a zone known here", ZONE.expected)
    return text


def _is_zone_name(name: str) -> bool:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError  # most stays give an offset and need no tables

    try:
        return bool(_NAME.fullmatch(name)) and ZoneInfo(name) is not None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False  # not there, not a zone's file, or a folder of the tables such as `Europe`


ZONE: Final = Field('an offset such as "+02:00", or a name such as Europe/Lisbon', _read_zone)

DISPLAY: Final = record(
    Display,
    force=optional(choice("t", "kN")),
    speed=optional(choice("kn", "m/s")),
    zone=optional(ZONE),
)
