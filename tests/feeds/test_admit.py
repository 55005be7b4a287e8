"""Sentences without a checksum and makers' sentences: only where the stay file says so."""

from pathlib import Path

import numpy as np
import pytest

from alongside.errors import StayFaults
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.listen import Listening, table
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import sentence, tag_block
from alongside.stay.model import Feed, Source, Stay
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START, stay_with, write_log

BARE = b"$WLXDR,D,2.5,M,TIDE"
MAKERS = sentence("PXYZ,H,1.25,A")
PATTERN = r"^PXYZ,H,(?P<heel>[-0-9.]+),A$"


def stay(*admit: str) -> Stay:
    sources = (Source("tide", "XDR", names=("TIDE",)), Source("heel", group="heel"))
    other = Feed("strict", "udp:2", (Source("depth", "DPT"),))
    return stay_with(Feed("box", "udp:1", sources, PATTERN, admit), other)  # type: ignore[arg-type]


def heard(stay: Stay, feed: str | None, *lines: bytes) -> tuple[Intake, list[float]]:
    intake = Intake(stay)
    for line in lines:
        intake.take(START, feed, line)
    return intake, intake.readings(np.array([START])).value[0].tolist()


def test_neither_is_taken_unasked() -> None:
    intake, values = heard(stay(), "box", BARE, MAKERS)
    assert np.isnan(values).all()
    assert intake.tallies["box"] == {Flaw.NO_CHECKSUM: 1, Flaw.UNKNOWN: 1}


def test_each_is_taken_where_it_is_admitted_and_only_there() -> None:
    _, values = heard(stay("no_checksum"), "box", BARE, MAKERS)
    assert values[0] == 2.5
    assert np.isnan(values[1])
    _, values = heard(stay("makers"), "box", BARE, MAKERS)
    assert np.isnan(values[0])
    assert values[1] == 1.25
    intake, values = heard(stay("no_checksum", "makers"), "strict", BARE, b"$SDDPT,9.0,0.5", MAKERS)
    assert np.isnan(values).all()
    assert intake.tallies["strict"] == {Flaw.NO_CHECKSUM: 2, Flaw.UNKNOWN: 1}


def test_of_an_unknown_source_each_feed_takes_what_it_admits() -> None:
    _, values = heard(stay("no_checksum"), None, BARE, b"$SDDPT,9.0,0.5")
    assert values[0] == 2.5
    assert np.isnan(values[2]), "the strict feed does not"
    _, values = heard(stay("no_checksum"), None, sentence("SDDPT,9.0,0.5"))
    assert values[2] == 9.5


def test_a_wrong_checksum_is_never_taken_nor_half_of_one() -> None:
    intake, values = heard(
        stay("no_checksum", "makers"), "box", BARE + b"*00", BARE + b"*", BARE + b"*4", b"$", b"$*"
    )
    assert np.isnan(values).all()
    assert intake.tallies["box"].unused == 5


def test_half_a_sentence_has_lost_the_name_of_its_value() -> None:
    """So that without checksums a line cut off gives no wrong figure."""
    for end in range(1, len(BARE)):
        _, values = heard(stay("no_checksum"), "box", BARE[:end])
        assert np.isnan(values).all(), BARE[:end]


def test_a_makers_sentence_without_a_checksum_needs_both() -> None:
    bare = b"$PXYZ,H,1.25,A"
    assert np.isnan(heard(stay("makers"), "box", bare)[1]).all()
    assert heard(stay("no_checksum", "makers"), "box", bare)[1][1] == 1.25


def test_a_makers_sentence_that_the_pattern_does_not_know_is_no_fault() -> None:
    intake, _ = heard(stay("makers"), "box", sentence("PXYZ,Q,1"), sentence("PABC," + "1," * 200))
    assert intake.tallies["box"] == {Flaw.UNKNOWN: 1, Flaw.OVERLONG: 1}


def test_a_log_gives_the_same(tmp_path: Path) -> None:
    path = write_log(tmp_path / "a.log", [(START, "box", BARE), (START, "box", MAKERS)])
    intake = Intake(stay("no_checksum", "makers"))
    for batch in FeedLog(path):
        intake.take_batch(batch)
    assert intake.readings(np.array([START])).value[0, :2].tolist() == [2.5, 1.25]


def test_a_tag_block_needs_its_checksum_all_the_same() -> None:
    intake, values = heard(stay("no_checksum"), "box", tag_block(b"x", START)[:-4] + b"\\" + BARE)
    assert np.isnan(values).all()
    assert intake.tallies["box"] == {Flaw.NO_CHECKSUM: 1}


def test_listen_counts_what_is_admitted() -> None:
    listening = Listening(stay("no_checksum", "makers"))
    listening.hear(START, "box", BARE)
    listening.hear(START, "box", MAKERS)
    page = table(listening, START)
    assert "WLXDR" in page
    assert "PXYZ" in page
    assert "nobody listens" not in page
    assert "heel             1.250" in page


@pytest.mark.parametrize(
    ("keys", "problem"),
    [
        ("admit: [anything]", "expected no_checksum, makers or sentences"),
        ("admit: [makers]", "makers without a pattern, expected a pattern that finds their values"),
        ("admit: [sentences]", "sentences without a pattern, expected a pattern that finds their values"),
        ("admit: []", "expected"),
    ],
)
def test_what_cannot_be_admitted_is_a_fault(tmp_path: Path, keys: str, problem: str) -> None:
    there = "    channels:\n"
    assert there in STAY_TEXT
    with pytest.raises(StayFaults, match=problem):
        a_stay(tmp_path, STAY_TEXT.replace(there, f"    {keys}\n{there}", 1))


def test_the_stay_file_admits(tmp_path: Path) -> None:
    there = "    channels:\n"
    stay = a_stay(tmp_path, STAY_TEXT.replace(there, f"    admit: [no_checksum]\n{there}", 1))
    assert stay.feeds[0].admit == ("no_checksum",)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        (b"WIND 12.5kn", 12.5),
        (b"WIND=12.5kn", 12.5),
        (b"A-12.5kn", 12.5),  # a dash between words
        (b"3,12.5kn", 12.5),  # a comma between fields
        (b"\x0212.5kn\x03", 12.5),  # framed, as weighing terminals send
        (b"90\xc2\xb0 12.5kn", 12.5),
        (b"WIND 1\xff2.5kn", None),  # noise for a digit or a point
        (b"WIND 3\x0012.5kn", None),
        (b"WIND -12.5kn", None),
        (b"-12.5kn", None),
    ],
)
def test_a_piece_of_a_number_is_no_number(line: bytes, value: float | None) -> None:
    feed = Feed("box", "udp:1", (Source("wind_speed", group="w"),), r"(?P<w>[0-9.]+)kn")
    intake, values = heard(stay_with(feed), "box", line)
    assert values[0] == pytest.approx(np.nan if value is None else value, nan_ok=True)
    assert intake.tallies["box"].get(Flaw.GARBLED, 0) == (value is None)


@pytest.mark.parametrize("pattern", [r"(?P<w>[0-9]+)kn", r"WIND (?P<w>[0-9]+)"])
def test_a_pattern_without_the_point_gives_nothing(pattern: str) -> None:
    feed = Feed("box", "udp:1", (Source("wind_speed", group="w"),), pattern)
    assert np.isnan(heard(stay_with(feed), "box", b"WIND 12.5kn")[1]).all()
    assert heard(stay_with(feed), "box", b"WIND 12kn")[1][0] == 12.0
