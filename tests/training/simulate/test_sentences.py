"""Checksums, TAG blocks and the sharing out of quads."""

from functools import reduce
from operator import xor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.training.simulate.sentences import checksums, framed, tag_blocks, xdr_groups

# sentences with right checksums as gauges send them (IEC 61162-1 form)
WHOLE = [
    "$WIMWV,100.2,T,11.5,N,A*13",
    "$WIMWD,326.6,T,325.2,M,11.4,N,5.9,M*65",
    "$HEHDT,4.0,T*2B",
    "$WLXDR,D,2.137,M,TIDE*69",
    "$YXXDR,D,8.42,M,DRFP,D,8.40,M,DRFS,D,9.11,M,DRAP,D,9.08,M,DRAS*45",
    "$YXXDR,N,245000,N,L01,N,251300,N,L02,N,198700,N,L03,N,240900,N,L04*45",
]


def test_checksums_of_known_sentences():
    bodies = [whole[1:-3] for whole in WHOLE]
    assert [f"{check:02X}" for check in checksums(bodies)] == [whole[-2:] for whole in WHOLE]


def test_checksum_of_a_known_tag_block():
    assert f"{checksums(['s:WI0001,n:23,c:1714564800'])[0]:02X}" == "56"


def test_framed_lines_end_as_the_standard_has_it():
    tags = tag_blocks("WI0001", np.array([1714564800.0]))
    line = framed(tags, ["WIMWV,214.8,R,12.3,N,A"], np.array([False]))[0]
    check = reduce(xor, b"s:WI0001,c:1714564800")  # ours
    assert line == b"\\s:WI0001,c:1714564800*%02X\\$WIMWV,214.8,R,12.3,N,A*1C\r\n" % check


def test_time_has_milliseconds_only_where_needed():
    first, second = tag_blocks("g", np.array([1714564800.0, 1714564800.5]))
    assert first.startswith("\\s:g,c:1714564800*")
    assert second.startswith("\\s:g,c:1714564800500*")


@given(st.lists(st.text("ABCDEFG0123456789", min_size=1, max_size=12), min_size=1, max_size=30))
def test_no_sentence_of_quads_grows_over_long(names):
    groups = xdr_groups([(name,) for name in names])
    assert [index for group in groups for index in group] == list(range(len(names)))
    for group in groups:
        body = "YXXDR," + ",".join(f"D,-1234.567,M,{names[index]}" for index in group)
        assert len(body) <= 76


@pytest.mark.parametrize("texts", [["", "A"], ["AB", "BA"]])
def test_exclusive_or_is_blind_to_order(texts):
    # ours: why every value is held against range and rate as well
    sums = checksums(texts)
    assert sums[0] == (0 if texts[0] == "" else sums[1])
