"""One sender a channel: the first is used, another is a caution, and a log gives the same again."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.feed_senders import caution_words
from alongside.feeds.flaws import Flaw
from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import Tag, sentence, split_tags, tag_block
from alongside.readings import NO_FEED_MEMORY, FeedMemory, Readings
from alongside.stay.model import Feed, Source, Stay
from tests.feeds.stays import START, stay_with, tide, write_log

A, B, C = "10.0.0.5", "10.0.0.7", "10.0.0.9"
LOST_S = 20.0


def stay(port: str = "udp:10110") -> Stay:
    sources = (
        Source("tide", "XDR", names=("TIDE",), lost_s=LOST_S, stale_s=5.0),
        Source("heel", "XDR", names=("HEEL",), lost_s=30.0, stale_s=5.0),
    )
    other = Feed("mast", "serial:/dev/ttyUSB0", (Source("heading", "HDT"),))
    return stay_with(Feed("net", port, sources), other)


def line(at: float, metres: float, sender: str) -> FeedLine:
    return FeedLine(START + at, "net", tide(metres), sender)


def heard(lines: list[FeedLine], seconds: float, port: str = "udp:10110") -> tuple[Intake, Readings]:
    intake = Intake(stay(port))
    for each in lines:
        intake.take(*each)
    return intake, intake.readings(START + np.arange(seconds))


def words_at(readings: Readings, at: float) -> str:
    return caution_words(readings.feeds.at(START + at), "net")


def test_the_first_sender_is_used_and_another_is_named() -> None:
    lines = [each for k in range(30) for each in (line(k, 2.0, A), line(k + 0.5, 9.0, B))]
    intake, readings = heard(lines, 30)
    assert set(readings.column("tide").tolist()) == {2.0}
    assert words_at(readings, 0.0) == ""
    assert words_at(readings, 10.0) == f"second sender for tide: {B}; first {A} is used"
    assert intake.tallies["net"][Flaw.OTHER_SENDER] == 30
    assert [(use.sender, use.since) for use in readings.feeds.senders] == [(A, START)]


def test_the_second_is_used_once_the_first_is_silent_for_lost_s() -> None:
    lines = [line(k, 2.0, A) for k in range(10)] + [line(k + 0.5, 3.0, B) for k in range(5, 60)]
    lines += [line(k, 2.0, A) for k in range(50, 60)]
    _, readings = heard(sorted(lines), 60)
    column = readings.column("tide")
    assert column[int(9 + LOST_S)] == 2.0
    assert column[int(9 + LOST_S + 2) :].tolist() == [3.0] * int(60 - 9 - LOST_S - 2)
    assert words_at(readings, 9 + LOST_S + 2) == ""
    assert words_at(readings, 55) == f"second sender for tide: {A}; {B} is used"
    assert [(use.sender, use.after) for use in readings.feeds.senders] == [(A, ""), (B, A)]


def test_the_caution_goes_when_the_other_is_silent() -> None:
    lines = [line(k, 2.0, A) for k in range(60)] + [line(k + 0.5, 3.0, B) for k in range(5, 10)]
    _, readings = heard(sorted(lines), 60)
    stands = [at for at in range(60) if words_at(readings, at)]
    assert stands == list(range(6, 30)), "from the first to lost_s after the last"


def test_a_sender_that_is_named_is_the_only_one() -> None:
    lines = [each for k in range(30) for each in (line(k, 2.0, A), line(k + 0.5, 9.0, B))]
    intake, readings = heard(lines, 31, f"udp:10110?from={B}")
    assert np.nanmin(readings.column("tide")) == 9.0
    assert not any(words_at(readings, at) for at in range(31))
    assert intake.tallies["net"][Flaw.OTHER_SENDER] == 30


def test_each_channel_has_a_sender_of_its_own() -> None:
    heel = sentence("YXXDR,A,1.5,D,HEEL")
    lines = [each for k in range(9) for each in (line(k, 2.0, A), FeedLine(START + k, "net", heel, B))]
    _, readings = heard(lines, 9)
    assert readings.value[-1, :2].tolist() == [2.0, 1.5]
    assert not readings.feeds.cautions


def test_where_nobody_listened_nobody_was_silent() -> None:
    """After an hour without any line the one that was in use gets the time it has to be heard."""
    lines = [line(k, 2.0, A) for k in range(10)] + [line(3600 + k / 2, 9.0, B) for k in range(20)]
    lines += [line(3605 + k, 2.0, A) for k in range(10)]
    _, readings = heard(sorted(lines), 3616)
    assert readings.column("tide")[3606:].tolist() == [2.0] * 10
    assert words_at(readings, 3610) == f"second sender for tide: {B}; first {A} is used"


def test_addresses_by_the_thousand_cost_nothing() -> None:
    """Anybody can write any sender into a datagram."""
    lines = [line(0.0, 2.0, A)]
    lines += [line(1 + k / 2000, 9.0, f"11.{k // 65536}.{k // 256 % 256}.{k % 256}") for k in range(20_000)]
    intake, readings = heard(lines, 25)
    assert set(readings.column("tide")[:20].tolist()) == {2.0}
    assert len(readings.feeds.cautions) <= 32
    assert intake.tallies["net"][Flaw.OTHER_SENDER] == 20_000


def test_the_record_names_the_sender_and_standard_readers_see_a_text() -> None:
    tags = tag_block(b"net", START, A)
    assert tags.startswith(rb"\s:net,c:1772424000000,t:from 10.0.0.5*")
    assert split_tags(tags + tide(2.0))[0] == Tag(START, b"net", A)
    behind = tag_block(b"net", START) + tag_block(b"box", START, B) + tide(2.0)
    assert split_tags(behind)[0].sender == "", "a gauge cannot name a sender behind the recorder's block"


MOMENT = st.tuples(
    st.integers(0, 40), st.sampled_from([A, B, C, ""]), st.sampled_from(["tide", "heel", "both", "gyro"])
)
WAIT = st.sampled_from([0, 1, 2, 5, 21, 31, 70])


def story(moments: list[tuple[int, str, str]], waits: list[int]) -> list[FeedLine]:
    lines, at = [], 0.25
    for (value, sender, what), wait in zip(moments, waits, strict=False):
        at += wait
        text = {
            "tide": f"WLXDR,D,{value / 10},M,TIDE",
            "heel": f"YXXDR,A,{value / 10},D,HEEL",
            "both": f"YXXDR,D,{value / 10},M,TIDE,A,{value / 20},D,HEEL",
            "gyro": f"HEHDT,{value}.0,T",
        }[what]
        feed = "mast" if what == "gyro" else "net"
        lines.append(FeedLine(START + at, feed, sentence(text), "" if what == "gyro" else sender))
    return lines


def played(lines: list[FeedLine], path: Path, cuts: list[int], resumed: bool) -> list[tuple[object, ...]]:
    """What is known at each second, from a log read in pieces that end at the cuts; with `resumed` each piece
    by a new intake that goes on from what was remembered and hears the log again."""
    write_log(path, lines)
    end = int(lines[-1].time - START) + 40
    edges = [-1, *sorted({cut for cut in cuts if cut < end}), end]
    intake, memory, rows = Intake(stay()), NO_FEED_MEMORY, []
    batches = list(FeedLog(path))
    for batch in batches:
        intake.take_batch(batch)
    for before, after in pairwise(edges):
        if resumed and before >= 0:
            intake = Intake(stay())
            intake.go_on(memory, START + before, START + before)
            for batch in batches:
                intake.take_batch(batch)
            intake.readings(np.array([START + before]))
        readings = intake.readings(START + np.arange(before + 1.0, after + 1.0))
        memory = readings.feeds.memory
        for row, time in enumerate(readings.time.tolist()):
            values = [None if np.isnan(v) else round(v, 9) for v in readings.value[row].tolist()]
            rows.append((time, values, words_at(readings, time - START)))
    return rows


@pytest.mark.slow
@given(
    st.lists(MOMENT, min_size=2, max_size=60),
    st.lists(WAIT, min_size=60, max_size=60),
    st.lists(st.integers(0, 900), max_size=4),
)
def test_cut_and_resumed_anywhere_a_log_gives_the_same(
    tmp_path_factory: pytest.TempPathFactory,
    moments: list[tuple[int, str, str]],
    waits: list[int],
    cuts: list[int],
) -> None:
    path = tmp_path_factory.mktemp("logs") / "a.log"
    lines = story(moments, waits)
    whole = played(lines, path, [], False)
    assert played(lines, path, cuts, False) == whole
    assert played(lines, path, cuts, True) == whole


@pytest.mark.parametrize("cut", [0, 25, 40, 41, 45, 60])
def test_a_third_heard_beside_a_change_is_heard_again_alike(cut: int, tmp_path: Path) -> None:
    """C speaks before and at the instant at which B takes over from A, and later."""
    lines = [line(0.25, 2.0, A), line(19.0, 4.0, C), line(21.25, 4.0, C), line(21.25, 3.0, B)]
    lines.append(line(30.25, 4.0, C))
    whole = played(lines, tmp_path / "a.log", [], False)
    assert played(lines, tmp_path / "a.log", [cut], True) == whole


@given(st.lists(MOMENT, min_size=2, max_size=40), st.lists(WAIT, min_size=40, max_size=40))
def test_a_value_is_never_taken_from_two_at_a_time(
    moments: list[tuple[int, str, str]], waits: list[int]
) -> None:
    """By a plain account of the rule, line by line."""
    lines = [each for each in story(moments, waits) if each.feed == "net"]
    intake, used, last = Intake(stay()), "", -np.inf
    newest, since = -np.inf, -np.inf
    for each in lines:
        since = each.time if each.time - newest > 60.0 else since
        newest = each.time
        intake.take(*each)
        said = b"TIDE" in each.line
        expected: float | None = None
        if said and not each.sender:
            expected = float(each.line.split(b",")[2])
        elif said and (used in ("", each.sender) or each.time - max(last, since) > LOST_S):
            used, last, expected = each.sender, each.time, float(each.line.split(b",")[2])
        raw = {samples.source.channel: value for samples, _, value in intake.newest_raw()}
        assert raw.get("tide") == expected


def test_an_old_memory_knows_no_senders() -> None:
    assert FeedMemory() == NO_FEED_MEMORY
