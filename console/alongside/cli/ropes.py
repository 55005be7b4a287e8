"""`alongside ropes`: the history of a ship's ropes by serial number, kept in one database."""

import argparse
import time
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.cli.progress import Progress
from alongside.cli.second_look import name_of_user
from alongside.cli.standard_output import print_aside, print_rows
from alongside.errors import WrongInput
from alongside.reports.extras import need
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import ROPE_ENTRIES, ROPE_PAGE, ROPE_TABLE, ROPES
from alongside.units import utc_day
from alongside.wording.safe import safe

if TYPE_CHECKING:
    from alongside.record.ropes.entry import Entry
    from alongside.reports.ropes.keeping import Found, Ropes

AHEAD_S: Final = 14 * 3600.0
"""By so much the day of a place may be before that of UTC: an entry of today is not one of the future."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    database = "the database; the first entry or record makes it"
    parser.add_argument("database", type=Path, metavar="DB", help=database)
    what = (
        "a serial number, to see all of one rope or tail; with a deed and its fields to enter something: "
        "PL-2207 inspected by=TK findings='chafed, cut yarns' residual_strength=0.82 how=judged"
    )
    parser.add_argument("words", nargs="*", metavar="SERIAL [DEED FIELD=VALUE…]", help=what)
    record = "take in what ropes with serial numbers went through in these records"
    parser.add_argument("--record", type=Path, nargs="+", metavar="RECORD", default=[], help=record)
    log = "the same of a feed log of a stay, played for it"
    parser.add_argument("--log", type=Path, nargs=2, metavar=("STAY", "LOG"), help=log)
    parser.add_argument("--entries", type=Path, metavar="FILE", help="enter what a file of entries has")
    gone = "withdraw an entry or a record by its number: it counts no more, and stays listed"
    parser.add_argument("--withdraw", type=int, metavar="N", help=gone)
    who = "initials of who imports or withdraws (default: the name of the user)"
    parser.add_argument("--by", metavar="TK", help=who)
    day = "what is due is judged on this day (default: today), such as 2027-01-31"
    parser.add_argument("--on", metavar="DAY", help=day)
    parser.add_argument("--records", action="store_true", help="list the records that were taken in")
    parser.add_argument("--sheet", type=Path, metavar="FILE.html", help="the record sheet as a page to print")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="the record sheet as a table")
    parser.add_argument("--json", type=Path, metavar="FILE", help="all of it as JSON")
    template = "a file of entries to fill in, for --entries"
    parser.add_argument("--template", type=Path, metavar="FILE", help=template)
    stay = "with --template: for the ropes of this stay file too"
    parser.add_argument("--stay", type=Path, metavar="STAY", help=stay)


def run(options: argparse.Namespace) -> int:
    now = time.time()
    _check_places(options)
    need("ropes", "report", "rainflow", *(["jinja2"] if options.sheet else []))
    on = _day(options.on) if options.on is not None else None
    if options.stay is not None and options.template is None:
        raise WrongInput("--stay without --template, expected both: it fills the template")
    rows = _kept(options, now)
    if rows:
        print_rows(*rows)
    if options.template is not None and not options.database.exists():
        _write_template(options, None)
        return 0
    from alongside.reports.ropes.keeping import read_ropes

    ropes = read_ropes(options.database, utc_day(now), on)
    print_aside(*ropes.rows_on_clock())
    _write(options, ropes)
    _show(options, ropes, bool(rows))
    return 0


def _check_places(options: argparse.Namespace) -> None:
    inputs = [options.database, *options.record, *(options.log or ())]
    inputs += [each for each in (options.entries, options.stay) if each is not None]
    places = [
        (options.sheet, ROPE_PAGE),
        (options.csv, ROPE_TABLE),
        (options.json, ROPES),
        (options.template, ROPE_ENTRIES),
    ]
    check_outputs(inputs, places)


def _kept(options: argparse.Namespace, now: float) -> list[str]:
    """Keep what is given to be kept; return rows that say what came of it."""
    entries = _entries(options, now)
    found = _found(options)
    if not (entries or found) and options.withdraw is None:
        return []
    from alongside.reports.ropes.keeping import keep

    who = safe(options.by or name_of_user())[:40]
    return keep(options.database, found, entries, options.withdraw, now=now, who=who)


def _entries(options: argparse.Namespace, now: float) -> list["Entry"]:
    from alongside.record.ropes.entry import read_entries, typed_entry

    today = utc_day(now + AHEAD_S)
    entries = list(read_entries(options.entries, today)) if options.entries is not None else []
    serial, deed, *fields = [*options.words, "", ""][: max(2, len(options.words))]
    if not deed:
        return entries
    given: dict[str, str] = {"day": utc_day(now).isoformat()}
    for word in fields:
        name, equals, value = word.partition("=")
        if not equals:
            raise WrongInput(f"{safe(word)!r}, expected FIELD=VALUE such as by=TK; one with blanks in quotes")
        given[name.strip()] = value.strip()
    given.setdefault("by", options.by or name_of_user())
    return [*entries, typed_entry(serial, deed, given, today)]


def _found(options: argparse.Namespace) -> list["Found"]:
    """Read the records, and play the log, before the database is opened."""
    from alongside.reports.ropes.keeping import ropes_of_record

    found: list[Found] = []
    with Progress() as progress:
        for number, path in enumerate(options.record):
            progress.show(number / len(options.record), str(path))
            found.append(ropes_of_record(path))
        if options.log is not None:
            found.append(_of_log(options.log[0], options.log[1], progress))
    return found


def _of_log(stay_file: Path, log: Path, progress: Progress) -> "Found":
    """Play a log onto a record that is removed again."""
    from alongside.record.temporary import temporary_folder
    from alongside.reports.ropes.keeping import ropes_of_record
    from alongside.runtime.log_on_record import put_on_record
    from alongside.stay.read import read_stay

    stay = read_stay(stay_file)
    with temporary_folder(log.name) as folder:
        put_on_record(stay, log, folder, progress.show)
        return ropes_of_record(folder, log.name)


def _day(text: str) -> date:
    from alongside.record.ropes.entry import day_of

    day = day_of(text)
    if day is None:
        raise WrongInput(f"--on {safe(text)!r} is no day, expected such as 2027-01-31")
    return day


def _write(options: argparse.Namespace, ropes: "Ropes") -> None:
    from alongside.reports.output_files import Outputs

    with Outputs() as outputs:
        if options.csv is not None or options.json is not None:
            from alongside.reports.ropes.sheet import sheet_json, sheet_table

            if options.csv is not None:
                sheet_table(outputs, options.csv, ropes)
            if options.json is not None:
                sheet_json(outputs, options.json, ropes)
        if options.sheet is not None:
            from alongside.reports.ropes.sheet_page import sheet_page

            sheet_page(outputs, options.sheet, ropes)
    if options.template is not None:
        _write_template(options, ropes)


def _write_template(options: argparse.Namespace, ropes: "Ropes | None") -> None:
    from alongside.reports.output_files import Outputs
    from alongside.reports.ropes.entry_template import write_template
    from alongside.stay.read import read_stay

    stay = read_stay(options.stay) if options.stay is not None else None
    if ropes is None and stay is None:
        raise WrongInput(f"{options.database}: no database yet, expected --stay too: whose ropes?")
    with Outputs() as outputs:
        write_template(outputs, options.template, str(options.database), ropes, stay)
    print_rows(str(options.template))


def _show(options: argparse.Namespace, ropes: "Ropes", was_kept: bool) -> None:
    """Print one rope, the records, what is due after something was kept, or all ropes."""
    from alongside.record.ropes.entry import serial_of
    from alongside.reports.ropes.history_text import CAUTION, due_rows, import_rows, list_rows, rope_rows
    from alongside.reports.ropes.keeping import no_such_rope

    if options.words and len(options.words) == 1:
        serial = serial_of(options.words[0])
        one = ropes.of(serial)
        if one is None:
            known = [each.history.serial for each in ropes.conditions]
            raise WrongInput(no_such_rope(options.database, serial, known))
        print_rows(*rope_rows(one, ropes.today), "", *CAUTION)
    elif options.records:
        print_rows(*import_rows(ropes.imports))
    elif was_kept:
        # Of a rope that something was entered of by name: that one alone.
        one = ropes.of(serial_of(options.words[0])) if options.words else None
        print_rows(*due_rows(ropes.conditions if one is None else [one], ropes.today))
    elif not any((options.sheet, options.csv, options.json, options.template)):
        print_rows(*list_rows(ropes.conditions, ropes.today), "", *CAUTION)
    else:
        print_rows(*(str(each) for each in (options.sheet, options.csv, options.json) if each is not None))
