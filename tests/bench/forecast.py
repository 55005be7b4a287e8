"""Hours ahead: tide, its hindcast, trends and tending rounds."""

import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import ArrayLike

from alongside.cli.examples import example_log, example_stay
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.expected.trend import theil_sen
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.present import Present
from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.rounds_against_margin import rounds_against_margin
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.tide.harmonics import harmonics_of, height_about_mean
from alongside.forecast.tide.residual import Hindcast, faded, hindcast, learnt_band, residual_now
from alongside.mechanics.hold import hold
from alongside.readings import Floats, Readings
from alongside.runtime.log_moment import present_in_log
from alongside.stay.model import Constituent
from alongside.stay.read import read_stay
from tests.forecast.tide.water import predicted, station, table, vlissingen_residual

HOUR = 3600.0
LEADS = np.array([1, 3, 6, 9, 12]) * HOUR
Figure = tuple[str, float, str]


def run() -> Iterator[Figure]:
    yield from tide()
    yield from hindcast_of_vlissingen()
    yield from trends()
    yield from rounds()
    yield from ahead()


def best_ms(work: Callable[[], object], times: int = 5) -> float:
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken) * 1e3


def tide() -> Iterator[Figure]:
    constants = station("Vlissingen").constituents
    minutes = 1.6e9 + 60.0 * np.arange(72 * 60 + 1)
    scattered = minutes + np.arange(minutes.size) % 7 / 10.0
    yield "72 h of tide at 1 min, 94 constituents", best_ms(lambda: _predict(constants, minutes)), "ms"
    yield "the same at uneven instants", best_ms(lambda: _predict(constants, scattered)), "ms"
    few = minutes[:200]
    one_by_one = best_ms(lambda: [_predict(constants, [at]) for at in few], 1) * minutes.size / few.size
    yield "the same one instant at a time", one_by_one, "ms"
    for name, file, datum in (
        ("Hoek van Holland", "hoekvanholland_official_pred_202003.csv", "NAP"),
        ("Vlissingen", "vlissingen_official_pred_201901.csv", "NAP"),
        ("Fort Pulaski", "noaa_official_hourly_20210101.csv", "STND"),
        ("Wilmington", "noaa_official_hourly_20210101.csv", "STND"),
    ):
        official = table(file, name if datum == "STND" else None, datum)
        off = np.abs(official - predicted(name, official.time)).max()
        yield f"{name}: farthest from the official prediction", 1e3 * off, "mm"


def _predict(constants: Sequence[Constituent], times: ArrayLike) -> Floats:
    return height_about_mean(harmonics_of(constants), times)


def hindcast_of_vlissingen() -> Iterator[Figure]:
    at, residual = vlissingen_residual()
    yield "hindcast of 21 days at 10 min, 5 leads", best_ms(lambda: hindcast(at, residual, LEADS), 2), "ms"
    past = hindcast(at, residual, LEADS)
    start = np.array([residual_now(at, residual, now) for now in at])[:, None]
    later = past.error + faded(start, LEADS)
    level = np.full(later.shape, np.nan)
    observed = table("vlissingen_obs_201801.csv")
    rows = {instant: row for row, instant in enumerate(observed.time)}
    for k, lead in enumerate(LEADS):
        to = np.array([rows.get(instant + lead, -1) for instant in observed.time])
        level[:, k] = np.where(to >= 0, observed.metres[to] - observed.metres, np.nan)
    inside = _inside_learnt_band(past)
    for k, lead in enumerate(LEADS / HOUR):
        for what, error in (
            ("forecast", past.error),
            ("astronomy alone", later),
            ("the residual kept as it is", later - start),
            ("the level kept as it is", level),
        ):
            yield f"lead {lead:2.0f} h: rms of {what}", float(np.sqrt(np.nanmean(error[:, k] ** 2))), "m"
        yield f"lead {lead:2.0f} h: held by the band learnt up to then", 100.0 * inside[k], "%"


def _inside_learnt_band(past: Hindcast) -> Floats:
    held = np.full(past.error.shape, np.nan)
    for now in range(0, len(held), 6):
        half = learnt_band(past.known_at(past.issued[now])).at(LEADS)
        error = past.error[now]
        held[now] = np.where(np.isnan(error), np.nan, np.abs(error) <= half)
    return np.asarray(np.nanmean(held, axis=0))


def trends() -> Iterator[Figure]:
    x = np.arange(20_000.0)
    yield "robust slope of 20 000 points", best_ms(lambda: theil_sen(x, np.sin(x))), "ms"


def rounds() -> Iterator[Figure]:
    """16 lines over three days at 5 min: a tide of 5 m and a discharge of 4 m."""
    rng = np.random.default_rng(1)
    at = 300.0 * np.arange(865)
    height = 2.5 - 2.5 * np.cos(2.0 * np.pi * at / 44_700.0) + 4.0 * at / at[-1]
    path = np.hypot(rng.uniform(12.0, 60.0, 16), rng.uniform(3.0, 9.0, 16) + height[:, None])
    given = at, path / 1.10, path / 1.003, path[0] / 1.03
    crew = Crew(minutes_per_line=10.0, hands=4)
    yield "rounds of 16 lines, 865 samples", best_ms(lambda: plan_rounds(*given)), "ms"
    yield "  rounds in that plan", float(len(plan_rounds(*given).rounds)), ""
    yield "rounds with four hands at 10 min a line", best_ms(lambda: plan_rounds(*given, crew)), "ms"
    yield "  and 2 h between rounds", best_ms(lambda: plan_rounds(*given, Crew(10.0, 4, gap_s=7200.0))), "ms"
    yield (
        "  and no move over 2 m",
        best_ms(lambda: plan_rounds(*given, Crew(10.0, 4, largest_move=2.0))),
        "ms",
    )
    limited = Crew(largest_move=0.4)
    yield (
        "rounds where no move is over 0.40 m, which binds",
        best_ms(lambda: plan_rounds(*given, limited), 1),
        "ms",
    )
    yield "rounds against margin, three choices", best_ms(lambda: rounds_against_margin(*given), 2), "ms"


def ahead() -> Iterator[Figure]:
    """The forecast of the first example with two more lines, three hours into its log: 12 h at 5 min, 50
    members."""
    for balance in (False, True):
        basis, present = _sixteen_lines(balance)
        basis, how = basis, "in balance" if balance else "held in place"
        yield f"forecast of 16 lines {how}", best_ms(partial(look_ahead, basis, present, tend=False)), "ms"
        yield "  with rounds, verified, and choices", best_ms(partial(look_ahead, basis, present)), "ms"
    expected = expected_situations(basis.stay, present, Far.of(basis.stay).times(present.time))
    few, one = expected.situation().rows(0, 100), basis.arrangement
    whole = best_ms(lambda: hold(one, expected.situation(), present.unstretched), 3)
    singly = best_ms(lambda: [hold(one, few.rows(k, k + 1), present.unstretched) for k in range(100)], 1)
    times = singly * len(expected.situation()) / 100.0 / whole
    yield "  its mechanics instant by instant, times as long", times, "x"
    for busy in (False, True):
        worst = _worst_cycle_ms(basis, present, busy)
        yield f"longest of 60 cycles {'while forecasts are worked out' if busy else 'alone'}", worst, "ms"


def _sixteen_lines(balance: bool) -> tuple[Basis, Present]:
    stay = read_stay(example_stay("coal_berth"))
    more = tuple(replace(stay.lines[k], id=f"{k + 15}") for k in (4, 10))
    basis = Basis.of(replace(stay, lines=stay.lines + more, balance=balance))
    return basis, present_in_log(basis, example_log("coal_berth"), stay.lines[0].made_fast.at + 5 * HOUR)


def _worst_cycle_ms(basis: Basis, present: Present, busy: bool) -> float:
    """A cycle each tenth of a second, beside a thread that works out one forecast after the other."""
    stopping = threading.Event()

    def work() -> None:
        while not stopping.is_set():
            look_ahead(basis, present)

    thread = threading.Thread(target=work, daemon=True)
    if busy:
        thread.start()
    memory, worst = Memory.at_start(basis.stay), 0.0
    for k in range(60):
        value = np.array([[present.tide, present.draught_fwd, present.draught_aft]])
        good = np.zeros((1, 3), dtype=np.int8)
        channels = ("tide", "draught_fwd", "draught_aft")
        read = Readings(np.array([present.time + k]), channels, value, good, good, np.zeros((1, 3)))
        begin = time.perf_counter()
        memory, _ = advance(basis, memory, read)
        worst = max(worst, time.perf_counter() - begin) if k else worst
        time.sleep(0.1)
    stopping.set()
    if busy:
        thread.join()
    return worst * 1e3
