"""How long the mechanics take: three days at one instant a second, sixteen lines with tails, in blocks; and
the same one instant at a time, written out plainly with floats and a root finder."""

import bisect
import math
from time import perf_counter

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.lines import ROWS_AT_ONCE, line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.series import pull
from alongside.mechanics.state import Pose
from alongside.stay.model import CurveRows, Line, Stay, Tail
from tests.mechanics.stays import BREADTH, NYLON, POLYESTER, Lead, afloat, stay_with

INSTANTS = 259_200
LINES = 16
BLOCK = 4096
PLAIN_INSTANTS = 40
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
    """Figures as (what, figure, unit)."""
    stay = sixteen_lines()
    arrangement = arrangement_of(stay)
    length = unstretched_for(arrangement, afloat(2.0, 7.0, 8.0), 60.0)[0]
    pose = three_days()
    blocks = [part(pose, slice(start, start + BLOCK)) for start in range(0, INSTANTS, BLOCK)]
    begin = perf_counter()
    for block in blocks:
        line_states(arrangement, block, length)
    whole = perf_counter() - begin
    plain, worst = plainly(stay, arrangement.inboard, pose, length)
    each = whole / INSTANTS
    kernel = tension_alone(arrangement, pose, length)
    return [
        (f"all states, {INSTANTS} instants of {LINES} lines, blocks of {BLOCK}", whole, "s"),
        ("one instant of sixteen lines in a block", each * 1e6, "us"),
        ("tension and stiffness alone, one instant in a block", kernel * 1e6, "us"),
        ("one instant by itself, same code", one_by_one(arrangement, pose, length) * 1e6, "us"),
        ("one instant by itself, plain floats and brentq", plain * 1e6, "us"),
        ("plain way against blocks", plain / each, "times"),
        ("largest difference of tension between both", worst * 1e9, "uN"),
    ]


def sixteen_lines() -> Stay:
    """Eight lines at each end of the ship, polyester with nylon tails, on winches."""
    leads = [
        Lead(
            (60.0 + side * x, -BREADTH / 2.0, 13.0),
            (100.0 + side * (x + along), -out, 4.5),
            POLYESTER,
            Tail(NYLON, 11.0),
            winch=(60.0 + side * (x - 6.0), 0.0, 13.5),
        )
        for side in (1.0, -1.0)
        for x, along, out in LEADS
    ]
    return stay_with(leads)


def three_days() -> Pose:
    """Tide, cargo, list and a little movement, one instant a second."""
    seconds = np.arange(INSTANTS, dtype=np.float64)
    pose = afloat(2.5 - 2.0 * np.cos(2.0 * np.pi * seconds / 44_712.0), 7.0, 8.0)
    loading = np.sin(seconds / 40_000.0)
    return Pose(
        surge=0.05 * np.sin(seconds / 61.0),
        sway=0.02 * np.sin(seconds / 47.0),
        yaw=5e-4 * np.sin(seconds / 53.0),
        tide=pose.tide,
        draught_fwd=pose.draught_fwd + loading,
        draught_aft=pose.draught_aft + 0.7 * loading,
        heel_deg=0.5 * np.sin(seconds / 7_000.0),
    )


def part(pose: Pose, rows: slice) -> Pose:
    return Pose(*(getattr(pose, name)[rows] for name in Pose.__dataclass_fields__))


def tension_alone(arrangement: Arrangement, pose: Pose, length: np.ndarray) -> float:
    """Seconds an instant of the tension kernel, in blocks that fit the cache."""
    path = leads_of(arrangement, part(pose, slice(0, ROWS_AT_ONCE))).path
    begin, times = perf_counter(), 200
    for _ in range(times):
        pull(arrangement.series, path, length[:, None])
    return (perf_counter() - begin) / times / path.shape[1]


def one_by_one(arrangement: Arrangement, pose: Pose, length: np.ndarray) -> float:
    """Seconds an instant when the arrays are one long."""
    begin, times = perf_counter(), 300
    for row in range(times):
        line_states(arrangement, part(pose, slice(row, row + 1)), length)
    return (perf_counter() - begin) / times


def plainly(stay: Stay, inboard: np.ndarray, pose: Pose, length: np.ndarray) -> tuple[float, float]:
    """Seconds an instant of geometry and tension in plain floats, and how far its tensions lie off ours."""
    rows = range(0, INSTANTS, INSTANTS // PLAIN_INSTANTS)
    curves = {rope.name: PlainCurve(rope.curve, rope.mbl_kn) for rope in (POLYESTER, NYLON)}
    begin = perf_counter()
    found = [
        [
            plain_tension(curves, plain_path(stay, line, pose, row) + inboard[i], length[i])
            for i, line in enumerate(stay.lines)
        ]
        for row in rows
    ]
    taken = (perf_counter() - begin) / len(rows)
    chosen = Pose(*(getattr(pose, name)[:: INSTANTS // PLAIN_INSTANTS] for name in Pose.__dataclass_fields__))
    ours = line_states(arrangement_of(stay), chosen, length).tension_kn
    return taken, float(np.abs(ours - np.array(found)).max())


def plain_path(stay: Stay, line: Line, pose: Pose, row: int) -> float:
    """Fairlead to bollard, as one would write it down for one line at one instant."""
    fairlead, bollard = stay.ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
    marks, place = stay.ship.marks, stay.place
    heel, yaw = math.radians(pose.heel_deg[row]), float(pose.yaw[row])
    slope = (pose.draught_fwd[row] - pose.draught_aft[row]) / (marks.fwd - marks.aft)
    trim = math.atan(math.cos(heel) * slope)
    x, y = fairlead.x - place.ship_x, fairlead.y
    z = fairlead.z - (pose.draught_aft[row] + (place.ship_x - marks.aft) * slope)
    y, z = y * math.cos(heel) - z * math.sin(heel), y * math.sin(heel) + z * math.cos(heel)
    x, z = x * math.cos(trim) + z * math.sin(trim), z * math.cos(trim) - x * math.sin(trim)
    x, y = x * math.cos(yaw) - y * math.sin(yaw), x * math.sin(yaw) + y * math.cos(yaw)
    dx = bollard.x - (place.berth_x + pose.surge[row] + x)
    dy = bollard.y - (stay.ship.breadth / 2.0 + pose.sway[row] + y)
    return math.sqrt(dx * dx + dy * dy + (bollard.z - (pose.tide[row] + z)) ** 2)


def plain_tension(curves: dict[str, "PlainCurve"], path: float, length: float) -> float:
    main, tail, tail_length = curves[POLYESTER.name], curves[NYLON.name], 11.0
    stretch = path - length - tail_length
    if stretch <= 0.0:
        return 0.0
    u = brentq(
        lambda u: main(u) - tail((stretch - length * u) / tail_length), 0.0, stretch / length, xtol=1e-15
    )
    return main(u)


class PlainCurve:
    """Load in kN at one strain, by looking up its cell."""

    def __init__(self, rows: CurveRows, mbl_kn: float) -> None:
        elongation, load = np.array(rows).T
        slopes = PchipInterpolator(elongation, load)(elongation, 1)
        self.e, self.p, self.s = elongation.tolist(), load.tolist(), slopes.tolist()
        self.mbl = mbl_kn

    def __call__(self, strain: float) -> float:
        e = 100.0 * strain
        i = bisect.bisect_right(self.e, e) - 1
        u = e - self.e[i]
        if i == len(self.e) - 1:
            return self.mbl * (self.p[i] + u * self.s[i])
        h = self.e[i + 1] - self.e[i]
        secant = (self.p[i + 1] - self.p[i]) / h
        second = (3.0 * secant - 2.0 * self.s[i] - self.s[i + 1]) / h
        third = (self.s[i] + self.s[i + 1] - 2.0 * secant) / (h * h)
        return self.mbl * (self.p[i] + u * (self.s[i] + u * (second + u * third)))
