"""What a simulated log says is read again as the truth, within what a gauge shows: fields, patterns, current
loops, several inputs, units, signs and times of their own."""

from pathlib import Path

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.stay.model import Stay
from alongside.training.simulate.log import simulate
from alongside.training.simulate.truth import Truth
from tests.berth import STAY_TEXT, a_stay
from tests.training.simulate.heard import Heard

HEAD, _, REST = STAY_TEXT.partition("feeds:\n")
MORE = """\
tide: {high_low: [[2026-03-02T03:00:00Z, -0.4], [2026-03-02T05:00:00Z, 3.0]]}
simulate:
  start: 2026-03-02T03:30:00Z
  hours: 1
  draught_fwd: 4.0
  draught_aft: 4.5
  interval_s: 10
  noise_m: 0
  cell_noise_kn: 0
  wind: [{at: 2026-03-02T03:00:00Z, mean_ms: 9, gust_ms: 13, from_deg: 185}]
"""


def stay_with(folder: Path, feeds: str) -> Stay:
    return a_stay(folder, f"{HEAD}feeds:\n{feeds}balance: off\n{MORE}")


def assert_truth_comes_back(stay: Stay, within: float) -> None:
    assert stay.simulate is not None
    lines = list(simulate(stay))
    heard = Heard(stay, lines)
    flaws = [str(tally) for tally in heard.intake.tallies.values() if tally.unused]
    assert not flaws, (flaws, lines[:2])
    channels = [source.channel for feed in stay.feeds for source in feed.channels]
    time = stay.simulate.start + 10.0 * np.arange(361)
    truth = Truth(stay, stay.simulate, channels).next_block(time)
    for feed in stay.feeds:
        for source in feed.channels:
            at, value = heard.of(source.channel)
            assert at.size == time.size, (source.channel, at.size, lines[:2])
            np.testing.assert_allclose(at, time, atol=0.5)
            expected = truth[source.channel]
            if source.reference == "bow" or source.sentence == "MWV":
                expected = expected - truth["heading"] * (source.channel == "wind_from")
            off = value - expected
            if source.channel in ("wind_from", "heading"):
                off = (off + 180.0) % 360.0 - 180.0
            limit = {"wind_from": 0.51, "heading": 0.06 + 0.3}.get(source.channel, within)
            assert np.abs(off).max() <= limit, (source.channel, float(np.abs(off).max()), lines[:2])


FEEDS = {
    "fields": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: PLVL, field: 1}
      draught_fwd: {sentence: PLVL, field: 2, scale: 0.001}
      draught_aft: {sentence: PLVL, field: 4, offset: -1.25}
""",
    "fields told apart by another": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: PLVL, field: 2, where: {1: TIDE}}
      draught_fwd: {sentence: PLVL, field: 2, where: {1: FWD}}
      draught_aft: {sentence: PLVL, field: 2, where: {1: AFT}}
""",
    "a unit and a sign in fields of their own": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: PLVL, field: 1, minus: {2: "-"}, unit_in: "3"}
      draught_fwd: {sentence: PLVL, field: 4, unit_in: "5", unit: ft}
      draught_aft: {sentence: PLVL, field: 6, unit: cm}
""",
    "current loops": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: PLVL, field: 1, ma: [-2, 10], offset: -1.25}
      draught_fwd: {sentence: XDR, name: DRF, ma: [0, 20], counts: [0, 27648]}
      draught_aft: {sentence: XDR, name: DRA, ma: [20, 0], unit: A}
""",
    "several inputs": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: PLVL, field: [1, 2], combine: difference}
      draught_fwd: {sentence: PLVL, field: [3, 4], combine: sum, weights: [-0.2, 1.2]}
      draught_aft: {sentence: PLVL, field: [5, 6], combine: quotient, scale: 2}
  - name: more
    port: "serial:/dev/y"
    channels:
      draught_mid_port: {sentence: XDR, name: [A, B]}
      draught_mid_stbd: {sentence: XDR, name: [C, D], combine: sum}
      tension.2: {sentence: XDR, name: [E, F], combine: difference, unit: N}
""",
    "two pressures of a loop": """\
  - name: plc
    port: "serial:/dev/x"
    pattern: 'p=(?P<hull>[0-9.]+);(?P<air>[0-9.]+) d=(?P<fwd>\\S+) (?P<aft>\\S+)$'
    channels:
      tide: {group: [hull, air], combine: difference, ma: [0, 1600], scale: 0.009945, offset: -5}
      draught_fwd: {group: fwd}
      draught_aft: {group: aft}
""",
    "a plain line with words and units": """\
  - name: old
    port: "serial:/dev/x"
    pattern: >-
      ^L\\d+ tide (?P<tide>[-+]?\\d+\\.\\d+) ft, fwd\\s*=\\s*(?P<fwd>\\d+\\.\\d+) m aft=(?P<aft>[0-9.]+)
    channels:
      tide: {group: tide}
      draught_fwd: {group: fwd}
      draught_aft: {group: aft, scale: 0.1}
""",
    "decimal comma, sign and unit in groups": """\
  - name: old
    port: "serial:/dev/x"
    decimal: comma
    pattern: '(?P<way>[UD]);(?P<tide>\\d+,\\d+);(?P<unit>[a-z]+);(?P<fwd>\\d+,\\d+);(?P<aft>\\d+,\\d+)'
    channels:
      tide: {group: tide, minus: {way: D}, unit_in: unit}
      draught_fwd: {group: fwd}
      draught_aft: {group: aft}
""",
    "a converter that answers in fixed figures": """\
  - name: old
    port: "serial:/dev/x?baud=9600"
    poll: {prompt: ["#01\\r", "#02\\r", "#03\\r"], every_s: 5}
    pattern: >-
      #01 >(?P<tide>[+-]\\d{2}\\.\\d{3})|#02 >(?P<fwd>[+-]\\d{2}\\.\\d{3})|#03 >(?P<aft>[+-]\\d\\d\\.\\d{3})
    channels:
      tide: {group: tide}
      draught_fwd: {group: fwd}
      draught_aft: {group: aft}
""",
    "rows with their own time": """\
  - name: csv
    port: "file:gauges.csv"
    pattern: '^(?P<day>[0-9.]+) (?P<clock>[0-9:]+),(?P<tide>[-0-9.]+),(?P<fwd>[0-9.]+),(?P<aft>[0-9.]+)'
    decimal: point
    time: {group: [day, clock], form: "%d.%m.%Y %H:%M:%S", zone: "+02:00"}
    channels:
      tide: {group: tide}
      draught_fwd: {group: fwd}
      draught_aft: {group: aft}
""",
    "rows with a time by the standard": """\
  - name: csv
    port: "file:gauges.csv"
    pattern: '^(?P<when>[-0-9]+T[0-9:]+Z);(?P<tide>[-0-9.]+);(?P<fwd>[0-9.]+)'
    time: {group: when}
    channels:
      tide: {group: tide}
      draught_fwd: {group: fwd}
  - name: ms
    port: "file:more.csv"
    pattern: '^(?P<when>[0-9]{13}),(?P<aft>[0-9.]+)$'
    time: {group: when, form: unix}
    channels:
      draught_aft: {group: aft}
""",
    "an export by its headings": """\
  - name: csv
    port: "csv:export.csv"
    decimal: comma
    time: {column: [Day, Clock], form: "%Y/%m/%d %H:%M:%S", zone: "+01:00"}
    channels:
      tide: {column: "Level (ft)", minus: {Side: below}}
      draught_fwd: {column: Fwd, unit_in: Unit}
      draught_aft: {column: [Aft port, Aft stbd], combine: mean, where: {State: "ok"}, scale: 0.1}
""",
    "registers": """\
  - name: plc
    port: "modbus:192.168.1.30"
    channels:
      tide: {register: {table: input, address: 0, type: int16}, scale: 0.001}
      draught_fwd:
        register: {table: input, address: 2, type: float32, example: {shows: "47F1 2000", for: 123456.0}}
      draught_aft:
        register: {table: input, address: 9, type: int32, example: {shows: "E240 0001", for: 123456}}
        unit: mm
""",
    "wind off the bow by fields, and forces in tonnes": """\
  - name: plc
    port: "serial:/dev/x"
    channels:
      tide: {sentence: XDR, name: TIDE, unit: ft}
      draught_fwd: {sentence: XDR, name: DRF}
      draught_aft: {sentence: XDR, name: DRA, unit: cm, scale: 0.01}
      wind_from: {sentence: PWND, field: 1, reference: bow}
      wind_speed: {sentence: PWND, field: 2, unit: kn}
      heading: {sentence: PWND, field: 3}
      tension.2: {sentence: PWND, field: 4, unit: t}
""",
}
RESOLUTION = 0.101
"""What a wind or a load shows; levels are held to a centimetre where there are levels alone."""


@pytest.mark.parametrize("name", FEEDS)
def test_the_truth_comes_back(tmp_path: Path, name: str) -> None:
    has_others = "wind" in FEEDS[name] or "tension" in FEEDS[name]
    assert_truth_comes_back(stay_with(tmp_path, FEEDS[name]), RESOLUTION if has_others else 0.0101)


@pytest.mark.parametrize(
    ("channels", "why"),
    [
        (
            "tide: {sentence: PLVL, field: 1}, draught_fwd: {sentence: PLVL, field: 1}",
            r"draught_fwd: may be taken for tide, expected a field that tells them apart \(where\)",
        ),
        (
            "wind_speed: {sentence: MWV}, wind_from: {sentence: MWV, field: 1}",
            "wind_from: MWV is read both by field and as it stands",
        ),
        (
            "tide: {sentence: PLVL, field: 1, where: {2: kn}}",
            "tide: field 1 would be read in 'kn'",
        ),
        ("tide: {group: feet}", r"feeds\.old\.pattern: no line could be made of it"),
        ("tide: {group: torn}", r"feeds\.old\.pattern: no line could be made of it"),
    ],
)
def test_what_would_be_read_otherwise_is_refused(tmp_path: Path, channels: str, why: str) -> None:
    pattern = "^(?P<feet>[0-9]+' [0-9]+\")|T:-(?P<torn>[0-9.]+)$"
    whole = ["tide", "draught_fwd", "draught_aft"]
    rest = ", ".join(
        f"{name}: {{sentence: XDR, name: N{name}}}" for name in whole if f"{name}:" not in channels
    )
    feeds = f"""\
  - {{name: old, port: "serial:/dev/x", pattern: '{pattern.replace("'", "''")}', channels: {{{channels}}}}}
  - {{name: rest, port: "serial:/dev/y", channels: {{{rest}}}}}
"""
    with pytest.raises(WrongInput, match=why):
        simulate(stay_with(tmp_path, feeds))


def test_a_column_cannot_hold_two_things(tmp_path: Path) -> None:
    feeds = """\
  - name: csv
    port: "csv:export.csv"
    time: {column: Time, form: unix}
    channels:
      tide: {column: Level, where: {State: wet}}
      draught_fwd: {column: Level, where: {State: wet}}
      draught_aft: {column: Aft, where: {State: dry}}
"""
    with pytest.raises(WrongInput, match="column 'State' would hold two things"):
        simulate(stay_with(tmp_path, feeds))
    with pytest.raises(WrongInput, match="column 'Level' would hold two things"):
        simulate(stay_with(tmp_path, feeds.replace("dry", "wet")))


def test_registers_that_do_not_hold_it(tmp_path: Path) -> None:
    feeds = """\
  - name: plc
    port: "modbus:192.168.1.30"
    channels:
      tide: {register: {table: input, address: 0, type: int16}, scale: 0.00001}
      draught_fwd: {register: {table: input, address: 1, type: int16}, scale: 0.001}
      draught_aft: {register: {table: input, address: 2, type: int16}, scale: 0.001}
"""
    with pytest.raises(WrongInput, match=r"channels\.tide: .* in registers of int16"):
        list(simulate(stay_with(tmp_path, feeds)))
