"""Sentences of a log heard together, against the same heard one by one: whatever a log holds, each channel
has the same values at the same times, and the same is counted."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.feeds.batch import Batch
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.number_column import MOST_WIDTH, NumberColumn, is_number
from alongside.feeds.sentence import number, sentence, tag_block
from alongside.feeds.spikes import LEAST, WORTH_COUNTING, SpikeFilter, median_and_mad
from alongside.feeds.together import FEWEST
from alongside.stay.feeds import source_of
from alongside.stay.model import Feed, Stay
from tests.feeds.stays import START, stay_with


def two_feeds() -> Stay:
    """Every sentence that a channel may come from, over two stays' worth of channels."""
    gauges = (
        source_of("tide", {"sentence": "XDR", "name": ("TIDE",)}),
        source_of("draught_fwd", {"sentence": "XDR", "name": ("DRFP", "DRFS")}),
        source_of("heel", {"group": "heel"}),
        source_of("depth", {"sentence": "DPT"}),
    )
    mast = (
        source_of("wind_speed", {"sentence": "MWV"}),
        source_of("wind_from", {"sentence": "MWD"}),
        source_of("heading", {"sentence": "HDG"}),
        source_of("current_speed", {"sentence": "VBW"}),
        source_of("current_to", {"sentence": "VDR"}),
    )
    return stay_with(Feed("gauges", "udp:1", gauges, r"H=(?P<heel>\S+)"), Feed("mast", "udp:2", mast))


FIGURE = st.one_of(
    st.decimals(-400, 400, places=2).map(str),
    st.integers(0, 400).map(str),
    st.sampled_from(
        ["", "+1.5", "-.5", "7.", "-0.0", "1.2.3", "1e2", "-", ".", "0.1234567890123456", "9" * 30]
    ),
)
TEXTS = [
    "WLXDR,D,{},M,TIDE",
    "WLXDR,D,{},I,TIDE",
    "YXXDR,D,{},M,DRFP,D,{},M,DRFS",
    "YXXDR,D,{},M,7,D,{},M,TIDE",
    "SDDPT,{},{}",
    "WIMWV,{},R,{},N,A",
    "WIMWV,{},R,{},K,V",
    "WIMWD,{},T,,M,{},N,{},M",
    "HEHDG,{},{},E,{},W",
    "VDVBW,{},{},A,,,V",
    "VDVDR,{},T,,M,{},N",
    "GPTXT,{},of no channel",
]
SENTENCE = st.builds(
    lambda text, figures: sentence(text.format(*figures)),
    st.sampled_from(TEXTS),
    st.lists(FIGURE, min_size=3, max_size=3),
)
SPOILT = st.builds(
    lambda line, at, byte: line[:at] + bytes([byte]) + line[at + 1 :],
    SENTENCE,
    st.integers(0, 40),
    st.sampled_from(b"$!*,\\0A \xff"),
)
TORN = st.builds(lambda line, at: line[:at], SENTENCE, st.integers(0, 40))
PLAIN = st.sampled_from([b"H=1.5", b"H=x", b"no answer", b"\xff\xfe"])
LINE = st.one_of(*[SENTENCE] * 6, SPOILT, TORN, PLAIN)
SECOND = st.sampled_from([0, 0, 1, 1, 1, 2, -2, -30, 75, 5000])
SOURCE = st.sampled_from([b"gauges"] * 4 + [b"mast"] * 4 + [b"other", None])
SENDER = st.sampled_from(["10.0.0.5"] * 12 + ["10.0.0.7", ""])


def log_of(lines: list[tuple[bytes, int, bytes | None, str]], begins: float = 0.0) -> bytes:
    """A log of lines: what each says, the seconds since the one before, the feed, the sender."""
    text, time = b"", START + begins
    for line, seconds, source, sender in lines:
        time += seconds
        text += (b"" if source is None else tag_block(source, time, sender)) + line + b"\r\n"
    return text


def heard(intake: Intake, end: float) -> object:
    """All that can be told of an intake after a log: readings and counts."""
    raw = [
        (samples.time.tolist(), samples.value.tolist(), samples.wrong_unit)
        for samples in (channel.samples for channel in intake._channels)
    ]
    readings = intake.readings(np.arange(START, min(end, START + 3e4) + 1.0))
    counts = {name: sorted(tally.items()) for name, tally in intake.tallies.items()}
    figures = [x.tobytes() for x in (readings.value, readings.quality, readings.reason, readings.age)]
    return repr((raw, counts, intake.heard, readings.feeds)), figures


def one_by_one(stay: Stay, batches: list[Batch]) -> Intake:
    intake = Intake(stay)
    names = {b"gauges": "gauges", b"mast": "mast"}
    for batch in batches:
        for time, source, line, sound, sender in batch.rows():
            intake.take(time, names.get(source), sentence(line) if sound else line, sender)
    return intake


def batches_of(path: Path, text: bytes) -> list[Batch]:
    """A log in batches of few lines: who is used of several senders is known from the second on only."""
    path.write_bytes(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("alongside.feeds.log.AT_ONCE", 4096)
        return list(FeedLog(path))


def compared(path: Path, text: bytes) -> None:
    batches = batches_of(path, text)
    together = Intake(two_feeds())
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("alongside.feeds.together.FEWEST", 2)
        for batch in batches:
            together.take_batch(batch)
    end = max((float(batch.time[-1]) for batch in batches if len(batch)), default=START)
    alone = one_by_one(two_feeds(), batches)
    assert heard(together, end) == heard(alone, end)


LINES = st.lists(st.tuples(LINE, SECOND, SOURCE, st.just("")), min_size=1, max_size=40)
SENT = st.lists(st.tuples(LINE, SECOND, SOURCE, SENDER), min_size=1, max_size=40)


@pytest.mark.slow
@settings(max_examples=150)
@given(lines=LINES, times=st.integers(1, 40))
def test_a_log_without_senders(tmp_path_factory, lines, times: int) -> None:
    """The same lines over and over, so that there are enough of each layout."""
    compared(tmp_path_factory.getbasetemp() / "a.log", log_of(lines * times))


@pytest.mark.slow
@settings(max_examples=150)
@given(lines=SENT, times=st.integers(1, 40))
def test_a_log_of_datagrams(tmp_path_factory, lines, times: int) -> None:
    compared(tmp_path_factory.getbasetemp() / "b.log", log_of(lines * times))


@pytest.mark.parametrize("sender", ["", "10.0.0.5"])
def test_values_stay_in_the_order_of_the_log(tmp_path, sender: str) -> None:
    """A spoilt line among sound ones is heard by itself, and its value stands between theirs."""
    lines = [(sentence(f"WLXDR,D,{k / 100:.2f},M,TIDE"), 1, b"gauges", sender) for k in range(200)]
    noisy = [
        (b"$WLX" + line, *rest) if at % 7 == 3 else (line, *rest) for at, (line, *rest) in enumerate(lines)
    ]
    intake = Intake(two_feeds())
    for batch in batches_of(tmp_path / "a.log", log_of(noisy)):
        intake.take_batch(batch)
    assert intake._channels[0].samples.value.tolist() == [k / 100 for k in range(200)]
    assert intake._channels[0].samples.time.tolist() == [START + 1 + k for k in range(200)]


@pytest.mark.parametrize("odd", ["1.2.3", "361", "-1", "0.12345678901234567", ""])
def test_a_number_in_doubt_is_read_by_itself(tmp_path: Path, odd: str) -> None:
    """Among many sentences of its layout: refused, counted or read as it would be alone."""
    angles = [odd if k % 9 == 4 else str(k) for k in range(90)]
    lines = [(sentence(f"WIMWV,{a},R,{a},N,A"), 1, b"mast", "") for a in angles]
    lines += [(sentence(f"VDVDR,{a},T,,M,1.5,N"), 1, b"mast", "") for a in angles]
    compared(tmp_path / "a.log", log_of(lines))


def test_another_sender_waits_until_the_one_in_use_was_silent(tmp_path: Path) -> None:
    """Who is in use was heard last among sentences heard together: 10 s ago, and not ten minutes."""
    lines = [(sentence(f"WLXDR,D,{k / 100:.2f},M,TIDE"), 10, b"gauges", "10.0.0.5") for k in range(200)]
    other = [(sentence("WLXDR,D,9.00,M,TIDE"), 10, b"gauges", "10.0.0.7")]
    intake = Intake(two_feeds())
    for name, those in (("a.log", log_of(lines)), ("b.log", log_of(other, 2000.0))):
        for batch in batches_of(tmp_path / name, those):
            intake.take_batch(batch)
    assert intake._channels[0].samples.value.tolist() == [k / 100 for k in range(200)]


def test_sound_sentences_of_one_layout_are_heard_together(tmp_path, monkeypatch) -> None:
    """Else nothing here is tried: no listener hears one of them by itself."""
    path = tmp_path / "a.log"
    lines = [(sentence(f"WLXDR,D,{k / 100:.2f},M,TIDE"), 1, b"gauges", "") for k in range(FEWEST)]
    path.write_bytes(log_of(lines))
    intake = Intake(two_feeds())
    monkeypatch.setattr(intake, "_hear", lambda *_: pytest.fail("heard by itself"))
    for batch in FeedLog(path):
        intake.take_batch(batch)
    assert len(intake._channels[0].samples.time) == FEWEST


TEXT = st.one_of(
    st.from_regex(re.compile(rb"[-+]?[0-9]{0,9}\.?[0-9]{0,9}", re.ASCII), fullmatch=True),
    st.text("0123456789.+-eA ", max_size=20).map(str.encode),
)


@given(st.lists(TEXT, min_size=1, max_size=20))
def test_numbers_of_a_column_are_those_of_float_to_the_last_bit(texts: list[bytes]) -> None:
    block = b",".join(texts)
    end = np.cumsum([len(text) + 1 for text in texts]) - 1
    begin = end - [len(text) for text in texts]
    column = NumberColumn.of(np.frombuffer(block or b" ", dtype=np.uint8), begin, end)
    for text, value, doubt in zip(texts, column.value.tolist(), column.doubt.tolist(), strict=True):
        assert doubt == (not is_number(text))
        if not doubt:
            assert len(text) <= MOST_WIDTH
            assert np.float64(value).tobytes() == np.float64(number(text)).tobytes()


@given(st.integers(0, 2**32 - 1), st.integers(LEAST, 80), st.floats(0.01, 0.6))
def test_a_spike_counted_first_is_the_spike_by_median_and_mad(seed: int, extra: int, noise: float) -> None:
    """The filter over many values against the rule itself, value by value."""
    chance = np.random.default_rng(seed)
    n = WORTH_COUNTING + 61 + extra
    value = np.cumsum(chance.normal(0.0, noise / 5, n)) + chance.standard_t(2, n) * noise / 3
    time = START + np.arange(n)
    got = SpikeFilter.of("tide").judge(time, value, np.zeros(n, dtype=np.int64))
    for at in range(n):
        window = value[max(0, at - 60) : at + 1]
        if window.size < LEAST:
            assert not got[at]
            continue
        middle, spread = (float(x[0]) for x in median_and_mad(window[None]))
        assert got[at] == (abs(value[at] - middle) > max(3.0 * 1.4826 * spread, 0.16))
