"""Which feed's channels hear a line, from a port and from a log."""

from pathlib import Path

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.listen import Listening, table
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import sentence, tag_block
from alongside.stay.model import Feed, Source, Stay
from tests.feeds.stays import START, one_channel, stay_with, tide, tide_gauge, wind, write_log


def two_gauges() -> Stay:
    fore = Feed("fore gauge", "udp:1", (Source("draught_fwd", "XDR", names=("DR",)),))
    aft = Feed("aft gauge", "udp:2", (Source("draught_aft", "XDR", names=("DR",)),))
    return stay_with(fore, aft)


def draught(metres: float) -> bytes:
    return sentence(f"YXXDR,D,{metres:.2f},M,DR")


def test_a_feed_reaches_its_own_channels_only_an_unknown_source_all(tmp_path: Path) -> None:
    lines = [(START, "fore gauge", draught(7.0)), (START, "aft gauge", draught(9.0))]
    intake = Intake(two_gauges())
    for batch in FeedLog(write_log(tmp_path / "a.log", lines)):
        intake.take_batch(batch)
    assert intake.readings(np.array([START])).value.tolist() == [[7.0, 9.0]]
    intake.take(START + 1, None, draught(8.0))
    assert intake.readings(np.array([START + 1])).value.tolist() == [[8.0, 8.0]]
    assert intake.heard == {"": 1, "fore gauge": 1, "aft gauge": 1}


def test_a_live_feed_wins_over_the_source_in_its_own_tag_block() -> None:
    intake = Intake(two_gauges())
    intake.take(START, "fore gauge", tag_block(b"YX0001", START - 5000.0) + draught(7.0))
    readings = intake.readings(np.array([START]))
    assert readings.value[0, 0] == 7.0
    assert readings.age[0, 0] == 0.0
    assert np.isnan(readings.value[0, 1])


def test_a_log_and_a_live_feed_give_the_same(tmp_path: Path) -> None:
    stay = stay_with(
        Feed("gauges", "udp:1", (Source("tide", "XDR", names=("TIDE",), smooth_s=60.0),)),
        Feed("odd", "udp:2", (Source("heel", group="heel"),), r"^H=(?P<heel>\S+)$"),
        Feed("mast", "udp:3", (Source("wind_speed", "MWV"), Source("wind_from", "MWV"))),
    )
    lines: list[tuple[float, str, bytes]] = []
    for k in range(300):
        lines += [
            (START + k, "gauges", tide(2.0 + 0.1 * np.sin(k)) if k % 9 else b"$WLXDR,D,1.0,M,TIDE*00"),
            (START + k + 0.1, "odd", b"H=%d.5" % (k % 4) if k % 7 else b"H=nan"),
            (START + k + 0.2, "mast", wind(float(k), 8.0) if k % 5 else b"\xffnoise\x01"),
        ]
    live, logged = Intake(stay), Intake(stay)
    for time, feed, line in lines:
        live.take(time, feed, line)
    for batch in FeedLog(write_log(tmp_path / "a.log.gz", lines)):
        logged.take_batch(batch)
    times = START + np.arange(301.0)
    ours, theirs = live.readings(times), logged.readings(times)
    for name in ("value", "quality", "reason", "age"):
        np.testing.assert_array_equal(getattr(ours, name), getattr(theirs, name))
    assert live.tallies == logged.tallies
    assert live.tallies["gauges"][Flaw.CHECKSUM] == 34


def test_talker_and_reference_choose_among_sentences() -> None:
    source = Source("wind_speed", "MWV", talker="WI", reference="T")
    intake = Intake(one_channel(source))
    for body in (
        "IIMWV,10.0,T,1.0,M,A",
        "WIMWV,10.0,R,2.0,M,A",
        "WIMWV,10.0,T,3.0,M,A",
        "WIMWV,10.0,R,4.0,M,A",
    ):
        intake.take(START, "gauges", sentence(body))
    assert intake.readings(np.array([START])).column("wind_speed")[0] == 3.0


def test_plain_lines_by_a_pattern() -> None:
    source = Source("tide", group="level", scale=0.01)
    intake = Intake(one_channel(source, r"LEVEL\s+(?P<level>[-\d.]+)\s*cm"))
    for line in (b"LEVEL 213.7 cm", b"LEVEL 2.1.3 cm", b"level?", b"$LEVEL 999 cm"):
        intake.take(START, "gauges", line)
    tally = intake.tallies["gauges"]
    assert intake.readings(np.array([START])).value[0, 0] == pytest.approx(2.137, abs=1e-12)
    assert tally == {Flaw.GARBLED: 2, Flaw.NO_VALUE: 1, Flaw.NO_CHECKSUM: 1}


@pytest.mark.parametrize(
    ("source", "problem"),
    [
        (Source("tide", "XDR"), "XDR without a name"),
        (Source("tide", "HDT"), "HDT does not give it, it gives heading"),
        (Source("tide", "GGA"), "sentence 'GGA', expected XDR or one of DBT"),
        (Source("tide", group="level"), "group 'level', expected one of the feed's pattern"),
        (Source("wind_from", "MWV", reference="M"), "reference 'M', expected R or T"),
    ],
)
def test_a_channel_that_its_feed_cannot_give_is_refused(source: Source, problem: str) -> None:
    with pytest.raises(WrongInput, match=problem):
        Intake(one_channel(source))


def test_listening_tells_rates_newest_values_faults_and_strangers() -> None:
    listening = Listening(tide_gauge(scale=2.0))
    for k in range(11):
        listening.hear(START + k, "gauges", tide(1.0 + k / 10))
        listening.hear(START + k, "gauges", sentence("GPTXT,hello"))
    listening.hear(START + 10, "gauges", b"$WLXDR,D,9.0,M,TIDE*00")
    listening.hear(START + 10, "gauges", sentence("GPZDA,040015.00,02,03,2026,00,00"))
    kinds = listening.kinds["gauges"]
    assert kinds["WLXDR"].per_s == pytest.approx(1.0, abs=1e-12)
    assert kinds["WLXDR"].count == 11
    assert listening.unknown["gauges"] == {"GPTXT", "GPZDA"}
    assert listening.newest["tide"].value == pytest.approx(4.0, abs=1e-12)
    assert listening.clock_ahead["gauges"] == pytest.approx(5.0, abs=1e-6)
    assert listening.tally("gauges")[Flaw.CHECKSUM] == 1
    for zda in ("040015.00,02,03,1926,00,00", "040015.00,02,03,2126,00,00", "040015.00,02,03,0000,00,00"):
        listening.hear(START + 10, "gauges", sentence(f"GPZDA,{zda}"))
    assert listening.clock_ahead["gauges"] == pytest.approx(5.0, abs=1e-6), "these years are no times"
    assert listening.tally("gauges")[Flaw.WRONG_TIME] == 3
    text = table(listening, START + 12)
    for part in ("GPTXT", "nobody listens", "tide", "4.000", "1 wrong checksum", "+5.0 s ahead"):
        assert part in text
