"""Deeds on one line tried on the mechanics, as expected: how near each limit is with them, and the wind."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Rule
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.in_the_wind import SOON_S
from alongside.forecast.model import PartialDeed
from alongside.forecast.present import Present
from alongside.forecast.rounds.length_bands import within_stage
from alongside.forecast.rounds_into_the_wind import EVERY_S, not_stood, with_wind_of_now
from alongside.mechanics.hold import hold
from alongside.readings import Floats
from alongside.stay.causes import Cause
from alongside.stay.gear import RANGES
from alongside.stay.stage import Stage

CAUSES: Final[tuple[Cause, ...]] = ("stretch", "load", "brake", "slack")
SLACK: Final = CAUSES.index("slack")
OF_SHIP: Final = ("bollard", "drift", "off_fenders")
"""Causes that tending may make worse, beside those of lines."""
WORSE: Final = 0.01
"""Of a limit: less is the same."""


@dataclass(frozen=True, slots=True, eq=False)
class Tried:
    """States after k deeds at m instants: `value` (k, m, causes) the shares of the line that is tended;
    `over` by what part of its limit each is past it, negative while it is kept; `others` (k, m, x) the same
    of the other lines and of the ship. NaN: not known, or no limit."""

    value: Floats
    over: Floats
    others: Floats

    def harmless_until(self) -> NDArray[np.intp]:
        """Return (k,) the first instant at which a deed breaks a limit that is kept after the first one, or
        makes one worse that is passed; m where it does not."""
        over = np.concatenate([self.over, self.others], axis=2)
        worse = (over >= 0.0) & (over > over[:1] + WORSE)
        harms = np.asarray(worse.any(axis=2))
        return np.asarray(np.where(harms.any(axis=1), harms.argmax(axis=1), harms.shape[1]), dtype=np.intp)


@dataclass(frozen=True, slots=True)
class Deed:
    """Metres paid out of a line (a column) from one sample on, until it is undone at another."""

    column: int
    start: int
    metres: float
    undone: int


@dataclass(frozen=True, slots=True, eq=False)
class Deeds:
    """What deeds are added to, lengths (m, lines) of a plan in m; the limits of the shares, and the rules of
    the ship, that they are held against at `stage`."""

    basis: Basis
    present: Present
    expected: Expected
    lengths: Floats
    stage: Stage
    limits: Floats
    rules: tuple[Rule, ...]

    @classmethod
    def of(cls, basis: Basis, present: Present, expected: Expected, lengths: Floats, within: str) -> "Deeds":
        """Return deeds to be held against the limits of a stage."""
        shares = within_stage(basis.stay.limits, within)
        limits = np.array([shares.stretch_share, shares.load_share, shares.brake_share, shares.slack_share])
        rules = tuple(
            rule
            for rule in basis.rules
            if rule.cause in OF_SHIP and not (rule.cause == "drift" and rule.subject in RANGES)
        )
        return cls(basis, present, expected, lengths.copy(), Stage[within.upper()], limits, rules)

    def column(self, line: str) -> int:
        return self.basis.arrangement.ids.index(line)

    def with_deed(self, line: str, deed: PartialDeed) -> "Deeds":
        """Return further deeds, on top of this one."""
        rows = (self.expected.time >= deed.at) & (self.expected.time < deed.undone_at)
        lengths = self.lengths.copy()
        lengths[rows, self.column(line)] += deed.pay_out_m
        return replace(self, lengths=lengths)

    def tried(self, column: int, rows: NDArray[np.intp], metres: Floats) -> Tried:
        """Return the states at some samples (m,) after each of `metres` (k,) paid out of a line."""
        k, m = metres.size, rows.size
        lengths = np.tile(self.lengths[rows], (k, 1, 1))
        lengths[:, :, column] = np.maximum(lengths[:, :, column] + metres[:, None], 0.0)
        situation = self.expected.situation(1).at(np.tile(rows, k))
        held = hold(self.basis.arrangement, situation, lengths.reshape(k * m, -1))
        lines = held.lines
        value = np.stack(
            [
                lines.stretch_share,
                lines.load_share,
                lines.tension_kn / self.basis.arrangement.brake_kn,
                lines.load_share,
            ],
            axis=-1,
        ).reshape(k, m, -1, len(CAUSES))
        sense = np.array([-1.0 if cause == "slack" else 1.0 for cause in CAUSES])
        over = _past(value, self.limits, sense)
        found = assess(self.rules, Findings.of(self.basis.stay, self.basis.arrangement, situation, held))
        limits = np.array([rule.limits[self.stage - 1] for rule in self.rules])
        ship = _past(found.value, limits, np.array([rule.sense for rule in self.rules], dtype=np.float64))
        others = np.delete(over, column, axis=2).reshape(k, m, -1)
        return Tried(
            value[:, :, column], over[:, :, column], np.concatenate([others, ship.reshape(k, m, -1)], axis=2)
        )

    def wind_refuses(self, deed: Deed) -> bool:
        """Return whether the wind that is expected until it is undone speaks against a deed."""
        time = self.expected.time
        rows = np.arange(deed.start, deed.undone)
        rows = rows[:: max(1, int(EVERY_S / np.diff(time).min()))] if rows.size > 1 else rows
        situation = self.expected.situation(1).at(rows)
        if time[deed.start] <= self.present.time + SOON_S:
            situation = with_wind_of_now(situation, self.present)
        before = self.lengths[rows]
        after = before.copy()
        after[:, deed.column] += deed.metres
        return bool(not_stood(self.basis, situation, before, after).any())


def _past(value: Floats, limits: Floats, sense: Floats) -> Floats:
    """Return by what part of its limit each value is past it; NaN where there is no limit."""
    size = np.where(limits > 0.0, limits, np.nan)
    return np.asarray(sense * (value - limits) / size)
