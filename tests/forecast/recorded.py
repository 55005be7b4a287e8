"""The recorded example stays, looked ahead from every hour and held against what happened then."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.cycle.gauge_samples import present_at, sampled
from alongside.forecast.basis import Basis
from alongside.forecast.first_times import first_times
from alongside.forecast.limits import CAUSES
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import MAY_BE_NONE, Situation
from alongside.readings import Floats
from alongside.runtime.log_player import Player
from alongside.stay.read import read_stay

ROOT = Path(__file__).parents[2]
MINUTE, HOUR = 60.0, 3600.0


@dataclass(frozen=True)
class Recorded:
    """A played log: what was known at every full hour of it, and the situation of every minute."""

    basis: Basis
    presents: list[Present]
    situation: Situation


def recorded(name: str) -> Recorded:
    basis = Basis.of(read_stay(ROOT / "configs" / f"{name}.yaml"))
    player, samples = Player(basis, ROOT / "replay_logs" / f"{name}.log.gz"), ()
    presents, minutes = [], []
    at = player.starts_at
    while not player.is_over:
        at += HOUR
        for block in player.play_to(at):
            samples = sampled(samples, block)
            minutes.append(block.situation.at(np.flatnonzero(block.situation.time % MINUTE == 0.0)))
            last = block
        presents.append(present_at(last, player.memory, samples))
    return Recorded(basis, presents, _joined(minutes))


def _joined(parts: list[Situation]) -> Situation:
    names = [name for name in Situation.__dataclass_fields__ if name not in ("heel_measured", *MAY_BE_NONE)]
    arrays = {name: np.concatenate([getattr(part, name) for part in parts]) for name in names}
    return Situation(**arrays, heel_measured=parts[0].heel_measured)


def outcomes(stay: Recorded, hours: float = 12.0) -> list[tuple[Forecast, dict[tuple[str, str, int], float]]]:
    """Every forecast whose hours lie within the record, with when each (cause, subject, stage) was reached
    with the lengths of then; a limit never reached is infinite."""
    found = []
    for present in stay.presents:
        if present.time + hours * HOUR > stay.situation.time[-1]:
            break
        far = replace(Far.of(stay.basis.stay), hours=hours)
        forecast = look_ahead(stay.basis, present, far, tend=False)
        found.append((forecast, _happened(stay, present, hours)))
    return found


def _happened(stay: Recorded, present: Present, hours: float) -> dict[tuple[str, str, int], float]:
    time = stay.situation.time
    rows = np.flatnonzero((time >= present.time) & (time <= present.time + hours * HOUR))
    here = stay.situation.at(rows)
    rules = tuple(rule for rule in stay.basis.rules if rule.cause in CAUSES and rule.cause != "holding")
    value = assess(rules, _findings(stay.basis, here, present.unstretched)).value[None]
    limits = np.array([rule.limits for rule in rules])
    sense = np.array([rule.sense for rule in rules])
    times = [first_times(here.time, value, limits[:, stage], sense)[0] for stage in range(3)]
    return {
        (rule.cause, rule.subject, stage + 1): float(times[stage][k])
        for k, rule in enumerate(rules)
        for stage in range(3)
    }


def _findings(basis: Basis, here: Situation, unstretched: Floats) -> Findings:
    held = hold(basis.arrangement, here, unstretched)
    return Findings.of(basis.stay, basis.arrangement, here, held)


def held_bands(stay: Recorded) -> tuple[list[bool], list[float]]:
    """Of every limit that a forecast told of, or that was reached though it told of none: whether its band
    held what happened; and the widths in hours of those bands that end within the forecast."""
    held, widths = [], []
    for forecast, happened in outcomes(stay):
        told = {(limit.cause, limit.subject, int(limit.stage)): limit for limit in forecast.limits}
        for key, when in happened.items():
            limit = told.get(key)
            if limit is not None and (limit.standing or when <= forecast.time + 5 * MINUTE):
                continue
            if limit is None:
                if np.isfinite(when) and when > forecast.time + 5 * MINUTE:
                    held.append(False)
                continue
            no_later = np.inf if limit.no_later is None else limit.no_later
            held.append(limit.not_before <= when <= no_later)
            if limit.no_later is not None:
                widths.append((limit.no_later - limit.not_before) / HOUR)
    return held, widths
