"""The water level as it was observed at Vlissingen in January 2018, as the tide gauge of a small invented
berth: a feed log for the whole program. Rijkswaterstaat, CC0; see tests/data/water_levels."""

from pathlib import Path

import numpy as np

from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.units import iso_time, unix_time
from tests.berth import STAY_TEXT, tagged, write_stay
from tests.forecast.tide.water import FOLDER, table

TO_CHART_DATUM = 2.5
"""m, invented: chart datum of the berth below NAP."""
SLOW = "stale_s: 900, lost_s: 1300, freeze_s: never, smooth_s: 0"


def observed(begin: str, end: str):
    """(time, m above chart datum) of the series between two instants."""
    levels = table("vlissingen_obs_201801.csv")
    part = (levels.time >= unix_time(begin)) & (levels.time <= unix_time(end))
    return levels.time[part], levels.metres[part] + TO_CHART_DATUM


def stay_at_vlissingen(folder: Path, begin: str) -> Stay:
    """The berth of the tests with the station's constants, its gauges speaking every ten minutes."""
    (folder / "station.csv").write_bytes((FOLDER / "vlissingen_constants.csv").read_bytes())
    text = STAY_TEXT.replace("2026-03-02T04:00:00Z", begin)
    for name in ("TIDE", "DRF", "DRA"):
        text = text.replace(f"name: {name}}}", f"name: {name}, {SLOW}}}")
    text += f"tide: {{station: station.csv, to_chart_datum: {TO_CHART_DATUM}}}\n"
    return read_stay(write_stay(folder, text.replace("charted_depth: 6.0", "charted_depth: 9.0")))


def feed_log(folder: Path, begin: str, end: str) -> Path:
    """Tide as observed, outages and all; draughts every five minutes that never fail."""
    time, level = observed(begin, end)
    lines = [(at, f"IIXDR,D,{metres:.3f},M,TIDE") for at, metres in zip(time, level, strict=True)]
    steady = np.arange(unix_time(begin), unix_time(end) + 1.0, 300.0)
    lines += [(at + 1.0, "IIXDR,D,4.000,M,DRF,D,4.500,M,DRA") for at in steady]
    path = folder / f"{iso_time(time[0])[:10]}.log"
    path.write_bytes(b"".join(tagged(float(at), text) for at, text in sorted(lines)))
    return path
