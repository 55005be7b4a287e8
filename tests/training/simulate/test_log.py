"""The simulated log: repeatable, well formed, refused where the stay says too little."""

import gzip
from dataclasses import replace

import pytest
from pynmeagps import NMEAReader

from alongside.errors import WrongInput
from alongside.stay.model import Feed, Source, TidePlan
from alongside.training.simulate.log import simulate, write_log
from tests.training.simulate.conftest import GAUGES, HIGH_LOW, WIND, xdr


def test_same_stay_and_seed_give_the_same_bytes(stay, change):
    noisy = change(stay, noise_m=0.02, swell_height=0.3)
    assert list(simulate(noisy)) == list(simulate(noisy))
    assert list(simulate(noisy, seed=8)) != list(simulate(noisy))


def test_packed_log_is_the_same_file_each_time(stay, tmp_path):
    first, second = tmp_path / "a.log.gz", tmp_path / "b.log.gz"
    count = write_log(stay, first, hours=1.0)
    write_log(stay, second, hours=1.0)
    assert first.read_bytes() == second.read_bytes()
    assert gzip.decompress(first.read_bytes()) == b"".join(simulate(stay, hours=1.0))
    assert count == gzip.decompress(first.read_bytes()).count(b"\n")


def test_one_more_gauge_leaves_the_others_as_they_were(stay, change):
    noisy = change(stay, noise_m=0.02, swell_height=0.3)
    more = Feed("gauges", GAUGES.port, (*GAUGES.channels, xdr("heel", "HEEL")))
    before = {line for line in simulate(noisy, hours=1.0) if b"MWV" in line or b"TIDE" in line}
    after = set(simulate(replace(noisy, feeds=(more, WIND)), hours=1.0))
    assert before <= after


def test_every_sentence_is_whole_and_parses_elsewhere(stay, change):
    # cross-check with an independent reader, which validates checksums itself
    for line in simulate(change(stay, noise_m=0.02, swell_height=0.3), hours=0.5):
        sentence = line.split(b"\\")[2]
        assert len(sentence) <= 82
        assert NMEAReader.parse(sentence).msgID in {"XDR", "MWV", "HDT"}


def test_lines_rise_in_time_and_hold_the_hours_asked_for(stay):
    times = [int(line.split(b"c:")[1].split(b"*")[0]) for line in simulate(stay, hours=1.5)]
    assert times == sorted(times)
    assert times[-1] - times[0] == 5400


def test_wind_is_told_off_the_bow(stay):
    # ship heads 100, wind from about 190: on the starboard beam
    angles = [float(line.split(b",")[2]) for line in simulate(stay) if b"MWV" in line]
    assert sum(angles) / len(angles) == pytest.approx(90.0, abs=2.0)


def test_scale_and_offset_are_undone(stay):
    source = xdr("draught_fwd", "DRF", scale=0.001, offset=-0.2)
    line = next(simulate(replace(stay, feeds=(Feed("g", "serial:/dev/x", (source,)),))))
    raw = float(line.split(b"XDR,D,")[1].split(b",")[0])
    assert raw * 0.001 - 0.2 == pytest.approx(5.0, abs=1e-9)


def test_no_section_simulate(stay):
    with pytest.raises(WrongInput, match=r"test\.yaml: simulate: missing"):
        simulate(replace(stay, simulate=None))


def test_no_feeds(stay):
    with pytest.raises(WrongInput, match="feeds: missing"):
        simulate(replace(stay, feeds=()))


def test_wind_gauge_without_wind(stay, change):
    with pytest.raises(WrongInput, match=r"simulate\.wind is missing"):
        simulate(change(stay, wind=()))


def test_sentence_that_does_not_carry_the_channel(stay):
    odd = Feed("odd", "serial:/dev/x", (Source("tide", sentence="HDT"),))
    with pytest.raises(WrongInput, match=r"feeds\.odd\.channels\.tide: HDT cannot"):
        simulate(replace(stay, feeds=(odd,)))


def test_tide_table_that_ends_too_early_leaves_no_file_behind(stay, tmp_path):
    short = replace(stay, tide=TidePlan(high_low=HIGH_LOW[:2]))
    with pytest.raises(WrongInput, match=r"tide\.high_low: says nothing of 2026-03-02T06:25:05Z"):
        write_log(short, tmp_path / "a.log")
    assert list(tmp_path.iterdir()) == []


def test_hydrostatics_that_end_too_early(stay):
    shallow = replace(stay, ship=replace(stay.ship, hydrostatics=stay.ship.hydrostatics[1:]))
    shallow = replace(shallow, simulate=replace(stay.simulate, draught_fwd=4.95, draught_aft=5.10))
    with pytest.raises(WrongInput, match=r"ship\.hydrostatics: the table does not reach"):
        list(simulate(shallow))


def test_folder_that_is_not_there(stay, tmp_path):
    with pytest.raises(WrongInput, match="expected a file that can be written"):
        write_log(stay, tmp_path / "nowhere" / "a.log")
