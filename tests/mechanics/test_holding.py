"""Holding power: against plain statics (ours), and what must hold for any set of lines."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cycle.holding_words import Change, holding_sentence, now_only, shorter
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold, standing_off
from alongside.mechanics.holding import HoldingPower, Next, directions, holding_power
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.standard_criteria import CURRENTS, standard_criteria
from alongside.mechanics.usage import OFF_M, Criteria, Gives
from alongside.stay.model import CurrentCoefficients, Display, Stay, WindAreas
from alongside.units import KNOT
from tests.mechanics.moored import blown, made_fast, random_stay
from tests.mechanics.stays import Lead, stay_with, straight

FAR = 10_000.0
AREA = 1000.0
KNOTS = Display()
LOOSE = Criteria(surge_m=None, sway_m=None)


def springs(mbl_kn: float = 200.0, brake_kn: float | None = None, swl_kn: float | None = None) -> Stay:
    """Two level lines square off the quay, 100 kN/m each, in a wind that pushes with 0.892 q on 1000 m2."""
    rope = straight("spring", mbl_kn, 100.0 * FAR)
    leads = [
        Lead(
            (60.0 + x, 0.0, 6.0),
            (100.0 + x, 10.0 - FAR, 0.0),
            rope,
            winch=(60.0 + x, 0.0, 6.0) if brake_kn else None,
            brake_kn=brake_kn,
            swl_kn=swl_kn,
        )
        for x in (50.0, -50.0)
    ]
    stay = stay_with(leads)
    wind = WindAreas(1.0, AREA, 6.0, side_centroid_x=60.0, coefficients="rule")
    return replace(stay, ship=replace(stay.ship, wind=wind))


def power(stay: Stay, criteria: Criteria = LOOSE, tension_kn: float = 0.0, tide: float = 0.0) -> HoldingPower:
    moored = made_fast(stay, tension_kn)
    return holding_power(moored.arrangement, blown(tide=tide), moored.unstretched, criteria)


def speed_for(force_kn: float) -> float:
    return float(np.sqrt(force_kn / (0.892 * 0.0005 * 1.224 * AREA)))


OFF = 36
"""Index of the wind from 180, square off the quay: berth +x bears 090."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("stay", "gives", "where", "force_kn"),
    [
        (springs(mbl_kn=200.0), "wll", "1", 200.0),
        (springs(mbl_kn=400.0, brake_kn=90.0), "brake", "1", 180.0),
        (springs(mbl_kn=400.0, swl_kn=70.0), "bollard", "B1", 140.0),
    ],
)
def test_two_springs_hold_what_statics_say(stay: Stay, gives: str, where: str, force_kn: float) -> None:
    found = power(stay)
    assert float(found.holds_ms[OFF]) == pytest.approx(speed_for(force_kn), abs=0.02)
    assert found.gives_first[OFF] == gives
    assert found.where[OFF] == where
    assert float(found.drift_m[OFF]) == pytest.approx(force_kn / 2 / 100.0, abs=0.003)
    assert float(found.holds_ms[0]) == CAP_MS
    assert found.gives_first[0] is None


@pytest.mark.slow
def test_drift_limit() -> None:
    drift = power(springs(), Criteria(surge_m=None, sway_m=0.5))
    assert drift.gives_first[OFF] == "drift"
    assert drift.where[OFF] is None
    assert float(drift.holds_ms[OFF]) == pytest.approx(speed_for(100.0), abs=0.02)


def test_contact_is_another_answer_than_strength() -> None:
    """Two springs of 40 kN each press her on; a wind of 80 kN takes her off, and both hold 200 kN in all."""
    found = power(springs(), LOOSE, tension_kn=40.0)
    assert float(found.contact_ms[OFF]) == pytest.approx(speed_for(80.0), abs=0.05)
    assert found.gives_first[OFF] == "wll"
    assert float(found.holds_ms[OFF]) == pytest.approx(speed_for(200.0), abs=0.02)
    assert float(found.contact_ms[0]) == CAP_MS, "an onshore wind never takes her off"
    assert found.first_off == OFF


@pytest.mark.slow
@settings(max_examples=8)
@given(seed=st.integers(0, 10_000))
def test_up_to_the_wind_of_contact_a_fender_is_touched_and_beyond_it_none(seed: int) -> None:
    _, moored = random_set(seed)
    found = holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)
    for at in range(0, 72, 9):
        contact = float(found.contact_ms[at])
        for speed, touched in ((contact, True), (contact + 0.05, False)):
            if 0.0 < contact < CAP_MS:
                states = hold(moored.arrangement, blown(wind=(speed, found.from_deg[at])), moored.unstretched)
                assert bool(standing_off(moored.arrangement, states.pose)[0] <= OFF_M) == touched


@pytest.mark.slow
def test_margin_and_gust_factor() -> None:
    full = float(power(springs()).holds_ms[OFF])
    assert float(power(springs(), replace(LOOSE, margin=0.19)).holds_ms[OFF]) == pytest.approx(
        0.9 * full, abs=0.02
    )
    assert float(power(springs(), replace(LOOSE, gust_factor=1.25)).holds_ms[OFF]) == pytest.approx(
        full / 1.25, abs=0.02
    )


def test_a_set_that_fails_in_a_calm_holds_nothing() -> None:
    found = power(springs(), tension_kn=150.0)
    assert (found.holds_ms == 0.0).all()
    assert set(found.gives_first) == {"wll"}
    assert shorter(holding_sentence(found, KNOTS))[-1] == "Beyond a limit without any wind: load of line 1"


def test_without_fenders_wind_areas_or_tide_there_is_no_answer() -> None:
    bare = springs()
    no_fenders = replace(bare, berth=replace(bare.berth, fenders=()))
    assert power(no_fenders).reason == "no fenders at the berth"
    no_areas = replace(bare, ship=replace(bare.ship, wind=None))
    assert power(no_areas).reason == "wind areas of the ship not given"
    unknown = power(bare, tide=float("nan"))
    assert unknown.reason == "tide not known"
    assert np.isnan(unknown.holds_ms).all()
    assert holding_sentence(unknown, KNOTS) == "Holding power not known: tide not known."


def random_set(seed: int, lines: int = 8):
    stay = random_stay(np.random.default_rng(seed), lines=lines, buckling=False)
    return stay, made_fast(stay, 45.0)


@pytest.mark.slow
@settings(max_examples=12)
@given(seed=st.integers(0, 10_000))
def test_what_it_says_holds_and_a_little_more_does_not(seed: int) -> None:
    _, moored = random_set(seed)
    found = holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)
    for at in range(0, 72, 7):
        if found.gives_first[at] != "wll":
            continue
        for speed, good in ((found.holds_ms[at], True), (found.holds_ms[at] + 0.05, False)):
            held = hold(moored.arrangement, blown(wind=(speed, found.from_deg[at])), moored.unstretched)
            assert bool((held.lines.load_share > 1.0).any()) != good


@pytest.mark.slow
@settings(max_examples=12)
@given(seed=st.integers(0, 10_000), at=st.integers(0, 71))
def test_more_wind_never_holds_better(seed: int, at: int) -> None:
    """At and below what it holds no line is beyond its limit."""
    _, moored = random_set(seed)
    found = holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)
    speeds = np.linspace(0.0, found.holds_ms[at], 25)
    held = hold(moored.arrangement, blown(25, wind=(speeds, found.from_deg[at])), moored.unstretched)
    assert not (held.lines.load_share > 1.0 + 1e-6).any()
    assert not held.reason.any()


@pytest.mark.slow
@settings(max_examples=12)
@given(seed=st.integers(0, 10_000))
def test_another_line_never_lowers_what_is_held_along_its_pull(seed: int) -> None:
    """One more breast, made fast without pretension, against the wind square off the quay."""
    stay, _ = random_set(seed)
    fewer = made_fast(stay, 30.0)
    some = np.append(fewer.unstretched[:-1], np.nan)
    less = holding_power(fewer.arrangement, blown(), some, LOOSE)
    breast = stay.lines[-1]
    fairlead, bollard = stay.ship.fairleads[breast.fairlead], stay.berth.bollards[breast.bollard]
    square = replace(
        stay,
        ship=replace(
            stay.ship, fairleads={**stay.ship.fairleads, breast.fairlead: replace(fairlead, x=60.0)}
        ),
        berth=replace(
            stay.berth,
            bollards={
                **stay.berth.bollards,
                breast.bollard: replace(bollard, at=replace(bollard.at, x=100.0, y=-40.0)),
            },
        ),
        lines=(*stay.lines[:-1], replace(breast, tail=None)),
    )
    added = made_fast(square, [30.0] * 7 + [0.0])
    more = holding_power(added.arrangement, blown(), added.unstretched, LOOSE)
    if more.where[OFF] != breast.id:
        assert float(more.holds_ms[OFF]) >= float(less.holds_ms[OFF]) - 0.05


@pytest.mark.slow
@settings(max_examples=8)
@given(seed=st.integers(0, 10_000))
def test_order_of_the_lines_does_not_matter(seed: int) -> None:
    stay, moored = random_set(seed)
    turned = replace(stay, lines=stay.lines[::-1])
    other = made_fast(turned, 45.0)
    one = holding_power(moored.arrangement, blown(), moored.unstretched)
    two = holding_power(other.arrangement, blown(), other.unstretched)
    np.testing.assert_allclose(one.holds_ms, two.holds_ms, atol=0.02)


@pytest.mark.slow
def test_a_current_is_held_against_as_well() -> None:
    stay = springs()
    stay = replace(stay, ship=replace(stay.ship, current=CurrentCoefficients("rule")))
    moored = made_fast(stay, 0.0)
    calm = holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)
    set_off = holding_power(moored.arrangement, blown(current=(0.4, 0.0)), moored.unstretched, LOOSE)
    assert set_off.holds_ms[OFF] < calm.holds_ms[OFF]


def weakest(
    holds: float, gives: Gives = "wll", where: str | None = "4", at: int = 40, contact: float = CAP_MS
) -> HoldingPower:
    """A polar that holds 50 m/s, but for one direction; her fenders are left at `contact` from there."""
    speeds = np.full(72, 50.0)
    speeds[at] = holds
    gone, names = [None] * 72, [None] * 72
    gone[at], names[at] = gives, where  # type: ignore[call-overload]
    off = np.full(72, CAP_MS)
    off[at] = contact
    return HoldingPower(0.0, np.arange(72) * 5.0, speeds, tuple(gone), tuple(names), np.ones(72), off)


def test_the_sentence() -> None:
    power = weakest(38.4 * KNOT)
    assert holding_sentence(power, KNOTS, Change(33.2 * KNOT, "1.6 m less tide by 14:20")) == (
        "Lines hold 38 kn (weakest from 200°: load of line 4); 33 kn with 1.6 m less tide by 14:20."
    )
    assert holding_sentence(power, KNOTS, Change(0.0, "2.0 m more tide")).endswith(
        "load of line 4); 0 kn with 2.0 m more tide."
    )
    reach, none = (Next(20.0 * KNOT, "drift", None),), (Next(0.0, "drift", None),)
    assert holding_sentence(replace(power, then={40: reach}), KNOTS) == (
        "Lines hold 38 kn (weakest from 200°: load of line 4, then off place at once)."
    ), "the lines that are left hold 20 kn: she only lies too far out"
    assert holding_sentence(replace(power, then={40: none}), KNOTS) == (
        "Lines hold 38 kn (weakest from 200°: load of line 4, then nothing keeps her)."
    )
    assert holding_sentence(weakest(38.4 * KNOT, "brake"), KNOTS, Change(38.3 * KNOT, "2.0 m more tide")) == (
        "Lines hold 38 kn (weakest from 200°: brake of line 4)."
    )


def test_both_answers_stand_side_by_side() -> None:
    power = weakest(53.5 * KNOT, "brake", at=21, contact=41.2 * KNOT)
    assert holding_sentence(power, KNOTS) == (
        "Lines hold 53 kn (weakest from 105°: brake of line 4). Off her fenders from 41 kn."
    )
    slack = weakest(53.5 * KNOT, "brake", at=21, contact=0.0)
    assert holding_sentence(slack, KNOTS).endswith("Off her fenders without any wind.")


def test_for_less_room_the_sentence_goes_clause_by_clause() -> None:
    power = weakest(53.5 * KNOT, "brake", at=21, contact=41.2 * KNOT)
    whole = holding_sentence(power, KNOTS, Change(33.2 * KNOT, "1.6 m less tide by 14:20"))
    assert shorter(whole) == (
        whole.rstrip("."),
        "Lines hold 53 kn (weakest from 105°: brake of line 4). Off her fenders from 41 kn",
        "Lines hold 53 kn (weakest from 105°). Off her fenders from 41 kn",
        "Lines hold 53 kn (weakest from 105°: brake of line 4)",
        "Lines hold 53 kn (weakest from 105°)",
        "Lines hold 53 kn",
    )
    assert now_only(whole) == holding_sentence(power, KNOTS)
    assert shorter("Holding power not known: tide not known.")[0] == "Holding power not known: tide not known"


def test_a_drift_limit_is_not_said_of_lines() -> None:
    metres = Display(speed="m/s")
    assert holding_sentence(weakest(10.0, "drift", None), metres) == (
        "Ship 1.0 m off place from 10 m/s (weakest from 200°)."
    )


def test_what_is_held_is_rounded_down_and_the_end_of_the_search_says_more() -> None:
    assert "hold 38 kn" in holding_sentence(weakest(38.97 * KNOT), KNOTS)
    everywhere = replace(weakest(60.0), holds_ms=np.full(72, 60.0))
    assert holding_sentence(everywhere, KNOTS) == "Lines hold more than 116 kn from every direction."


@pytest.mark.slow
def test_standard_criteria_take_the_worst_wind_for_each_current() -> None:
    """60 kn with 3 kn at 0 and 180, 2 kn at 10 and 170, 0.75 kn from the worst side; read in a summary."""
    _, moored = random_set(3, lines=14)
    rows = standard_criteria(moored.arrangement, blown(), moored.unstretched, LOOSE)
    assert [(round(row.current_ms / KNOT, 9), row.current_attack_deg) for row in rows] == list(CURRENTS)
    exposure = moored.arrangement.exposure
    for row in rows:
        current_to = (exposure.heading + row.current_attack_deg + 180.0) % 360.0
        assert row.current_from_deg == pytest.approx((current_to + 180.0) % 360.0)
        shares, off = [], []
        for wind_from in directions():
            seen = blown(wind=(60.0 * KNOT, wind_from), current=(row.current_ms, current_to))
            states = hold(moored.arrangement, seen, moored.unstretched)
            shares.append(np.nanmax(states.lines.load_share) if states.reason[0] == 0 else np.inf)
            off.append(not standing_off(moored.arrangement, states.pose)[0] <= OFF_M)
        assert max(shares) == pytest.approx(row.line_share, rel=1e-6)
        assert row.worst_from_deg == directions()[int(np.argmax(shares))]
        assert row.holds == (max(shares) <= 1.0) == (row.gives is None)
        assert row.in_contact != any(off)


def test_the_criteria_leave_drift_and_contact_out() -> None:
    """A hundred times the strength: she moves off by far more than a decimetre, and every line holds."""
    _, moored = random_set(3, lines=14)
    strong = Criteria(surge_m=0.1, sway_m=0.1, margin=-99.0)
    rows = standard_criteria(moored.arrangement, blown(), moored.unstretched, strong)
    assert not all(row.in_contact for row in rows)
    assert all(row.holds and 0.0 < row.line_share < 1.0 for row in rows)


@pytest.mark.slow
def test_held_in_place_or_not_the_balance_is_sought() -> None:
    stay = replace(springs(), balance=False)
    assert float(power(stay).holds_ms[OFF]) == pytest.approx(speed_for(200.0), abs=0.02)
    arrangement = arrangement_of(stay)
    held = hold(arrangement, blown(wind=(20.0, 180.0)), made_fast(stay, 0.0).unstretched)
    assert float(held.pose.sway[0]) == 0.0
