"""What a database of ropes holds, and how it is changed: entries and imports, numbered in one order.

Nothing is taken out but the uses of an import that a longer version of the same record replaces; what was
entered wrongly is withdrawn, and stays in sight as such. Each row bears a digest of itself, so that no figure
is read that a disk has spoilt.
"""

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite, nan
from typing import Any, Final, Literal, TypeVar

import numpy as np

from alongside.errors import WrongInput
from alongside.record.faults import WrongRecord
from alongside.record.ropes.entry import DEEDS, Entry, day_of
from alongside.record.ropes.parts import Part
from alongside.record.ropes.use import Use
from alongside.stay.model import Rope
from alongside.units import iso_time

IMPORT: Final = "record"
"""Kind of the entry of an imported record; all other kinds are deeds."""
_ENTRY: Final = "number, entered, kind, serial, day, who, identity, fields, withdrawn, withdrawn_by"
_USE: Final = "entry, serial, what, line, ship, rope, fast_at, since, until, figures, turns"
_FIGURES: Final = ("known_s", "carried_s", "above_wll_s", "peak_kn", "peak_at", "parted_at")
_OF_ROPE: Final = (
    "kind", "mbl_kn", "wll_fraction", "residual_strength", "wet_strength", "design_mbl_kn", "certificate",
    "material",
)  # fmt: skip

T = TypeVar("T")
Outcome = Literal["new", "longer", "known", "shorter", "again"]


@dataclass(frozen=True, slots=True)
class Kept:
    """An entry with its number, when it was entered, and when it was withdrawn, NaN where it was not."""

    number: int
    entered: float
    entry: Entry
    withdrawn: float = nan
    withdrawn_by: str = ""

    @property
    def stands(self) -> bool:
        return self.withdrawn != self.withdrawn


@dataclass(frozen=True, slots=True)
class RecordKept:
    """An imported record: what it was called, of which ship and stay, from when to when; `ropes` were kept,
    `without` lines bore no serial number."""

    name: str
    ship: str
    stay: str
    begin: float
    end: float
    ropes: int
    without: tuple[str, ...] = ()

    @property
    def identity(self) -> str:
        """Return by what the same record is known again, however long it has become: its ship, and when its
        watch began."""
        mark = hashlib.sha256(json.dumps([self.ship, round(self.begin, 3)]).encode()).hexdigest()
        return f"record {mark}"


@dataclass(frozen=True, slots=True)
class KeptImport:
    number: int
    entered: float
    record: RecordKept
    withdrawn: float = nan

    @property
    def stands(self) -> bool:
        return self.withdrawn != self.withdrawn


def entries_in(database: sqlite3.Connection) -> tuple[Kept, ...]:
    """Return every entry by hand, withdrawn ones too, in the order in which they were entered. Raises
    WrongRecord for a damaged row."""
    asked = f"SELECT {_ENTRY}, digest FROM entries WHERE kind != ? ORDER BY number"
    return tuple(_read(_kept, row) for row in database.execute(asked, (IMPORT,)))


def _kept(row: Sequence[Any]) -> Kept:
    number, entered, kind, serial, day, who, _, fields, gone, gone_by = row
    if kind not in DEEDS or day_of(day) is None:
        raise ValueError(f"{kind} {day}")
    entry = Entry(str(serial), kind, day, str(who), _object(fields))
    return Kept(number, float(entered), entry, _or_nan(gone), gone_by or "")


def imports_in(database: sqlite3.Connection) -> tuple[KeptImport, ...]:
    """Return every import of a record, withdrawn ones too. Raises WrongRecord for a damaged row."""
    asked = f"SELECT {_ENTRY}, digest FROM entries WHERE kind = ? ORDER BY number"
    return tuple(_read(_import, row) for row in database.execute(asked, (IMPORT,)))


def _import(row: Sequence[Any]) -> KeptImport:
    number, entered, *_, fields, gone, _ = row
    return KeptImport(number, float(entered), _record(fields), _or_nan(gone))


def uses_in_database(database: sqlite3.Connection) -> Iterator[tuple[int, Use]]:
    """Yield every use of imports that stand, with the number of its import. Raises WrongRecord for a damaged
    row."""
    stands = "entry IN (SELECT number FROM entries WHERE withdrawn IS NULL)"
    asked = f"SELECT {_USE}, digest FROM uses WHERE {stands} ORDER BY since, line"
    return (_read(_use, row) for row in database.execute(asked))


def _use(row: Sequence[Any]) -> tuple[int, Use]:
    entry, serial, what, line, ship, rope, fast_at, since, until, figures, turns = row
    values, numbers = _object(rope), _object(figures)
    known = Rope(name=values.pop("name"), curve=(), **values)
    part = Part(str(serial), True, what, str(line), str(ship), known)
    slips = tuple(float(at) for at in numbers.pop("slips"))
    found = {name: _or_nan(numbers[name]) for name in _FIGURES}
    loads = np.frombuffer(turns, dtype="<f8").astype(np.float64)
    times = (float(fast_at), float(since), float(until))
    return entry, Use(part, *times, turns=loads, slips=slips, **found)


def _read(make: Callable[[Sequence[Any]], T], row: Sequence[Any]) -> T:
    """Return what a row holds, the last its digest. Raises WrongRecord where it is not as it was written."""
    if _digest(row[:-1]) != row[-1]:
        raise WrongRecord(f"row of entry {row[0]}: not as it was written")
    try:
        return make(row[:-1])
    except (TypeError, ValueError, KeyError, AttributeError) as error:
        raise WrongRecord(f"row of entry {row[0]}: {error}") from error


def serials_in(database: sqlite3.Connection) -> tuple[str, ...]:
    """Return every serial number that anything was entered or imported of."""
    asked = "SELECT serial FROM entries WHERE kind != ? UNION SELECT serial FROM uses"
    return tuple(str(serial) for (serial,) in database.execute(asked, (IMPORT,)))


def enter(database: sqlite3.Connection, entry: Entry, now: float) -> tuple[int, Outcome]:
    """Keep an entry. Return its number, and whether it is new, known already, or stands again after it was
    withdrawn."""
    row = (entry.deed, entry.serial, entry.day, entry.who, entry.identity, _text(entry.fields))
    return _put(database, row, now)


def take_in(
    database: sqlite3.Connection, record: RecordKept, uses: Sequence[Use], now: float, who: str
) -> tuple[int, Outcome]:
    """Keep the uses of a record. The same record again changes nothing; a longer version of it takes the
    place of the one before, a shorter one is left out. Raises WrongInput where a rope of it was in another
    place at the same time by another record: nothing is kept then."""
    known = database.execute(
        "SELECT number, fields, withdrawn FROM entries WHERE identity = ?", (record.identity,)
    ).fetchone()
    if known is not None:
        number, fields, withdrawn = known
        before = _record(fields)
        if withdrawn is None and record.end < before.end:
            return number, "shorter"
        outcome: Outcome = "longer" if record.end > before.end else "again" if withdrawn else "known"
        database.execute("DELETE FROM uses WHERE entry = ?", (number,))
        again = "UPDATE entries SET fields = ?, withdrawn = NULL, withdrawn_by = NULL WHERE number = ?"
        database.execute(again, (_text(_of_record(record)), number))
        _seal(database, number)
    else:
        row = (IMPORT, "", iso_time(record.begin)[:10], who, record.identity, _text(_of_record(record)))
        number, outcome = _put(database, row, now)
    _in_one_place(database, number, uses)
    rows = [_use_row(number, use) for use in uses]
    database.executemany("INSERT INTO uses VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)
    return number, outcome


def withdraw(database: sqlite3.Connection, number: int, now: float, who: str) -> str:
    """Withdraw an entry or an import by its number. Return its kind. Raises WrongInput where there is none,
    or it is withdrawn already."""
    row = database.execute("SELECT kind, withdrawn FROM entries WHERE number = ?", (number,)).fetchone()
    if row is None:
        most = database.execute("SELECT ifnull(max(number), 0) FROM entries").fetchone()[0]
        raise WrongInput(f"no entry {number}, expected a number from 1 to {most}, as the lists show them")
    kind, before = row
    if before is not None:
        raise WrongInput(f"entry {number} is withdrawn already, since {iso_time(before)}")
    database.execute(
        "UPDATE entries SET withdrawn = ?, withdrawn_by = ? WHERE number = ?", (now, who, number)
    )
    _seal(database, number)
    return str(kind)


def _put(database: sqlite3.Connection, row: tuple[str, ...], now: float) -> tuple[int, Outcome]:
    known = database.execute("SELECT number, withdrawn FROM entries WHERE identity = ?", (row[4],)).fetchone()
    if known is None:
        added = database.execute(
            "INSERT INTO entries VALUES (NULL, ?, ?, ?, ?, ?, ?, ?, NULL, NULL, '')", (now, *row)
        )
        _seal(database, added.lastrowid or 0)
        return added.lastrowid or 0, "new"
    number, withdrawn = known
    if withdrawn is None:
        return number, "known"
    again = "UPDATE entries SET withdrawn = NULL, withdrawn_by = NULL, entered = ? WHERE number = ?"
    database.execute(again, (now, number))
    _seal(database, number)
    return number, "again"


def _seal(database: sqlite3.Connection, number: int) -> None:
    """Give an entry that was written the digest of itself."""
    row = database.execute(f"SELECT {_ENTRY} FROM entries WHERE number = ?", (number,)).fetchone()
    database.execute("UPDATE entries SET digest = ? WHERE number = ?", (_digest(row), number))


def _digest(row: Sequence[object]) -> str:
    """Return SHA-256 of the values of a row."""
    plain = [value.hex() if isinstance(value, bytes) else value for value in row]
    return hashlib.sha256(json.dumps(plain).encode()).hexdigest()


def _in_one_place(database: sqlite3.Connection, number: int, uses: Iterable[Use]) -> None:
    """Raise WrongInput where a use overlaps one of the same rope by another import."""
    asked = (
        "SELECT line, since, until, entry, fields FROM uses JOIN entries ON number = entry "
        "WHERE uses.serial = ? AND since < ? AND until > ? AND entry != ? AND withdrawn IS NULL LIMIT 1"
    )
    for use in uses:
        found = database.execute(asked, (use.part.key, use.until, use.since, number)).fetchone()
        if found is not None:
            line, since, until, entry, fields = found
            other = _record(fields)
            raise WrongInput(
                f"{use.part.key}: in line {use.part.line} from {iso_time(use.since)} to "
                f"{iso_time(use.until)}, but by {other.name} (entry {entry}) in line {line} from "
                f"{iso_time(since)} to {iso_time(until)}, expected each stay once: withdraw entry {entry}, "
                "or leave this one out"
            )


def _use_row(number: int, use: Use) -> tuple[object, ...]:
    rope = {"name": use.part.rope.name, **{name: getattr(use.part.rope, name) for name in _OF_ROPE}}
    figures: dict[str, object] = {name: _or_null(getattr(use, name)) for name in _FIGURES}
    figures["slips"] = list(use.slips)
    part = (use.part.key, use.part.what, use.part.line, use.part.ship, _text(rope))
    turns = use.turns.astype("<f8").tobytes()
    row = (number, *part, float(use.fast_at), float(use.since), float(use.until), _text(figures), turns)
    return (*row, _digest(row))


def _of_record(record: RecordKept) -> dict[str, object]:
    names = ("name", "ship", "stay", "begin", "end", "ropes")
    return {name: getattr(record, name) for name in names} | {"without": list(record.without)}


def _record(text: str) -> RecordKept:
    values = _object(text)
    return replace(RecordKept(**values), without=tuple(values["without"]))


def _text(values: Mapping[str, Any]) -> str:
    return json.dumps(values, ensure_ascii=False, allow_nan=False)


def _object(text: str) -> dict[str, Any]:
    values = json.loads(text)
    if not isinstance(values, dict):
        raise ValueError(f"{text[:40]!r}")
    return values


def _or_nan(value: float | None) -> float:
    return nan if value is None else float(value)


def _or_null(value: float) -> float | None:
    return value if isfinite(value) else None
