"""Whether a limit that is past without any wind stands in an alert of its own in the wind that blows.

Then that alert says what to do, and none on the wind is raised beside it: one situation is one alert. This
wind may keep a line below the limit that it is at in a calm: then no other alert knows.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Rule
from alongside.mechanics.holding import WeakSpot
from alongside.stay.gear import RANGES

CAUSES: Final = {
    "wll": ("stretch", "load"),
    "brake": ("brake",),
    "bollard": ("bollard",),
    "drift": ("drift",),
}
"""Causes of alerts by what gives."""
NEAR_GALE_MS: Final = 13.9
"""Beaufort 7, m/s (WMO); a gust of it counts."""


def stands_in_own_alert(rules: Sequence[Rule], findings: Findings, weak: WeakSpot) -> NDArray[np.bool_]:
    """Return (n,) whether the alert of what gives first is at its worst stage, or in the deadband of that, by
    what was found at n instants in one state. That of her drift does not count in a near gale: it says to
    heave her back, and calls nobody."""
    own = tuple(
        each for each in rules if each.cause in CAUSES.get(weak.gives or "", ()) and _is_of(each, weak)
    )
    if not own:
        return np.zeros(len(findings), dtype=bool)
    worst = [max(np.flatnonzero(~np.isnan(rule.limits))) + 1 for rule in own]
    stands: NDArray[np.bool_] = np.asarray((assess(own, findings).keep >= worst).any(axis=1))
    if weak.gives == "drift":
        here = findings.situation
        stands[np.fmax(here.wind_speed, here.wind_gust) >= NEAR_GALE_MS] = False
    return stands


def _is_of(rule: Rule, weak: WeakSpot) -> bool:
    return rule.subject not in RANGES if weak.gives == "drift" else rule.subject == weak.where
