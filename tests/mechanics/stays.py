"""Small invented stays to compute with: one ship, one berth, lines as a test asks for them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.stay.model import (
    Berth,
    Bollard,
    Fender,
    Line,
    MadeFast,
    Marks,
    Place,
    Point,
    Role,
    Rope,
    Ship,
    Stay,
    Tail,
    Winch,
)

BREADTH = 20.0
POLYESTER = Rope(
    "polyester", "synthetic", 640.0, ((0, 0), (2, 0.06), (4, 0.15), (7, 0.34), (10, 0.5), (15, 1)), 0.5
)
NYLON = Rope(
    "nylon tail", "synthetic", 800.0, ((0, 0), (6, 0.05), (12, 0.14), (18, 0.3), (24, 0.5), (34, 1)), 0.5
)
WIRE = Rope("wire", "wire", 1110.0, ((0, 0), (0.918, 0.55), (1.7, 1)), 0.55)


def straight(name: str, mbl_kn: float, ea_kn: float, wll_fraction: float = 0.5) -> Rope:
    """A rope whose load is EA times its strain, all the way to breaking."""
    return Rope(name, "synthetic", mbl_kn, ((0.0, 0.0), (100.0 * mbl_kn / ea_kn, 1.0)), wll_fraction)


@dataclass(frozen=True)
class Lead:
    """One line: fairlead in the ship frame, bollard in the berth frame, what it is made of."""

    fairlead: tuple[float, float, float]
    bollard: tuple[float, float, float]
    rope: Rope = POLYESTER
    tail: Tail | None = None
    winch: tuple[float, float, float] | None = None
    brake_kn: float | None = None
    on: str | None = None
    swl_kn: float | None = None
    role: Role = "breast"


def stay_with(
    leads: Sequence[Lead],
    alongside: Literal["starboard", "port"] = "starboard",
    place: tuple[float, float] = (60.0, 100.0),
    fenders: Sequence[float] = (80.0, 120.0),
) -> Stay:
    """A ship of 120 m by 20 m; lines are "1", "2", … in the order given, each on a bollard of its own unless
    `on` names a shared one."""
    bollard_of = [lead.on or f"B{i}" for i, lead in enumerate(leads, 1)]
    ship = Ship(
        name="Invented",
        loa=125.0,
        lbp=120.0,
        breadth=BREADTH,
        depth=12.0,
        marks=Marks(fwd=117.0, aft=3.0),
        fairleads={f"F{i}": Point(*lead.fairlead) for i, lead in enumerate(leads, 1)},
        winches={
            f"W{i}": Winch(Point(*lead.winch), lead.brake_kn) for i, lead in enumerate(leads, 1) if lead.winch
        },
    )
    berth = Berth(
        name="Invented quay",
        bearing_of_x=90.0,
        charted_depth=12.0,
        bollards={
            on: Bollard(Point(*lead.bollard), lead.swl_kn) for on, lead in zip(bollard_of, leads, strict=True)
        },
        fenders=tuple(Fender(x, stiffness_kn_per_m=2000.0) for x in fenders),
    )
    lines = tuple(
        Line(
            str(i),
            lead.role,
            f"F{i}",
            f"W{i}" if lead.winch else None,
            on,
            lead.rope,
            lead.tail,
            MadeFast(0.0, 60.0),
        )
        for i, (lead, on) in enumerate(zip(leads, bollard_of, strict=True), 1)
    )
    ropes = {lead.rope.name: lead.rope for lead in leads}
    return Stay("Invented stay", "stay.yaml", alongside, Place(*place), ship, berth, ropes, lines)


def arranged(*leads: Lead, alongside: Literal["starboard", "port"] = "starboard") -> Arrangement:
    return arrangement_of(stay_with(leads, alongside))


def afloat(
    tide: float | Sequence[float] = 0.0, fwd: float = 6.0, aft: float = 6.0, heel_deg: float = 0.0
) -> Pose:
    """The ship in place at one or several tides."""
    tides = np.atleast_1d(np.asarray(tide, dtype=np.float64))
    zero = np.zeros(tides.size)
    return Pose(zero, zero, zero, tides, zero + fwd, zero + aft, zero + heel_deg)


def situation(pose: Pose, heel_measured: bool = True) -> Situation:
    """A situation that floats as a pose does, in no wind and no current."""
    n = pose.tide.size
    unknown = np.full(n, np.nan)
    return Situation(
        time=np.arange(n, dtype=np.float64),
        tide=pose.tide,
        draught_fwd=pose.draught_fwd,
        draught_aft=pose.draught_aft,
        heel_deg=pose.heel_deg,
        heel_measured=heel_measured,
        wind_speed=unknown,
        wind_gust=unknown,
        wind_from=unknown,
        current_speed=unknown,
        current_to=unknown,
        quality=np.zeros(n, dtype=np.int8),
    )


def inclined(level_m: float, height_m: float, rope: Rope = POLYESTER, tail: Tail | None = None) -> Lead:
    """A breast line whose fairlead stands at the ship's side amidships, `level_m` out from its bollard and
    `height_m` above it, when she draws 6 m on an even keel at tide 0."""
    return Lead((60.0, -BREADTH / 2.0, 6.0 + 10.0), (100.0, -level_m, 10.0 - height_m), rope, tail)


def moved(pose: Pose, surge: float = 0.0, sway: float = 0.0, yaw: float = 0.0) -> Pose:
    """The same, moved from her place."""
    return replace(pose, surge=pose.surge + surge, sway=pose.sway + sway, yaw=pose.yaw + yaw)
