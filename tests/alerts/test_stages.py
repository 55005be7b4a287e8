"""The stage of every cause of every line at one instant, and which is the worst."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.assess import assess, line_levels, line_stages, stages_at
from alongside.alerts.rules import rules_of
from alongside.readings import Reason
from alongside.stay.causes import CAUSES, Cause, worst_cause
from alongside.stay.stage import Stage
from tests.alerts.scene import findings, invented

STAY = invented()
RULES = rules_of(STAY)
LINES = ("1", "2", "3")
NAN = float("nan")


def stages(**found: object) -> dict[str, dict[str, Stage]]:
    assessment = assess(RULES, findings(STAY, **found))  # type: ignore[arg-type]
    return dict(zip(LINES, next(line_stages(assessment, LINES, [0])), strict=True))


def test_every_cause_that_watches_a_line_has_a_stage() -> None:
    by_line = stages(stretch_share=(0.9, 0.5, 0.5), vertical_deg=(26.0, 12.0, 12.0))
    assert by_line["1"] == {
        "steep": Stage.CAUTION,
        "stretch": Stage.WARNING,
        "slack": Stage.NORMAL,
        "brake": Stage.NORMAL,
    }
    assert set(by_line["2"]) == {"steep", "stretch", "slack"}  # no brake on its winch
    assert set(by_line["3"]) == {"steep", "stretch", "load", "slack"}  # an allowance of its own
    assert worst_cause(by_line["1"], {}) == "stretch"  # type: ignore[arg-type]
    assert worst_cause(by_line["2"], {}) == ""  # type: ignore[arg-type]


def test_a_line_that_leads_up_is_as_steep_as_one_that_leads_down() -> None:
    up, down = stages(vertical_deg=(-50.0, 12.0, 12.0)), stages(vertical_deg=(50.0, 12.0, 12.0))
    assert up == down
    assert up["1"]["steep"] is Stage.ALARM


def test_a_slack_line_is_not_steep() -> None:
    by_line = stages(vertical_deg=(50.0, 12.0, 12.0), load_share=(0.005, 0.2, 0.2))
    assert by_line["1"]["steep"] is Stage.NORMAL
    assert worst_cause(by_line["1"], {}) == "slack"  # type: ignore[arg-type]


def test_what_is_not_known_has_no_stage() -> None:
    by_line = stages(stretch_share=(NAN, 0.5, 0.5))
    assert set(by_line["1"]) == {"steep", "slack", "brake"}
    nothing = dict.fromkeys(
        ("vertical_deg", "stretch_share", "load_share", "tension_kn", "unstretched_m"), (NAN,) * 3
    )
    assert stages(**nothing) == {"1": {}, "2": {}, "3": {}}


def test_stages_of_the_ship_stand_by_cause_and_subject() -> None:
    found = findings(
        STAY, moved=(0.8, 0.0), off_m=0.2, bollard_kn=(450.0, 0.0), spoilt={"tide": Reason.SILENT}
    )
    of = stages_at(assess(RULES, found), 0)
    assert of["drift", "surge"] is Stage.WARNING
    assert of["drift", "sway"] is Stage.NORMAL
    assert of["off_fenders", ""] is Stage.WARNING
    assert of["bollard", "B1"] is Stage.WARNING
    assert ("under_keel", "") not in of  # the tide is not known


def test_what_is_only_expected_is_no_stage_of_now() -> None:
    rules = rules_of(replace(STAY, tide=object()), ahead=True)  # type: ignore[arg-type]
    found = replace(findings(STAY), next_limits=())
    assert not any(cause == "ahead" for cause, _subject in stages_at(assess(rules, found), 0))


@given(
    st.dictionaries(st.sampled_from(CAUSES), st.sampled_from(Stage)),
    st.dictionaries(st.sampled_from(CAUSES), st.sampled_from((10.0, 72.0, 90.0))),
)
def test_the_worst_cause_is_one_of_the_worst_stage(
    by_cause: dict[Cause, Stage], bars: dict[Cause, float]
) -> None:
    """Of those the highest bar, of equal ones the first of all causes."""
    worst = worst_cause(by_cause, bars)
    top = max(by_cause.values(), default=Stage.NORMAL)
    if not top:
        assert worst == ""
        return
    equals = [cause for cause in CAUSES if by_cause.get(cause) is top]
    top_bar = max(bars.get(cause, 0.0) for cause in equals)
    assert worst == next(cause for cause in equals if bars.get(cause, 0.0) == top_bar)


@given(
    st.lists(st.floats(0.0, 1.5) | st.just(NAN), min_size=3, max_size=3),
    st.lists(st.floats(-90.0, 90.0), min_size=3, max_size=3),
)
def test_stages_of_one_line_and_the_worst_of_all_instants_agree(
    shares: list[float], angles: list[float]
) -> None:
    found = findings(STAY, stretch_share=shares, load_share=shares, vertical_deg=angles)
    assessment = assess(RULES, found)
    worst = [max(each.values(), default=Stage.NORMAL) for each in next(line_stages(assessment, LINES, [0]))]
    np.testing.assert_array_equal(line_levels(assessment, LINES)[0], worst)
