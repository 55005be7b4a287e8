"""Each gauge fault shows in the log as it was asked for, and nowhere else."""

from functools import reduce
from operator import xor

import pytest

from alongside.stay.model import GaugeFault
from alongside.training.simulate.log import simulate
from tests.training.simulate.conftest import START

HOUR = 3600.0


def lines_of(stay, hours=6.0):
    """(time, sentence) of each line."""
    pairs = []
    for line in simulate(stay, hours=hours):
        _, tag, sentence = line.decode("ascii").rstrip("\r\n").split("\\")
        pairs.append((float(tag.split("c:")[1].split("*")[0]), sentence))
    return pairs


def right(sentence):
    body, _, check = sentence[1:].partition("*")
    return reduce(xor, body.encode()) == int(check, 16)


def tides(stay, hours=2.0):
    """(time, text) of the tide gauge."""
    values = []
    for time, sentence in lines_of(stay, hours):
        fields = sentence.split("*")[0].split(",")
        if "TIDE" in fields:
            values.append((time - START, fields[fields.index("TIDE") - 2]))
    return values


@pytest.fixture
def with_fault(stay, change):
    def made(kind, channel="tide"):
        return change(stay, faults=(GaugeFault(channel, START + 600.0, 300.0, kind),), noise_m=0.01)

    return made


def during(time):
    return 600.0 <= time < 900.0


def test_silent_gauge_leaves_its_quad_out_and_only_its_own(with_fault):
    broken = with_fault("silent")
    times = [time for time, _ in tides(broken)]
    assert [time for time in times if during(time)] == []
    assert len(times) == 2 * HOUR / 5.0 + 1 - 300.0 / 5.0
    others = [s for t, s in lines_of(broken, 2.0) if "DRF" in s and during(t - START)]
    assert len(others) == 60


def test_frozen_gauge_repeats_its_last_digit(with_fault):
    texts = {text for time, text in tides(with_fault("frozen")) if during(time)}
    assert len(texts) == 1
    assert len({text for time, text in tides(with_fault("frozen")) if not during(time)}) > 50


def test_spikes_stand_out_and_most_samples_stay_sound(with_fault, stay, change):
    sound = dict(tides(change(stay, noise_m=0.01)))
    off = [round(float(text) - float(sound[time]), 2) for time, text in tides(with_fault("spike"))]
    assert set(off) == {0.0, 3.0}
    assert 3 <= off.count(3.0) <= 20


def test_nonsense_is_never_a_sound_number(with_fault):
    texts = [text for time, text in tides(with_fault("nonsense")) if during(time)]
    assert {"nan", "--.--", "1E9"} <= set(texts)


def test_wrong_checksum_only_while_the_fault_lasts(with_fault):
    for time, sentence in lines_of(with_fault("checksum"), 2.0):
        assert right(sentence) == (not (during(time - START) and "TIDE" in sentence)), sentence


def test_silent_anemometer_sends_nothing(with_fault):
    values = [t - START for t, s in lines_of(with_fault("silent", "wind_speed"), 2.0) if "MWV" in s]
    assert values
    assert not any(during(time) for time in values)
