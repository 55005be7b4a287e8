"""Main rope and tail in series: hand values, and scipy's root finder on the same equations."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from alongside.mechanics.cells import Part
from alongside.mechanics.rope import RopeCurve, load_fraction, rope_curve
from alongside.mechanics.series import Series, pull, series_of
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, straight
from tests.mechanics.test_rope import rising


def slope_of(curve: RopeCurve, at_pct: np.ndarray) -> np.ndarray:
    """By scipy within the rows, the curve's own beyond them."""
    last = curve.elongation_pct[-1]
    within = PchipInterpolator(curve.elongation_pct, curve.load)(np.minimum(at_pct, last), 1)
    return np.where(at_pct < last, within, curve.slope[-1])


def line(ea_kn: float) -> Part:
    """A straight part that breaks far above what these tests put on it."""
    return Part(rope_curve(straight("part", 5000.0, ea_kn).curve), 5000.0)


def test_wire_with_tail() -> None:
    """S1 (ours): wire EA 66 000 kN, 40 m, tail EA 4900 kN, 11 m, at 550 kN: 0.3333 + 1.2347 = 1.5680 m and
    350.76 kN/m."""
    tail = Part(rope_curve(straight("tail", 5000.0, 4900.0).curve), 5000.0, 11.0)
    series = series_of([line(66e3)], [tail])
    stretch = 550.0 * (40.0 / 66e3 + 11.0 / 4900.0)
    found = pull(series, np.array([[51.0 + stretch]]), np.array([[40.0]]))
    assert found.tension[0, 0] == pytest.approx(550.0, abs=1e-8)  # kN
    assert found.main_strain[0, 0] * 40.0 == pytest.approx(0.3333, abs=5e-5)  # m
    assert found.tail_stretch[0, 0] == pytest.approx(1.2347, abs=5e-5)  # m
    assert found.main_strain[0, 0] * 40.0 + found.tail_stretch[0, 0] == pytest.approx(1.5680, abs=5e-5)  # m
    assert found.stiffness[0, 0] == pytest.approx(350.76, abs=5e-3)  # kN/m


def test_parallel_lines_share_by_length() -> None:
    """S2 (ours): 30 m and 60 m, equal EA, 900 kN together: 600 and 300 kN."""
    ea = 20e3
    moved = 900.0 / (ea / 30.0 + ea / 60.0)
    series = series_of([line(ea), line(ea)], [None, None])
    length = np.array([[30.0], [60.0]])
    assert pull(series, length + moved, length).tension[:, 0] == pytest.approx([600.0, 300.0], abs=1e-8)


curves = st.lists(st.tuples(st.floats(0.2, 8.0), st.floats(0.02, 0.5)), min_size=1, max_size=7)


LEVEL_END = [(1.0, 0.5), (0.25, 0.5), (1.0, 0.5)]
"""Steps whose cubic ends level."""


@pytest.mark.slow
@example(LEVEL_END, LEVEL_END, 100.0, 100.0, 3.0, 5.0, 0.25)
@example(LEVEL_END, LEVEL_END, 100.0, 100.0, 3.0, 5.0, 0.0225)
@given(
    curves,
    curves,
    st.floats(100.0, 1500.0),
    st.floats(100.0, 1500.0),
    st.floats(3.0, 25.0),
    st.floats(5.0, 120.0),
    st.floats(1e-4, 0.3),
)
def test_any_two_parts_against_scipy(
    main_steps: list[tuple[float, float]],
    tail_steps: list[tuple[float, float]],
    main_mbl: float,
    tail_mbl: float,
    tail_length: float,
    length: float,
    strain: float,
) -> None:
    main, tail = rising(main_steps), rising(tail_steps)
    series = series_of([Part(rope_curve(main), main_mbl)], [Part(rope_curve(tail), tail_mbl, tail_length)])
    path = (length + tail_length) * (1.0 + strain)
    stretch = path - length - tail_length
    found = pull(series, np.array([[path]]), np.array([[length]]))

    def difference(u: float) -> float:
        return main_mbl * by_scipy(main, u) - tail_mbl * by_scipy(tail, (stretch - length * u) / tail_length)

    u = brentq(difference, 0.0, stretch / length, xtol=1e-17, rtol=1e-15, maxiter=500)
    expected = main_mbl * by_scipy(main, u)
    assert found.tension[0, 0] == pytest.approx(expected, rel=1e-9, abs=1e-9)  # kN
    # Where both curves are level a strain is known no better than loads can be told apart there: each part
    # carries the tension at the strain found for it.
    strains = found.main_strain[0, 0], found.tail_stretch[0, 0] / tail_length
    assert length * strains[0] + tail_length * strains[1] == pytest.approx(stretch, rel=1e-9, abs=1e-12)
    assert main_mbl * by_scipy(main, strains[0]) == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert tail_mbl * by_scipy(tail, strains[1]) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def by_scipy(rows: list[tuple[float, float]], strain: float) -> float:
    """Load fraction at a strain, continued with the slope of the last chord or of the curve's end, whichever
    is larger."""
    elongation, load = np.array(rows).T
    curve = PchipInterpolator(elongation, load)
    chord = (load[-1] - load[-2]) / (elongation[-1] - elongation[-2])
    beyond = max(100.0 * strain - elongation[-1], 0.0)
    slope = max(chord, float(curve(elongation[-1], 1)))
    return float(curve(min(100.0 * strain, elongation[-1])) + beyond * slope)


ROPES = [(POLYESTER, NYLON), (WIRE, NYLON), (POLYESTER, None), (POLYESTER, POLYESTER), (WIRE, None)]


def mixed(n: int) -> tuple[Series, np.ndarray, np.ndarray]:
    """Five lines of different make and n paths from slack to far beyond breaking, with their lengths."""
    series = series_of(
        [Part(rope_curve(main.curve), main.mbl_kn) for main, _ in ROPES],
        [Part(rope_curve(tail.curve), tail.mbl_kn, 11.0) if tail else None for _, tail in ROPES],
    )
    length = np.array([[30.0], [45.0], [25.0], [60.0], [80.0]])
    total = length + series.tail_length[:, None]
    return series, total * np.linspace(0.97, 1.5, n), length


def test_equal_tension_and_lengths_that_add_everywhere() -> None:
    series, path, length = mixed(2001)
    found = pull(series, path, length)
    stretch = np.maximum(path - length - series.tail_length[:, None], 0.0)
    assert found.main_strain * length + found.tail_stretch == pytest.approx(stretch, abs=1e-11)  # m
    for i, (main, tail) in enumerate(ROPES):
        for row in range(0, path.shape[1], 50):
            carried = main.mbl_kn * by_scipy(list(main.curve), found.main_strain[i, row])
            assert found.tension[i, row] == pytest.approx(carried, rel=1e-11, abs=1e-11)  # kN
            if tail:
                carried = tail.mbl_kn * by_scipy(list(tail.curve), found.tail_stretch[i, row] / 11.0)
                assert found.tension[i, row] == pytest.approx(carried, rel=1e-10, abs=1e-10)  # kN


def test_stiffness_is_the_derivative_of_tension() -> None:
    series, path, length = mixed(997)
    step = 1e-6
    ahead, behind = (pull(series, path + d, length).tension for d in (step, -step))
    assert pull(series, path, length).stiffness == pytest.approx(
        (ahead - behind) / (2 * step), rel=2e-5, abs=2e-4
    )


def test_slack_carries_nothing_and_resists_nothing() -> None:
    series, _, length = mixed(1)
    found = pull(series, length + series.tail_length[:, None] - 0.01, length)
    assert not found.tension.any()
    assert not found.stiffness.any()
    assert not found.main_strain.any()


def test_one_unknown_path_leaves_all_others_alone() -> None:
    series, path, length = mixed(50)
    whole = pull(series, path, length).tension
    path[1, 7] = np.nan
    found = pull(series, path, length).tension
    assert np.isnan(found[1, 7])
    found[1, 7] = whole[1, 7]
    assert np.array_equal(found, whole)


def test_lengths_that_change_with_time_answer_as_constant_ones() -> None:
    series, path, length = mixed(64)
    assert np.array_equal(
        pull(series, path, length).tension,
        pull(series, path, np.repeat(length, 64, axis=1)).tension,
    )


def test_a_curve_that_ends_level_carries_more_beyond_its_end() -> None:
    """Beyond 2 % both parts go on with the last chord, 5 kN a per cent: main rope 30 m, tail 10 m."""
    flat = rope_curve([(0.0, 0.0), (1.0, 0.5), (2.0, 0.55)])
    series = series_of([Part(flat, 100.0)], [Part(flat, 100.0, 10.0)])
    found = pull(series, 40.0 * np.array([[1.021, 1.03, 1.50]]), np.array([[30.0]]))
    assert found.tension[0] == pytest.approx([55.5, 60.0, 295.0], rel=1e-12)  # kN
    assert found.stiffness[0] == pytest.approx(np.full(3, 500.0 / 40.0), rel=1e-9)  # kN/m
    assert found.main_strain[0] == pytest.approx([0.021, 0.03, 0.50], rel=1e-9)


def test_sudden_bends_and_extreme_proportions() -> None:
    """Curves whose steps span decades, tails far stiffer or softer than the main rope: both parts carry the
    tension to within the rounding of the path, times their stiffness."""
    rng = np.random.default_rng(11)

    def sudden() -> RopeCurve:
        steps = rng.integers(1, 11)
        parts = 10.0 ** rng.uniform([-1.5, -3.0], [1.0, -0.2], (steps, 2))
        return rope_curve(rising([(float(e), float(p)) for e, p in parts]))

    for _ in range(30):
        mains = [Part(sudden(), rng.uniform(50, 2000)) for _ in range(8)]
        tails = [Part(sudden(), rng.uniform(50, 2000), rng.uniform(2, 25)) for _ in range(8)]
        series = series_of(mains, tails)
        length = 10.0 ** rng.uniform(0.0, 2.5, (8, 1))
        path = (length + series.tail_length[:, None]) * (1.0 + 10.0 ** rng.uniform(-5, -0.3, (8, 32)))
        found = pull(series, path, length)
        for i, (main, tail) in enumerate(zip(mains, tails, strict=True)):
            for part, strain in ((main, found.main_strain[i]), (tail, found.tail_stretch[i] / tail.length)):
                carried = part.mbl_kn * load_fraction(part.curve, 100.0 * strain)
                slope = part.mbl_kn * slope_of(part.curve, 100.0 * strain) * 100.0
                rounding = 2e-14 * slope * path[i] / (part.length or length[i, 0]) + 1e-12 * carried
                assert (np.abs(carried - found.tension[i]) <= rounding).all()
