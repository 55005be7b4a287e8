"""Exports with headings, as loggers write them: real files that grow, are rotated, written anew, and logs
made of them. Shapes are common practice, no source; factors of units are exact by definition."""

import csv
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import StayFaults, WrongInput
from alongside.feeds.columns import number_and_unit
from alongside.feeds.export_file import ExportReader
from alongside.feeds.export_rows import SEPARATORS, ExportRows, cells_of, cells_on_record, line_of_cells
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.ports import reader_of
from alongside.stay.headings import heading, unit_named
from alongside.stay.model import Feed, RowTime, Source, Stay
from alongside.stay.ports import CsvPort, parse_port
from alongside.units import unix_time
from tests.berth import STAY_TEXT, a_stay, write_stay
from tests.feeds.stays import START, stay_with
from tests.feeds.test_readers import Heard

HEAD: Final = STAY_TEXT[: STAY_TEXT.index("feeds:")]
FOOT: Final = 0.3048
KNOT: Final = 1852.0 / 3600.0
ISO: Final = "{column: Time}"
TIDE: Final = "tide: {column: Tide}"


def stay_text(channels: str, time: str = ISO, keys: str = "", port: str = "csv:export.csv") -> str:
    feed = f'  - name: logger\n    port: "{port}"\n    time: {time}\n'
    more = f"    {keys}\n" if keys else ""
    return f"{HEAD}feeds:\n{feed}{more}    channels: {{{channels}}}\nbalance: off\n"


def stay(folder: Path, channels: str, time: str = ISO, keys: str = "") -> Stay:
    return a_stay(folder, stay_text(channels, time, keys))


def replayed(of: Stay, export: Path, start: float | None = None) -> tuple[Intake, dict[str, float]]:
    """Return the newest value of each channel after all of an export, played as a log."""
    intake, newest = Intake(of), START
    for batch in FeedLog(export, start, stay=of):
        intake.take_batch(batch)
        newest = batch.time[-1]
    readings = intake.readings(np.array([np.ceil(newest)]))
    return intake, {name: float(readings.column(name)[0]) for name in intake.channels}


def written(folder: Path, text: str | bytes) -> Path:
    export = folder / "export.csv"
    export.write_bytes(text if isinstance(text, bytes) else text.encode())
    return export


@dataclass(frozen=True)
class Shape:
    what: str
    text: str | bytes
    channels: str
    expected: dict[str, float]
    time: str = ISO
    keys: str = ""


AT: Final = "2026-03-02T04:00:00Z"
LOCAL: Final = '{column: [Date, Clock], form: "%d.%m.%Y %H:%M:%S", zone: "+01:00"}'
SHAPES: Final = (
    Shape("commas", f"Time,Tide\n{AT},2.45\n", TIDE, {"tide": 2.45}),
    Shape(
        "semicolons, decimal comma, local time in two columns",
        "Date;Clock;Tide\r\n02.03.2026;05:00:00;2,45\r\n",
        TIDE,
        {"tide": 2.45},
        LOCAL,
        "decimal: comma",
    ),
    Shape("tabs", f"Time\tTide\n{AT}\t2.45\n", TIDE, {"tide": 2.45}),
    Shape("a mark of UTF-8 in front", f"\ufeffTime,Tide\n{AT},2.45\n", TIDE, {"tide": 2.45}),
    Shape("lines ended by CR", f"Time,Tide\r{AT},2.45\r", TIDE, {"tide": 2.45}),
    Shape("no end of the last line", f"Time,Tide\n{AT},2.45", TIDE, {"tide": 2.45}),
    Shape(
        "quotes, blanks, a separator within",
        f'"Time", "Tide, mean", "Note"\n"{AT}", "2.45", "a ""b"", c; d=e"\n',
        'tide: {column: "Tide, mean"}',
        {"tide": 2.45},
    ),
    Shape(
        "decimal comma in quotes",
        f'Time,Tide\n{AT},"2,45"\n',
        TIDE,
        {"tide": 2.45},
        keys="decimal: comma",
    ),
    Shape("lines before it", f"Logger 7\nMade: 2 March\n\nTime,Tide\n{AT},2.45\n", TIDE, {"tide": 2.45}),
    Shape("a row of units", f"Time;Tide;X\n;ft;m\n{AT};8.0;1\n", TIDE, {"tide": 8 * FOOT}),
    Shape("unit in heading", f"Time,Tide (cm)\n{AT},245\n", 'tide: {column: "Tide (cm)"}', {"tide": 2.45}),
    Shape("unit as last word", f"Time,Tide ft\n{AT},8\n", "tide: {column: Tide ft}", {"tide": 8 * FOOT}),
    Shape("a unit in the cell", f"Time,Tide\n{AT},8.0 ft\n", TIDE, {"tide": 8 * FOOT}),
    Shape(
        "a unit in its own column",
        f"Time,Wind,Unit\n{AT},20,kn\n",
        "wind_speed: {column: Wind, unit_in: Unit}",
        {"wind_speed": 20 * KNOT},
    ),
    Shape(
        "two columns as one, a current, a side",
        f"Time,P1,P2,I,List,Side\n{AT},1613,1013,12.0,1.5,P\n",
        "draught_fwd: {column: [P1, P2], combine: difference, unit: mbar, scale: 0.009945}, "
        "draught_aft: {column: I, ma: [0, 16]}, heel: {column: List, minus: {Side: P}}",
        {"draught_fwd": 5.967, "draught_aft": 8.0, "heel": -1.5},
    ),
    Shape(
        "rows of several gauges",
        f"Time,Gauge,Level\n{AT},T1,2.45\n{AT},T2,6.1\n",
        "tide: {column: Level, where: {Gauge: T1}}, draught_fwd: {column: Level, where: {Gauge: T2}}",
        {"tide": 2.45, "draught_fwd": 6.1},
    ),
    Shape("letters of western Europe", "Time;H\xf6he (cm)\n2026-03-02 04:00:00Z;245\n".encode("cp1252"),
          'tide: {column: "Höhe (cm)"}', {"tide": 2.45}),
    Shape("seconds of UNIX", "t;Tide\n1772424000;2.45\n", TIDE, {"tide": 2.45}, "{column: t, form: unix}"),
    Shape("an empty cell at the end of each row", f"Time,Tide\n{AT},2.45,\n", TIDE, {"tide": 2.45}),
    Shape("the header once more", f"Time,Tide\nTime,Tide\n{AT},2.45\nTime,Tide\n", TIDE, {"tide": 2.45}),
    Shape(
        "another header in the middle",
        f"Time,Tide,X\n{AT},2.45,1\nTime,X,Tide\n2026-03-02T04:00:01Z,1,2.55\n",
        "tide: {column: Tide, smooth_s: 0}",
        {"tide": 2.55},
    ),
)  # fmt: skip


@pytest.mark.parametrize("of", SHAPES, ids=lambda of: of.what)
def test_an_export_is_read_right(tmp_path: Path, of: Shape) -> None:
    intake, read = replayed(stay(tmp_path, of.channels, of.time, of.keys), written(tmp_path, of.text))
    assert {name: read[name] for name in of.expected} == pytest.approx(of.expected, abs=1e-9)
    assert intake.tallies["logger"].unused == 0


REFUSED: Final = (
    ("a row that is too short", f"Time,X,Tide\n{AT},2.45\n", TIDE, "", Flaw.ROW),
    ("decimal commas that part cells", f"Time,X,Tide\n{AT},1,2,45\n", TIDE, "decimal: comma", Flaw.ROW),
    ("quotes that do not close", f'Time,Tide\n{AT},"2.45\n', TIDE, "", Flaw.ROW),
    ("decimal comma that the file does not say", f"Time;Tide\n{AT};2,45\n", TIDE, "", Flaw.GARBLED),
    ("a word", f"Time,Tide\n{AT},fault\n", TIDE, "", Flaw.GARBLED),
    ("a clock in a column of figures", f"Time,Tide\n{AT},04:00:00\n", TIDE, "", Flaw.GARBLED),
    ("thousands", f'Time,Tide\n{AT},"1,002.45"\n', TIDE, "", Flaw.GARBLED),
    ("no time", "Time,Tide\nyesterday,2.45\n", TIDE, "", Flaw.GARBLED),
    ("another unit", f"Time,Tide\n{AT},2.45 bar\n", TIDE, "", Flaw.UNIT),
    ("a broken wire", f"Time,I\n{AT},3.6\n", "tide: {column: I, ma: [0, 10]}", "", Flaw.LOOP),
    ("an empty cell", f"Time,Tide\n{AT},\n", TIDE, "", Flaw.NO_VALUE),
)


@pytest.mark.parametrize(("what", "text", "channels", "keys", "flaw"), REFUSED, ids=lambda v: str(v)[:20])
def test_what_cannot_be_told_is_counted_and_no_figure(
    tmp_path: Path, what: str, text: str, channels: str, keys: str, flaw: Flaw
) -> None:
    sound = text.partition("\n")[0] + f"\n2026-03-02T03:50:00Z{',' * 9}\n"
    of = stay(tmp_path, channels, ISO, keys)
    intake, newest = Intake(of), START
    for batch in FeedLog(written(tmp_path, sound + text.partition("\n")[2]), stay=of):
        intake.take_batch(batch)
        newest = batch.time[-1]
    readings = intake.readings(np.array([np.ceil(newest)]))
    assert np.isnan(readings.column("tide")[0]), what
    assert intake.tallies["logger"][flaw] >= 1


def test_a_row_is_of_its_own_time_wherever_the_replay_begins(tmp_path: Path) -> None:
    """Ten seconds a row over four hours, with a row of units; from each begin the same figures."""
    rows = [
        f"{datetime.fromtimestamp(START + 10 * k, UTC):%Y-%m-%dT%H:%M:%SZ},{200 + k % 90}"
        for k in range(1440)
    ]
    export = written(tmp_path, "Time,Tide\n,cm\n" + "\n".join(rows * 1) + "\n")
    of = stay(tmp_path, "tide: {column: Tide, smooth_s: 0, rate_per_s: 100}")
    whole = [(at, line) for batch in FeedLog(export, stay=of) for at, _, line, _, _ in batch.rows()]
    assert len(whole) == 1440
    assert whole[0] == (START, whole[0][1])
    for start in (START + 7_200.0, START + 14_000.0):
        later = [
            (at, line) for batch in FeedLog(export, start, stay=of) for at, _, line, _, _ in batch.rows()
        ]
        assert later == [each for each in whole if each[0] >= start]
    _, read = replayed(of, export)
    assert read["tide"] == pytest.approx((200 + 1439 % 90) / 100)


def test_an_export_whose_newest_row_stands_first_is_played_from_its_oldest(tmp_path: Path) -> None:
    rows = [f"2026-03-02T04:{minute:02d}:00Z,{2 + minute / 100}" for minute in range(30)]
    forth = written(tmp_path, "Logger 7\nTime,Tide\n" + "\n".join(rows))
    expected = replayed(stay(tmp_path, TIDE), forth)[1]
    back = written(tmp_path, "Logger 7\nTime,Tide\n" + "\n".join(reversed(rows)))
    of = stay(tmp_path, TIDE)
    intake, values = replayed(of, back)
    assert values == expected
    assert intake.tallies["logger"].unused == 0
    batches = list(FeedLog(back, unix_time("2026-03-02T04:20:00Z"), stay=of))
    assert [len(each) for each in batches if len(each)] == [10]


def test_a_large_export_is_entered_near_the_time(tmp_path: Path) -> None:
    rows = [f"{START + k:.0f},2.45,{'x' * 60}" for k in range(20_000)]
    export = written(tmp_path, "Time,Tide,Note\n" + "\n".join(rows) + "\n")
    of = stay(tmp_path, TIDE, "{column: Time, form: unix}")
    log = FeedLog(export, START + 15_000.0, stay=of)
    first = next(batch.time[0] for batch in log if len(batch))
    assert first == START + 15_000.0
    _, read = replayed(of, export, START + 15_000.0)
    assert read["tide"] == 2.45


def test_an_export_without_the_columns_says_which_it_has(tmp_path: Path) -> None:
    for text, says in (
        (f"Time,Level\n{AT},2.45\n", "has no column 'Tide'; its columns are Time, Level"),
        (f"Time,Tide,Tide\n{AT},1,2\n", "has twice a column 'Tide'; its columns are Time, Tide, Tide"),
        ("1,2\n3,4\n", "has no header, expected one with Time, Tide"),
        (f"Time,Tide\n{AT},2.45\n".encode("utf-16"), "is UTF-16, expected UTF-8: save it as CSV UTF-8"),
    ):  # fmt: skip
        export, of = written(tmp_path, text), stay(tmp_path, TIDE)
        with pytest.raises(WrongInput, match=says):
            list(FeedLog(export, stay=of))


def test_which_feed_an_export_is_of(tmp_path: Path) -> None:
    second = (
        '\n  - {name: b, port: "csv:b.csv", time: {column: Time}, channels: {heel: {column: List}}}\nbalance'
    )
    of = a_stay(tmp_path, stay_text(TIDE).replace("\nbalance", second))
    export = written(tmp_path, f"Time,Tide,List\n{AT},2.45,1\n")
    assert replayed(of, export)[1]["tide"] == 2.45
    other = export.rename(tmp_path / "b.csv")
    assert replayed(of, other)[1]["heel"] == 1.0
    with pytest.raises(WrongInput, match=r"may be the export of logger, b, expected the name"):
        FeedLog(other.rename(tmp_path / "c.csv"), stay=of)
    dateless = stay(tmp_path, TIDE, '{column: Time, form: "%H:%M", zone: Z}')
    with pytest.raises(WrongInput, match="the times of its rows have no date"):
        FeedLog(export, stay=dateless)


def test_a_wide_export_goes_on_record_with_what_is_read(tmp_path: Path) -> None:
    names = [f"Temperature of tank number {k} (C)" for k in range(90)]
    text = ",".join(["Time", *names, "Tide"]) + f"\n{AT}{',21.5' * 90},2.45\n"
    of = stay(tmp_path, TIDE)
    _, read = replayed(of, written(tmp_path, text))
    assert read["tide"] == 2.45
    (line,) = [row[2] for batch in FeedLog(tmp_path / "export.csv", stay=of) for row in batch.rows()]
    assert line.endswith(f"\\Time={AT};Tide=2.45".encode())


@given(st.binary(max_size=200))
def test_nothing_that_a_line_holds_raises(line: bytes) -> None:
    feed = Feed("logger", "csv:a.csv", (Source("tide", columns=("Tide",)),), time=RowTime(("Time",)))
    intake = Intake(stay_with(feed))
    for each in (line, b"Time=" + line, b"Tide=" + line, b"Time=2026-03-02T04:00:00Z;Tide=" + line):
        intake.take(START, "logger", each)
    intake.readings(np.array([START + 1.0]))


# --- a live file


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


def reading(heard: Heard, folder: Path, query: str = "", channels: str = TIDE) -> ExportReader:
    (feed,) = stay(folder, channels).feeds
    port = parse_port(f"csv:export.csv{query}")
    assert isinstance(port, CsvPort)
    reader = ExportReader(port, feed, heard, first_wait=0.05, folder=folder)
    heard.start(reader)
    return reader


def row(tide: float, ago: float) -> str:
    return f"{datetime.fromtimestamp(time.time() - ago, UTC):%Y-%m-%dT%H:%M:%SZ},{tide}\n"


def tides(heard: Heard) -> list[float]:
    return [float(cells_on_record(line)[b"Tide"]) for line in heard.lines]


def add(export: Path, *rows: str) -> None:
    with export.open("a") as file:
        file.writelines(rows)


@pytest.mark.parametrize("query", ["", "?from=start"])
def test_it_is_followed_from_its_end_unless_from_its_start(heard: Heard, tmp_path: Path, query: str) -> None:
    export = written(tmp_path, "Time,Tide\n" + row(1.0, 30) + row(2.0, 20))
    reader = reading(heard, tmp_path, query)
    heard.until(lambda: reader.status.open)
    add(export, row(3.0, 10)[:9])
    time.sleep(0.3)
    add(export, row(3.0, 10)[9:])
    heard.until(lambda: 3.0 in tides(heard))
    assert tides(heard) == ([1.0, 2.0] if query else []) + [3.0]


def test_written_anew_as_a_whole_only_what_is_new_is_read(heard: Heard, tmp_path: Path) -> None:
    export = written(tmp_path, "Time,Tide\n" + row(1.0, 50))
    reader = reading(heard, tmp_path)
    heard.until(lambda: reader.status.open)
    for rows in ([row(1.0, 50), row(2.0, 40)], [row(1.0, 50), row(2.0, 40), row(3.0, 30)]):
        export.write_text("Time,Tide\n" + "".join(rows))
        heard.until(lambda: len(heard.lines) == len(rows) - 1)  # noqa: B023
    assert tides(heard) == [2.0, 3.0]


def test_rotation_to_another_header(heard: Heard, tmp_path: Path) -> None:
    export = written(tmp_path, "Time,Tide\n" + row(1.0, 50))
    reading(heard, tmp_path, "?from=start")
    heard.until(lambda: tides(heard) == [1.0])
    export.rename(tmp_path / "old.csv")
    stamp, _, value = row(2.0, 40).rstrip().partition(",")
    written(tmp_path, f"Level;Tide;Time\n9.9;{value};{stamp}\n")
    heard.until(lambda: tides(heard) == [1.0, 2.0])


def test_rotation_to_a_file_without_the_column_is_said(heard: Heard, tmp_path: Path) -> None:
    export = written(tmp_path, "Time,Tide\n" + row(1.0, 50))
    reader = reading(heard, tmp_path, "?from=start")
    heard.until(lambda: tides(heard) == [1.0])
    export.rename(tmp_path / "old.csv")
    written(tmp_path, "Time,Level\n" + "".join(row(2.0, k) for k in range(60, 0, -1)))
    heard.until(lambda: "has no column 'Tide'; its columns are Time, Level" in reader.status.note)
    assert tides(heard) == [1.0]


def test_a_finished_one_is_read_once_and_its_end_is_said(heard: Heard, tmp_path: Path) -> None:
    written(tmp_path, "Time,Tide\n" + row(1.0, 50) + row(2.0, 40).rstrip())
    reader = reading(heard, tmp_path, "?to=end")
    heard.until(lambda: reader.status.ended)
    assert tides(heard) == [1.0, 2.0]
    assert reader.status.note.endswith("export.csv: has ended")


def test_a_port_of_a_stay_has_its_reader(heard: Heard, tmp_path: Path) -> None:
    (feed,) = stay(tmp_path, TIDE).feeds
    assert isinstance(reader_of(feed, heard, tmp_path), ExportReader)
    for text, says in (
        ("csv:", "is not a port"),
        ("csv:?to=end", "no file"),
        ("csv:a?to=start", "expected one of end"),
        ("csv:a?from=end&to=end", "together"),
    ):
        with pytest.raises(ValueError, match=says):
            parse_port(text)


# --- the stay file and check

FAULTS: Final = (
    (TIDE, "{group: Time}", "", "a group, but an export has columns"),
    ("tide: {sentence: XDR, name: T}", ISO, "", "an export has columns only"),
    ("tide: {column: Tide (psi)}", ISO, "", "'Tide (psi)' is in psi"),
    ("tide: {column: Tide (ft), unit: m}", ISO, "", "'Tide (ft)' is in ft, not m"),
    (TIDE, ISO, "pattern: '(?P<x>.)'", "pattern of an export"),
    (TIDE, "{column: Time, form: unix, zone: Z}", "", "names its zone itself"),
    ("tide: {column: [A, B]}", ISO, "", "combine: missing"),
)


@pytest.mark.parametrize(("channels", "time", "keys", "says"), FAULTS)
def test_what_does_not_fit_is_a_fault(tmp_path: Path, channels: str, time: str, keys: str, says: str) -> None:
    with pytest.raises(StayFaults) as raised:
        stay(tmp_path, channels, time, keys)
    assert says in str(raised.value)


def test_columns_need_an_export_and_an_export_a_time(tmp_path: Path) -> None:
    with pytest.raises(StayFaults, match=r"tide\.column: only an export has columns"):
        a_stay(tmp_path, stay_text(TIDE).replace("csv:export.csv", "file:export.csv"))
    with pytest.raises(StayFaults, match="time: missing"):
        a_stay(tmp_path, stay_text(TIDE).replace(f"    time: {ISO}\n", ""))


def test_check_looks_into_an_export_that_is_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_stay(tmp_path, stay_text(TIDE))
    for text, says in (
        (None, ""),
        (f"Time,Tide\n{AT},2.45\n", ""),
        (f"Time,Level\n{AT},2.45\n", "port: remark: export.csv has no column 'Tide'"),
        (f"Time;Tide\n{AT};2,45\n", "column: remark: export.csv has '2,45', which is no number: `dec"),
        (f"Time,Tide\n{AT},high\n", "column: remark: export.csv has 'high', which is no number that"),
        ("Time,Tide\n2 March,2.45\n", "time: remark: export.csv has '2 March', which is no time"),
        (f"Time,Tide\n{AT},2,45\n", "decimal commas without quotes?"),
        ("Time,Tide\n".encode("utf-16"), "export.csv is UTF-16"),
    ):  # fmt: skip
        if text is not None:
            written(tmp_path, text)
        assert main(["check", str(path)]) == 0
        out = capsys.readouterr().out
        assert (says in out) if says else "export.csv" not in out


def test_without_columns_to_read_all_rows_but_the_header_are_heard(tmp_path: Path) -> None:
    """As `listen` reads a port that is in no stay file: rows of words are rows."""
    rows = ExportRows(Feed("gauge", "csv:export.csv", ()))
    raw = ("Time,State,Note", "a,b,Time", "Time,State,Note", "c,d,e", "1,2")
    lines = [rows.line_of(line.encode(), 0.0) for line in raw]
    refused = b"row refused: 1,2"
    assert lines == [None, b"Time=a;State=b;Note=Time", None, b"Time=c;State=d;Note=e", refused]


# --- what a row becomes

NAMES = st.lists(
    st.text(min_size=1, max_size=9).map(heading).filter(bool), min_size=1, max_size=5, unique=True
)


@given(NAMES, st.data())
def test_a_row_on_record_says_what_the_cells_said(names: list[str], data: st.DataObject) -> None:
    text = st.text(st.characters(min_codepoint=32, exclude_categories=["Cs", "Cc"]), max_size=9)
    cells = data.draw(st.lists(text, min_size=len(names), max_size=len(names)))
    line = line_of_cells(names, cells)
    assert cells_on_record(line) == {n.encode(): c.encode() for n, c in zip(names, cells, strict=True)}


@given(
    st.lists(
        st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=9), min_size=2, max_size=5
    )
)
def test_cells_are_those_that_were_written(cells: list[str]) -> None:
    """Written by Python's own library, read back."""
    for separator in SEPARATORS:
        text = separator.join('"' + cell.replace('"', '""') + '"' for cell in cells)
        assert next(csv.reader([text], delimiter=separator)) == cells
        assert cells_of(text, separator) == [cell.strip() for cell in cells]


@given(st.binary(max_size=80))
def test_no_bytes_break_a_row(raw: bytes) -> None:
    cells_on_record(raw)


@pytest.mark.parametrize(
    ("name", "unit", "word"),
    [
        *(("Tide (ft)", "m", "ft"), ("level_cm", "m", "cm"), ("Draught, m", "m", "m")),
        *(("Wind [kn]", "m/s", "kn"), ("Load (t)", "kN", "t"), ("Tide (m above CD)", "m", "m")),
        *(("Draught (F)", "m", ""), ("Draught F", "m", ""), ("Tide", "m", ""), ("Stern", "m", "")),
    ],
)
def test_units_of_headings(name: str, unit: str, word: str) -> None:
    assert unit_named(name, unit) == word


def test_number_and_unit_of_a_cell() -> None:
    assert number_and_unit(b" 8.0 ft ") == (b"8.0", "ft")
    assert number_and_unit(b"") == (b"", "")
    assert number_and_unit("3 °".encode()) == (b"3", "°")
    with pytest.raises(ValueError, match="no number"):
        number_and_unit(b"04:00")
