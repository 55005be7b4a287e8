"""Who holds her now, at the next high and at the next low water, in figures and in words."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cycle.who_holds import HoursAhead, held_by_rows, moment, who_holds
from alongside.forecast.basis import Basis
from alongside.mechanics.holding_roles import ROLES, shares_by_role
from alongside.mechanics.situation import Situation
from alongside.stay.model import Display, TidePlan
from tests.mechanics.moored import Moored, blown, made_fast
from tests.mechanics.test_holding_roles import HIGH, LOOSE, LOW, berth

H = 3600.0
UTC = Display()


@pytest.fixture(scope="module")
def moored() -> Moored:
    stay = replace(berth(), tide=TidePlan(high_low=((0.0, LOW), (6.0 * H, HIGH), (12.0 * H, LOW))))
    return made_fast(stay, [100.0, 5.0, 5.0, 100.0])


@pytest.fixture(scope="module")
def basis(moored: Moored) -> Basis:
    return replace(Basis.of(moored.stay), criteria=LOOSE)


def hours(begin: float = 0.0) -> HoursAhead:
    """Low water at 0 and 12 h, high water at 6 h; her draught grows by a tenth an hour."""
    time = begin + np.arange(0.0, 13.5 * H + 1.0, 600.0)
    tide = HIGH / 2.0 * (1.0 - np.cos(2.0 * np.pi * time / (12.0 * H)))
    draught = 6.0 + 0.1 * time / H
    return HoursAhead(time, tide, draught, draught, np.zeros(time.size))


def now(at: float = 600.0) -> Situation:
    return replace(blown(), time=np.array([at]))


def test_each_moment_is_that_of_its_tide_and_draught_with_the_lengths_of_now(
    basis: Basis, moored: Moored
) -> None:
    found = who_holds(basis, now(), moored.unstretched, hours())
    assert [each.when for each in found] == ["now", "high_water", "low_water"]
    assert [each.time for each in found] == [600.0, 6.0 * H, 12.0 * H]
    assert [each.tide for each in found] == pytest.approx([0.0, HIGH, LOW])
    assert [each.draught_fwd for each in found] == pytest.approx([6.0, 6.6, 7.2])
    roles = tuple(line.role for line in moored.stay.lines)
    for each in found:
        here = blown(tide=each.tide, fwd=each.draught_fwd, aft=each.draught_aft)
        (winds,) = shares_by_role(basis.arrangement, roles, here, moored.unstretched, basis.criteria)
        assert each.winds == winds
        assert not each.why
    breasts = [each.winds[0].shares[ROLES.index("breast")] for each in found]
    assert breasts[1] < breasts[0] - 0.1, "steep at high water"


def test_the_next_is_the_one_after_now(basis: Basis, moored: Moored) -> None:
    found = who_holds(basis, now(7.0 * H), moored.unstretched, hours(7.0 * H))
    assert [each.time / H for each in found] == [7.0, 18.0, 12.0]
    found = who_holds(basis, now(7.0 * H), moored.unstretched, hours())
    assert found[1].why == "none expected in the hours ahead", "that of 6 h is past"
    assert found[2].time == 12.0 * H


def test_what_is_not_known_says_why(basis: Basis, moored: Moored) -> None:
    untold = replace(basis, stay=replace(basis.stay, tide=None))
    for base, ahead, why in (
        (basis, None, "hours ahead not known yet"),
        (untold, hours(), "no tide in the stay file"),
    ):
        found = who_holds(base, now(), moored.unstretched, ahead)
        assert found[0].winds
        assert [each.why for each in found] == ["", why, why]
        assert [each.winds for each in found[1:]] == [(), ()]
        assert held_by_rows(found, UTC)[3:] == [f"at {at} not known: {why}" for at in ("HW", "LW")]
    blind = replace(now(), tide=np.array([np.nan]))
    found = who_holds(basis, blind, moored.unstretched, hours())
    assert [each.why for each in found] == ["tide not known", "", ""]
    short = replace(hours(), **{name: getattr(hours(), name)[:10] for name in HoursAhead.__slots__})
    found = who_holds(basis, now(), moored.unstretched, short)
    assert [each.why for each in found][1:] == 2 * ["none expected in the hours ahead"]


def test_in_words_each_role_has_its_part_and_roles_without_one_are_left_out(
    basis: Basis, moored: Moored
) -> None:
    found = who_holds(basis, now(), moored.unstretched, hours())
    rows = held_by_rows(found, UTC)
    assert len(rows) == 9
    winds = ["square off the berth", "from ahead", "from astern"]
    whens = ["now", "HW 06:00", "LW 12:00"]
    starts = [f"wind {wind}, {when}: " for when in whens for wind in winds]
    assert all(row.startswith(start) for row, start in zip(rows, starts, strict=True)), rows
    assert not any("spring" in row for row in rows)
    shares = found[1].winds[0].shares
    expected = [f"{role} {100.0 * share:.0f} %" for role, share in zip(ROLES, shares, strict=True) if share]
    assert rows[3].startswith(f"{starts[3]}{', '.join(expected)} (")
    assert [moment(each, UTC) for each in found] == whens
