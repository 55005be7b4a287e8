"""What must hold of times to decide by, whatever the figures."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by
from alongside.forecast.decided import Decisions
from alongside.forecast.present import Present
from alongside.stay.model import DecideBy, LeadTimes, WindLimit
from tests.forecast.decide.made import HERE, HOUR, MINUTE, basis_with, kn, said, stay_with

STAY = stay_with()
LATER = 1.0
"""s: less is rounding."""
KNOTS = st.floats(20.0, 60.0)


def asked(present: Present, *limits: WindLimit, lead_min: float = 90.0) -> Decisions:
    lead = LeadTimes(tugs=lead_min * MINUTE)
    basis = Basis.of(replace(STAY, decide=DecideBy((), limits, lead)))
    decisions = decide_by(basis, present)
    assert decisions is not None
    return decisions


def tugs_by(present: Present, *limits: WindLimit, lead_min: float = 90.0) -> float:
    """Return when tugs are due, far ahead where nothing calls for them."""
    row = asked(present, *limits, lead_min=lead_min).row("tugs")
    return row.by if row is not None else 1e12


@settings(deadline=None, max_examples=25)
@given(st.floats(2.0, 9.0), st.floats(0.1, 1.5), KNOTS, KNOTS)
def test_a_forecast_that_has_the_same_rise_earlier_never_gives_a_later_time(
    hours: float, sooner: float, mean: float, limit: float
) -> None:
    agreed = WindLimit("tugs", kn(limit))
    calm = replace(HERE, wind_speed=kn(8.0))
    late, early = (
        replace(calm, wind_forecast=(said(at, mean), said(at + 20.0, mean))) for at in (hours, hours - sooner)
    )
    assert tugs_by(early, agreed) <= tugs_by(late, agreed) + LATER


@settings(deadline=None, max_examples=25)
@given(KNOTS, KNOTS, st.floats(0.0, 20.0), st.floats(0.0, 120.0), st.booleans())
def test_a_higher_limit_gives_a_later_time_and_a_longer_lead_an_earlier_one(
    mean: float, limit: float, higher: float, longer: float, gust: bool
) -> None:
    present = replace(HERE, wind_forecast=(said(4.0, mean), said(12.0, mean)))
    low, high = (WindLimit("tugs", kn(each), gust) for each in (limit, limit + higher))
    by = tugs_by(present, low)
    assert by <= tugs_by(present, high) + LATER
    assert tugs_by(present, low, lead_min=90.0 + longer) <= by + LATER


@settings(deadline=None, max_examples=25)
@given(KNOTS, KNOTS, st.floats(0.0, 360.0), st.floats(0.0, 359.0), st.floats(1.0, 180.0))
def test_a_limit_of_one_sector_comes_no_earlier_than_one_of_all_directions(
    mean: float, limit: float, come_from: float, begin: float, wide: float
) -> None:
    present = replace(HERE, wind_from=come_from, wind_forecast=(said(4.0, mean, come_from),))
    anywhere, there = WindLimit("tugs", kn(limit)), WindLimit("tugs", kn(limit), sector=(begin, begin + wide))
    assert tugs_by(present, anywhere) <= tugs_by(present, there) + LATER


@settings(deadline=None, max_examples=25)
@given(KNOTS, st.lists(st.tuples(KNOTS, st.booleans()), min_size=1, max_size=4))
def test_one_limit_more_never_gives_a_later_time(mean: float, limits: list[tuple[float, bool]]) -> None:
    present = replace(HERE, wind_forecast=(said(3.0, mean), said(12.0, mean)))
    agreed = [WindLimit("tugs", kn(limit), gust) for limit, gust in limits]
    assert tugs_by(present, *agreed) <= tugs_by(present, *agreed[1:]) + LATER if agreed[1:] else True


@settings(deadline=None, max_examples=25)
@given(KNOTS, KNOTS)
def test_times_are_in_order_and_none_is_before_its_lead(mean: float, limit: float) -> None:
    present = replace(HERE, wind_speed=kn(15.0), wind_forecast=(said(4.0, mean), said(12.0, mean)))
    basis = basis_with(WindLimit("leave", kn(limit)), WindLimit("tugs", kn(limit * 0.8)))
    decisions = decide_by(basis, present)
    assert decisions is not None
    for row in decisions.rows:
        assert decisions.time <= row.limit.first <= decisions.until
        assert row.by == row.limit.first - row.lead_s
        assert 0.05 <= row.limit.chance <= 1.0
        assert row.limit.expected >= row.limit.first
    times = [row.by for row in decisions.rows]
    assert times == sorted(times)
    assert len({row.order for row in decisions.rows}) == len(times)


def test_the_same_present_gives_the_same_answer_whenever_it_is_asked() -> None:
    basis = basis_with(WindLimit("tugs", kn(30.0)))
    present = replace(HERE, wind_forecast=(said(4.0, 32.0),))
    assert decide_by(basis, present) == decide_by(basis, present)


def test_the_answer_without_the_newest_entry_is_that_of_before_it() -> None:
    agreed = WindLimit("tugs", kn(30.0))
    before = (said(8.0, 40.0, entered=HERE.time - 3 * HOUR),)
    newest = said(4.0, 40.0, entered=HERE.time - 600.0)
    old = asked(replace(HERE, wind_forecast=before), agreed).rows[0]
    new = asked(replace(HERE, wind_forecast=(*before, newest)), agreed).rows[0]
    assert new.by < old.by
    assert new.by_before == old.by
