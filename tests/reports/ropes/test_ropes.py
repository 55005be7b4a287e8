"""Lives of ropes by hand-worked cases."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.record.ropes.parts import Part, parts_of
from alongside.record.ropes.use import Use, use_of
from alongside.reports.ropes.life import lives_of
from alongside.stay.model import Rope
from tests.berth import STAY_TEXT, a_stay

ROPE = Rope("wire", "wire", 200.0, ((0.0, 0.0), (2.0, 1.0)), 0.55)
PART = Part("W-1", True, "main", "3", "Test ship", ROPE)
HOUR = 3600.0


def use(part: Part, fast_at: float, loads: list[float], every: float = 10.0) -> Use:
    time = fast_at + every * np.arange(len(loads))
    return use_of(part, fast_at, fast_at, float(time[-1]), time, np.array(loads))


def test_time_above_the_limit_counts_by_how_long_each_load_stood() -> None:
    """WLL 110 kN. 115 kN stands 5 + 5 s among dense states and 10 s among even ones; before the gap, and at
    the last state, nothing is known of how long it stood (ours)."""
    time = np.array([0.0, 10.0, 15.0, 20.0, 30.0, 40.0, 140.0, 150.0])
    load = np.array([50.0, 115.0, 115.0, 90.0, 115.0, 115.0, 115.0, 115.0])
    use = use_of(PART, 0.0, 0.0, 150.0, time, load)
    assert use.above_wll_s == 5.0 + 5.0 + 10.0 + 10.0
    assert use.known_s == 50.0
    assert (use.peak_kn, use.peak_at) == (115.0, 10.0)


def test_what_is_not_known_counts_nowhere() -> None:
    use = use_of(PART, 0.0, 0.0, 30.0, np.arange(4) * 10.0, np.array([np.nan, 120.0, np.nan, 20.0]))
    assert (use.known_s, use.above_wll_s, use.peak_kn) == (10.0, 10.0, 120.0)
    nothing = use_of(PART, 0.0, 0.0, 30.0, np.arange(4) * 10.0, np.full(4, np.nan))
    assert np.isnan(nothing.peak_kn)
    (life,) = lives_of([nothing])
    assert (sum(life.cycles), life.hours_known, life.stays) == (0.0, 0.0, 1)


def test_two_stays_of_one_rope() -> None:
    """From slack to 80 kN and back, with one dip to 40: a half cycle up, one down, one whole of 40 kN. The
    second stay reaches 100 (ours). Shares of MBL 200: 0.2, 0.4, 0.5."""
    first = use(PART, 0.0, [20.0, 80.0, 40.0, 80.0, 30.0])
    second = use(replace(PART, line="7", ship="Other ship"), 10 * HOUR, [10.0, 100.0])
    (life,) = lives_of([second, first])
    assert (life.stays, life.lines, life.part.ship) == (2, ("3", "7"), "Other ship")
    assert (life.peak_kn, life.peak_share_mbl) == (100.0, 0.5)
    assert life.peak_share_wll == pytest.approx(100.0 / 110.0)
    assert life.hours_made_fast == pytest.approx((40.0 + 10.0) / HOUR)
    assert life.hours_known == pytest.approx((40.0 + 10.0) / HOUR)
    # 0 80 40 80 0 100 0: 40 whole in 20-30 %, 80 whole in 40-50 %, 100 half up and half down in 50+ %.
    assert life.cycles == (0.0, 0.0, 1.0, 0.0, 1.0, 1.0)


def test_two_records_of_one_stay_are_one_making_fast() -> None:
    """The second record goes on where the first ended: no slackening between them (ours)."""
    first = use(PART, 0.0, [20.0, 80.0])
    time = np.array([100.0, 110.0])
    later = use_of(PART, 0.0, 100.0, 110.0, time, np.array([60.0, 90.0]))
    (life,) = lives_of([later, first])
    assert life.stays == 1
    assert life.hours_made_fast == pytest.approx(110.0 / HOUR)
    # 0 80 60 90 0: 20 whole in 10-20 %, 90 in 40-50 %.
    assert life.cycles == (0.0, 1.0, 0.0, 0.0, 1.0, 0.0)


def test_a_rope_is_in_one_place_at_a_time() -> None:
    once = use(PART, 0.0, [20.0, 80.0, 20.0])
    with pytest.raises(WrongInput, match=r"W-1: .* each record once"):
        lives_of([once, once])
    with pytest.raises(WrongInput, match="one place at a time"):
        lives_of([once, use(replace(PART, line="4"), 15.0, [20.0, 80.0])])


def test_one_serial_is_one_rope() -> None:
    other = replace(PART, rope=replace(ROPE, mbl_kn=300.0))
    with pytest.raises(WrongInput, match="wire of 200 kN in one stay, wire of 300 kN in another"):
        lives_of([use(PART, 0.0, [20.0, 80.0]), use(other, 100.0, [20.0, 80.0])])


def test_ropes_are_known_by_serial_else_by_certificate_line_and_ship(tmp_path: Path) -> None:
    text = STAY_TEXT.replace("mbl_kn: 200,", 'mbl_kn: 200, certificate: "C-77",').replace(
        "bollard: B2, rope: polyester,",
        'bollard: B2, rope: polyester, serial: "P-0042", tail: {rope: polyester, length: 8, serial: "T-9"},',
    )
    keys = [(part.key, part.what, part.by_serial) for part in parts_of(a_stay(tmp_path, text))]
    assert keys == [
        ("C-77, line 1, Test ship", "main", False),
        ("P-0042", "main", True),
        ("T-9", "tail", True),
        ("C-77, line 3, Test ship", "main", False),
    ]


def test_a_line_carries_what_is_more_than_hanging_slack() -> None:
    """WLL 110 kN: up to 1.1 kN it hangs slack. 1.2 and 50 kN stand 10 s each; the last stands no time."""
    use = use_of(PART, 0.0, 0.0, 40.0, np.arange(5) * 10.0, np.array([1.0, 1.2, np.nan, 50.0, 60.0]))
    assert (use.carried_s, use.known_s) == (20.0, 30.0)
