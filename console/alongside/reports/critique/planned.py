"""Where the lines lead over the stay as planned: the ship in place, tide and draughts of the plan."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.geometry import horizontal_deg, leads_of, vertical_deg
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Pose
from alongside.mechanics.tension import tensions_of
from alongside.readings import Floats
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.worst_line import planned_hours, unstretched_as_stated
from alongside.stay.model import Stay


@dataclass(frozen=True)
class Planned:
    """A stay from making fast on, by its plan. Angles deg, lengths m."""

    stay: Stay

    @cached_property
    def afloat(self) -> Afloat:
        return Afloat(self.stay)

    @cached_property
    def arrangement(self) -> Arrangement:
        return arrangement_of(self.stay)

    @cached_property
    def situation(self) -> Situation:
        return planned_hours(self.stay)

    @cached_property
    def _leads(self) -> tuple[Floats, Floats, Floats]:
        here = self.situation
        nothing = np.zeros(len(here))
        pose = Pose(
            nothing, nothing, nothing, here.tide, here.draught_fwd, here.draught_aft, here.heel_deg, here.time
        )
        leads = leads_of(self.arrangement, pose)
        return horizontal_deg(leads).T, vertical_deg(leads).T, leads.path.T

    @property
    def ahead_deg(self) -> Floats:
        """Return the horizontal angle of each line from ahead (n, lines), 90 abeam."""
        return self._leads[0]

    @property
    def down_deg(self) -> Floats:
        """Return how far each leads down from its fairlead (n, lines)."""
        return self._leads[1]

    @cached_property
    def unstretched(self) -> Floats:
        """Return the main rope of each line (lines,), made fast as stated; NaN where that is not known."""
        return unstretched_as_stated(self.stay, self.arrangement)

    def loads_after(self, metres: Floats) -> Floats:
        """Return the load of each line, kN (n, lines), where its fairlead moves so many metres (n,) away
        along its lead from where it lies when all are fast."""
        path = self._leads[2][:1] + metres[:, None]
        tension, _ = tensions_of(self.arrangement, self.unstretched)(path.T)
        return tension.T
