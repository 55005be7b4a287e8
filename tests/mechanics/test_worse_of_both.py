"""The worse of two states of the standard criteria and of who holds her. Expected values: ours."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.holding_roles import RoleShares, shares_by_role
from alongside.mechanics.lesser_holding import lesser_shares, worse_criterion
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.standard_criteria import CriterionRow
from alongside.mechanics.usage import criteria_of
from tests.mechanics.moored import blown
from tests.mechanics.stays import afloat
from tests.mechanics.test_render import berth

SHARES = st.tuples(*(st.floats(0.0, 2.0) for _ in range(3)))


def row(shares: tuple[float, float, float], name: str, in_contact: bool = True) -> CriterionRow:
    gives = "wll" if max(shares) > 1.0 else None
    return CriterionRow(1.5, 0.0, 10.0, len(name), *shares, gives, name, in_contact)  # type: ignore[arg-type]


@given(one=SHARES, other=SHARES, contact=st.booleans())
def test_the_larger_share_of_each_and_what_gives_in_the_state_used_more(
    one: tuple[float, float, float], other: tuple[float, float, float], contact: bool
) -> None:
    worse = worse_criterion(row(one, "of held"), row(other, "of slipped", contact))
    assert (worse.line_share, worse.brake_share, worse.bollard_share) == tuple(map(max, one, other))
    assert worse.where == ("of slipped" if max(other) > max(one) else "of held")
    assert worse.holds == (max(*one, *other) <= 1.0)
    assert worse.in_contact == contact


def test_of_each_wind_the_state_that_holds_less() -> None:
    stay = berth()
    arrangement = arrangement_of(stay)
    lengths = unstretched_for(arrangement, afloat(), np.full(4, 60.0))[0]
    longer = lengths + np.array([0.4, 0.0, 0.0, 0.0])
    calm = blown(1, wind=(0.0, 180.0))
    roles = tuple(line.role for line in stay.lines)
    (one,), (other,) = (
        shares_by_role(arrangement, roles, calm, each, criteria_of(stay)) for each in (lengths, longer)
    )
    both = lesser_shares(one, other)
    assert [each.holds_ms for each in both] == [
        min(a.holds_ms, b.holds_ms) for a, b in zip(one, other, strict=True)
    ]
    for each, a, b in zip(both, one, other, strict=True):
        assert each is (b if b.holds_ms < a.holds_ms else a)


def test_nothing_known_in_one_state_leaves_the_first() -> None:
    known = (RoleShares("ahead", 0.0, 20.0, (0.0, 0.0, 0.0, 1.0)),)
    assert lesser_shares(known, ()) == known
    assert lesser_shares((), known) == ()
    assert replace(known[0], holds_ms=10.0) in lesser_shares(known, (replace(known[0], holds_ms=10.0),))
