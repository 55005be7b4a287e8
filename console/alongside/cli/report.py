"""`alongside report`: a stay on record as a page and as tables; or one of a stay file and a feed log."""

import argparse
from pathlib import Path

from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import PAGE
from alongside.reports.stay.write import MoreTables, check_tables, need_libraries, write_report
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    record = "the folder of a record, or the journal in it; or the stay file of a log"
    parser.add_argument("record", type=Path, metavar="RECORD", help=record)
    log = "a feed log, plain or .gz: it is played, and the page made of that; RECORD is then the stay file"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=log)
    out = "the page (default: the record's or log's name with .html, in this folder)"
    parser.add_argument("--out", type=Path, metavar="FILE.html", help=out)
    tables = "states, events, actions and lines as tables"
    every = "a chart of every line (default: of those that came to a stage, were tended or not known)"
    parser.add_argument("--all-lines", action="store_true", help=every)
    parser.add_argument("--csv", type=Path, metavar="FOLDER", help=tables)
    parser.add_argument("--parquet", type=Path, metavar="FOLDER", help="the same tables as Parquet files")
    long = "the states in a long form, a row an instant, line and quantity; .csv or .parquet"
    parser.add_argument("--long", type=Path, metavar="FILE", help=long)


def run(options: argparse.Namespace) -> int:
    with Progress() as progress:
        path = (
            _report_of_record(options, progress) if options.log is None else _report_of_log(options, progress)
        )
    print_rows(str(path))
    return 0


def _report_of_record(options: argparse.Namespace, progress: Progress) -> Path:
    more, begin = _more(options), progress.begin
    return write_report(
        options.record, options.out, options.csv, all_lines=options.all_lines, more=more, begin=begin
    )


def _report_of_log(options: argparse.Namespace, progress: Progress) -> Path:
    """Write the report of a stay by its log, from a record that is removed again; return where it is."""
    from alongside.record.temporary import temporary_folder
    from alongside.runtime.log_on_record import put_on_record

    stay_file, log, out, tables = options.record, options.log, options.out, options.csv
    more = _more(options)
    name = log.name.removesuffix(".gz").removesuffix(".log") or log.name
    path = Path(f"{name}.html") if out is None else out
    need_libraries()
    stay = read_stay(stay_file)
    check_outputs([stay_file, log], [(path, PAGE)])
    check_tables([stay_file, log], tables, more)
    with temporary_folder(name) as folder:
        put_on_record(stay, log, folder, progress.show)
        begin = progress.begin
        return write_report(folder, path, tables, all_lines=options.all_lines, more=more, begin=begin)


def _more(options: argparse.Namespace) -> MoreTables:
    return MoreTables(options.parquet, options.long)
