"""Assessing and alerting of 72 h at 1 Hz: 16 lines with every cause, in blocks of an hour, beside one
instant at a time."""

import time
from dataclasses import replace

import numpy as np

from alongside.alerts.assess import assess, changed_rows
from alongside.alerts.event_text import Describe, worded
from alongside.alerts.findings import Findings
from alongside.alerts.model import Event, Watchlist
from alongside.alerts.rule_model import Assessment, Rule
from alongside.alerts.rules import rules_of
from alongside.alerts.step import next_due, step
from alongside.mechanics.situation import situation_of
from alongside.mechanics.state import LineStates
from alongside.readings import Readings
from alongside.stay.model import Feed, Source, Stay
from tests.mechanics.stays import Lead, stay_with

HOURS = 72
BLOCK = 3600
LINES = 16
CHANNELS = ("tide", "draught_fwd", "draught_aft")


def run() -> list[tuple[str, float, str]]:
    stay = busy_stay()
    rules = rules_of(stay)
    blocks = [found(stay, hour) for hour in range(HOURS)]
    start = time.perf_counter()
    assessments = [assess(rules, block) for block in blocks]
    assessed = time.perf_counter() - start
    start = time.perf_counter()
    steps, events = follow(assessments, every=False)
    stepped = time.perf_counter() - start

    part = blocks[0]
    start = time.perf_counter()
    for row in range(0, BLOCK, 10):
        assess(rules, rows(part, row, row + 1))
    one_by_one = (time.perf_counter() - start) * 10.0 * HOURS
    start = time.perf_counter()
    follow(assessments[:2], every=True)
    each_second = (time.perf_counter() - start) / 2.0 * HOURS
    return [
        (f"assessing {HOURS} h at 1 Hz, {len(rules)} rules", assessed, "s"),
        ("  one instant at a time (from a tenth of an hour)", one_by_one / assessed, "times as long"),
        (f"alerts over the same {HOURS} h, {len(events)} events, {steps} steps", stepped, "s"),
        ("  a step", stepped / steps * 1e6, "us"),
        ("  stepping every second (from two hours)", each_second / stepped, "times as long"),
    ]


def busy_stay() -> Stay:
    """Two lines on every bollard, every winch with a brake."""
    leads = [
        Lead(
            (5.0 + 7.0 * k, -10.0, 15.0),
            (45.0 + 7.0 * k, -25.0, 4.0),
            winch=(5.0 + 7.0 * k, 0.0, 15.0),
            brake_kn=384.0,
            on=f"B{k // 2}",
            swl_kn=800.0,
        )
        for k in range(LINES)
    ]
    channels = tuple(Source(name, "XDR") for name in CHANNELS)
    return replace(stay_with(leads), feeds=(Feed("gauges", "serial:/dev/ttyUSB0?baud=4800", channels),))


def found(stay: Stay, hour: int) -> Findings:
    """An hour of a tide that takes every line through its stages, with the noise of a swell on it."""
    seconds = hour * BLOCK + np.arange(BLOCK, dtype=np.float64)
    noise = np.random.default_rng(hour).normal(0.0, 0.004, (BLOCK, LINES))
    height = 1.0 - np.cos(2.0 * np.pi * seconds / 44_712.0)
    share = 0.2 + np.linspace(0.2, 0.4, LINES) * height[:, np.newaxis] + noise
    numbers = dict.fromkeys(LineStates.__dataclass_fields__, share)
    numbers |= {"vertical_deg": 35.0 * share, "tension_kn": 320.0 * share}
    value = np.column_stack([height, np.full(BLOCK, 7.0), np.full(BLOCK, 8.0)])
    good = np.zeros((BLOCK, len(CHANNELS)), dtype=np.int8)
    readings = Readings(1_772_424_000.0 + seconds, CHANNELS, value, good, good, np.ones_like(value))
    return Findings(
        stay=stay,
        situation=situation_of(stay, readings),
        lines=LineStates(**numbers),
        readings=readings,
        bollard_kn=600.0 * share[:, ::2],
        bollards=tuple(stay.berth.bollards),
        brake_kn=np.full(LINES, 384.0),
    )


def rows(block: Findings, start: int, stop: int) -> Findings:
    cut = {name: getattr(block.lines, name)[start:stop] for name in LineStates.__dataclass_fields__}
    return replace(
        block,
        situation=block.situation.rows(start, stop),
        readings=block.readings.rows(start, stop),
        lines=LineStates(**cut),
        bollard_kn=block.bollard_kn[start:stop],
    )


def follow(assessments: list[Assessment], every: bool) -> tuple[int, list[Event]]:
    """Step through blocks; how many steps it took and what happened."""
    watch, steps, events = Watchlist(), 0, []
    for block in assessments:
        changes = np.append(changed_rows(block), block.time.size)
        row = 0
        while row < block.time.size:
            now = float(block.time[row])
            watch, changed = step(watch, block.at(row))
            watch, new = worded(watch, changed, words_of(block.rules))
            events += new
            steps += 1
            change = int(changes[np.searchsorted(changes, row, side="right")])
            due = int(np.searchsorted(block.time, next_due(watch, now)))
            row = row + 1 if every else min(change, max(due, row + 1))
    return steps, events


def words_of(rules: tuple[Rule, ...]) -> Describe:
    return lambda k, stage, _past: f"{rules[k].cause} {stage.word}"
