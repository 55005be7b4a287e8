"""What `listen` proposes is a feed that `check` takes and that reads just what was heard."""

from pathlib import Path
from typing import Final

import numpy as np
import pytest

from alongside.errors import StayFaults
from alongside.feeds.figures_heard import FiguresHeard
from alongside.feeds.intake import Intake
from alongside.feeds.sentence import sentence
from alongside.reports.proposal import Proposal, numbered, proposed
from alongside.units import KNOT, G
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START

HEAD: Final = STAY_TEXT[: STAY_TEXT.index("feeds:")]
FOOT: Final = 0.3048


def proposal_for(lines: list[bytes], named: dict[int, str]) -> Proposal:
    heard = FiguresHeard()
    for at, line in enumerate(lines):
        heard.hear(START + at, line)
    return proposed("box", "udp:10110", heard, numbered(heard), named)


def values_read(folder: Path, proposal: Proposal, lines: list[bytes]) -> dict[str, float]:
    stay = a_stay(folder, f"{HEAD}{proposal.text()}balance: off\n")
    intake = Intake(stay)
    for at, line in enumerate(lines):
        intake.take(START + at, "box", line)
    readings = intake.readings(np.array([START + len(lines)]))
    assert intake.tallies["box"].unused == 0
    return dict(zip(readings.channels, readings.value[0].tolist(), strict=True))


@pytest.mark.parametrize(
    ("line", "named", "expected"),
    [
        (b"2.45;6.31;7.02", {1: "tide", 3: "draught_aft"}, {"tide": 2.45, "draught_aft": 7.02}),
        (b"2,45;6,31;7,02", {1: "tide", 2: "draught_fwd"}, {"tide": 2.45, "draught_fwd": 6.31}),
        (b"2.45,6.31,7.02", {1: "tide", 2: "draught_fwd"}, {"tide": 2.45, "draught_fwd": 6.31}),
        (b'{"id": 7, "level": 2.45, "ok": true}', {}, {"tide": 2.45}),
        (b'{"level_ft": 10.0}', {}, {"tide": 10.0 * FOOT}),
        (b"TIDE=+2.45 m;WIND=20.0kn", {}, {"tide": 2.45, "wind_speed": 20.0 * KNOT}),
        (b">+2.450+6.310-0.500", {1: "tide", 2: "draught_fwd"}, {"tide": 2.45, "draught_fwd": 6.31}),
        (b"0012   2.45   6.31", {2: "tide", 3: "draught_fwd"}, {"tide": 2.45, "draught_fwd": 6.31}),
        (b"\x02  12.5t\x03", {1: "tension.1"}, {"tension.1": 12.5 * G}),
        (b"ST,GS,-  0.35m", {1: "tide"}, {"tide": -0.35}),
        (b"LEVEL 2.45E+00", {}, {"tide": 2.45}),
        (b"DRAFT FWD 20' 6\"", {}, {"draught_fwd": 20.5 * FOOT}),
        (b"FWD 20' 6 1/2\"", {}, {"draught_fwd": (20 + 6.5 / 12) * FOOT}),
        (b"FWD 20'-6\"", {}, {"draught_fwd": 20.5 * FOOT}),
        (b"T\t2.45\tA\t9.00", {1: "tide", 2: "draught_aft"}, {"tide": 2.45, "draught_aft": 9.0}),
        (b"   2.45\t 9.00 ", {1: "tide", 2: "draught_aft"}, {"tide": 2.45, "draught_aft": 9.0}),
        (b"03/02/2026 06:00:00 AM TIDE 2.45", {}, {"tide": 2.45}),
        (b"2026/03/02 6:00:00 AM TIDE 2.45", {}, {"tide": 2.45}),
        (b"A 6.15 F 4.30", {1: "draught_aft", 2: "draught_fwd"}, {"draught_aft": 6.15, "draught_fwd": 4.3}),
        (b"2026-03-02T04:00:00Z;2.45", {1: "tide"}, {"tide": 2.45}),
        (b"02.03.2026;06:00:00;2.45", {1: "tide"}, {"tide": 2.45}),
        (b"02.03.2026 06:00:00 LEVEL 2,45 m", {}, {"tide": 2.45}),
        (b"06:00:00 LEVEL 2.45", {}, {"tide": 2.45}),
        (b"1772424000;2.45", {2: "tide"}, {"tide": 2.45}),
        (sentence("PDRG,6.31,7.02"), {1: "draught_fwd", 2: "draught_aft"}, {"draught_fwd": 6.31}),
        (sentence("TIHTD,A,8.0,f"), {1: "tide"}, {"tide": 8.0 * FOOT}),
        (sentence("WLXDR,D,2.45,M,TIDE,D,6.31,M,DRF"), {}, {"tide": 2.45, "draught_fwd": 6.31}),
        (sentence("WLXDR,D,8.0,ft,TIDE"), {}, {"tide": 8.0 * FOOT}),
        (sentence("WIMWV,30.0,R,10.0,M,A"), {}, {"wind_speed": 10.0, "wind_from": 120.0}),
        (b"$WIMWV,30.0,R,10.0,M,A", {}, {"wind_speed": 10.0, "wind_from": 120.0}),
    ],
)
def test_a_proposal_reads_what_was_heard(
    tmp_path: Path, line: bytes, named: dict[int, str], expected: dict[str, float]
) -> None:
    proposal = proposal_for([line] * 3, named)
    values = values_read(tmp_path, proposal, [line] * 3)
    for channel, value in expected.items():
        assert values[channel] == pytest.approx(value), proposal.text()


def test_kinds_of_lines_are_read_side_by_side(tmp_path: Path) -> None:
    lines = [b"TIDE=2.45 m", b"HEEL=-0.5 deg", sentence("WIMWV,30.0,R,10.0,M,A")]
    values = values_read(tmp_path, proposal_for(lines, {}), lines)
    assert (values["tide"], values["heel"], values["wind_speed"]) == (2.45, -0.5, 10.0)


def test_commas_and_points_are_not_mixed() -> None:
    proposal = proposal_for([b"LEVEL;2,45", b"HEEL=1.5 deg"], {})
    assert list(proposal.channels) == ["tide"]
    assert proposal.not_proposed == {2: "decimals by comma and by point in one feed"}


def test_a_load_cell_is_of_a_line_that_somebody_names(tmp_path: Path) -> None:
    lines = [b"HOOK1=12.5t"]
    assert proposal_for(lines, {}).not_proposed == {1: "say of which line: --name 1=tension.LINE"}
    values = values_read(tmp_path, proposal_for(lines, {1: "tension.2"}), lines)
    assert values["tension.2"] == pytest.approx(12.5 * G)


def test_own_time_in_another_zone_is_seen(tmp_path: Path) -> None:
    text = proposal_for([b"02.03.2026 05:59:58;2.45"], {1: "tide"}).text()
    assert 'zone: "+02:00"' in text
    assert "form: '%d.%m.%Y %H:%M:%S'" in text


@pytest.mark.parametrize(
    ("line", "named", "why"),
    [
        (b"T=12.5 kn", {1: "tide"}, "unit kn is none of m"),
        (sentence("PLVL,8.0,M"), {1: "heel"}, "unit M is none of heel"),
        (b"2.45-", {1: "tide"}, "would not be read: 1 garbled"),
        ("−2.45".encode(), {1: "tide"}, "would not be read: 1 garbled"),
    ],
)
def test_what_cannot_be_known_is_not_proposed(line: bytes, named: dict[int, str], why: str) -> None:
    proposal = proposal_for([line], named)
    assert proposal.text() == ""
    assert why in proposal.not_proposed[1]


@pytest.mark.parametrize(
    ("line", "named", "left_open", "why"),
    [
        (b"T=12.5 mA", {1: "tide"}, "ma: [AT_4, AT_20]", "what it is at 4 and at 20 mA, m"),
        (b"P=1900 mbar", {1: "tide"}, "unit: mbar, scale: SCALE", "what makes mbar m"),
        (sentence("WLXDR,D,8.0,F,TIDE"), {}, "unit: F, scale: SCALE", "what makes F m"),
    ],
)
def test_what_only_the_engineer_knows_is_left_open(
    tmp_path: Path, line: bytes, named: dict[int, str], left_open: str, why: str
) -> None:
    """`check` refuses it until it is filled in, at its place."""
    proposal = proposal_for([line], named)
    assert left_open in proposal.channels["tide"]
    assert why in proposal.about["tide"]
    with pytest.raises(StayFaults, match="is not a number"):
        a_stay(tmp_path, f"{HEAD}{proposal.text()}balance: off\n")


def test_what_is_out_of_range_and_what_may_be_a_piece_is_said() -> None:
    assert "264 is outside -5 to 20" in proposal_for([b"264"], {1: "tide"}).about["tide"]
    pieces = proposal_for([b"1.200,50 kg"], {1: "tide"}).about["tide"]
    assert "or a piece of 1.200,50" in pieces
    assert "piece" not in proposal_for([b"12.5,10.25,7"], {1: "tide"}).about["tide"]


def test_the_newest_line_is_shown_however_many_came() -> None:
    heard = FiguresHeard()
    for at in range(500):
        heard.hear(START + at, b"T=%d.5" % at)
    (figure,) = (each.figure for each in numbered(heard))
    assert figure.last == 499.5


def test_noise_proposes_nothing_and_ends() -> None:
    rng = np.random.default_rng(1)
    lines = [bytes(rng.integers(0, 256, 60).astype(np.uint8)) for _ in range(300)]
    assert proposal_for(lines, {}).text() == ""
