"""Keep what is imported and entered in a database of ropes, and read all of it back."""

import sqlite3
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from alongside.cycle.deck.new_line import is_stand_in
from alongside.errors import WrongInput
from alongside.record.opening import open_record
from alongside.record.ropes.database import database_to_read, database_to_write
from alongside.record.ropes.entry import Entry
from alongside.record.ropes.parts import parts_of
from alongside.record.ropes.store import (
    Kept,
    KeptImport,
    Outcome,
    RecordKept,
    enter,
    entries_in,
    imports_in,
    serials_in,
    take_in,
    uses_in_database,
    withdraw,
)
from alongside.record.ropes.use import Use, uses_in
from alongside.reports.output_places import refuse_in_record
from alongside.reports.ropes.condition import Condition, condition_of
from alongside.reports.ropes.history import histories_of, last_day
from alongside.reports.ropes.history_text import renaming
from alongside.units import iso_time, utc_day
from alongside.wording.figures import counted, listed
from alongside.wording.safe import safe

BEGINS: Final = ("certificate", "fitted")
"""Deeds by which a rope comes into the database."""


@dataclass(frozen=True, slots=True)
class Ropes:
    """All that a database holds, on a day: `today`, or the day of the last entry where the clock of this
    computer is before it."""

    path: Path
    conditions: tuple[Condition, ...]
    kept: tuple[Kept, ...]
    imports: tuple[KeptImport, ...]
    today: date
    clock: date

    def of(self, serial: str) -> Condition | None:
        """Return the condition of the rope with a serial number, by the name it goes by now."""
        return next((each for each in self.conditions if each.history.serial == serial), None)

    def rows_on_clock(self) -> Iterator[str]:
        """Yield that the clock of this computer cannot be right, where it is so."""
        if self.today > self.clock:
            yield (
                f"check the clock: it says {self.clock}, the last entry is of {self.today}; "
                f"what is due is judged on {self.today}"
            )


@dataclass(frozen=True, slots=True)
class Found:
    """A record and what ropes with serial numbers went through in it."""

    record: RecordKept
    uses: tuple[Use, ...]


def read_ropes(path: Path, clock: date, on: date | None = None, wait_s: float | None = None) -> Ropes:
    """Return all that a database holds, and what is due today; on the day `on` where that is given, without
    what was done later. Raises WrongInput where it cannot be read."""
    with database_to_read(path, wait_s) as database:
        kept, imports = entries_in(database), imports_in(database)
        uses = tuple(uses_in_database(database))
    if on is not None:
        last = on + timedelta(days=1)  # the day of a place may be one after that of UTC
        known = [each for each in kept if each.entry.deed == "certificate" or each.entry.day <= f"{last}"]
        begun = [(number, use) for number, use in uses if utc_day(use.since) <= last]
        return Ropes(path, tuple(map(condition_of, histories_of(known, begun))), kept, imports, on, on)
    today = max([clock, *([newest] if (newest := last_day(kept, imports)) is not None else [])])
    return Ropes(path, tuple(map(condition_of, histories_of(kept, uses))), kept, imports, today, clock)


def ropes_of_record(path: Path, name: str = "") -> Found:
    """Return what a record says of ropes with serial numbers; `name` is what it is called, else its folder.
    Raises WrongInput where it cannot be read, or no rope in it has a serial number."""
    with open_record(path) as record:
        uses, span, runs = uses_in(record), record.span(), record.runs()
    assert span is not None, "a record with uses has a span"
    stay = runs[-1].stay
    known = tuple(use for use in uses if use.part.by_serial)
    without = dict.fromkeys(
        f"{'tail of ' if part.what == 'tail' else ''}line {part.line}"
        for run in runs
        for part in parts_of(run.stay)
        if not part.by_serial
    )
    name = name or path.resolve().name
    if not known:
        raise WrongInput(
            f"{name}: no rope in it has a serial number, expected serial: of lines and tails in {stay.file}"
        )
    serials = len({use.part.key for use in known})
    kept = RecordKept(name, runs[0].stay.ship.name, stay.name, *span, serials, tuple(without))
    return Found(kept, known)


def keep(
    path: Path,
    found: Sequence[Found] = (),
    entries: Sequence[Entry] = (),
    withdrawn: int | None = None,
    *,
    now: float,
    who: str,
) -> list[str]:
    """Keep records and entries, all or none, and withdraw an entry. Return rows that say what came of each.
    Raises WrongInput or DiskFailed: then nothing is kept."""
    refuse_in_record(path, path.resolve())
    rows: list[str] = []
    with database_to_write(path) as database:
        before = {each.record.ship for each in imports_in(database) if each.stands}
        for each in found:
            number, outcome = take_in(database, each.record, each.uses, now, who)
            rows += _import_rows(each, number, outcome, before)
            before.add(each.record.ship)
        _known_ropes(database, path, entries)
        for entry in entries:
            number, outcome = enter(database, entry, now)
            rows.append(
                f"entry {number}: {safe(entry.serial)} {entry.deed} {entry.day}, {_OF_ENTRY[outcome]}"
            )
        if withdrawn is not None:
            kind = withdraw(database, withdrawn, now, who)
            rows.append(f"entry {withdrawn} ({kind}) is withdrawn; enter or import it again to undo that")
    return rows


def _known_ropes(database: sqlite3.Connection, path: Path, entries: Sequence[Entry]) -> None:
    """Raise WrongInput for an entry of a rope that is not known yet, mostly a slip of the pen: a rope comes
    in by a record, its certificate or where it is fitted."""
    if not entries:
        return
    known = set(serials_in(database))
    known |= {str(each.fields["to"]) for each in entries if each.deed == "renamed"}
    known |= {each.serial for each in entries if each.deed in BEGINS}
    for entry in entries:
        if entry.serial not in known:
            raise WrongInput(no_such_rope(path, entry.serial, known, "its certificate or fitted first"))


def no_such_rope(path: Path, serial: str, known: Collection[str], otherwise: str = "") -> str:
    """Return that a database has no such rope, with the serial numbers nearest to it."""
    near = [safe(each) for each in get_close_matches(serial, sorted(known), n=3, cutoff=0.5)]
    expected = f"one such as {listed(near)}" if near else "a serial number of it"
    expected = "; or ".join(part for part in (expected, otherwise) if part)
    return f"{path}: no rope {safe(serial)!r}, expected {expected}"


_OF_ENTRY: dict[Outcome, str] = {"new": "kept", "known": "known already", "again": "stands again"}
_OF_IMPORT: dict[Outcome, str] = {
    "new": "kept",
    "known": "known already, counts once",
    "longer": "longer than before, takes its place",
    "shorter": "a longer version of it is kept already, left out",
    "again": "stands again",
}


def _import_rows(found: Found, number: int, outcome: Outcome, ships: set[str]) -> Iterator[str]:
    record, uses = found.record, found.uses
    span = f"{iso_time(record.begin)[:16]}Z to {iso_time(record.end)[:16]}Z"
    yield (
        f"entry {number}: {safe(record.name)}, {span}, {counted(record.ropes, 'rope')}: {_OF_IMPORT[outcome]}"
    )
    for serial in sorted({use.part.key for use in uses if is_stand_in(use.part.key)}):
        yield f"  a new rope without its number: {renaming(serial)}"
    if record.without:
        yield f"  no serial number, not kept: {safe(', '.join(record.without))}"
    if ships and record.ship not in ships:
        others = safe(", ".join(sorted(ships)))
        yield f"  ship {safe(record.ship)}, records before are of {others}: withdraw it if that is wrong"
