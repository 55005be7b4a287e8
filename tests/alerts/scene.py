"""An invented stay with every cause in it, and findings to hold its rules against."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from alongside.alerts.findings import Findings
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import situation_of
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.model import Display, Feed, Source, Stay
from tests.mechanics.stays import POLYESTER, Lead, stay_with

START = 1_772_424_000.0
CHANNELS = ("tide", "draught_fwd", "draught_aft", "wind_speed")
VALUES = (2.0, 7.0, 8.0, 6.0)


def invented(display: Display | None = None) -> Stay:
    """Lines 1 and 2 on bollard B1 (SWL 500 kN), 1 with a braked winch, 3 with an allowance of its own."""
    leads = [
        Lead((60.0, -10.0, 15.0), (100.0, -25.0, 4.0), winch=(60.0, 0.0, 15.0), brake_kn=400.0, swl_kn=500.0),
        Lead((50.0, -10.0, 15.0), (95.0, -25.0, 4.0), on="B1", swl_kn=500.0),
        Lead((40.0, -10.0, 15.0), (80.0, -25.0, 4.0), rope=replace(POLYESTER, allowance_percent=8.0)),
    ]
    feeds = (
        Feed(
            "gauges",
            "serial:/dev/ttyUSB0?baud=4800",
            tuple(Source(name, "XDR") for name in CHANNELS[:3]),
        ),
        Feed("anemometer", "udp:10110", (Source("wind_speed", "MWV", stale_s=30.0, lost_s=90.0),)),
    )
    return replace(stay_with(leads), feeds=feeds, display=display or Display())


def readings(n: int = 1, **spoilt: Reason) -> Readings:
    """n seconds of good readings; a channel given a reason is so throughout (a silent one for 310 s)."""
    value = np.tile(np.array(VALUES), (n, 1))
    quality = np.zeros((n, len(CHANNELS)), dtype=np.int8)
    reason = np.zeros((n, len(CHANNELS)), dtype=np.int8)
    age = np.ones((n, len(CHANNELS)))
    for channel, why in spoilt.items():
        column = CHANNELS.index(channel)
        lost = why in (Reason.WAITING, Reason.SILENT, Reason.OUT_OF_RANGE, Reason.NOT_FITTED)
        quality[:, column] = Quality.LOST if lost else Quality.SUSPECT
        reason[:, column] = why
        age[:, column] = {Reason.WAITING: np.nan, Reason.SILENT: 310.0, Reason.STALE: 65.0}.get(why, 5.0)
        if lost:
            value[:, column] = np.nan
    return Readings(START + np.arange(n, dtype=np.float64), CHANNELS, value, quality, reason, age)


def line_states(n: int = 1, **changed: Sequence[float]) -> LineStates:
    """Three lines well within all limits but for the quantities given, one number a line."""
    fine = {
        "vertical_deg": (12.0, 12.0, 12.0),
        "unstretched_m": (30.0, 30.0, 30.0),
        "stretch_share": (0.5, 0.5, 0.5),
        "load_share": (0.2, 0.2, 0.2),
        "tension_kn": (64.0, 64.0, 64.0),
    }
    numbers: dict[str, Floats] = {
        name: np.tile(np.array(changed.get(name, fine.get(name, (1.0, 1.0, 1.0)))), (n, 1))
        for name in LineStates.__dataclass_fields__
    }
    return LineStates(**numbers)


def place(n: int, surge: float, sway: float) -> Pose:
    """Where she lies, n instants alike; only the drift matters to alerts."""
    zero = np.zeros(n)
    return Pose(zero + surge, zero + sway, zero, zero, zero, zero, zero)


def findings(
    stay: Stay,
    n: int = 1,
    bollard_kn: Sequence[float] = (100.0, 60.0),
    fault: bool = False,
    spoilt: Mapping[str, Reason] | None = None,
    moved: tuple[float, float] = (0.0, 0.0),
    off_m: float = -0.05,
    **changed: Sequence[float],
) -> Findings:
    """What is found at n instants, all alike."""
    read = readings(n, **(spoilt or {}))
    return Findings(
        stay=stay,
        situation=situation_of(stay, read),
        lines=line_states(n, **changed),
        readings=read,
        bollard_kn=np.tile(np.array(bollard_kn), (n, 1)),
        bollards=("B1", "B3"),
        brake_kn=np.array([400.0, np.nan, np.nan]),
        unanswered=np.full(n, NoAnswer.FAILED if fault else 0, dtype=np.int8),
        pose=place(n, *moved),
        off_m=np.full(n, off_m),
        ranges=np.zeros((n, 3)),
    )
