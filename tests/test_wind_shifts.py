"""Wind shifts and squalls on the examples, by the second, through the whole program: the alarm on holding
comes within 6 s of log time of the 30 s mean passing its limit, and not before."""

import gzip
import json
import re
from functools import reduce
from operator import xor
from pathlib import Path

import numpy as np
import pytest

from alongside.cli.headless import replay_headless
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import holding_power
from alongside.mechanics.situation import Situation
from alongside.stay.heading import ship_heading
from alongside.stay.read import read_stay
from alongside.units import unix_time

ROOT = Path(__file__).parents[1]
BEFORE_S, AFTER_S = 1800.0, 240.0
ALARM = 0.90
"""The default limit; common practice, no source."""
STRONG = 0.96
"""Of what the lines hold from off the berth: over the alarm, and no brake renders."""


def sentence(body: str) -> str:
    return f"${body}*{reduce(xor, body.encode()):02X}"


def time_of(line: str) -> float:
    """Time of a line, which each of the examples' has."""
    return float(re.search(r"c:(\d+)", line).group(1))


def with_wind(lines: list[str], begin: float, heading: float, to: tuple[float, float], over_s: float):
    """The log with the wind that goes to m/s and true deg within so many seconds from `begin` on: the speed
    as a straight line, the direction at once."""
    start = None
    for line in lines:
        time = time_of(line)
        found = re.search(r"\$(WIMW[VD]),([^*]*)\*", line)
        if found and time >= begin:
            kind, fields = found.group(1), found.group(2).split(",")
            at = 2 if kind == "WIMWV" else 6
            start = float(fields[at]) if start is None else start
            part = min((time - begin) / over_s, 1.0)
            fields[at] = f"{start + part * (to[0] - start):.2f}"
            fields[0] = f"{(to[1] - heading) % 360.0 if kind == 'WIMWV' else to[1]:.1f}"
            line = line[: found.start()] + sentence(f"{kind},{','.join(fields)}")
        yield line


def situation_in(state: dict) -> Situation:
    one = {
        "tide": state["tide"],
        "draught_fwd": state["draught_fwd"],
        "draught_aft": state["draught_aft"],
        "heel_deg": state["heel_deg"] or 0.0,
        "wind_speed": 0.0,
        "wind_gust": 0.0,
        "wind_from": 0.0,
        "current_speed": np.nan,
        "current_to": np.nan,
    }
    values = {name: np.array([value], dtype=float) for name, value in one.items()}
    measured = state["heel_deg"] is not None
    return Situation(
        np.array([unix_time(state["time"])]), **values, heel_measured=measured, quality=np.zeros(1, np.int8)
    )


@pytest.mark.slow
@pytest.mark.parametrize("over_s", [1.0, 40.0])
@pytest.mark.parametrize("name", ["coal_berth", "product_jetty", "coaster_quay"])
def test_a_shift_off_the_berth_alarms_within_six_seconds(name: str, over_s: float, tmp_path: Path) -> None:
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    basis = Basis.of(stay)
    with gzip.open(ROOT / "replay_logs" / f"{name}.log.gz", "rt") as log:
        whole = log.read().splitlines()
    begin = time_of(whole[0]) + BEFORE_S
    lines = [line for line in whole if time_of(line) < begin + AFTER_S]
    before = run(stay, [line for line in lines if time_of(line) < begin], tmp_path / "before")
    state = before[0][-1]
    lengths = np.array([line["main_m"] for line in state["lines"]], dtype=float)
    power = holding_power(basis.arrangement, situation_in(state), lengths, basis.criteria)
    off = (stay.berth.bearing_of_x + 90.0) % 360.0
    holds = least_within(power, off)
    shifted = with_wind(lines, begin, ship_heading(stay), (STRONG * holds, off), over_s)
    states, events = run(stay, list(shifted), tmp_path / "shifted")
    shares = {
        unix_time(each["time"]): each["wind_ms"] / least_within(power, each["wind_from_deg"])
        for each in states
        if unix_time(each["time"]) >= begin and each["wind_from_deg"] is not None
    }
    passed, surely = (
        min(time for time, share in shares.items() if share >= ALARM * part) for part in (0.995, 1.005)
    )
    raised = min(
        unix_time(each["time"])
        for each in events
        if each["alert"] == "holding" and each["stage"] == "alarm" and each["event"] in ("raised", "worsened")
    )
    assert passed + 5.0 <= raised <= surely + 6.0


def least_within(power, come_from: float) -> float:
    away = np.abs((power.from_deg - come_from + 180.0) % 360.0 - 180.0)
    return float(power.holds_ms[away <= 15.0].min())


def run(stay, lines: list[str], folder: Path) -> tuple[list[dict], list[dict]]:
    folder.mkdir()
    (folder / "log").write_text("\n".join(lines) + "\n")
    states, events = folder / "states", folder / "events"
    replay_headless(stay, folder / "log", states=states, events=events)
    return tuple([json.loads(line) for line in each.read_text().splitlines()] for each in (states, events))
