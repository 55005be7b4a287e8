"""Stays watched by hand: recorded ones whose gauges are taken away, thinned to readings with noise."""

from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from typing import Final

import numpy as np

from alongside.actions import Action, ReadByHand
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.cycle.plausibility.alternative import spread_ends
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold
from alongside.mechanics.keel import under_keel_m
from alongside.mechanics.situation import Situation
from alongside.readings import Floats, Readings
from alongside.stay.model import Stay
from tests.cycle.plausibility.heard import example, readings_of

STEP: Final = 60
SEEN: Final = ("tide", "draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd", "heel")

HALF: Final = 0.005
"""Half a per cent of stretch: no screen shows less."""


@cache
def recorded(name: str) -> tuple[Stay, Readings]:
    """Return an example and its readings a minute apart."""
    stay, log = example(name)
    readings = readings_of(stay, log)
    first = int(np.flatnonzero((readings.quality == 0).all(axis=1))[0])
    rows = np.arange(first, len(readings), STEP)
    parts = (getattr(readings, each)[rows] for each in ("value", "quality", "reason", "age"))
    return stay, Readings(readings.time[rows], readings.channels, *parts)


def without_gauges(stay: Stay, readings: Readings) -> tuple[Stay, Readings]:
    """Return the same stay with no gauge of tide, draught or heel."""
    feeds = tuple(
        replace(feed, channels=tuple(each for each in feed.channels if each.channel not in SEEN))
        for feed in stay.feeds
    )
    kept = [at for at, name in enumerate(readings.channels) if name not in SEEN]
    parts = (getattr(readings, each)[:, kept] for each in ("value", "quality", "reason", "age"))
    names = tuple(readings.channels[at] for at in kept)
    return replace(stay, feeds=feeds), Readings(readings.time, names, *parts)


def run(stay: Stay, readings: Readings, acts: dict[int, list[Action]]) -> tuple[list[Block], Memory]:
    """Return the blocks of a watch, cut where something was done."""
    basis, memory, blocks = Basis.of(stay), Memory.at_start(stay), []
    edges = sorted({0, len(readings), *acts})
    for start, stop in pairwise(edges):
        memory, block = advance(basis, memory, readings.rows(start, stop), acts.get(start, []))
        blocks.append(block)
    return blocks, memory


def read_every(readings: Readings, hours: float, sigma: float, seed: int) -> dict[int, list[Action]]:
    """Return readings of all levels by row, with noise."""
    rng = np.random.default_rng(seed)
    acts: dict[int, list[Action]] = {}
    for row in range(0, len(readings), int(hours * 3600.0 / STEP)):
        values = []
        for name in SEEN:
            value = float(readings.column(name)[row])
            if np.isfinite(value):
                values.append((name, value + float(rng.normal(0.0, 0.1 if name == "heel" else sigma))))
        acts[row] = [ReadByHand(tuple(values), float(readings.time[row]), "quay", by="TK")]
    return acts


@dataclass(frozen=True)
class Share:
    """Of all instants, how many lie inside the bands; and how wide these are in the mean."""

    under_keel: float
    stretch: float
    width_m: float


def inside(name: str, hours: float = 2.0, sigma: float = 0.025, seed: int = 1) -> Share:
    """Return how well a watch by hand keeps to what the gauges of the recorded stay measured."""
    stay, readings = recorded(name)
    true_blocks, _ = run(stay, readings, {row: [] for row in range(0, len(readings), 120)})
    blind, seen = without_gauges(stay, readings)
    acts = read_every(readings, hours, sigma, seed)
    blocks, _ = run(blind, seen, acts)
    basis = Basis.of(blind)

    def ends(block: Block) -> list[tuple[Floats, Floats]]:
        found = []
        for situation in (block.situation, *spread_ends(block.readings, block.situation, blind.ship.breadth)):
            held = hold(basis.arrangement, situation, block.hold.lines.unstretched_m)
            found.append((_keel(blind, situation), held.lines.stretch_share))
        return found

    bands = [ends(block) for block in blocks]
    count = range(len(bands[0]))
    keel = [np.concatenate([each[at][0] for each in bands]) for at in count]
    stretch = [np.concatenate([each[at][1] for each in bands]) for at in count]
    true_keel = np.concatenate([_keel(stay, block.situation) for block in true_blocks])
    true_stretch = np.concatenate([block.hold.lines.stretch_share for block in true_blocks])
    worst = np.nanargmax(np.nan_to_num(true_stretch, nan=-1.0), axis=1)
    at = np.arange(len(readings))
    low, high = (np.minimum.reduce(keel), np.maximum.reduce(keel))
    least = np.minimum.reduce([each[at, worst] for each in stretch])
    most = np.maximum.reduce([each[at, worst] for each in stretch])
    truth = true_stretch[at, worst]
    known = ~np.isnan(truth)
    ok = (least[known] - HALF <= truth[known]) & (truth[known] <= most[known] + HALF)
    keel_ok = (low <= true_keel) & (true_keel <= high)
    return Share(float(keel_ok.mean()), float(ok.mean()), float(np.nanmean(high - low)))


def _keel(stay: Stay, here: Situation) -> Floats:
    depth = stay.berth.charted_depth
    assert depth is not None
    heel = np.nan_to_num(here.heel_deg)
    return np.asarray(under_keel_m(stay.ship, depth, here.tide, here.draught_fwd, here.draught_aft, heel))
