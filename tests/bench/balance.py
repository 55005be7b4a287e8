"""How long the balance takes: sixteen lines and six fenders in wind and current, in batches; against a
general root finder one instant at a time on the same equations; how far both agree; ten thousand random
situations; the polar."""

from collections.abc import Callable
from dataclasses import replace
from time import perf_counter, process_time

import numpy as np
from scipy import optimize

from alongside.mechanics.balance import balance
from alongside.mechanics.balance_forces import Mooring, forces_at
from alongside.mechanics.holding import holding_power, weakest_from
from alongside.mechanics.holding_around import weakest_around
from alongside.mechanics.situation import Situation
from alongside.mechanics.usage import Criteria
from alongside.stay.model import CurrentCoefficients, Fender, Stay, Tail, WindAreas
from tests.mechanics.moored import Moored, blown, compiled, made_fast, random_stay
from tests.mechanics.stays import NYLON, Lead, stay_with

BATCHES = (256, 512, 1024, 2048)
REPEATS = 10
ONE_BY_ONE = 200
FENDERS = (52.0, 71.0, 90.0, 110.0, 129.0, 148.0)
LEADS = (
    (58, 35, 18),
    (57, 30, 18),
    (50, 6, 22),
    (48, -4, 22),
    (52, -30, 3),
    (50, -35, 3),
    (56, 45, 12),
    (55, 50, 12),
)
"""From the middle to one end of the ship: fairlead m from amidships, bollard m beyond, m inland."""


def run() -> list[tuple[str, float, str]]:
    """Figures as (what, figure, unit); times are processor time, the least of several."""
    moored = made_fast(sixteen_lines(), 60.0)
    figures: list[tuple[str, float, str]] = []
    each = np.inf
    for n in BATCHES:
        warm, ordered, cold = per_instant(moored, n)
        figures += [
            (f"one instant of 16 lines and 6 fenders, {n} from the pose before", warm, "us"),
            (f"the same, {n} in order of time", ordered, "us"),
            (f"the same, {n} with no start at all", cold, "us"),
        ]
        each = min(each, ordered)
    plain, worst = one_at_a_time(moored)
    fitted, straight = hour_of_cycles(moored)
    around, by_minute = hour_around(moored)
    figures += [
        (f"scipy.optimize.root, one at a time ({ONE_BY_ONE})", plain, "us"),
        ("scipy against batches", plain / each, "times"),
        ("largest difference of loads between both, of the largest load", worst * 1e6, "1e-6"),
        ("an hour at 1 Hz in a swell, begun by a fit", fitted * 1e3, "ms"),
        ("begun in place against that", straight / fitted, "times"),
        ("holding power, 72 directions", least_time(lambda: polar(moored)) * 1e3, "ms"),
        ("what is held from the wind, an hour of full minutes", least_time(lambda: hour(moored)) * 1e3, "ms"),
        ("the same about the wind", around * 1e3, "ms"),
        ("each full minute by itself against that", by_minute / around, "times"),
        ("10,000 random situations solved", float(random_solved()), ""),
    ]
    return figures


def sixteen_lines() -> Stay:
    """Eight lines from either end, all with tails, starboard side to."""
    leads = [
        Lead(
            (60.0 + end * out, -9.0, 12.0),
            (100.0 + end * (out + on), -1.0 - back, 5.0),
            tail=Tail(NYLON, 11.0) if out + on > 25 and abs(on) > 10 else None,
        )
        for end in (1, -1)
        for out, on, back in LEADS
    ]
    stay = stay_with(leads, fenders=())
    row = tuple(Fender(x, stiffness_kn_per_m=2000.0) for x in FENDERS)
    wind = WindAreas(350.0, 1300.0, 6.0, 62.0, "cargo_loaded")
    ship = replace(stay.ship, wind=wind, current=CurrentCoefficients("rule"))
    return replace(stay, ship=ship, berth=replace(stay.berth, fenders=row))


def blowing(n: int) -> Situation:
    """n instants ten seconds apart: tide, cargo, wind that gusts and veers, a slack current."""
    t = np.arange(n) * 10.0
    wind = 10.0 + 3.0 * np.sin(t / 60.0), 180.0 + 60.0 * np.sin(t / 900.0)
    return blown(n, 1.5 * np.sin(t / 7000.0), 6.0 - t / 4e4, 6.3 - t / 5e4, wind, (0.3, 90.0))


def least_time(work: Callable[[], object]) -> float:
    times = []
    for _ in range(REPEATS):
        begin = process_time()
        work()
        times.append(process_time() - begin)
    return min(times)


def per_instant(moored: Moored, n: int) -> tuple[float, float, float]:
    """us an instant: all from the pose of the first, in order of time, without a start."""
    mooring = moored.mooring(blowing(n))
    first = balance(mooring.rows(np.array([0])))
    start = np.repeat([first.surge, first.sway, first.yaw], n, axis=1)
    ways = (
        lambda: balance(mooring, start=start),
        lambda: balance(mooring, in_order=True),
        lambda: balance(mooring),
    )
    warm, ordered, cold = (least_time(way) / n * 1e6 for way in ways)
    return warm, ordered, cold


def one_at_a_time(moored: Moored) -> tuple[float, float]:
    """us an instant, and the largest difference of the largest load, as a share of it."""
    mooring = moored.mooring(blowing(2048))
    found = balance(mooring, in_order=True)
    rows = np.linspace(0, 2047, ONE_BY_ONE).astype(int)
    singles = [mooring.rows(np.array([row])) for row in rows]
    begin = perf_counter()
    places = [root(single) for single in singles]
    took = perf_counter() - begin
    worst = 0.0
    for row, single, place in zip(rows, singles, places, strict=True):
        ours = np.array([found.surge[row], found.sway[row], found.yaw[row] * mooring.radius])
        both = forces_at(single.rows(np.zeros(2, dtype=int)), np.column_stack((ours, place)))
        worst = max(worst, abs(both.largest[0] - both.largest[1]) / both.largest[0])
    return took / ONE_BY_ONE * 1e6, worst


def root(single: Mooring) -> np.ndarray:
    place: np.ndarray = optimize.root(
        lambda pose: forces_at(single, pose[:, None]).net[:, 0], np.zeros(3), tol=1e-10
    ).x
    return place


def polar(moored: Moored) -> None:
    holding_power(moored.arrangement, blown(), moored.unstretched)


def hour(moored: Moored) -> None:
    """What a replay asks of an hour: one direction at each of 60 instants."""
    seen = blowing(60)
    weakest_from(moored.arrangement, seen, moored.unstretched, seen.wind_from)


def hour_around(moored: Moored) -> tuple[float, float]:
    """Seconds for what is held about the wind at 60 full minutes, at once and each by itself."""
    seen = blown(60, 1.5 * np.sin(np.arange(60) / 120.0), 6.0, 6.3, (10.0, 180.0), (0.3, 90.0))
    minutes = [seen.at(np.array([row])) for row in range(60)]

    def held(what: Situation) -> None:
        weakest_around(moored.arrangement, what, moored.unstretched, Criteria())

    return least_time(lambda: held(seen)), least_time(lambda: [held(minute) for minute in minutes])


def hour_of_cycles(moored: Moored) -> tuple[float, float]:
    """Seconds for the balance of an hour at 1 Hz, and with every instant begun in place."""
    n = np.arange(3600)
    swell = 0.1 * np.sin(n * 2.0 * np.pi / 7.3)
    wind = 10.0 + 3.0 * np.sin(n / 60.0), 180.0 + 60.0 * np.sin(n / 900.0)
    seen = blown(3600, 1.5 * np.sin(n / 7000.0) + swell, 6.0 + swell, 6.3 + swell, wind, (0.3, 90.0))
    mooring = moored.mooring(seen)
    return least_time(lambda: balance(mooring, in_order=True)), least_time(lambda: balance(mooring))


def random_solved() -> int:
    """Of 200 random berths in 50 random situations each; some lines slack, some parted."""
    solved = 0
    for seed in range(200):
        rng = np.random.default_rng(seed)
        stay = random_stay(rng, lines=int(rng.integers(6, 17)), fenders=int(rng.integers(2, 7)))
        length = made_fast(stay, rng.uniform(0, 150, len(stay.lines))).unstretched.copy()
        length += rng.uniform(0, 1.5, length.size) * (rng.random() < 0.3)
        if rng.random() < 0.2:
            length[rng.integers(length.size)] = np.nan
        n = 50
        wind = rng.uniform(0, 25, n), rng.uniform(0, 360, n)
        current = rng.uniform(0, 1, n), rng.choice([90.0, 270.0], n)
        seen = blown(n, rng.uniform(-1, 4, n), rng.uniform(4, 8, n), rng.uniform(4, 8, n), wind, current)
        solved += int((compiled(stay, length).balance(seen).reason == 0).sum())
    return solved
