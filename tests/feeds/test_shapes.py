"""Every shape in which gauges say a number, and a time: read right from a stay file as one would write it, or
refused and counted. Factors of units are exact by definition; shapes are common practice, no source."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.errors import StayFaults
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import sentence
from alongside.readings import Quality, Reason
from alongside.stay.model import Feed, Source, Stay
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START, stay_with, write_log

HEAD: Final = STAY_TEXT[: STAY_TEXT.index("feeds:")]
FOOT: Final = 0.3048
KNOT: Final = 1852.0 / 3600.0
G: Final = 9.80665


@dataclass(frozen=True)
class Shape:
    """A feed as the stay file has it, lines as they come, and what channels then say."""

    what: str
    keys: str
    channels: str
    lines: tuple[bytes, ...]
    expected: dict[str, float | None]
    flaw: Flaw | None = None


def shape(
    what: str, keys: str, channels: str, *lines: bytes, flaw: Flaw | None = None, **expected: float | None
) -> Shape:
    named = {name.replace("tension_", "tension."): value for name, value in expected.items()}
    return Shape(what, keys, channels, lines, named, flaw)


def pattern(text: str, *more: str) -> str:
    return "\n    ".join([f"pattern: '{text}'", *more])


ONE: Final = pattern(r"T=(?P<t>[-+ 0-9.,eE]+)")
ANY: Final = "admit: [sentences]"
CSV: Final = pattern(r"^(?P<t>[^;]*);(?P<f>[^;]*);(?P<a>[^;]*)$")
LEVELS: Final = "tide: {group: t}, draught_fwd: {group: f}, draught_aft: {group: a}"

READ_RIGHT: Final = (
    shape("CSV by semicolon", CSV, LEVELS, b"2.45;6.31;7.02", tide=2.45, draught_fwd=6.31, draught_aft=7.02),
    shape(
        "CSV, comma decimals",
        CSV + "\n    decimal: comma",
        LEVELS,
        b"2,45;6,31;7,02",
        tide=2.45,
        draught_fwd=6.31,
        draught_aft=7.02,
    ),
    shape(
        "JSON line",
        pattern(r'"level": ?(?P<t>[-0-9.eE+]+)'),
        "tide: {group: t}",
        b'{"id": 7, "level": 2.45, "ok": true}',
        tide=2.45,
    ),
    shape(
        "JSON line, unit in the name",
        pattern(r'"level_ft": ?(?P<t>[-0-9.]+)'),
        "tide: {group: t}",
        b'{"level_ft": 10.0}',
        tide=10 * FOOT,
    ),
    shape(
        "JSON line, unit beside",
        pattern(r'"level": ?(?P<t>[-0-9.]+), ?"unit": ?"(?P<u>[^"]*)"'),
        "tide: {group: t, unit_in: u}",
        b'{"level": 245, "unit": "cm"}',
        tide=2.45,
    ),
    shape("polled converter", pattern(r"^>(?P<t>[-+0-9.]+)"), "tide: {group: t}", b">+02.450", tide=2.45),
    shape(
        "eight mA channels in a row",
        pattern(r"^>(?P<a>\+[0-9.]{6})(?P<b>\+[0-9.]{6})(?P<c>\+[0-9.]{6})"),
        "tide: {group: a, ma: [0, 10]}, draught_fwd: {group: c, ma: [0, 16]}",
        b">+08.000+04.000+12.000+04.000+04.000+04.000+04.000+04.000",
        tide=2.5,
        draught_fwd=8.0,
    ),
    shape(
        "fixed width",
        pattern(r"^.{4}(?P<t>.{7})(?P<f>.{7})"),
        "tide: {group: t}, draught_fwd: {group: f}",
        b"0012   2.45   6.31",
        tide=2.45,
        draught_fwd=6.31,
    ),
    shape(
        "STX and ETX",
        pattern(r"\x02(?P<w>[-+0-9. ]+)kg\x03"),
        "tension.1: {group: w}",
        b"\x02  1250.0kg\x03",
        tension_1=1250.0 * G / 1000.0,
    ),
    shape("sign in front", ONE, "tide: {group: t}", b"T=-0.35", tide=-0.35),
    shape(
        "sign apart",
        pattern(r"ST,GS,(?P<t>[-+] *[0-9.]+)m"),
        "tide: {group: t}",
        b"ST,GS,-  0.35m",
        tide=-0.35,
    ),
    shape("exponent", ONE, "tide: {group: t}", b"T=2.45E+00", tide=2.45),
    shape("small exponent", ONE, "tide: {group: t}", b"T=245e-2", tide=2.45),
    shape(
        "feet and inches",
        pattern("^D (?P<d>[^;]+);"),
        "draught_fwd: {group: d}",
        b"D 20' 6\";",
        draught_fwd=20.5 * FOOT,
    ),
    shape(
        "feet, inches, halves",
        pattern("^D (?P<d>[^;]+);"),
        "draught_fwd: {group: d}",
        b"D 20 ft 6 1/2 in;",
        draught_fwd=(20 + 6.5 / 12) * FOOT,
    ),
    shape(
        "feet and inches in columns",
        pattern("^(?P<ft>[0-9]+);(?P<i>[0-9.]+)$"),
        "draught_fwd: {group: [ft, i], combine: sum, weights: [0.3048, 0.0254]}",
        b"20;6",
        draught_fwd=20.5 * FOOT,
    ),
    shape(
        "makers' sentence",
        pattern(r"^PDRG,(?P<f>[^,]*),(?P<a>[^,]*)$", "admit: [makers]"),
        "draught_fwd: {group: f}, draught_aft: {group: a}",
        sentence("PDRG,6.31,7.02"),
        draught_fwd=6.31,
        draught_aft=7.02,
    ),
    shape(
        "makers' sentence by field",
        "",
        "draught_fwd: {sentence: PDRG, field: 1}, draught_aft: {sentence: PDRG, field: 2}",
        sentence("PDRG,6.31,7.02"),
        draught_fwd=6.31,
        draught_aft=7.02,
    ),
    shape(
        "any sentence by pattern",
        pattern(r"^TIHTD,(?P<t>[^,]*),M$", ANY),
        "tide: {group: t}",
        sentence("TIHTD,2.45,M"),
        tide=2.45,
    ),
    shape(
        "any sentence by field, unit in the next",
        "",
        "tide: {sentence: HTD, field: 2, unit_in: 3}",
        sentence("TIHTD,A,8.0,f"),
        tide=8 * FOOT,
    ),
    shape(
        "field with a state",
        "",
        "tide: {sentence: HTD, field: 2, where: {1: A}}",
        sentence("TIHTD,A,2.45"),
        sentence("TIHTD,V,2.65"),
        tide=2.45,
    ),
    shape(
        "begins with !",
        pattern(r"^ABLVL,(?P<t>[^,]*)", ANY),
        "tide: {group: t}",
        b"!" + sentence("ABLVL,2.45")[1:],
        tide=2.45,
    ),
    shape(
        "VWR",
        "",
        "wind_speed: {sentence: VWR}, wind_from: {sentence: VWR}",
        sentence("WIVWR,30.0,L,10.0,N,,,,"),
        wind_speed=10 * KNOT,
        wind_from=60.0,
    ),
    shape("HDG", "", "heading: {sentence: HDG}", sentence("HCHDG,92.0,1.0,E,3.0,W"), heading=90.0),
    shape(
        "no checksum",
        "admit: [no_checksum]",
        "wind_speed: {sentence: MWV}",
        b"$WIMWV,30,R,10.0,M,A",
        wind_speed=10.0,
    ),
    shape(
        "makers' without checksum",
        pattern(r"^PLVL,(?P<t>.*)$", "admit: [no_checksum, sentences]"),
        "tide: {group: t}",
        b"$PLVL,2.45",
        tide=2.45,
    ),
    shape(
        "feet behind the number", pattern(r"T=(?P<t>[0-9.]+)"), "tide: {group: t}", b"T=8.0 ft", tide=8 * FOOT
    ),
    shape(
        "knots behind the number",
        pattern(r"W=(?P<w>[0-9.]+)"),
        "wind_speed: {group: w}",
        b"W=20.0kn",
        wind_speed=20 * KNOT,
    ),
    shape(
        "km/h behind the number",
        pattern(r"W=(?P<w>[0-9.]+)"),
        "wind_speed: {group: w}",
        b"W=36.0 km/h",
        wind_speed=10.0,
    ),
    shape(
        "tonnes, kilonewtons, pounds",
        pattern("^(?P<x>[0-9.]+)[a-zA-Z ]*;(?P<y>[0-9.]+)[a-zA-Z ]*;(?P<z>[0-9.]+)"),
        "tension.1: {group: x}, tension.2: {group: y}, tension.3: {group: z}",
        b"12.5t;122 kN;1000lbf",
        tension_1=12.5 * G,
        tension_2=122.0,
        tension_3=4.4482216152605,
    ),
    shape("unit named in the file", ONE, "tide: {group: t, unit: cm}", b"T=245", tide=2.45),
    shape("mean of two", CSV, "tide: {group: [t, f], combine: mean}", b"2.40;2.50;0", tide=2.45),
    shape("mean of directions", CSV, "wind_from: {group: [t, f], combine: mean}", b"350;20;0", wind_from=5.0),
    shape(
        "difference of two pressures",
        CSV,
        "draught_fwd: {group: [t, f], combine: difference, unit: mbar, scale: 0.009945}",
        b"1613;1013;0",
        draught_fwd=5.967,
    ),
    shape(
        "sensors not at the marks",
        CSV,
        "draught_fwd: {group: [t, f], combine: sum, weights: [1.1, -0.1]}, "
        "draught_aft: {group: [t, f], combine: sum, weights: [-0.2, 1.2]}",
        b"6.0;7.0;0",
        draught_fwd=5.9,
        draught_aft=7.2,
    ),
    shape(
        "pressure over density",
        CSV,
        "draught_fwd: {group: [t, f], combine: quotient, scale: 10.2}",
        b"0.615;1.025;0",
        draught_fwd=6.12,
    ),
    shape(
        "two inputs in lines of their own",
        pattern(r"^(?:1=(?P<a>[0-9.]+)|2=(?P<b>[0-9.]+))$"),
        "tide: {group: [a, b], combine: mean}",
        b"1=2.40",
        b"2=2.50",
        tide=2.45,
    ),
    shape(
        "inputs by field",
        "",
        "tide: {sentence: PLVL, field: [1, 2], combine: mean}",
        sentence("PLVL,2.40,2.50"),
        tide=2.45,
    ),
    shape(
        "counts of a current loop",
        CSV,
        # 5530 counts and 27648 (common practice of converters) are 4 and 20 mA
        "tide: {group: t, ma: [0, 16], counts: [5530, 27648]}, "
        "draught_fwd: {group: f, ma: [16, 0], counts: [0, 1000]}",
        b"16589;250;0",
        tide=8.0,
        draught_fwd=12.0,
    ),
    shape(
        "current loop by field",
        "",
        "draught_fwd: {sentence: PLVL, field: 1, ma: [0, 16], offset: 1.2}",
        sentence("PLVL,12.00,mA"),
        draught_fwd=9.2,
    ),
    shape(
        "current loop of an XDR",
        "",
        "draught_fwd: {sentence: XDR, name: P1, ma: [0, 16]}",
        sentence("YXXDR,I,0.012,A,P1"),
        draught_fwd=8.0,
    ),
    shape(
        "heel by its side",
        pattern(r"LIST (?P<h>[0-9.]+) ?(?P<s>[PS])"),
        "heel: {group: h, minus: {s: P}}",
        b"LIST 1.5 P",
        heel=-1.5,
    ),
    shape(
        "heel by its side, by field",
        "",
        "heel: {sentence: PLST, field: 1, minus: {2: P}}",
        sentence("PLST,1.5,P"),
        heel=-1.5,
    ),
    shape(
        "wind off the bow",
        pattern("W=(?P<d>[0-9]+)"),
        "wind_from: {group: d, reference: bow}",
        b"W=30",
        wind_from=120.0,
    ),
    shape(
        "old shape without the rest",
        pattern("A (?P<a>[0-9.]+) F (?P<f>[0-9.]+)"),
        "draught_fwd: {group: f}, draught_aft: {group: a}",
        b"A 6.15 F 4.30",
        draught_fwd=4.30,
        draught_aft=6.15,
    ),
)

NEVER_A_FIGURE: Final = (
    shape(
        "feet where metres are expected",
        ONE,
        "tide: {group: t, unit: m}",
        b"T=8.0 ft",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "knots on a tide",
        pattern("T=(?P<t>[0-9.]+)"),
        "tide: {group: t}",
        b"T=8.0kn",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "kilonewtons on a wind",
        pattern("T=(?P<t>[0-9.]+)"),
        "wind_speed: {group: t}",
        b"T=8.0 kN",
        flaw=Flaw.UNIT,
        wind_speed=None,
    ),
    shape(
        "tons of some kind",
        pattern("T=(?P<t>[0-9.]+)"),
        "tension.1: {group: t}",
        b"T=8.0 tons",
        flaw=Flaw.UNIT,
        tension_1=None,
    ),
    shape(
        "millivolts", pattern("T=(?P<t>[0-9.]+)"), "tide: {group: t}", b"T=8.0mV", flaw=Flaw.UNIT, tide=None
    ),
    shape("percent", pattern("T=(?P<t>[0-9.]+)"), "tide: {group: t}", b"T=8.0 %", flaw=Flaw.UNIT, tide=None),
    shape(
        "f, feet or fathoms",
        pattern("T=(?P<t>[0-9.]+)"),
        "tide: {group: t}",
        b"T=8.0f",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "unit in another column",
        pattern("^(?P<t>[0-9.]+)"),
        "tide: {group: t, unit: m}",
        b"8.0;ft;1",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "unit in the header",
        pattern(r"draft\(ft\)=(?P<t>[0-9.]+)"),
        "tide: {group: t, unit: m}",
        b"draft(ft)=8.0",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "no unit where one is sought",
        pattern("T=(?P<t>[0-9.]+)(?P<u>[a-z]*)"),
        "tide: {group: t, unit_in: u}",
        b"T=8.0",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "magnetic heading by field",
        "",
        "heading: {sentence: HDM, field: 1}",
        sentence("HCHDM,92.0,M"),
        flaw=Flaw.UNIT,
        heading=None,
    ),
    shape(
        "feet in the next field",
        "",
        "tide: {sentence: HTD, field: 1, unit: m, unit_in: 2}",
        sentence("TIHTD,8.0,f"),
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "no variation",
        "",
        "heading: {sentence: HDG}",
        sentence("HCHDG,92.0,,,,"),
        flaw=Flaw.NO_VALUE,
        heading=None,
    ),
    shape(
        "counts of a broken loop",
        CSV,
        "tide: {group: t, ma: [0, 10], counts: [0, 27648]}",
        b"-4864;0;0",
        flaw=Flaw.LOOP,
        tide=None,
    ),
    shape("broken loop", CSV, "tide: {group: t, ma: [0, 10]}", b"0.02;0;0", flaw=Flaw.LOOP, tide=None),
    shape(
        "transmitter at fault", CSV, "tide: {group: t, ma: [0, 10]}", b"21.6;0;0", flaw=Flaw.LOOP, tide=None
    ),
    shape(
        "metres on a loop",
        pattern("T=(?P<t>[0-9.]+)"),
        "tide: {group: t, ma: [0, 10]}",
        b"T=12.0 m",
        flaw=Flaw.UNIT,
        tide=None,
    ),
    shape(
        "half a decimal comma",
        pattern("(?P<t>[0-9.]+)m"),
        "tide: {group: t}",
        b"T 2,45m",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "the other half",
        pattern("(?P<t>[0-9.]+)"),
        "tide: {group: t}",
        b"2,45;6,31",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "thousands",
        pattern("(?P<t>[0-9.]+) ?kN"),
        "tension.1: {group: t}",
        b"T 1,234.5 kN",
        flaw=Flaw.GARBLED,
        tension_1=None,
    ),
    shape(
        "thousands by point",
        ONE + "\n    decimal: comma",
        "tide: {group: t}",
        b"T=1.234,5",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "half an exponent",
        pattern("T=(?P<t>[0-9.]+)"),
        "tide: {group: t}",
        b"T=2.45E+01",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "sign behind",
        pattern("T=(?P<t>[0-9.]+)"),
        "tide: {group: t}",
        b"T=2.45-",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "sign apart, not taken",
        pattern("(?P<t>[0-9.]+)m"),
        "tide: {group: t}",
        b"ST,GS,-  0.35m",
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "a foot of 13 inches",
        pattern("^D (?P<d>[^;]+);"),
        "draught_fwd: {group: d}",
        b"D 20' 13\";",
        flaw=Flaw.GARBLED,
        draught_fwd=None,
    ),
    shape(
        "feet and inches of wind",
        pattern("^D (?P<d>[^;]+);"),
        "wind_speed: {group: d}",
        b"D 20' 3\";",
        flaw=Flaw.UNIT,
        wind_speed=None,
    ),
    shape(
        "one of two inputs",
        CSV,
        "tide: {group: [t, f], combine: mean}",
        b"2.40;;0",
        flaw=Flaw.NO_VALUE,
        tide=None,
    ),
    shape(
        "one of two lines",
        pattern(r"^(?:1=(?P<a>[0-9.]+)|2=(?P<b>[0-9.]+))$"),
        "tide: {group: [a, b], combine: mean}",
        b"1=2.40",
        b"1=2.41",
        tide=None,
    ),
    shape(
        "over nothing",
        CSV,
        "tide: {group: [t, f], combine: quotient}",
        b"2.40;0;0",
        flaw=Flaw.NO_VALUE,
        tide=None,
    ),
    shape(
        "directions that cancel",
        CSV,
        "wind_from: {group: [t, f], combine: mean}",
        b"90;270;0",
        flaw=Flaw.NO_VALUE,
        wind_from=None,
    ),
    shape(
        "no checksum, not admitted",
        pattern("^PDRG,(?P<t>.*)$", ANY),
        "tide: {group: t}",
        b"$PDRG,2.45",
        flaw=Flaw.NO_CHECKSUM,
        tide=None,
    ),
    shape(
        "wrong checksum",
        pattern("^PDRG,(?P<t>.*)$", ANY),
        "tide: {group: t}",
        b"$PDRG,2.45*00",
        flaw=Flaw.CHECKSUM,
        tide=None,
    ),
    shape(
        "field that is not there",
        "",
        "tide: {sentence: HTD, field: 7}",
        sentence("TIHTD,2.45,M"),
        flaw=Flaw.GARBLED,
        tide=None,
    ),
    shape(
        "a word", "", "tide: {sentence: HTD, field: 1}", sentence("TIHTD,nan,M"), flaw=Flaw.GARBLED, tide=None
    ),
)


def stay(folder: Path, keys: str, channels: str) -> Stay:
    head = "".join(f"    {line.strip()}\n" for line in keys.split("\n") if line.strip())
    feed = f"  - name: box\n    port: udp:10110\n{head}    channels: {{{channels}}}\n"
    return a_stay(folder, f"{HEAD}feeds:\n{feed}balance: off\n")


def heard(stay: Stay, lines: tuple[bytes, ...]) -> tuple[Intake, dict[str, float]]:
    intake = Intake(stay)
    for at, line in enumerate(lines):
        intake.take(START + at, "box", line)
    readings = intake.readings(np.array([START + len(lines)]))
    return intake, dict(zip(readings.channels, readings.value[0].tolist(), strict=True))


@pytest.mark.parametrize("of", READ_RIGHT, ids=lambda of: of.what)
def test_a_shape_is_read_right(tmp_path: Path, of: Shape) -> None:
    mounted = stay(tmp_path, of.keys, of.channels)
    intake, values = heard(mounted, of.lines)
    for channel, value in of.expected.items():
        assert values[channel] == pytest.approx(value, abs=1e-9), channel
    assert intake.tallies["box"].unused == 0
    log = write_log(tmp_path / "a.log", [(START + at, "box", line) for at, line in enumerate(of.lines)])
    replayed = Intake(mounted)
    for batch in FeedLog(log):
        replayed.take_batch(batch)
    again = replayed.readings(np.array([START + len(of.lines)]))
    for channel, value in zip(again.channels, again.value[0].tolist(), strict=True):
        assert value == pytest.approx(values[channel], nan_ok=True), "a log gives the same"


@pytest.mark.parametrize("of", NEVER_A_FIGURE, ids=lambda of: of.what)
def test_a_shape_that_may_mean_something_else_gives_nothing(tmp_path: Path, of: Shape) -> None:
    intake, values = heard(stay(tmp_path, of.keys, of.channels), of.lines)
    for channel in of.expected:
        assert np.isnan(values[channel]), channel
    if of.flaw is not None:
        assert intake.tallies["box"][of.flaw] >= 1


TIMED: Final = pattern("^(?P<at>[^;]+);(?P<t>[0-9.]+)$")
"""A row: its own time, a tide."""


def timed(folder: Path, time: str, *rows: tuple[float, str]) -> tuple[Intake, float, float]:
    """Return the intake, tide and age at START + 100 after rows (seconds after START, text)."""
    intake = Intake(stay(folder, f"{TIMED}\n    time: {time}", "tide: {group: t, smooth_s: 0}"))
    for at, row in rows:
        intake.take(START + at, "box", row.encode())
    readings = intake.readings(np.array([START + 100.0]))
    return intake, float(readings.value[0, 0]), float(readings.age[0, 0])


@pytest.mark.parametrize(
    ("time", "text"),
    [
        ("{group: at}", "2026-03-02T04:00:40Z"),
        ("{group: at}", "2026-03-02 06:00:40+02:00"),
        ('{group: at, zone: "+02:00"}', "2026-03-02 06:00:40"),
        ('{group: at, form: "%d.%m.%Y %H:%M:%S", zone: "+01:00"}', "02.03.2026 05:00:40"),
        ('{group: at, form: "%m/%d/%y %I:%M:%S %p", zone: Z}', "03/02/26 04:00:40 AM"),
        ('{group: at, form: "%Y%m%d%H%M%S", zone: Z}', "20260302040040"),
        ('{group: at, form: "%H:%M:%S", zone: "-11:00"}', "17:00:40"),
        ("{group: at, form: unix}", "1772424040"),
        ("{group: at, form: unix}", "1772424040000"),
    ],
)
def test_a_row_is_as_old_as_its_own_time_says(tmp_path: Path, time: str, text: str) -> None:
    _, tide, age = timed(tmp_path, time, (95.0, f"{text};2.45"))
    assert tide == 2.45
    assert age == pytest.approx(60.0)


def test_date_and_time_may_stand_in_columns_of_their_own(tmp_path: Path) -> None:
    keys = pattern("^(?P<d>[^;]+);(?P<h>[^;]+);(?P<t>[0-9.]+)$")
    keys += '\n    time: {group: [d, h], form: "%d.%m.%Y %H:%M", zone: Z}'
    intake = Intake(stay(tmp_path, keys, "tide: {group: t, smooth_s: 0}"))
    intake.take(START + 95.0, "box", b"02.03.2026;04:01;2.45")
    assert intake.readings(np.array([START + 100.0])).age[0, 0] == pytest.approx(40.0)


def test_a_row_from_long_ago_is_lost_however_late_it_comes(tmp_path: Path) -> None:
    intake = Intake(stay(tmp_path, f"{TIMED}\n    time: {{group: at}}", "tide: {group: t, smooth_s: 0}"))
    intake.take(START + 99.0, "box", b"2026-03-02T03:00:00Z;2.45")
    readings = intake.readings(np.array([START + 100.0]))
    assert readings.quality[0, 0] == Quality.LOST
    assert readings.reason[0, 0] == Reason.SILENT


def test_a_time_ahead_of_ours_is_not_taken_but_a_little(tmp_path: Path) -> None:
    intake, tide, _ = timed(tmp_path, "{group: at}", (95.0, "2026-03-02T05:00:40Z;2.45"))
    assert np.isnan(tide)
    assert intake.tallies["box"] == {Flaw.TIME_AHEAD: 1}
    _, tide, age = timed(tmp_path, "{group: at}", (95.0, "2026-03-02T04:02:00Z;2.45"))
    assert (tide, age) == (2.45, 5.0)


def test_rows_that_run_back_or_have_no_time_are_counted(tmp_path: Path) -> None:
    rows = ((90.0, "2026-03-02T04:01:00Z;2.45"), (91.0, "2026-03-02T04:00:10Z;9.99"), (92.0, "noon;9.99"))
    intake, tide, _ = timed(tmp_path, "{group: at}", *rows, (93.0, "1970-01-01T00:00:00Z;9.99"))
    assert tide == 2.45
    assert intake.tallies["box"] == {Flaw.TIME_BACK: 1, Flaw.GARBLED: 1, Flaw.WRONG_TIME: 1}


@pytest.mark.parametrize(
    ("keys", "channels", "problem"),
    [
        ("", "tide: {sentence: HTD}", "'HTD' is not known here, expected XDR, .* or any other with a field"),
        ("", "tide: {field: 2, group: t}", "only a sentence has fields"),
        ("", "tide: {sentence: HTD, field: 0}", "expected a whole number from 1 to 99"),
        ("", "tide: {sentence: HTD, field: [1, 2]}", "combine: .*expected mean, sum, difference or quotient"),
        ("", "tide: {sentence: HTD, field: 1, combine: mean}", "one input only"),
        ("", "tide: {sentence: HTD, field: [1, 2, 3], combine: difference}", "difference of 3 inputs"),
        (
            "",
            "tide: {sentence: HTD, field: [1, 2], combine: mean, weights: [1, 2]}",
            "only a sum has weights",
        ),
        (
            "",
            "tide: {sentence: HTD, field: [1, 2], combine: sum, weights: [1, 2, 3]}",
            "3 weights of 2 inputs",
        ),
        ("", "heading: {sentence: HTD, field: [1, 2], combine: sum}", "sum of directions"),
        ("", "tide: {sentence: HTD, field: 1, unit: kn}", "unit 'kn' without a scale, expected a scale"),
        ("", "tide: {sentence: HTD, field: 1, unit: m, ma: [0, 10]}", "unit 'm' of a current loop"),
        ("", "tide: {sentence: HTD, field: 1, ma: [3, 3]}", "the same at 4 and at 20 mA"),
        ("", "tide: {sentence: HTD, field: 1, counts: [0, 9]}", "ma: missing"),
        ("", "tide: {sentence: HTD, field: 1, ma: [0, 9], counts: [7, 7]}", "the same at 4 and at 20 mA"),
        ("", "tide: {sentence: HTD, field: 1, ma: [0, 9], counts: [0, 7], unit: mA}", "counts have no unit"),
        ("", "tide: {sentence: HTD, field: 1, unit_in: u}", "'u' is no field"),
        ("", "tide: {sentence: HTD, field: 1, where: {x: A}}", "'x' is no field"),
        ("", "tide: {sentence: HTD, field: 1, reference: bow}", "tide is no direction"),
        (
            "",
            "tide: {sentence: XDR, name: T, unit_in: 3}",
            "a unit is sought for groups, fields and columns only",
        ),
        (CSV, "tide: {group: t, where: {t: A}}", "only fields of a sentence, and columns, are compared"),
        (CSV, "tide: {group: t, unit_in: u}", "no group 'u' in the pattern"),
        (CSV, "tide: {group: [t, q], combine: mean}", "no group 'q' in the pattern"),
        (CSV, "tide: {group: t, minus: {s: P}}", "no group 's' in the pattern"),
        (CSV + "\n    time: {group: at}", "tide: {group: t}", "no group 'at' in the pattern"),
        (TIMED + "\n    time: {group: at, form: noon}", "tide: {group: t}", "'noon' is no form of a time"),
        (
            TIMED + '\n    time: {group: at, form: "%H:%M %q", zone: Z}',
            "tide: {group: t}",
            "no form of a time",
        ),
        (TIMED + '\n    time: {group: at, form: "%d.%m. %H:%M", zone: Z}', "tide: {group: t}", "half a date"),
        (TIMED + '\n    time: {group: at, form: "%d.%m.%Y", zone: Z}', "tide: {group: t}", "has no hour"),
        (
            TIMED + '\n    time: {group: at, form: "%H:%M:%S"}',
            "tide: {group: t}",
            "one key is missing, expected zone",
        ),
        (TIMED + "\n    time: {group: at, form: unix, zone: Z}", "tide: {group: t}", "names its zone itself"),
        (TIMED + "\n    time: {group: at, zone: Lisbon}", "tide: {group: t}", "'Lisbon' is not an offset"),
        (CSV + "\n    decimal: dot", "tide: {group: t}", "expected point or comma"),
    ],
)
def test_what_does_not_fit_together_is_a_fault(
    tmp_path: Path, keys: str, channels: str, problem: str
) -> None:
    with pytest.raises(StayFaults, match=problem):
        stay(tmp_path, keys, channels)


def stated(text: str) -> float | None:
    """Return the number that a text states, as people read it; None where it may be read in two ways."""
    text = re.sub(r",(?![0-9]).*", "", text)  # a comma that parts fields
    whole = re.fullmatch(r"([-+]?) *([0-9]{1,9})(?:([.,])([0-9]{0,3}))?(?:[eE]([-+]?[0-9]))?(-?)", text)
    if whole is None or whole[6] or whole[3] == ",":
        return None
    sign, digits, _, decimals, power, _ = whole.groups()
    value = float(f"{digits}.{decimals or 0}") * 10.0 ** int(power or 0)
    return -value if sign == "-" else value


NUMBERS: Final = st.builds(
    "".join,
    st.tuples(
        st.sampled_from(["", "-", "+", "- ", "+  "]), st.from_regex("[0-9]{1,5}", fullmatch=True),
        st.sampled_from(["", ".", ","]), st.from_regex("[0-9]{0,3}", fullmatch=True),
        st.sampled_from(["", "", "e1", "E-2", "e+0", "-"]),
    ),
)  # fmt: skip


@given(NUMBERS, st.sampled_from([r"T=(?P<t>[0-9.]+)", r"(?P<t>[-+]?[0-9.]+)", r"T=(?P<t>[-+ 0-9.eE]+)"]),
       st.sampled_from(["", " ", ";"]))  # fmt: skip
def test_whatever_a_pattern_takes_of_a_number_is_the_number_or_nothing(
    text: str, pattern: str, behind: str
) -> None:
    source = Source("tide", group="t", checks_unit=True)
    intake = Intake(stay_with(Feed("box", "udp:1", (source,), pattern)))
    intake.take(START, "box", f"T={text}{behind}".encode())
    got = [value for _, _, value in intake.newest_raw() if value == value]
    if got:
        assert got == [pytest.approx(stated(text))], (text, pattern)
