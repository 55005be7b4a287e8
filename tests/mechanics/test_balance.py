"""The balance against exact statics (ours), scipy, finite differences, work, and what must hold for any
berth."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import optimize

from alongside.mechanics.balance import balance
from alongside.mechanics.balance_forces import Mooring, forces_at
from alongside.mechanics.fenders import side_distance
from alongside.mechanics.flow import Loads
from alongside.mechanics.newton import newton_step, off_the_crest
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.series import pull
from alongside.mechanics.tension import ExactTensions, tensions_of
from alongside.readings import Floats
from alongside.stay.model import Fender
from tests.mechanics.moored import (
    BUCKLING,
    Moored,
    blown,
    compiled,
    made_fast,
    random_stay,
    steady,
    work_done,
)
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, Lead, Tail, arranged, stay_with, straight

FAR = 10_000.0
"""m off: a bollard so far away that a line is a spring across the berth."""


def spring(x: float, kn_per_m: float) -> Lead:
    """A straight line at ship station x, level, across the berth."""
    rope = straight(f"spring {kn_per_m:g}", 1e6, kn_per_m * FAR)
    return Lead((60.0 + x, 0.0, 6.0), (100.0 + x, 10.0 - FAR, 0.0), rope)


def between(lead: Lead, tension_kn: float) -> Moored:
    return made_fast(stay_with([lead]), tension_kn)


def pose_of(moored: Moored, found, radius: float) -> Floats:
    return np.array([found.surge, found.sway, found.yaw * radius])


def test_b1_two_springs_across() -> None:
    """B1, exact: 1000 kN/m at +120 m, 1500 at -100 m, 1000 kN off the berth at +20 m."""
    moored = made_fast(stay_with([spring(120.0, 1000.0), spring(-100.0, 1500.0)], fenders=()), 0.0)
    mooring = moored.mooring(blown(), loads=steady(moored, (0.0, 1000.0, 20_000.0)))
    found = balance(mooring)
    assert float(found.sway[0]) == pytest.approx(0.413223, abs=2e-6)
    assert float(found.yaw[0]) == pytest.approx(0.00110193, abs=2e-8)
    tension, _ = tension_at(mooring, found)
    np.testing.assert_allclose(tension[:, 0], [545.4545, 454.5455], rtol=1e-5)


def tension_at(mooring: Mooring, found) -> tuple[Floats, Floats]:
    cos, sin = np.cos(found.yaw), np.sin(found.yaw)
    x = mooring.bollard_x - found.surge - (mooring.ahead * cos - mooring.to_port * sin)
    y = mooring.bollard_y - found.sway - (mooring.ahead * sin + mooring.to_port * cos)
    return mooring.tensions(np.sqrt(x * x + y * y + mooring.rise_squared) + mooring.inboard)


@pytest.mark.parametrize(
    ("pretension", "compression", "fender_kn", "line_kn"),
    [(300.0, 0.216667, 1083.33, 83.33), (100.0, 0.2000, 1000.0, 0.0)],
)
def test_b2_b3_two_breasts_and_two_fenders(
    pretension: float, compression: float, fender_kn: float, line_kn: float
) -> None:
    """B2 and B3, exact: 1000 kN/m a breast, 5000 kN/m a fender, 2000 kN onto the berth."""
    stay = stay_with([spring(50.0, 1000.0), spring(-50.0, 1000.0)], fenders=())
    row = (Fender(60.0, stiffness_kn_per_m=5000.0), Fender(140.0, stiffness_kn_per_m=5000.0))
    moored = made_fast(replace(stay, berth=replace(stay.berth, fenders=row)), pretension)
    mooring = moored.mooring(blown(), loads=steady(moored, (0.0, -2000.0, 0.0)))
    found = balance(mooring)
    assert float(found.sway[0]) == pytest.approx(-compression, abs=2e-6)
    assert 5000.0 * -float(found.sway[0]) == pytest.approx(fender_kn, abs=0.01)
    np.testing.assert_allclose(tension_at(mooring, found)[0][:, 0], [line_kn, line_kn], atol=0.01)
    assert float(found.yaw[0]) == pytest.approx(0.0, abs=1e-12)


def mirrored(stay, arrangement_x: float = 100.0):
    """The same ship bow the other way, with the other side to the quay, seen in a mirror across the berth."""
    flip = {"starboard": "port", "port": "starboard"}
    fairleads = {name: replace(p, y=-p.y) for name, p in stay.ship.fairleads.items()}
    bollards = {
        name: replace(b, at=replace(b.at, x=2 * arrangement_x - b.at.x))
        for name, b in stay.berth.bollards.items()
    }
    fenders = tuple(replace(f, x=2 * arrangement_x - f.x) for f in stay.berth.fenders)
    berth = replace(stay.berth, bollards=bollards, fenders=fenders)
    return replace(
        stay, alongside=flip[stay.alongside], ship=replace(stay.ship, fairleads=fairleads), berth=berth
    )


@pytest.mark.slow
@settings(max_examples=40)
@given(seed=st.integers(0, 10_000), speed=st.floats(0, 20), off=st.floats(0, 360))
def test_b6_the_mirrored_berth_gives_the_mirrored_answer(seed: int, speed: float, off: float) -> None:
    """Berth +x bears 090, so wind from `off` either side of 000 or 180 is the mirrored wind."""
    stay = random_stay(np.random.default_rng(seed), buckling=False)
    this = made_fast(stay, 50.0)
    that = made_fast(mirrored(stay), 50.0)
    seen = blown(wind=(speed, off))
    other = blown(wind=(speed, (360.0 - off) % 360.0))
    one, two = this.balance(seen), that.balance(other)
    assert one.reason[0] == two.reason[0] == 0
    np.testing.assert_allclose(two.surge, -one.surge, atol=1e-4)
    np.testing.assert_allclose(two.sway, one.sway, atol=1e-6)
    np.testing.assert_allclose(two.yaw, -one.yaw, atol=1e-7)


def test_b6_a_symmetric_berth_under_a_symmetric_load_does_not_turn() -> None:
    stay = stay_with([spring(50.0, 900.0), spring(-50.0, 900.0)])
    moored = made_fast(stay, 80.0)
    found = balance(moored.mooring(blown(), loads=steady(moored, (0.0, 700.0, 0.0))))
    assert float(found.yaw[0]) == pytest.approx(0.0, abs=1e-12)


def draw(seed: int, n: int = 50):
    """A berth, its lengths (some slack, some parted) and n situations."""
    rng = np.random.default_rng(seed)
    stay = random_stay(rng, lines=int(rng.integers(6, 17)), fenders=int(rng.integers(2, 7)))
    length = made_fast(stay, rng.uniform(0, 150, len(stay.lines))).unstretched.copy()
    if rng.random() < 0.3:
        length += rng.uniform(0, 1.5, length.size)
    if rng.random() < 0.2:
        length[rng.integers(length.size)] = np.nan
    seen = blown(
        n,
        tide=rng.uniform(-1, 4, n),
        fwd=rng.uniform(4, 8, n),
        aft=rng.uniform(4, 8, n),
        wind=(rng.uniform(0, 25, n), rng.uniform(0, 360, n)),
        current=(rng.uniform(0, 1, n), rng.choice([90.0, 270.0], n) + rng.uniform(-10, 10, n)),
    )
    return compiled(stay, length), seen


def check_balanced(moored: Moored, seen) -> tuple[int, int]:
    """Forces by the exact ropes sum to nothing, nothing pulls or pushes the wrong way, and energy was
    lost."""
    mooring = moored.mooring(seen, exact=True)
    found = moored.balance(seen)
    known = found.reason == NoAnswer.ANSWERED
    pose = pose_of(moored, found, mooring.radius)
    forces = forces_at(mooring, pose)
    largest = np.maximum(forces.largest, 1.0)
    moment = forces.net[2] * mooring.radius
    left = np.maximum(np.abs(forces.net[:2]).max(axis=0), np.abs(moment) / 60.0)
    assert (left[known] <= 1e-6 * largest[known]).all()
    change = stored(mooring, pose) - stored(mooring, np.zeros_like(pose))
    given = mooring.loads.at(found.yaw)
    work = (given * np.array([found.surge, found.sway, found.yaw])).sum(axis=0)
    assert (change[known] - work[known] <= 1e-6 * largest[known] + 1e-6).all()
    return int(known.sum()), known.size


def stored(mooring: Mooring, pose: Floats) -> Floats:
    """(n,) kJ in lines and fenders, the lines by quadrature of the exact ropes."""
    assert isinstance(mooring.tensions, ExactTensions)
    made = mooring.tensions
    yaw = pose[2] / mooring.radius
    cos, sin = np.cos(yaw), np.sin(yaw)
    x = mooring.bollard_x - pose[0] - (mooring.ahead * cos - mooring.to_port * sin)
    y = mooring.bollard_y - pose[1] - (mooring.ahead * sin + mooring.to_port * cos)
    path = np.sqrt(x * x + y * y + mooring.rise_squared) + mooring.inboard
    slack = made.unstretched + made.arrangement.tail_length[:, None]
    stretch = np.maximum(path - slack, 0.0)
    node, weight = np.polynomial.legendre.leggauss(12)
    energy = np.zeros(pose.shape[1])
    pieces = 16
    for piece in range(pieces):
        for at, by in zip((node + 1) / 2, weight / 2, strict=True):
            part = slack + stretch * ((piece + at) / pieces)
            energy += (
                pull(made.arrangement.series, part, made.unstretched).tension * stretch * by / pieces
            ).sum(axis=0)
    side = side_distance(
        mooring.fenders, mooring.breadth, mooring.berth_x + pose[0], mooring.breadth / 2 + pose[1], yaw
    )
    return energy + work_done(mooring.fenders, side)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30))
def test_b7_forces_and_moment_sum_to_nothing(seed: int) -> None:
    answered, asked = check_balanced(*draw(seed))
    assert answered == asked


@pytest.mark.slow
def test_b7_ten_thousand_random_situations() -> None:
    answered, asked = np.array([check_balanced(*draw(1000 + seed)) for seed in range(200)]).sum(axis=0)
    assert asked == 10_000
    assert answered == asked


def root_of(mooring: Mooring, begin: Floats):
    """scipy on the very same equations, one instant."""

    def net(pose: Floats) -> Floats:
        return forces_at(mooring, pose[:, None]).net[:, 0]

    return optimize.root(net, begin, tol=1e-12)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(4))
def test_b7_agrees_with_scipy(block: int) -> None:
    """200 random berths, in four blocks: from near the answer scipy must stay at it, to 1e-6 of the largest
    load; its forces there must be nothing too."""
    for seed in range(block * 50, block * 50 + 50):
        moored, seen = draw(5000 + seed, n=1)
        mooring = moored.mooring(seen, exact=True)
        found = moored.balance(seen)
        assert found.reason[0] == 0
        ours = pose_of(moored, found, mooring.radius)[:, 0]
        theirs = root_of(mooring, ours + 1e-4)
        forces = forces_at(mooring.rows(np.zeros(2, dtype=int)), np.column_stack((ours, theirs.x)))
        if np.abs(forces.net[:, 1]).max() > 1e-6 * forces.largest[1]:
            continue  # it lost its way: nothing to compare with
        assert forces.largest[0] == pytest.approx(forces.largest[1], rel=1e-5)


@pytest.mark.slow
@settings(max_examples=60)
@example(seed=0, x=0.0, y=1.191e-06, turn=1.191e-06)
@given(seed=st.integers(0, 10_000), x=st.floats(-1, 1), y=st.floats(-0.4, 1), turn=st.floats(-1, 1))
def test_stiffness_is_the_slope_of_the_forces(seed: int, x: float, y: float, turn: float) -> None:
    """Along each axis, but for one along which a knee lies within the step: a line that comes taut, a fender
    that is just touched."""
    moored, seen = draw(seed, n=1)
    mooring = moored.mooring(seen, exact=True)
    still = replace(mooring, loads=Loads((), np.zeros((3, 1)), 0.0, 1.0))
    pose = np.array([[x], [y], [turn]])
    step = 1e-6
    xx, xy, xt, yy, yt, tt = forces_at(still, pose).stiffness[:, 0]
    analytic = np.array([[xx, xy, xt], [xy, yy, yt], [xt, yt, tt]])
    for axis, expected in zip(np.eye(3)[:, :, None], analytic, strict=True):
        before, after = forces_at(still, pose - step * axis), forces_at(still, pose + step * axis)
        if np.abs(after.stiffness - before.stiffness).max() > 1.0:
            continue
        slope = (before.net - after.net)[:, 0] / (2 * step)
        np.testing.assert_allclose(slope, expected, rtol=1e-4, atol=1e-3 * np.abs(analytic).max() + 0.01)


@pytest.mark.slow
@settings(max_examples=30)
@given(seed=st.integers(0, 10_000), x=st.floats(-1, 1), y=st.floats(-0.3, 1), turn=st.floats(-0.5, 0.5))
def test_work_along_a_path_is_the_energy_stored(seed: int, x: float, y: float, turn: float) -> None:
    moored, seen = draw(seed, n=1)
    mooring = moored.mooring(seen, exact=True)
    still = replace(mooring, loads=Loads((), np.zeros((3, 1)), 0.0, 1.0))
    end = np.array([x, y, turn])
    share = (np.arange(2000) + 0.5) / 2000
    many = still.rows(np.zeros(2000, dtype=int))
    work = -(forces_at(many, end[:, None] * share).net * end[:, None]).sum() / 2000
    gained = float((stored(still, end[:, None]) - stored(still, np.zeros((3, 1))))[0])
    assert work == pytest.approx(gained, rel=2e-4, abs=0.05)


def test_slack_and_off_the_fenders_she_stays_where_she_is() -> None:
    stay = stay_with(
        [Lead((110.0, -9.0, 12.0), (160.0, -15.0, 5.0)), Lead((10.0, -9.0, 12.0), (40.0, -15.0, 5.0))]
    )
    length = made_fast(stay, 10.0).unstretched + 2.0
    found = compiled(stay, length).balance(blown())
    assert (found.reason[0], found.surge[0], found.sway[0], found.yaw[0]) == (0, 0.0, 0.0, 0.0)


def test_she_leaves_slack_lines_until_they_come_taut() -> None:
    stay = stay_with([spring(50.0, 1000.0), spring(-50.0, 1000.0)])
    moored = compiled(stay, made_fast(stay, 0.0).unstretched + 3.0)
    found = balance(moored.mooring(blown(), loads=steady(moored, (0.0, 500.0, 0.0))))
    assert float(found.sway[0]) == pytest.approx(3.0 + 0.25 * 1.0003, abs=1e-6)


def test_nothing_holds_her_is_said_on_its_own_row() -> None:
    stay = stay_with([spring(50.0, 1000.0), spring(-50.0, 1000.0)])
    moored = compiled(stay, np.array([np.nan, np.nan]))
    loads = steady(moored, (0.0, 0.0, 0.0), (0.0, 100.0, 0.0), (0.0, -100.0, 0.0))
    found = balance(moored.mooring(blown(n=3), loads=loads))
    np.testing.assert_array_equal(found.reason, [0, NoAnswer.NOTHING_HOLDS, 0])
    assert np.isnan(found.sway[1])
    assert float(found.sway[2]) == pytest.approx(-100.0 / 4000.0, abs=1e-6)


@pytest.mark.parametrize("left", range(6))
def test_one_line_left(left: int) -> None:
    """In a calm she comes to rest where it is slack, and the fenders take a wind onto the berth; but a line
    that leads the wrong way keeps no ship on smooth fenders from sliding the other."""
    stay = random_stay(np.random.default_rng(4), lines=6, buckling=False)
    length = made_fast(stay, 40.0).unstretched.copy()
    length[np.arange(6) != left] = np.nan
    moored = compiled(stay, length)
    seen = blown(n=3, wind=(np.array([0.0, 15.0, 25.0]), 0.0))
    check_balanced(moored, seen)
    found = moored.balance(seen)
    assert found.reason[0] == NoAnswer.ANSWERED
    assert set(found.reason.tolist()) <= {NoAnswer.ANSWERED, NoAnswer.NOTHING_HOLDS}
    assert (found.reason == NoAnswer.ANSWERED).all() == (left not in (1, 4))


def test_an_unknown_tide_is_nan_on_its_own_row() -> None:
    moored, _ = draw(2)
    found = moored.balance(blown(n=3, tide=np.array([0.0, np.nan, 1.0]), wind=(8.0, 30.0)))
    np.testing.assert_array_equal(np.isnan(found.sway), [False, True, False])


@pytest.mark.parametrize("seed", range(10))
def test_order_of_the_rows_and_the_start_do_not_matter(seed: int) -> None:
    rng = np.random.default_rng(seed)
    stay = random_stay(rng, lines=10, fenders=5, buckling=False)
    moored = made_fast(stay, 60.0)
    n = 200
    t = np.arange(n) / n
    seen = blown(n, tide=2 * t, fwd=6 - t, wind=(5 + 10 * t, 360 * t), current=(0.3, 90.0))
    cold, warm = moored.balance(seen), moored.balance(seen, in_order=True)
    np.testing.assert_allclose(warm.sway, cold.sway, atol=1e-5)
    np.testing.assert_allclose(warm.surge, cold.surge, atol=2e-4)
    single = balance(moored.mooring(seen).rows(np.array([137])))
    np.testing.assert_allclose(single.sway[0], cold.sway[137], atol=1e-5)


@pytest.mark.slow
@settings(max_examples=30)
@given(seed=st.integers(0, 10_000), order=st.permutations(range(8)))
def test_order_of_the_lines_does_not_matter(seed: int, order: list[int]) -> None:
    stay = random_stay(np.random.default_rng(seed), lines=8, buckling=False)
    shuffled = replace(stay, lines=tuple(stay.lines[i] for i in order))
    seen = blown(wind=(14.0, 200.0))
    one, two = made_fast(stay, 50.0).balance(seen), made_fast(shuffled, 50.0).balance(seen)
    np.testing.assert_allclose(one.sway, two.sway, atol=1e-6)
    np.testing.assert_allclose(one.surge, two.surge, atol=1e-4)


def test_a_crest_is_left() -> None:
    """Two fenders past their peak, squarely pressed: she does not stay square, one of them gives way."""
    row = tuple(
        Fender(x, table=((0.0, 0.0), (0.2, 500.0), (0.6, 300.0), (0.8, 1500.0))) for x in (70.0, 130.0)
    )
    stay = stay_with([spring(50.0, 20.0), spring(-50.0, 20.0)], fenders=())
    moored = made_fast(replace(stay, berth=replace(stay.berth, fenders=row)), 0.0)
    begin = np.array([[0.0], [-0.4], [0.0]])
    found = balance(moored.mooring(blown(), loads=steady(moored, (0.0, -800.0, 0.0))), start=begin)
    assert found.reason[0] == 0
    mooring = moored.mooring(blown(), loads=steady(moored, (0.0, -800.0, 0.0)))
    forces = forces_at(mooring, pose_of(moored, found, mooring.radius))
    assert np.isnan(off_the_crest(forces.stiffness, forces.turning)).all()


def test_newton_step_solves_and_keeps_within_its_trust() -> None:
    rng = np.random.default_rng(1)
    root = rng.normal(size=(40, 3, 3))
    matrix = root @ root.transpose(0, 2, 1) + 0.5 * np.eye(3)
    net = rng.normal(size=(3, 40))
    turning = 0.05 * rng.normal(size=(3, 40))
    packed = matrix[:, [0, 0, 0, 1, 1, 2], [0, 1, 2, 1, 2, 2]].T
    step = newton_step(net, packed, turning, np.full(40, 1e9))
    matrix[:, :, 2] -= turning.T
    np.testing.assert_allclose(np.einsum("nij,jn->in", matrix, step), net, atol=1e-8)
    short = newton_step(net, packed, turning, np.full(40, 0.01))
    assert (np.sqrt((short**2).sum(axis=0)) <= 0.01 + 1e-12).all()


def test_newton_step_goes_downhill_where_the_matrix_does_not_say_so() -> None:
    packed = np.array([[2.0], [0.0], [0.0], [-3.0], [0.0], [1.0]])
    step = newton_step(np.ones((3, 1)), packed, np.zeros((3, 1)), np.array([10.0]))
    np.testing.assert_allclose(step[:, 0], [0.5, 1 / 3, 1.0])


def test_the_way_off_a_crest_is_the_most_negative_direction() -> None:
    rng = np.random.default_rng(2)
    packed = rng.normal(size=(6, 50))
    found = off_the_crest(packed, np.zeros((3, 50)))
    for i in range(50):
        value, vector = np.linalg.eigh([[packed[3, i], packed[4, i]], [packed[4, i], packed[5, i]]])
        assert np.isnan(found[0, i]) == (value[0] > 0)
        if value[0] < 0:
            assert abs(found[1:, i] @ vector[:, 0]) == pytest.approx(1.0)


@pytest.mark.parametrize("rope", [POLYESTER, WIRE, NYLON])
@pytest.mark.parametrize("tail", [None, Tail(NYLON, 11.0)])
def test_tabulated_tension_is_the_exact_one(rope, tail) -> None:
    arrangement = arranged(Lead((120.0, -5.0, 12.0), (190.0, -10.0, 5.0), rope, tail))
    length = np.array([40.0])
    path = 40.0 + (11.0 if tail else 0.0) + np.linspace(-1.0, 12.0, 5001)[None]
    tension, stiffness = tensions_of(arrangement, length)(path)
    exact, slope = ExactTensions(arrangement, length[:, None])(path)
    np.testing.assert_allclose(tension, exact, rtol=1e-8, atol=1e-9)
    np.testing.assert_allclose(stiffness, slope, rtol=1e-5, atol=1e-5)
    assert not tension[path < 40.0].any()


def test_a_rendering_line_keeps_its_load() -> None:
    arrangement = arranged(Lead((120.0, -5.0, 12.0), (190.0, -10.0, 5.0)))
    tension, stiffness = tensions_of(arrangement, np.array([40.0]), np.array([150.0]))(
        np.array([[41.0, 46.0]])
    )
    assert tension[0, 0] < 150.0 == tension[0, 1]
    assert stiffness[0, 1] == 0.0


def test_a_line_that_is_not_made_fast_pulls_nothing() -> None:
    arrangement = arranged(Lead((120.0, -5.0, 12.0), (190.0, -10.0, 5.0)))
    tension, _ = tensions_of(arrangement, np.array([np.nan]))(np.array([[50.0, 500.0]]))
    assert not tension.any()


def test_buckling_fenders_are_drawn() -> None:
    stays = [random_stay(np.random.default_rng(seed)) for seed in range(20)]
    assert any(f.table == BUCKLING for stay in stays for f in stay.berth.fenders)


def test_lengths_that_change_from_instant_to_instant() -> None:
    moored, _ = draw(4)
    seen = blown(n=2, wind=(9.0, 200.0))
    lengths = np.vstack((moored.unstretched, moored.unstretched + 0.2))
    together = balance(replace(moored.mooring(seen), tensions=tensions_of(moored.arrangement, lengths)))
    for row in range(2):
        alone = compiled(moored.stay, lengths[row]).balance(blown(wind=(9.0, 200.0)))
        np.testing.assert_allclose(together.sway[row], alone.sway[0], atol=1e-6)
