"""What may be replaced by an output: nothing but an earlier output of the same kind, or an empty file.

A file is judged by how it begins, not by its name or by what this run has read. So no record, journal, feed
log, stay file, table, exercise or list of actions is ever written over, however its name came to an option.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.record.layout import JOURNAL, NOW

LOOKED_AT: Final = 4096
"""Bytes from the beginning of a file by which it is judged."""
END_LOOKED_AT: Final = 1_000_000
"""Bytes from the end of one whose beginning does not tell."""
_SCALAR: Final = rb'(?:"[^"]*"|[-+.0-9eE]+|null|true|false)'
_NEVER: Final = re.compile(rb"(?!)")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of output, and how a file of that kind begins."""

    name: str
    begins: re.Pattern[bytes]
    ends: re.Pattern[bytes] | None = None
    """What stands within its last `END_LOOKED_AT` bytes where its beginning does not tell; else None."""


def json_kind(name: str, *keys: str) -> Kind:
    """Return the kind of JSON whose first keys after the format are these, all but the last plain values."""
    first = rb'\s*\{\s*"format":\s*\d+'
    before = b"".join(rb',\s*"%b":\s*%b' % (key.encode(), _SCALAR) for key in keys[:-1])
    return Kind(name, re.compile(first + before + rb',\s*"%b":' % keys[-1].encode()))


def csv_kind(head: Sequence[str]) -> Kind:
    """Return the kind of table whose first two columns are these: later columns come with a stay's lines."""
    first = ",".join(head[:2]).encode()
    return Kind(
        f"table with columns {', '.join(head[:2])}", re.compile(rb"(?:\xef\xbb\xbf)?%b[,\r\n]" % first)
    )


STATES: Final = json_kind("states as JSON lines", "time", "tide")
EVENTS: Final = json_kind("events as JSON lines", "time", "event")
PASSING: Final = json_kind("answer of passing", "time", "ship")
RANGING: Final = json_kind("answer of ranging", "time", "periods")
HOLDING: Final = json_kind("answer of holding", "time", "directions")
AHEAD: Final = json_kind("answer of ahead", "time", "samples")
HEARD: Final = json_kind("what listen heard", "time", "feeds")
COMPARED: Final = json_kind("answer of compare", "time", "until")
ARRANGED: Final = json_kind("answer of arrange", "time", "plan")
ONE_MORE: Final = json_kind("answer of one-more", "time", "aim", "holds_ms")
FARTHER: Final = json_kind("answer of farther", "time", "holds_ms")
LEARN: Final = json_kind("answer of learn", "time", "lines")
DECIDE: Final = json_kind("answer of decide", "time", "orders")
LEAVING: Final = json_kind("answer of leaving", "time", "all_fast")
LEAVING_CARD: Final = Kind("card for leaving", re.compile(rb"LEAVING THE BERTH AT ONCE\n"))
BOARD: Final = Kind("board sheet", re.compile(rb"BOARD SHEET OF TENDING ROUNDS\n"))
LIVES: Final = json_kind("lives of ropes", "lives")
LIFE_TABLE: Final = csv_kind(("key", "by_serial"))
ROPES: Final = json_kind("sheet of ropes", "day", "ropes")
ROPE_TABLE: Final = csv_kind(("serial", "what"))
ROPE_ENTRIES: Final = Kind("template of entries", _NEVER)
"""Somebody may have filled it in."""
SHELF: Final = json_kind("list of exercises", "exercises")
CLASS: Final = json_kind("table of a class", "runs")
DEBRIEF: Final = json_kind("debrief", "exercise", "start")
OUTCOME: Final = json_kind("outcome of a batch", "digest", "name")
BATCH: Final = json_kind("summary of a batch", "stays", "done")
COLUMNS_OF_TABLES: Final = json_kind("columns of tables", "tables")
PARQUET: Final = Kind("table as Parquet", re.compile(rb"PAR1"), re.compile(rb"alongside\.format"))
_PAGE: Final = rb"<!DOCTYPE html>\s*<html[^>]*>\s*<head>.{0,80}default-src 'none'"
_DEBRIEF: Final = rb'.{0,60}content="alongside debrief"'
_ROPES: Final = rb'.{0,60}content="alongside ropes"'
PAGE: Final = Kind("report", re.compile(_PAGE + rb"(?!" + _DEBRIEF + rb")(?!" + _ROPES + rb")", re.S))
ROPE_PAGE: Final = Kind("record sheet of ropes", re.compile(_PAGE + _ROPES, re.S))
DEBRIEF_PAGE: Final = Kind("page of a debrief", re.compile(_PAGE + _DEBRIEF, re.S))
LOG: Final = Kind("feed log", _NEVER)
"""A simulated log cannot be known from a recorded one, which is evidence: none is replaced."""
ACTIONS: Final = Kind("list of actions", _NEVER)
"""What somebody did in an exercise cannot be had again."""
STAY: Final = Kind("stay file", _NEVER)
"""Written only beside an exercise, into a new folder."""
EXERCISE: Final = Kind("exercise", _NEVER)
"""An exercise as it was given is the measure of who went through it."""
VIEW: Final = Kind("view of the screen", _NEVER)
"""What stood on a screen cannot be had again."""

_WHAT: Final[Sequence[tuple[str, re.Pattern[bytes]]]] = (
    ("a journal or another database", re.compile(rb"SQLite format 3\0")),
    ("a packed file such as a feed log", re.compile(rb"\x1f\x8b")),
    ("a feed log", re.compile(rb"\s*[\\$!]")),
    (
        "a list of actions",
        re.compile(rb'\s*\{(?:\s*"format":\s*\d+\s*,)?\s*"time":\s*"[^"]*"\s*,\s*"action":'),
    ),
    ("a file of entries", re.compile(rb"# Entries for ")),
    ("a stay file", re.compile(rb"(?:[^\n]*\n)*?format\s*:")),
    ("another output of this program", re.compile(rb'\s*\{\s*"format":')),
)


def why_kept(head: bytes, kind: Kind, end: bytes = b"") -> str:
    """Return what a file that begins and ends like this is, where it must not be replaced by this kind; ""
    where it may be."""
    if not head or (kind.begins.match(head) and (kind.ends is None or kind.ends.search(end))):
        return ""
    return next((what for what, begins in _WHAT if begins.match(head)), "not an output of this command")


def record_around(place: Path) -> Path | None:
    """Return the folder of the record that a place lies in, up to two levels up; None where it is in none."""
    return next((folder for folder in place.parents[:2] if is_record(folder)), None)


def is_record(folder: Path) -> bool:
    """Return whether a folder holds a record, whole or what is left of one."""
    return any((folder / name).exists() for name in (JOURNAL, *NOW))
