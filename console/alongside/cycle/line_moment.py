"""One line at one moment: where it leads, what it carries, and the stages that follow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import isfinite, nan

import numpy as np

from alongside.alerts.assess import stages_of
from alongside.alerts.measures import watched_angle
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.cycle.who_holds import When
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.state import Hold
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True, eq=False)
class Compiled:
    """A stay made ready for sections, constant while the stay is the same."""

    stay: Stay
    arrangement: Arrangement
    rules: Mapping[tuple[Cause, str], Rule]

    @classmethod
    def of(cls, stay: Stay) -> "Compiled":
        return cls(stay, arrangement_of(stay), {rule.key: rule for rule in rules_of(stay)})


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment of a section; NaN where not known, with `why` in words.

    `water` m over chart datum; `level_m` from fairlead to far end, level; both ends' heights over chart
    datum; `edge_m` from the far end to where the line crosses the quay edge, level, NaN where it crosses
    none. Angle deg, + = leads down from the fairlead; `outboard_m` fairlead to far end; load and stretch,
    both also as if brakes in question slipped, NaN while none is. `stages` by the limits, without deadband.
    """

    when: When
    time: float
    water: float
    level_m: float = nan
    fairlead_z: float = nan
    far_z: float = nan
    edge_m: float = nan
    vertical_deg: float = nan
    outboard_m: float = nan
    tension_kn: float = nan
    load_share: float = nan
    stretch_share: float = nan
    slipped_kn: float = nan
    slipped_stretch: float = nan
    stages: Mapping[Cause, Stage] = field(default_factory=dict)
    why: str = ""

    @property
    def is_drawn(self) -> bool:
        """Return whether its lead is known."""
        return isfinite(self.level_m + self.fairlead_z + self.far_z)


def with_figures(compiled: Compiled, moment: Moment, held: Hold, row: int, column: int) -> Moment:
    """Return the moment with angle, length, load, stretch and stages of a line, by the mechanics."""
    lines = held.lines
    moment = replace(
        moment,
        vertical_deg=float(lines.vertical_deg[row, column]),
        outboard_m=float(lines.outboard_m[row, column]),
        tension_kn=float(lines.tension_kn[row, column]),
        load_share=float(lines.load_share[row, column]),
        stretch_share=float(lines.stretch_share[row, column]),
    )
    return replace(moment, stages=stages_by_rules(compiled, column, moment))


def stages_by_rules(compiled: Compiled, column: int, moment: Moment) -> dict[Cause, Stage]:
    """Return the stage of each cause that a line alone gives: steep, stretch, load, slack and brake; what is
    not known, or not watched, is left out."""
    load = np.array([moment.load_share])
    angle = watched_angle(compiled.stay, np.array([moment.vertical_deg]), load)
    brake = moment.tension_kn / compiled.arrangement.brake_kn[column]
    values: Sequence[tuple[Cause, float]] = (
        ("steep", float(angle[0]) if isfinite(moment.load_share) else nan),
        ("stretch", moment.stretch_share),
        ("load", moment.load_share),
        ("slack", moment.load_share),
        ("brake", float(brake)),
    )
    stages: dict[Cause, Stage] = {}
    line = compiled.arrangement.ids[column]
    for cause, value in values:
        rule = compiled.rules.get((cause, line))
        if rule is not None and isfinite(value):
            stages[cause] = Stage(int(stages_of(rule, np.array([value]))[0]))
    return stages
