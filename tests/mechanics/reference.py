"""A second mechanics, written from the published formulas of the manual alone, with scipy: what the
program is held against. It knows one instant at a time and no NaN."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, root

from alongside.stay.model import Rope, Stay

AIR, SEA_WATER = 1.224, 1025.0
"""kg/m3; the manual's values."""


@dataclass(frozen=True)
class Reference:
    """The berth in plain numbers: where the ship's points are, how lines pull and fenders push."""

    stay: Stay
    tide: float
    fwd: float
    aft: float
    heel_deg: float = 0.0

    def fairleads(self, surge: float, sway: float, yaw: float) -> np.ndarray:
        stay, ship = self.stay, self.stay.ship
        slope = (self.fwd - self.aft) / (ship.marks.fwd - ship.marks.aft)
        phi = np.radians(self.heel_deg)
        theta = np.arctan(np.cos(phi) * slope)
        turn = (0.0 if stay.alongside == "starboard" else np.pi) + yaw
        rz = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
        ry = np.array([[np.cos(theta), 0, np.sin(theta)], [0, 1, 0], [-np.sin(theta), 0, np.cos(theta)]])
        rx = np.array([[1, 0, 0], [0, np.cos(phi), -np.sin(phi)], [0, np.sin(phi), np.cos(phi)]])
        waterline = np.array([stay.place.ship_x, 0, self.aft + (stay.place.ship_x - ship.marks.aft) * slope])
        p0 = np.array([stay.place.berth_x + surge, ship.breadth / 2 + sway, self.tide])
        return p0 + (self.points - waterline) @ (rz @ ry @ rx).T

    def sides(self, surge: float, sway: float, yaw: float) -> np.ndarray:
        ship = self.stay.ship
        x = np.array([fender.x for fender in self.stay.berth.fenders])
        x0, y0 = self.stay.place.berth_x + surge, ship.breadth / 2 + sway
        half = ship.breadth / 2
        return y0 - half * np.cos(yaw) + np.tan(yaw) * (x - x0 - half * np.sin(yaw))

    def reactions(self, sides: np.ndarray) -> np.ndarray:
        pushed = []
        for fender, side in zip(self.stay.berth.fenders, sides, strict=True):
            deflection = max(0.0, -side)
            if fender.stiffness_kn_per_m is not None:
                pushed.append(fender.stiffness_kn_per_m * deflection)
            else:
                at, reaction = np.array(fender.table).T
                assert deflection <= at[-1]
                pushed.append(np.interp(deflection, at, reaction))
        return np.array(pushed)

    def left_over(self, sway_yaw: np.ndarray, load: np.ndarray) -> np.ndarray:
        """Force across, kN, and moment about P0, kN m, of all loads and fenders at surge 0."""
        sway, yaw = sway_yaw
        fairlead = self.fairleads(0.0, sway, yaw)
        lead = self.bollards - fairlead
        unit = lead / np.linalg.norm(lead, axis=1)[:, None]
        arm = fairlead[:, :2] - [self.stay.place.berth_x, self.stay.ship.breadth / 2 + sway]
        across = (load * unit[:, 1]).sum()
        moment = (load * (arm[:, 0] * unit[:, 1] - arm[:, 1] * unit[:, 0])).sum()
        reaction = self.reactions(self.sides(0.0, sway, yaw))
        h = 1e-6
        by_yaw = (self.sides(0.0, sway, yaw + h) - self.sides(0.0, sway, yaw - h)) / (2 * h)
        return np.array([across + reaction.sum(), moment + (reaction * by_yaw).sum()])

    @cached_property
    def points(self) -> np.ndarray:
        """The fairleads in the ship frame (lines, 3)."""
        of = self.stay.ship.fairleads
        return np.array([(p.x, p.y, p.z) for p in (of[each.fairlead] for each in self.stay.lines)])

    @cached_property
    def bollards(self) -> np.ndarray:
        """The bollard of each line in the berth frame (lines, 3)."""
        of = self.stay.berth.bollards
        return np.array([(p.x, p.y, p.z) for p in (of[each.bollard].at for each in self.stay.lines)])

    @cached_property
    def inboard(self) -> np.ndarray:
        """From winch to fairlead, m (lines,); 0 without a winch."""
        of = self.stay.ship.winches
        at = [
            point if line.winch is None else (of[line.winch].at.x, of[line.winch].at.y, of[line.winch].at.z)
            for line, point in zip(self.stay.lines, self.points, strict=True)
        ]
        return np.linalg.norm(self.points - np.array(at), axis=1)

    def paths(self, surge: float, sway: float, yaw: float) -> np.ndarray:
        return np.linalg.norm(self.bollards - self.fairleads(surge, sway, yaw), axis=1) + self.inboard

    def lengths(self, load: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The pose (sway, yaw) and the main ropes' unstretched lengths."""
        scale = np.array([1.0, 0.01])
        found = root(lambda z: self.left_over(z * scale, load) * [1.0, 0.01], [-0.02, 0.0], tol=1e-13)
        sway, yaw = found.x * scale
        out = []
        for line, path, tension in zip(self.stay.lines, self.paths(0.0, sway, yaw), load, strict=True):
            tail = 0.0 if line.tail is None else line.tail.length * (1 + strain(line.tail.rope, tension))
            out.append((path - tail) / (1 + strain(line.rope, tension)))
        return np.array([sway, yaw]), np.array(out)


def strain(rope: Rope, tension: float) -> float:
    """The strain at which a rope carries a load within its table."""
    curve = PchipInterpolator(*np.array(rope.curve).T)
    wanted = tension / rope.mbl_kn
    return brentq(lambda e: float(curve(e)) - wanted, 0.0, rope.curve[-1][0], xtol=1e-14) / 100.0


@dataclass(frozen=True)
class Stream:
    """Wind or current: m/s, and where it comes from, true deg."""

    speed: float
    from_deg: float


@dataclass(frozen=True)
class Lying:
    """Where she lies (surge, sway m, yaw rad), the load of each line, kN, the nearest fender's distance from
    her side, m, negative while it is pressed in, and the share of the largest load that is out of balance."""

    place: np.ndarray
    tension: np.ndarray
    off_m: float
    left: float


@dataclass(frozen=True)
class Fast(Reference):
    """The same with lengths of main rope, m, in wind and current: her coefficients stand as tables in the
    stay."""

    out: tuple[float, ...] = ()

    @cached_property
    def pulls(self) -> list[tuple[np.ndarray, np.ndarray]]:
        """Path, m, and load, kN, of each line, close together, up to twice its breaking load."""
        tables = []
        for line, out in zip(self.stay.lines, self.out, strict=True):
            elongation, load = curve_of(line.rope)
            path = out * (1.0 + elongation)
            if line.tail is not None:
                other, tail_load = curve_of(line.tail.rope)
                path += line.tail.length * (1.0 + np.interp(load, tail_load, other))
            tables.append((path, load))
        return tables

    @property
    def heading(self) -> float:
        """True heading in place: towards berth +x starboard side to, else towards -x."""
        return self.stay.berth.bearing_of_x + (0.0 if self.stay.alongside == "starboard" else 180.0)

    def tensions(self, place: np.ndarray) -> np.ndarray:
        paths = zip(self.paths(*place), self.pulls, strict=True)
        return np.array([np.interp(path, table, load) for path, (table, load) in paths])

    def flow(self, stream: Stream, yaw: float, rows: Sequence, areas: Sequence[float], density: float):
        """Force ahead and to port, kN, and moment about midships, bow to port +, kN m; `areas` are the three
        that cx, cy, cn stand on."""
        q = 0.0005 * density * stream.speed**2
        g = (stream.from_deg - self.heading + np.degrees(yaw)) % 360.0
        angle, *columns = np.array(rows, dtype=float).T
        return [q * np.interp(g, angle, c, period=360.0) * a for c, a in zip(columns, areas, strict=True)]

    def leaning(self, wind: Stream, current: Stream, yaw: float) -> np.ndarray:
        """Fx, Fy in the berth frame, kN, and the moment about P0, kN m, of wind and current."""
        ship, draught = self.stay.ship, (self.fwd + self.aft) / 2
        assert ship.wind is not None
        assert ship.current is not None
        up = ship.wind.at_draught - draught
        front, side = ship.wind.front_m2 + ship.breadth * up, ship.wind.side_m2 + ship.lbp * up
        hull = draught * ship.lbp
        blown = self.flow(wind, yaw, ship.wind.coefficients, (front, side, side * ship.lbp), AIR)
        set_ = self.flow(current, yaw, ship.current.coefficients, (hull, hull, hull * ship.lbp), SEA_WATER)
        ahead, to_port, moment = np.add(blown, set_)
        turn = yaw + (0.0 if self.stay.alongside == "starboard" else np.pi)
        return np.array(
            [
                ahead * np.cos(turn) - to_port * np.sin(turn),
                ahead * np.sin(turn) + to_port * np.cos(turn),
                moment + (ship.lbp / 2 - self.stay.place.ship_x) * to_port,
            ]
        )

    def net(self, place: np.ndarray, wind: Stream, current: Stream) -> np.ndarray:
        """What is left over along x, along y, kN, and about P0, kN m."""
        surge, sway, yaw = place
        fairlead = self.fairleads(surge, sway, yaw)
        lead = self.bollards - fairlead
        pull = self.tensions(place)[:, None] * lead / np.linalg.norm(lead, axis=1)[:, None]
        p0 = np.array([self.stay.place.berth_x + surge, self.stay.ship.breadth / 2 + sway])
        arm = fairlead[:, :2] - p0
        lines = [pull[:, 0].sum(), pull[:, 1].sum(), (arm[:, 0] * pull[:, 1] - arm[:, 1] * pull[:, 0]).sum()]
        reaction = self.reactions(self.sides(surge, sway, yaw))
        h = 1e-6
        by_yaw = (self.sides(surge, sway, yaw + h) - self.sides(surge, sway, yaw - h)) / (2 * h)
        fenders = [-np.tan(yaw) * reaction.sum(), reaction.sum(), (reaction * by_yaw).sum()]
        return np.add(lines, fenders) + self.leaning(wind, current, yaw)

    def lies(self, wind: Stream, current: Stream, start: np.ndarray | None = None) -> Lying:
        """Where she comes to rest, sought from `start` and from places about it."""
        scale, begin = np.array([1.0, 1.0, 0.01]), np.zeros(3) if start is None else start
        best: tuple[float, np.ndarray] | None = None
        for off in (
            [0, 0, 0],
            [0, 0.5, 0],
            [0, 1.5, 0],
            [0.5, 0.5, 0],
            [-0.5, 0.5, 0],
            [0, 0.5, 0.005],
            [0, 0.5, -0.005],
        ):
            found = (
                root(lambda z: self.net(z * scale, wind, current) * scale, (begin + off) / scale, tol=1e-11).x
                * scale
            )
            largest = max(self.tensions(found).max(), self.reactions(self.sides(*found)).max(), 1.0)
            left = float(np.abs(self.net(found, wind, current) * scale).max() / largest)
            if best is None or left < best[0]:
                best = left, found
            if left < 1e-6:
                break
        assert best is not None
        left, place = best
        return Lying(place, self.tensions(place), float(self.sides(*place).min()), left)

    def pull(self, lying: Lying) -> np.ndarray:
        """What each line pulls along berth x and y, kN (lines, 2)."""
        lead = self.bollards - self.fairleads(*lying.place)
        return lying.tension[:, None] * (lead / np.linalg.norm(lead, axis=1)[:, None])[:, :2]

    def push(self, lying: Lying) -> np.ndarray:
        """What all fenders push along berth x and y, kN."""
        total = self.reactions(self.sides(*lying.place)).sum()
        return np.array([-np.tan(lying.place[2]) * total, total])

    def shares(self, lying: Lying) -> np.ndarray:
        """The largest load of a line by its working limit, of a brake by its holding, of a bollard by its
        SWL, each 0 where none is given."""
        fairlead = self.fairleads(*lying.place)
        lines, brakes, on = [0.0], [0.0], {}
        leads = fairlead - self.bollards
        for line, lead, load in zip(self.stay.lines, leads, lying.tension, strict=True):
            parts = [line.rope] + ([line.tail.rope] if line.tail else [])
            lines.append(load / min((0.55 if r.kind == "wire" else 0.5) * r.mbl_kn for r in parts))
            brake = None if line.winch is None else self.stay.ship.winches[line.winch].brake_kn
            brakes.append(0.0 if brake is None else load / brake)
            on[line.bollard] = on.get(line.bollard, 0.0) + load * lead / np.linalg.norm(lead)
        swl = {name: bollard.swl_kn for name, bollard in self.stay.berth.bollards.items()}
        bollards = [np.linalg.norm(pull) / (swl[name] or np.inf) for name, pull in on.items()]
        return np.array([max(lines), max(brakes), max(bollards)])


def curve_of(rope: Rope) -> tuple[np.ndarray, np.ndarray]:
    """Strain and load, kN, close together, up to three times the table's end: straight beyond it, with the
    slope of the last chord or of the curve's end, whichever is larger."""
    x, y = np.array(rope.curve, dtype=float).T
    curve = PchipInterpolator(x, y)
    slope = max((y[-1] - y[-2]) / (x[-1] - x[-2]), float(curve(x[-1], 1)))
    inside = np.linspace(0.0, x[-1], 20_001)
    elongation = np.append(inside, 3.0 * x[-1])
    load = np.append(curve(inside), y[-1] + slope * 2.0 * x[-1])
    return elongation / 100.0, load * rope.mbl_kn
