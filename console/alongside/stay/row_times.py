"""The time that a row bears itself: which groups of the pattern or columns, in which form, in which zone."""

import re
from datetime import datetime
from typing import Final

from alongside.stay.fields import NAME, Field
from alongside.stay.model import RowTime
from alongside.stay.nodes import Node, shown
from alongside.stay.records import exactly_one, optional, record
from alongside.stay.sources import HEADING, one_or_more

_PARTS: Final = frozenset("YymdHMSfjzIp%")
_DATES: Final = [frozenset(parts) for parts in ("Ymd", "ymd", "Yj", "yj", "")]
_ZONE: Final = re.compile(r"(?:Z|[-+](?:0\d|1[0-4]):[0-5]\d)", re.ASCII)


def _read_form(node: Node) -> str:
    text = node.text(FORM.expected) or ""
    if text in ("", "iso", "unix"):
        return text
    parts = re.findall(r"%(.?)", text)
    wrong = next((part for part in parts if part not in _PARTS), None)
    if not parts or wrong is not None:
        node.fault(f"{shown(text)} is no form of a time" + (f" (%{wrong})" if wrong else ""), FORM.expected)
    elif len(set(parts) - {"%"}) < len([part for part in parts if part != "%"]):
        node.fault(f"{shown(text)} names a part of the time twice", FORM.expected)
    elif not ("H" in parts or {"I", "p"} <= set(parts)):
        node.fault(f"{shown(text)} has no hour", FORM.expected)
    elif frozenset(parts) & frozenset("Yymdj") not in _DATES:
        node.fault(f"{shown(text)} has half a date", "year, month and day, or none of them")
    elif not _reads_itself(text):
        node.fault(f"{shown(text)} cannot be read back", FORM.expected)
    return text


def _reads_itself(form: str) -> bool:
    moment = datetime.fromisoformat("2026-11-29T13:45:56+00:00")
    try:
        datetime.strptime(moment.strftime(form), form)
    except (ValueError, re.error):
        return False
    return True


def _read_zone(node: Node) -> float:
    text = node.text(ZONE.expected) or "Z"
    if not _ZONE.fullmatch(text):
        node.fault(f"{shown(text)} is not an offset", ZONE.expected)
        return 0.0
    if text == "Z":
        return 0.0
    seconds = int(text[1:3]) * 3600.0 + int(text[4:6]) * 60.0
    return -seconds if text[0] == "-" else seconds


FORM: Final = Field(
    'iso, unix, or a form such as "%d.%m.%Y %H:%M:%S" (parts Y y m d H M S f j z I p)', _read_form
)
ZONE: Final = Field('an offset such as "+02:00", or Z', _read_zone)


def _names_its_zone_once(node: Node, time: RowTime) -> None:
    own = time.form == "unix" or "%z" in time.form
    if own and time.zone_s is not None:
        node["zone"].fault("the form names its zone itself", "no zone")
    elif not own and time.form != "iso" and time.zone_s is None:
        node.fault("one key is missing", f"zone, {ZONE.expected}")


def _row_time(
    group: tuple[str, ...] = (), column: tuple[str, ...] = (), form: str = "iso", zone: float | None = None
) -> RowTime:
    return RowTime(group or column, form, zone)


ROW_TIME: Final = record(
    _row_time,
    _names_its_zone_once,
    exactly_one("group", "column"),
    group=optional(one_or_more(NAME)),
    column=optional(one_or_more(HEADING)),
    form=optional(FORM),
    zone=optional(ZONE),
)
