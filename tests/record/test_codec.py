"""Frozen data to JSON and back: whole, and strict about what is not."""

import json
from dataclasses import dataclass
from enum import Enum, IntEnum
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import Acknowledge, TendLine
from alongside.alerts.model import Alert, Condition, Standing, Watchlist
from alongside.cli.examples import example_stay
from alongside.cycle.holding_now import Held
from alongside.cycle.lengths import Lengths
from alongside.cycle.memory import Memory
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.usage import LIMITS
from alongside.readings import Codes, Floats
from alongside.record.codec import from_text, to_text
from alongside.record.entries import pack_memory, same, stay_hash, unpack_memory
from alongside.record.faults import WrongRecord
from alongside.stay.causes import CAUSES
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay

TIMES = st.floats(1.7e9, 1.9e9)
KEYS = st.tuples(st.sampled_from(CAUSES), st.text(max_size=5))
NUMBERS = st.floats(allow_nan=True, allow_infinity=True)
MAYBE = st.none() | TIMES
ALERTS = st.builds(
    Alert,
    cause=st.sampled_from(CAUSES),
    subject=st.text(max_size=8),
    line=st.none() | st.text(max_size=3),
    stage=st.sampled_from(Stage),
    standing=st.sampled_from(Standing),
    raised_at=TIMES,
    changed_at=TIMES,
    value=st.floats(-1e6, 1e6),
    limit=st.floats(-1e6, 1e6),
    unit=st.sampled_from(["", "deg", "m"]),
    text=st.text(max_size=40),
    silenced_until=MAYBE,
    held=st.booleans(),
    owed=st.sampled_from(Stage),
    escalates_at=MAYBE,
    unanswered_since=MAYBE,
)
THREE = st.tuples(NUMBERS.filter(lambda x: x == x), TIMES, TIMES)
REACHED = st.tuples(NUMBERS, NUMBERS, NUMBERS)
SPOTS = st.builds(WeakSpot, st.none() | st.sampled_from(LIMITS), st.none() | st.text(max_size=3))
HELD = st.none() | st.builds(Held, st.integers(0, 9), NUMBERS, SPOTS)
CONDITIONS = st.builds(
    Condition, on=st.tuples(st.booleans(), st.booleans(), st.booleans()), since=THREE, reached=REACHED
)
RISES = st.lists(st.tuples(st.sampled_from(Stage), TIMES), max_size=3).map(tuple)
WATCHLISTS = st.builds(
    Watchlist,
    alerts=st.dictionaries(KEYS, ALERTS, max_size=3),
    conditions=st.dictionaries(KEYS, CONDITIONS, max_size=3),
    rises=st.dictionaries(KEYS, RISES, max_size=2),
    new_times=st.lists(TIMES, max_size=4).map(tuple),
    flood=st.booleans(),
)
LENGTHS = st.lists(st.tuples(NUMBERS, st.booleans(), st.integers(0, 9)), max_size=5).map(
    lambda rows: Lengths(
        np.array([row[0] for row in rows]), tuple(row[1] for row in rows), tuple(row[2] for row in rows)
    )
)
HEARD = st.none() | st.lists(st.integers(0, 2), max_size=6).map(lambda codes: np.array(codes, dtype=np.int8))
MEMORIES = st.builds(Memory, lengths=LENGTHS, watchlist=WATCHLISTS, hearing=HEARD, held=HELD)


@given(MEMORIES)
def test_a_memory_comes_back_to_the_last_bit(memory: Memory) -> None:
    back = unpack_memory(pack_memory(memory))
    assert same(back, memory)
    assert back.lengths.unstretched.dtype == np.float64
    assert to_text(back) == to_text(memory)


@pytest.mark.parametrize("example", ["coal_berth", "coaster_quay", "product_jetty"])
def test_a_whole_stay_comes_back(example: str) -> None:
    stay = read_stay(example_stay(example))
    assert from_text(Stay, to_text(stay)) == stay


def test_the_hash_of_a_stay_is_of_what_it_says_and_not_of_how(tmp_path: Path) -> None:
    stay = a_stay(tmp_path)
    same = a_stay(tmp_path, "# a comment\n" + STAY_TEXT.replace("breadth: 14.0", "breadth:   14"))
    other = a_stay(tmp_path, STAY_TEXT.replace("breadth: 14.0", "breadth: 14.1"))
    assert stay_hash(stay) == stay_hash(same) != stay_hash(other)


class Colour(Enum):
    RED = "red"


class Level(IntEnum):
    LOW = 1


@dataclass(frozen=True)
class Sample:
    number: float
    colour: Colour = Colour.RED
    level: Level = Level.LOW
    pair: tuple[int, str] | None = None


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('{"number": 1, "wind": 2}', "'wind'.* not known"),
        ("{}", "'number'.* missing"),
        ('{"number": "much"}', "Sample.number"),
        ('{"number": true}', "Sample.number"),
        ('{"number": null}', "Sample.number"),
        ('{"number": 1, "colour": "BLUE"}', "Sample.colour"),
        ('{"number": 1, "colour": 1}', "Sample.colour"),
        ('{"number": 1, "level": 1}', "Sample.level"),
        ('{"number": 1, "pair": [1]}', "Sample.pair"),
        ('{"number": 1, "pair": [1.5, "a"]}', r"Sample.pair\[0\]"),
        ("[1]", "Sample"),
        ("{", "no JSON"),
    ],
)
def test_what_does_not_belong_is_refused_with_its_place(text: str, what: str) -> None:
    with pytest.raises(WrongRecord, match=what):
        from_text(Sample, text)


def test_what_a_later_version_added_reads_as_its_default() -> None:
    assert from_text(Sample, '{"number": 1}') == Sample(1.0)


def test_what_an_older_record_does_not_tell_of_the_wind_is_not_known() -> None:
    assert from_text(Held, '{"period":7,"holds_ms":21.5}') == Held(7, 21.5, WeakSpot())
    plain = from_text(Condition, '{"on":[true,false,false],"since":[1.0,2.0,3.0]}')
    assert np.isnan(plain.reached).all()


def test_the_text_is_plain_json() -> None:
    assert json.loads(to_text(Sample(float("nan"), pair=(3, "é")))) == {
        "number": "nan",
        "colour": "RED",
        "level": "LOW",
        "pair": [3, "é"],
    }
    assert (
        to_text(Acknowledge("steep", "2", "TK"))
        == '{"cause":"steep","subject":"2","by":"TK","transferred":false}'
    )
    assert from_text(TendLine, to_text(TendLine("2", paid_out=0.1))) == TendLine("2", paid_out=0.1)


@dataclass(frozen=True, eq=False)
class Arrays:
    floats: Floats
    codes: Codes


@pytest.mark.parametrize("text", ['{"floats": [1, "x"], "codes": []}', '{"floats": [], "codes": [300]}'])
def test_arrays_are_strict_too(text: str) -> None:
    with pytest.raises(WrongRecord):
        from_text(Arrays, text)
    good = from_text(Arrays, '{"floats": [1, "nan"], "codes": [1, 2]}')
    assert (good.floats.dtype, good.codes.dtype) == (np.float64, np.int8)


def test_a_memory_of_another_version_or_damaged_is_refused(tmp_path: Path) -> None:
    packed = pack_memory(Memory.at_start(a_stay(tmp_path)))
    with pytest.raises(WrongRecord, match="damaged"):
        unpack_memory(packed[:-4])
