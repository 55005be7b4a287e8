"""What moves the ship of a simulated stay beside tide, cargo and wind: swell, long waves, ships that pass."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.mechanics.passing import Hull, passing_pull, range_ms
from alongside.mechanics.ranging import Inertia, inertia_of
from alongside.mechanics.swell import SwellMotion, Waves, ship_in_swell, wave_numbers
from alongside.readings import Floats
from alongside.stay.heading import ship_heading
from alongside.stay.model import LongWave, PassingShip, Scenario, Stay, SwellSpell
from alongside.training.gauge_faults import Mask
from alongside.training.simulate.weather import sinusoids, stream
from alongside.units import G, iso_time

Afloat = Callable[[Floats], Mapping[str, Floats]]
"""Tide and draughts at times (n,), without what moves her."""

RAMP_PERIODS: Final = 3.0
"""Waves come and go over so many periods."""
NEAR: Final = 2.5
"""A ship that passes is felt within this multiple of both half lengths and the distance of her track."""
FADES: Final = 0.8
"""From this share of it on her pull fades out."""


@dataclass(frozen=True, slots=True, eq=False)
class _Swell:
    spell: SwellSpell
    waves: Waves
    draught: float
    inertia: Inertia


class Sea:
    """Walks with a simulated stay; its answers depend on the times alone, so any may be asked for."""

    def __init__(self, stay: Stay, scenario: Scenario, afloat: Afloat) -> None:
        self._stay, self._scenario, self._afloat = stay, scenario, afloat
        self._head = 1.0 if stay.alongside == "starboard" else -1.0
        self._swell = [self._swell_of(at, spell) for at, spell in enumerate(scenario.swell)]
        self._long = [(wave, self._inertia_at(wave.at)[0]) for wave in scenario.long_waves]
        self._ships = [self._passing(ship) for ship in scenario.passing_ships]

    def felt(self, time: Floats) -> Mask:
        """Return (n,) whether anything pushes her."""
        there = np.zeros(time.size, dtype=np.bool_)
        for swell in self._swell:
            there |= _while(swell.spell, time)
        for wave, _ in self._long:
            there |= _while(wave, time)
        for ship, *_ in self._ships:
            there |= np.abs(time - ship.at) * ship.speed_ms <= self._reach(ship)
        return there

    def push(self, time: Floats) -> Floats:
        """Return what pushes her (n, 3), as `Situation.other_force`."""
        push = np.zeros((time.size, 3))
        for swell in self._swell:
            push[:, 0] += self._motion(swell, time).push * _ramp(swell.spell, time)
        for wave, inertia in self._long:
            push += self._long_push(wave, inertia, time)
        for ship, hull, depth in self._ships:
            push += self._pull(ship, hull, depth, time)
        return push

    def level(self, time: Floats) -> Floats:
        """Return by how much long waves lift the water and her with it, m (n,)."""
        level = np.zeros(time.size)
        for wave, _ in self._long:
            level += wave.level_m * _ramp(wave, time) * np.cos(_turn(wave, time))
        return level

    def shown(self, channel: str, time: Floats) -> Floats:
        """Return how much more than without swell the gauge of a channel shows (n,)."""
        more = np.zeros(time.size)
        for swell in self._swell:
            motion, since = self._motion(swell, time), time - swell.spell.at
            more += self._of_gauge(channel, swell.waves, motion, since) * _ramp(swell.spell, time)
        return more

    def lifted(self, time: Floats) -> tuple[Floats, Floats, Floats]:
        """Return by how much swell lifts her at the marks forward and aft, m, and her heel by it, deg."""
        fwd, aft, heel = np.zeros((3, time.size))
        marks, middle = self._stay.ship.marks, self._stay.ship.lbp / 2.0
        for swell in self._swell:
            motion, ramp = self._motion(swell, time), _ramp(swell.spell, time)
            fwd += motion.rise_at(marks.fwd - middle) * ramp
            aft += motion.rise_at(marks.aft - middle) * ramp
            heel += motion.heel_deg * ramp
        return fwd, aft, heel

    def _of_gauge(self, channel: str, waves: Waves, motion: SwellMotion, since: Floats) -> Floats:
        """The tide gauge stands on the quay abreast of midships; a draught is the water less her hull."""
        ship = self._stay.ship
        middle, half = ship.lbp / 2.0, ship.breadth / 2.0
        if channel in ("tide", "depth"):
            return waves.level(since, 0.0, -self._head * half)
        if channel == "heel":
            return motion.heel_deg
        if channel in ("draught_mid_port", "draught_mid_stbd"):
            y = half if channel == "draught_mid_port" else -half
            rise = motion.heave + y * np.tan(np.radians(motion.heel_deg))
            return waves.level(since, 0.0, y) - rise
        if channel in ("draught_fwd", "draught_aft"):
            x = (ship.marks.fwd if channel == "draught_fwd" else ship.marks.aft) - middle
            return waves.level(since, x, 0.0) - motion.rise_at(x)
        return np.zeros(since.size)

    def _motion(self, swell: _Swell, time: Floats) -> SwellMotion:
        ship = self._stay.ship
        since = time - swell.spell.at
        gm = self._scenario.gm
        return ship_in_swell(swell.waves, ship.lbp, ship.breadth, swell.draught, gm, swell.inertia, since)

    def _swell_of(self, at: int, spell: SwellSpell) -> _Swell:
        inertia, draught, depth = self._inertia_at(spell.at)
        random = stream(self._scenario.seed, f"swell {at} that moves her")
        hertz, amplitude, phase = sinusoids(spell.height, spell.period_s, random)
        frequency = 2.0 * np.pi * hertz
        water = depth if np.isfinite(depth) else np.inf
        number = wave_numbers(frequency, water)
        runs = np.radians(spell.from_deg + 180.0 - ship_heading(self._stay))
        waves = Waves(frequency, amplitude, phase, number * np.cos(runs), -number * np.sin(runs), water)
        return _Swell(spell, waves, draught, inertia)

    def _long_push(self, wave: LongWave, inertia: Inertia, time: Floats) -> Floats:
        """Mass and added mass x the acceleration of the water, g x its slope."""
        along = ship_heading(self._stay) if wave.axis_deg is None else wave.axis_deg
        turn = np.radians(along - ship_heading(self._stay))
        water = G * wave.slope * _ramp(wave, time) * np.cos(_turn(wave, time))
        nothing = np.zeros(time.size)
        across = -inertia.across * np.sin(turn)
        return np.column_stack([inertia.ahead * np.cos(turn) * water, across * water, nothing])

    def _passing(self, ship: PassingShip) -> tuple[PassingShip, Hull, float]:
        """Return a ship that passes, ours as a hull as she then floats, and the depth."""
        _, draught, depth = self._inertia_at(ship.at)
        where = f"{self._stay.file}: simulate.passing_ships: {iso_time(ship.at)}"
        if not np.isfinite(depth):
            raise WrongInput(f"{where}: berth.charted_depth is missing, expected how deep the water is")
        own = Hull(self._stay.ship.lbp, self._stay.ship.breadth, draught)
        try:
            passing_pull(own, _hull(ship), np.zeros(1), ship.distance_m, ship.speed_ms, depth)
        except ValueError as error:
            raise WrongInput(f"{where}: {error}") from error
        if ship.speed_ms > range_ms(depth):
            most = f"expected at most {range_ms(depth):.1f} m/s in {depth:.1f} m of water"
            raise WrongInput(f"{where}: {ship.speed_ms:.1f} m/s: her pull is not known, {most}")
        return ship, own, depth

    def _pull(self, ship: PassingShip, own: Hull, depth: float, time: Floats) -> Floats:
        push = np.zeros((time.size, 3))
        ahead = (time - ship.at) * ship.speed_ms * (1.0 if ship.goes == "ahead" else -1.0)
        near = np.abs(ahead) < self._reach(ship)
        if near.any():
            pull = passing_pull(own, _hull(ship), ahead[near], ship.distance_m, ship.speed_ms, depth)
            share = np.abs(ahead[near]) / self._reach(ship)
            fade = 0.5 * (1.0 + np.cos(np.pi * np.clip((share - FADES) / (1.0 - FADES), 0.0, 1.0)))
            off_quay = self._head  # starboard side to: the track lies to port
            push[near] = np.column_stack([pull.along, off_quay * pull.across, off_quay * pull.turning])
            push[near] *= fade[:, None]
        return push

    def _reach(self, ship: PassingShip) -> float:
        return NEAR * (0.5 * (self._stay.ship.lbp + ship.length) + ship.distance_m)

    def _inertia_at(self, time: float) -> tuple[Inertia, float, float]:
        """Return her inertia, mean draught and the depth of the water (NaN where not known) at a time, or the
        nearest within the log."""
        scenario = self._scenario
        within = min(max(time, scenario.start), scenario.start + scenario.hours * 3600.0)
        there = self._afloat(np.array([within]))
        draught = float(0.5 * (there["draught_fwd"] + there["draught_aft"])[0])
        charted = self._stay.berth.charted_depth
        depth = float(there["tide"][0]) + (np.nan if charted is None else charted)
        return inertia_of(self._stay.ship, draught, depth), draught, depth


def _hull(ship: PassingShip) -> Hull:
    return Hull(ship.length, ship.breadth, ship.draught)


def _while(spell: LongWave | SwellSpell, time: Floats) -> Mask:
    there: Mask = (time >= spell.at) & (time <= spell.until)
    return there


def _turn(wave: LongWave, time: Floats) -> Floats:
    return 2.0 * np.pi * (time - wave.at) / wave.period_s


def _ramp(spell: LongWave | SwellSpell, time: Floats) -> Floats:
    """Return how much of it is there, 0 to 1: in and out over three periods, or half of a shorter spell."""
    rise = min(RAMP_PERIODS * spell.period_s, 0.5 * (spell.until - spell.at))
    share = np.clip(np.minimum(time - spell.at, spell.until - time) / rise, 0.0, 1.0)
    return np.asarray(0.5 * (1.0 - np.cos(np.pi * share)))
