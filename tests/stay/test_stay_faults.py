"""Every kind of fault of a stay file, at its exact line and column. «marks» where it must be told."""

# ruff: noqa: E501 - a table of cases, one to a line

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.stay.fields import TEXT, number
from alongside.stay.read import read_stay
from alongside.stay.records import optional, record, required

EXAMPLE = (Path(__file__).parent / "example.yaml").read_text()


def faults_of(tmp_path: Path, text: str) -> list[tuple[int, int, str, str]]:
    path = tmp_path / "stay.yaml"
    path.write_text(text)
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    assert all(fault.file == str(path) for fault in caught.value.faults)
    return [(fault.line, fault.column, fault.path, fault.problem) for fault in caught.value.faults]


def place_of_mark(text: str) -> tuple[int, int]:
    before = text[: text.index("«")].split("\n")
    return len(before), len(before[-1]) + 1


# fmt: off
# (what stands in the example, what stands there instead, path, words of the fault)
NUMBERS = [
    ("loa: 183.0", "loa: «12:30", "ship.loa", "'12:30' is not a number, expected a number in m above 0"),
    ("loa: 183.0", "loa: «no", "ship.loa", "'no' is not a number"),
    ("loa: 183.0", "loa: «-183", "ship.loa", "'-183' is out of bounds"),
    ("loa: 183.0", "loa: «0", "ship.loa", "out of bounds, expected a number in m above 0"),
    ("loa: 183.0", "loa: «.nan", "ship.loa", "'.nan' is not a number"),
    ("loa: 183.0", "loa: «nan", "ship.loa", "'nan' is not a number"),
    ("loa: 183.0", "loa: «.inf", "ship.loa", "'.inf' is not a number"),
    ("loa: 183.0", "loa: «1e999", "ship.loa", "'1e999' is out of bounds"),
    ("loa: 183.0", "loa: «0x1F", "ship.loa", "not a number"),
    ("loa: 183.0", "loa: «1_000", "ship.loa", "not a number"),
    ("loa: 183.0", "loa: «183,5", "ship.loa", "with a decimal point"),
    ("loa: 183.0", "loa: «183 m", "ship.loa", "not a number"),
    ("loa: 183.0", "loa: «١٨٣", "ship.loa", "not a number"),
    ("loa: 183.0", "loa: «[183]", "ship.loa", "a list, expected a number"),
    ("loa: 183.0", "loa: «{m: 183}", "ship.loa", "a table of keys and values, expected a number"),
    ("loa: 183.0", "loa:«", "ship.loa", "nothing given, expected a number"),
    ("loa: 183.0", "loa: «~", "ship.loa", "'~' is not a number"),
    ("seed: 7", "seed: «7.5", "simulate.seed", "expected a whole number"),
    ("wll_fraction: 0.5", "wll_fraction: «1.01", "ropes.nylon_tail.wll_fraction", "above 0 and at most 1"),
    ("wll_fraction: 0.5", "wll_fraction: «0", "ropes.nylon_tail.wll_fraction", "above 0 and at most 1"),
    ("length: 11.0", "length: «-11", "lines[0].tail.length", "out of bounds"),
]

WORDS = [
    ("format: 1", "format: «2", "format", "'2' is not known here, expected 1"),
    ("alongside: starboard", "alongside: «Starboard", "alongside", "expected starboard or port"),
    ("role: head", "role: «bow", "lines[0].role", "expected head, breast, spring or stern"),
    ("balance: off", "balance: «maybe", "balance", "expected on, true, yes, off, false or no"),
    (
        "kind: synthetic, mbl_kn: 640",
        "kind: «rope, mbl_kn: 640",
        "ropes.polyester_8.kind",
        "synthetic or wire",
    ),
    ("name: Grey Heron", 'name: «"Grey\\e[2J"', "ship.name", "expected a text in one line"),
    ("name: Grey Heron", 'name: «"Grey\\nHeron"', "ship.name", "expected a text in one line"),
    ("  - id: 2", '  - id: «"  "', "lines[1].id", "expected a name"),
    ("zone: +02:00", "zone: «+25:00", "display.zone", "'+25:00' is not a zone"),
    ("zone: +02:00", "zone: «Europe/Nowhere", "display.zone", "is not a zone"),
    ("zone: +02:00", "zone: «Europe", "display.zone", "is not a zone"),
    ("zone: +02:00", "zone: «../../etc/passwd", "display.zone", "is not a zone"),
    ("force: kN", "force: «kn", "display.force", "expected t or kN"),
    (
        "coefficients: cargo_loaded",
        "coefficients: «cargo",
        "ship.wind.coefficients",
        "expected rule, car_carrier",
    ),
]

TIMES = [
    ("at: 2026-03-02T04:20:00Z", "at: «2026-03-02T04:20:00", "lines[1].made_fast.at", "has no zone"),
    ("at: 2026-03-02T04:20:00Z", "at: «2026-02-30T04:20:00Z", "lines[1].made_fast.at", "is not a time"),
    ("at: 2026-03-02T04:20:00Z", "at: «1026-03-02T04:20:00Z", "lines[1].made_fast.at", "is not a time"),
    ("at: 2026-03-02T04:20:00Z", "at: «1989-12-31T23:59:59Z", "lines[1].made_fast.at", "1990 to 2099"),
    ("at: 2026-03-02T04:20:00Z", "at: «2100-01-01T00:00:00Z", "lines[1].made_fast.at", "1990 to 2099"),
    ("at: 2026-03-02T04:20:00Z", "at: «yesterday", "lines[1].made_fast.at", "such as 2026-03-02T04:10:00Z"),
    ("at: 2026-03-02T04:20:00Z", "at: «2026-03-02", "lines[1].made_fast.at", "is not a time"),
    ("at: 2026-03-02T04:20:00Z", "at: «12:30", "lines[1].made_fast.at", "is not a time"),
    ("[{at: 2026-03-02T06:00:00Z", "[{at: «2026-03-02T04:10:00Z", "lines[0].tended[0].at", "not after the line was made fast, expected later than 2026-03-02T04:10:00Z"),
    ("{at: 2026-03-02T07:00:00Z", "{at: «2026-03-02T05:00:00Z", "lines[0].tended[1].at", "tended before, expected later than 2026-03-02T06:00:00Z"),
    ("[2026-03-02T06:25:00Z, 5.2]", "«[2026-03-01T06:25:00Z, 5.2]", "tide.high_low[1]", "time does not rise, expected more than in the row before (2026-03-02T00:10:00Z)"),
]

KEYS = [
    ("  lbp: 176.0", "  «lpb: 176.0\n  lbp: 176.0", "ship.lpb", "unknown key, expected perhaps 'lbp'"),
    ("length: 11.0", "length: 11.0, «lenght: 12", "lines[0].tail.lenght", "expected perhaps 'length'"),
    ("balance: off", "balance: off\n«zzz: fine", "zzz", "unknown key, expected one of format, name"),
    ("  lbp: 176.0", "  lbp: 176.0\n  «lbp: 177.0", "ship.lbp", "key given twice, first in line 8"),
    (
        "F2: {x: 20.0",
        '«"F1": {x: 1, y: 1, z: 1}\n    F2: {x: 20.0',
        "ship.fairleads.F1",
        "key given twice, first in line 13",
    ),
    ("balance: off", "balance: off\n«<<: {balance: on}", "<<", "merge keys are not allowed"),
    ("balance: off", "balance: off\n? «[a, b]\n: 1", "?", "a list as a key, expected a word"),
    ("{fwd: 172.0, aft: 4.0}", "«{fwd: 172.0}", "ship.marks.aft", "missing, expected a number in m"),
    ("place: {ship_x: 88.0, berth_x: 100.0}", "place: «88", "place", "expected a table with ship_x, berth_x"),
    ("place: {ship_x: 88.0, berth_x: 100.0}", "place:«", "place", "nothing given, expected a table"),
]

STRUCTURE = [
    ("[2, 0.06]", "«[2]", "ropes.polyester_8.curve[1]", "1 values, expected [elongation, load]"),
    ("[2, 0.06]", "«2", "ropes.polyester_8.curve[1]", "'2', expected [elongation, load]"),
    ("[2, 0.06]", "[2, «6]", "ropes.polyester_8.curve[1][1]", "expected a number in a fraction of MBL"),
    ("[2026-03-02T06:25:00Z, 5.2]]", "«[2026-03-02T06:25:00Z, 5.2], [2026-03-02T18:50:00Z, 5.3]]", "tide.high_low[1]", "a water is missing, or one too many, expected high and low waters in turn"),
    ("[2026-03-02T06:25:00Z, 5.2]]", "[2026-03-02T06:25:00Z, 5.2], [2026-03-02T12:30:00Z, 0.6], «[2026-03-02T23:00:00Z, 5.0]]", "tide.high_low[3]", "10.5 h after the water before, expected every high and low water"),
    ("[[2026-03-02T00:10:00Z, 0.5], [2026-03-02T06:25:00Z, 5.2]]", "«[[2026-03-02T00:10:00Z, 0.5]]", "tide.high_low", "1 given, expected a list of at least 2"),
    ("channels: {heel: {group: list}}", "channels: «{}", "feeds[1].channels", "an empty table"),
    ("cargo: [{name: hold 3", "cargo: «{not: a list} # [{name: hold 3", "cargo", "a table of keys and values, expected a list"),
]

CURVES = [
    ("[[0, 0], [2, 0.06]", "[«[1, 0], [2, 0.06]", "ropes.polyester_8.curve[0]", "expected [0, 0]"),
    ("[10, 0.5]", "«[2, 0.5]", "ropes.polyester_8.curve[2]", "elongation does not rise"),
    ("[10, 0.5]", "«[10, 0.05]", "ropes.polyester_8.curve[2]", "load does not rise"),
    ("curve: [[0, 0], [2, 0.06], [10, 0.5], [17, 1.0]]", "curve: «[[0, 0], [3, 0.1], [6, 0.22], [9, 0.25]]", "ropes.polyester_8.curve", "ends level at 0.25 of MBL, below the working load limit"),
    ("curve: [[0, 0], [2, 0.06], [10, 0.5], [17, 1.0]]", "curve: «[[0, 0]]", "ropes.polyester_8.curve", "1 given, expected a list of at least 2"),
    ("curve: nylon_tail", "curve: «nylon_tial", "ropes.nylon_tail.curve", "there is no example curve 'nylon_tial', expected perhaps 'nylon_tail'"),
    ("[0.5, 760]", "[0.5, «-760]", "berth.fenders[1].table[2][1]", "out of bounds"),
    ("[90, 0, 0.6, 0]", "«[0, 0, 0.6, 0]", "ship.current.coefficients[1]", "angle of attack does not rise"),
]

FITTING = [
    ("fairlead: F1", "fairlead: «F9", "lines[0].fairlead", "there is no fairlead 'F9', expected perhaps 'F1' or 'F2'"),
    ("winch: W1", "winch: «X", "lines[0].winch", "there is no winch 'X', expected W1"),
    ("bollard: B12", "bollard: «B21", "lines[0].bollard", "there is no bollard 'B21', expected perhaps 'B12' or 'B13'"),
    ("rope: polyester_8,", "rope: «polyster_8,", "lines[0].rope", "expected perhaps 'polyester_8'"),
    ("tail: {rope: nylon_tail", "tail: {rope: «wire", "lines[0].tail.rope", "there is no rope 'wire'"),
    ("  - id: 2", '  - id: «"1"', "lines[1].id", "id '1' is used before"),
    ("fwd: 172.0", "fwd: «3.0", "ship.marks.fwd", "3 is not forward of the aft marks, expected more than 4"),
    ("lbp: 176.0", "lbp: «190", "ship.lbp", "longer than the ship over all"),
    ("F1: {x: 176.0", "F1: {x: «276.0", "ship.fairleads.F1.x", "276 is not on board, expected between"),
    ("y: -3.0", "y: «-30", "ship.fairleads.F1.y", "not on board, expected between -16.5 and 16.5"),
    ("z: 15.5", "z: «155", "ship.winches.W1.z", "not on board"),
    ("y: -20.0, z: 4.5, swl", "y: «-2000, z: 4.5, swl", "berth.bollards.B12.y", "at least -500 and at most 500"),
    ("tension_kn: 60, tide", "tension_kn: «640, tide", "lines[0].made_fast.tension_kn", "640 kN would part polyester_8, expected less than 640 kN"),
    ("{at: 2026-03-02T06:00:00Z, paid_out: 0.40}", "«{at: 2026-03-02T06:00:00Z}", "lines[0].tended[0]", "expected paid_out or to_tension or to_tension_kn"),
    ("paid_out: 0.40", "paid_out: 0.40, to_tension_kn: «9", "lines[0].tended[0].to_tension_kn", "together"),
    ("{x: 50.0, stiffness_kn_per_m: 2000}", "«{x: 50.0}", "berth.fenders[0]", "expected stiffness_kn_per_m or table"),
    ("tonnes: -4000", "tonnes: «0", "cargo[0].tonnes", "changes nothing"),
    ("mean_kn: 10, gust_kn: 15", "mean_kn: 10, gust_kn: «5", "simulate.wind[0].gust_kn", "a gust below the mean"),
    ("mean_kn: 10,", "mean_ms: 5, mean_kn: «10,", "simulate.wind[0].mean_kn", "together"),
    ("faults: [{channel: tide", "faults: [{channel: «depth", "simulate.faults[0].channel", "there is no channel of the feeds 'depth'"),
    ("  seed: 7", "  entered_late: [{line: 1, entered: «2026-03-02T06:00:01Z, done: 2026-03-02T05:00:00Z}]", "simulate.entered_late[0].entered", "not tended then, expected one of its tendings: 2026-03-02T06:00:00Z, 2026-03-02T07:00:00Z"),
    ("  seed: 7", "  entered_late: [{line: 1, entered: 2026-03-02T06:00:00Z, done: «2026-03-02T04:00:00Z}]", "simulate.entered_late[0].done", "not after the line was made fast"),
]

LIMITS = [
    ("warning: 30", "warning: «24", "limits.steep_deg.warning", "24 is not worse than caution, expected more than 25"),
    ("alarm: 1.00", "alarm: «0.7", "limits.stretch_share.alarm", "not worse than caution"),
    ("stretch_share: {caution: 0.70, alarm: 1.00}", "stretch_share: «{}", "limits.stretch_share", "no stage given"),
    ("stretch_share: {caution: 0.70, alarm: 1.00}", "slack_share: {caution: 0.01, warning: «0.04}", "limits.slack_share.warning", "expected less than 0.01"),
    ("stretch_share: {caution: 0.70, alarm: 1.00}", "under_keel_m: {caution: 1, alarm: «1}", "limits.under_keel_m.alarm", "expected less than 1"),
    ("alarm: 45", "alarm: «95", "limits.steep_deg.alarm", "at most 90"),
    ("steep_deg", "«steep", "limits.steep", "expected perhaps 'steep_deg'"),
]

FEEDS = [
    ("port: tcp:192.168.1.20:4001", "port: «tcp:192.168.1.20", "feeds[1].port", "expected tcp:HOST:PORT"),
    ('port: "serial:', 'port: «"com:', "feeds[0].port", "is not a port, expected serial:DEVICE"),
    ("{heel: {group: list}}", "{«heal: {group: list}}", "feeds[1].channels.heal", "there is no channel 'heal', expected perhaps 'heel'"),
    ("tension.1", "«tension.9", "feeds[0].channels.tension.9", "there is no channel 'tension.9', expected perhaps 'tension.1' or 'tension.2'"),
    ("{sentence: XDR, name: TIDE}", "«{sentence: XDR}", "feeds[0].channels.tide.name", "missing, expected the name of the transducer"),
    ("{sentence: XDR, name: TIDE}", "{sentence: «MWV}", "feeds[0].channels.tide.sentence", "MWV cannot carry tide, expected one of wind_speed, wind_from"),
    ("{sentence: MWV, talker: WI", "{sentence: MWV, name: «A, talker: WI", "feeds[0].channels.wind_speed.name", "only the transducers of an XDR"),
    ("reference: T", "reference: «N", "feeds[0].channels.wind_speed.reference", "expected one of R, T"),
    ("talker: WI", "talker: «WIN", "feeds[0].channels.wind_speed.talker", "expected two letters"),
    ("range: [0, 15]", "range: [15, «0]", "feeds[0].channels.draught_aft.range[1]", "expected more than 15"),
    ("lost_s: 20", "lost_s: «2", "feeds[0].channels.wind_speed.lost_s", "lost_s is less than stale_s, expected at least 5 s"),
    ("freeze_s: 900", "freeze_s: «off", "feeds[0].channels.draught_aft.freeze_s", "not a number"),
    ("{group: list}", "{group: «lst}", "feeds[1].channels.heel.group", "no group 'lst' in the pattern, expected perhaps 'list'"),
    ("{group: list}", "«{scale: 1}", "feeds[1].channels.heel", "one key is missing, expected sentence or group"),
    ("'LIST=(?P<list>[-+]?\\d+\\.\\d)'", "«'LIST=(?P<list>'", "feeds[1].pattern", "is not a regular expression"),
    ("'LIST=(?P<list>[-+]?\\d+\\.\\d)'", "«'LIST=(.*)'", "feeds[1].pattern", "has no named group"),
    ("{heel: {group: list}}", "{heel: {group: list}, tide: «{group: list}}", "feeds[1].channels.tide", "feed 'gauges' fills this channel"),
    ("port: tcp:192.168.1.20:4001", "port: «stdin:gauges", "feeds[1].port", "'gauges' behind stdin:, expected stdin: alone"),
    ("port: tcp:192.168.1.20:4001", "port: «file:gauges.log?from=middle", "feeds[1].port", "from=middle, expected one of start, end"),
    ("{heel: {group: list}}", "{heel: {group: list}}\n    poll: {every_s: «0, prompt: x}", "feeds[1].poll.every_s", "expected a number in s at least 0.05"),
    ("{heel: {group: list}}", "{heel: {group: list}}\n    poll: «{every_s: 1}", "feeds[1].poll.prompt", "missing, expected"),
    ("{heel: {group: list}}", "{heel: {group: list}}\n    poll: {prompt: [x, «é]}", "feeds[1].poll.prompt[1]", "cannot be sent, expected at most 64 ASCII characters"),
    ("{heel: {group: list}}", "{heel: {group: list}}\n    poll: {prompt: x, answer_s: «2}", "feeds[1].poll.answer_s", "expected at most 1 s"),
    ("port: tcp:192.168.1.20:4001", "port: udp:10110\n    poll: «{prompt: x}", "feeds[1].poll", "nobody can be asked through this port, expected serial:, tcp:, modbus: or modbus-rtu:, or no poll"),
    ("name: clinometer", "name: «gauges", "feeds[1].name", "name 'gauges' is used before"),
]

ALL = NUMBERS + WORDS + TIMES + KEYS + STRUCTURE + CURVES + FITTING + LIMITS + FEEDS

# fmt: on


@pytest.mark.parametrize(("there", "instead", "path", "words"), ALL)
def test_one_fault_at_its_place(tmp_path: Path, there: str, instead: str, path: str, words: str) -> None:
    assert EXAMPLE.count(there) >= 1, "the example has changed"
    marked = EXAMPLE.replace(there, instead, 1)
    faults = faults_of(tmp_path, marked.replace("«", ""))
    assert [fault[:3] for fault in faults] == [(*place_of_mark(marked), path)], faults
    assert words in faults[0][3]


def test_standard_input_is_of_one_feed(tmp_path: Path) -> None:
    text = EXAMPLE.replace('port: "serial:/dev/ttyUSB0?baud=4800"', "port: 'stdin:'")
    marked = text.replace("port: tcp:192.168.1.20:4001", "port: «'stdin:'")
    problem = "feed 'gauges' reads standard input, expected one feed with stdin:"
    place = place_of_mark(marked)
    assert faults_of(tmp_path, marked.replace("«", "")) == [(*place, "feeds[1].port", problem)]


def test_all_faults_at_once_in_the_order_they_stand(tmp_path: Path) -> None:
    text = EXAMPLE.replace("loa: 183.0", "loa: no").replace("role: stern", "role: tail")
    text = text.replace("caution: 25", "caution: 35").replace("  depth: 17.0\n", "").replace("hold 3", '" "')
    places = [(line, path) for line, _, path, _ in faults_of(tmp_path, text)]
    assert places == [
        (6, "ship.depth"),
        (7, "ship.loa"),
        (40, "lines[1].role"),
        (58, "limits.steep_deg.warning"),
        (60, "cargo[0].name"),
    ]


def test_a_fault_reads_as_file_line_column_path_problem(tmp_path: Path) -> None:
    path = tmp_path / "stay.yaml"
    path.write_text(EXAMPLE.replace("loa: 183.0", "loa: -183"))
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    problem = "ship.loa: '-183' is out of bounds, expected a number in m above 0 and at most 600"
    assert str(caught.value) == f"{path}:7:8: {problem}"
    assert caught.value.exit_status == 2


def test_a_section_that_cannot_be_read_is_told_once_not_at_every_use(tmp_path: Path) -> None:
    text = EXAMPLE[: EXAMPLE.index("ropes:")] + "ropes: []\n" + EXAMPLE[EXAMPLE.index("lines:") :]
    assert [path for _, _, path, _ in faults_of(tmp_path, text)] == ["ropes"]


def test_a_table_of_which_nothing_is_needed_is_expected_as_such() -> None:
    keys = {"mbl_kn": optional(number("kN")), "source": optional(TEXT)}
    assert record(dict, **keys).expected == "a table"
    assert record(dict, **(keys | {"kind": required(TEXT)})).expected == "a table with kind"
