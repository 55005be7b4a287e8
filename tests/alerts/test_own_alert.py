"""Whether a limit that is past in a calm stands in an alert of its own: that is by the wind that blows."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.alerts.own_alert import stands_in_own_alert
from alongside.alerts.rules import rules_of
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.readings import Reason
from alongside.stay.model import Limits, StageLimits
from tests.alerts.scene import findings, invented

STAY = invented()
UNWATCHED = Limits(
    brake_share=StageLimits(),
    stretch_share=StageLimits(),
    load_share=StageLimits(),
    bollard_share=StageLimits(),
)
AT_ITS_LIMIT = {
    WeakSpot("brake", "1"): {"tension_kn": (396.0, 64.0, 64.0)},
    WeakSpot("wll", "2"): {"stretch_share": (0.5, 0.97, 0.5)},
    WeakSpot("wll", "3"): {"load_share": (0.2, 0.2, 0.97)},
    WeakSpot("bollard", "B1"): {"bollard_kn": (490.0, 60.0)},
}
"""What gives, and a state in which its own alert stands: within 5 % of its limit."""
NEARLY = {
    WeakSpot("brake", "1"): {"tension_kn": (379.0, 64.0, 64.0)},
    WeakSpot("wll", "2"): {"stretch_share": (0.5, 0.94, 0.5)},
    WeakSpot("wll", "3"): {"load_share": (0.2, 0.2, 0.94)},
    WeakSpot("bollard", "B1"): {"bollard_kn": (474.0, 60.0)},
}


def stands(weak: WeakSpot, limits: Limits = STAY.limits, gust_ms: float = 5.0, **state) -> bool:  # type: ignore[no-untyped-def]
    stay = replace(STAY, limits=limits)
    found = findings(stay, **state)
    blown = replace(found.situation, wind_speed=np.array([gust_ms]), wind_gust=np.array([gust_ms]))
    (answer,) = stands_in_own_alert(rules_of(stay), replace(found, situation=blown), weak)
    return bool(answer)


@pytest.mark.parametrize("weak", AT_ITS_LIMIT, ids=str)
def test_a_limit_has_its_own_alert_where_the_stay_file_sets_it_limits(weak: WeakSpot) -> None:
    assert stands(weak, **AT_ITS_LIMIT[weak])
    assert stands(weak, gust_ms=28.0, **AT_ITS_LIMIT[weak])
    assert not stands(weak, UNWATCHED, **AT_ITS_LIMIT[weak])


@pytest.mark.parametrize("weak", NEARLY, ids=str)
def test_a_limit_that_only_this_wind_keeps_from_being_past_has_none(weak: WeakSpot) -> None:
    """Pressed onto her fenders a line bears less than in a calm, and its own alert says nothing of that."""
    assert not stands(weak)
    assert not stands(weak, **NEARLY[weak])


def test_the_alert_of_another_line_is_not_its_own() -> None:
    assert not stands(WeakSpot("wll", "2"), stretch_share=(1.2, 0.5, 0.5))
    assert not stands(WeakSpot("wll", "2"), tension_kn=(396.0, 64.0, 64.0))


def test_what_is_not_known_stands_in_no_alert() -> None:
    assert not stands(WeakSpot("brake", "1"), tension_kn=(np.nan, 64.0, 64.0))
    assert not stands(NO_WEAK_SPOT, stretch_share=(1.2, 1.2, 1.2))


def test_the_load_by_cell_counts_as_its_alert_has_it() -> None:
    found = replace(findings(STAY), counted_kn=np.array([[396.0, 64.0, 64.0]]))
    assert stands_in_own_alert(rules_of(STAY), found, WeakSpot("brake", "1")).tolist() == [True]


def test_the_worst_stage_that_is_used_counts() -> None:
    """A file may use warnings alone."""
    warns = replace(STAY.limits, brake_share=StageLimits(None, 0.6, None))
    assert stands(WeakSpot("brake", "1"), warns, tension_kn=(240.0, 64.0, 64.0))
    assert not stands(WeakSpot("brake", "1"), warns, tension_kn=(220.0, 64.0, 64.0))


@pytest.mark.parametrize(
    ("surge_m", "gust_ms", "answer"),
    [
        (1.1, 5.0, True),  # ship's gear allows 1.0 m
        (0.9, 5.0, False),  # its warning stands, which is no alarm
        (1.1, 13.8, True),
        (1.1, 13.9, False),  # Beaufort 7 begins, WMO
        (2.0, 28.0, False),
    ],
)
def test_her_drift_is_its_own_alert_only_at_its_worst_and_below_a_near_gale(
    surge_m: float, gust_ms: float, answer: bool
) -> None:
    """It says to heave her back: in a gale that is nothing to heave against."""
    assert stands(WeakSpot("drift", None), gust_ms=gust_ms, moved=(surge_m, 0.0)) == answer


def test_where_nothing_holds_her_there_is_no_place_to_judge_by() -> None:
    adrift = replace(findings(STAY, spoilt={"tide": Reason.SILENT}), pose=None)
    assert not stands_in_own_alert(rules_of(STAY), adrift, WeakSpot("drift", None)).any()
