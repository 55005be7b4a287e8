"""Who holds her, by hand: steep breasts hand over to head and stern lines as the water rises. Statics of our
own; a ship alike fore and aft, so that she does not turn."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.holding_roles import ROLES, WINDS, RoleShares, shares_by_role
from alongside.mechanics.usage import Criteria
from alongside.stay.model import Stay, WindAreas
from tests.mechanics.moored import Moored, blown, made_fast
from tests.mechanics.stays import Lead, stay_with, straight

LOOSE = Criteria(surge_m=None, sway_m=None)
INBOARD, AREA = 60.0, 1000.0
BREAST_EA, HEAD_EA = 2195.0, 600.0
BREAST_WLL = 200.0
LOW, HIGH = 0.0, 6.0
PUSH_PER_SPEED2 = 0.892 * 0.0005 * 1.224 * AREA
"""kN by (m/s)^2 abeam: V^2/18 t on 1000 m2, from memory."""


def lead(x: float, along: float, back: float, breast: bool) -> Lead:
    """A line from her side, 1 m above its bollard at low water, 7 m at high water, with 60 m inboard."""
    rope = straight("breast", 400.0, BREAST_EA) if breast else straight("head", 600.0, HEAD_EA)
    role = "breast" if breast else ("head" if along > 0.0 else "stern")
    here = (x, -10.0, 7.0)
    return Lead(here, (40.0 + x + along, -back, 0.0), rope, winch=(x, 50.0, 7.0), role=role)


def berth() -> Stay:
    """A breast, and a line at 45 deg, at either end."""
    leads = [
        lead(110.0, 30.0, 30.0, breast=False),
        lead(90.0, 0.0, 1.5, breast=True),
        lead(30.0, 0.0, 1.5, breast=True),
        lead(10.0, -30.0, 30.0, breast=False),
    ]
    stay = stay_with(leads)
    wind = WindAreas(1.0, AREA, 6.0, side_centroid_x=60.0, coefficients="rule")
    return replace(stay, ship=replace(stay.ship, wind=wind))


@pytest.fixture(scope="module")
def moored() -> Moored:
    return made_fast(berth(), [100.0, 5.0, 5.0, 100.0])


def by_hand(moored: Moored, rise: float) -> tuple[float, float]:
    """The wind, m/s, in which the breasts reach their working limit, and their part of the pull in: what
    their load is is known, so how long they then are, how far she lies off, and what the others carry."""
    head_out, breast_out = moored.unstretched[:2]
    outboard = breast_out * (1.0 + BREAST_WLL / BREAST_EA) - INBOARD
    level = np.sqrt(outboard**2 - rise**2)
    off = level - 1.5
    across = 30.0 + off
    other = np.sqrt(30.0**2 + across**2 + rise**2)
    load = HEAD_EA * ((other + INBOARD) / head_out - 1.0)
    breasts, others = 2.0 * BREAST_WLL * level / outboard, 2.0 * load * across / other
    assert off > 0.0, "off her fenders, which carry nothing"
    return float(np.sqrt((breasts + others) / PUSH_PER_SPEED2)), breasts / (breasts + others)


def asked(moored: Moored, tide: np.ndarray) -> tuple[tuple[RoleShares, ...], ...]:
    roles = tuple(line.role for line in moored.stay.lines)
    return shares_by_role(moored.arrangement, roles, blown(tide.size, tide=tide), moored.unstretched, LOOSE)


def part(found: RoleShares, role: str) -> float:
    return found.shares[ROLES.index(role)]


def test_steep_breasts_hand_over_to_head_and_stern_lines(moored: Moored) -> None:
    low, high = (each[0] for each in asked(moored, np.array([LOW, HIGH])))
    for found, tide in ((low, LOW), (high, HIGH)):
        holds, breasts = by_hand(moored, 1.0 + tide)
        assert (found.against, found.from_deg) == ("off_berth", 180.0)
        assert found.holds_ms == pytest.approx(holds, abs=0.02)
        assert part(found, "breast") == pytest.approx(breasts, abs=0.002)
        assert part(found, "head") == pytest.approx((1.0 - breasts) / 2.0, abs=0.002)
        assert part(found, "stern") == pytest.approx((1.0 - breasts) / 2.0, abs=0.002)
        assert part(found, "spring") == 0.0
        assert sum(found.shares) == pytest.approx(1.0)
    assert part(low, "breast") > 0.6 > 0.45 > part(high, "breast")


def test_along_the_berth_only_those_count_that_pull_against_the_wind(moored: Moored) -> None:
    """No side: from ahead the head line, from astern the stern line, the breasts once she has moved along."""
    (found,) = asked(moored, np.array([LOW]))
    assert tuple(each.against for each in found) == WINDS
    _, ahead, astern = found
    assert (ahead.from_deg, astern.from_deg) == (90.0, 270.0)
    assert part(ahead, "stern") == part(astern, "head") == 0.0
    assert part(ahead, "head") == pytest.approx(part(astern, "stern"), abs=1e-6)


def test_an_instant_of_which_nothing_is_known_is_empty_and_the_others_are_the_same(moored: Moored) -> None:
    found = asked(moored, np.array([LOW, np.nan, HIGH]))
    assert found[1] == ()
    assert [found[0], found[2]] == list(asked(moored, np.array([LOW, HIGH])))


def test_where_no_line_pulls_against_it_no_part_is_known() -> None:
    """All lines hang a metre slack: in a calm nothing pulls, and one that is not fast never does."""
    stay = berth()
    loose = replace(made_fast(stay, 1.0), unstretched=np.full(4, np.nan))
    (found,) = asked(loose, np.array([LOW]))
    assert np.isnan(found[0].shares).all()


def test_a_ship_port_side_to_is_held_alike() -> None:
    stay = berth()
    leads = {name: replace(point, y=-point.y, x=point.x) for name, point in stay.ship.fairleads.items()}
    winches = {
        name: replace(winch, at=replace(winch.at, y=-winch.at.y)) for name, winch in stay.ship.winches.items()
    }
    bollards = {
        name: replace(each, at=replace(each.at, x=200.0 - each.at.x))
        for name, each in stay.berth.bollards.items()
    }
    port = replace(
        stay,
        alongside="port",
        ship=replace(stay.ship, fairleads=leads, winches=winches),
        berth=replace(stay.berth, bollards=bollards),
    )
    here, there = (
        asked(made_fast(each, [100.0, 5.0, 5.0, 100.0]), np.array([HIGH]))[0] for each in (stay, port)
    )
    for one, other in zip(here, there, strict=True):
        assert other.shares == pytest.approx(one.shares, abs=1e-6)
        assert other.holds_ms == pytest.approx(one.holds_ms, abs=1e-6)
    assert [each.from_deg for each in there] == [180.0, 270.0, 90.0]
