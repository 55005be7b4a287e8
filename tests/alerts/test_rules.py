"""Causes, their values and their stages."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.assess import assess, changed_rows, line_levels
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import RULE_SETS, rules_of
from alongside.readings import Reason
from alongside.stay.model import Feed, Limits, Source, StageLimits
from alongside.stay.stage import Stage
from tests.alerts.scene import findings, invented

STAY = invented()
RULES = rules_of(STAY)


def outcome(cause: str, subject: str, **found: object) -> tuple[float, Stage, Stage]:
    """Value, level and keep of one rule."""
    assessment = assess(RULES, findings(STAY, **found))  # type: ignore[arg-type]
    at = [rule.key for rule in RULES].index((cause, subject))
    value, level, keep = (array[0, at] for array in (assessment.value, assessment.level, assessment.keep))
    return float(value), Stage(int(level)), Stage(int(keep))


def test_the_rules_of_a_stay() -> None:
    subjects: dict[str, list[str]] = {}
    for rule in RULES:
        subjects.setdefault(rule.cause, []).append(rule.subject)
    assert subjects == {
        "steep": ["1", "2", "3"],
        "stretch": ["1", "2", "3"],
        "load": ["3"],  # elsewhere a stretch share of 1 is the working load limit: one situation, one alert
        "slack": ["1", "2", "3"],
        "brake": ["1"],  # the only winch with a brake
        "bollard": ["B1"],  # the other bollard's SWL is not known
        "under_keel": [""],
        "drift": ["surge", "sway", "surge_range", "sway_range", "yaw_range"],
        "off_fenders": [""],
        # no gangway, gyro, load cells, wind areas or alerts out in the file: no rules of these
        "parted": ["1", "2", "3"],
        "not_known": ["1", "2", "3"],
        "feed": ["gauges", "anemometer"],
        "calculation": [""],
        "record": [""],
        "clock": [""],
        "caller": [""],
    }
    without = ("gangway", "holding", "tension", "decide", "ahead", "heading", "bridge")
    assert list(subjects) == [each.cause for each in RULE_SETS if each.cause not in without]


def test_a_cause_without_limits_has_no_rules() -> None:
    off = replace(STAY, limits=Limits(steep_deg=StageLimits(), under_keel_m=StageLimits()))
    assert {rule.cause for rule in RULES} - {rule.cause for rule in rules_of(off)} == {"steep", "under_keel"}


def test_no_charted_depth_no_clearance() -> None:
    unknown = replace(STAY, berth=replace(STAY.berth, charted_depth=None))
    assert "under_keel" not in {rule.cause for rule in rules_of(unknown)}


@pytest.mark.parametrize(
    ("angle", "level", "keep"),
    [
        (23.7, Stage.NORMAL, Stage.NORMAL),
        (23.8, Stage.NORMAL, Stage.CAUTION),  # deadband 5 % of 25 deg
        (25.0, Stage.CAUTION, Stage.CAUTION),  # MEG2: lightest ballast at most 25 deg
        (30.0, Stage.WARNING, Stage.WARNING),  # MEG2: preferably not above 30 deg
        (-46.0, Stage.ALARM, Stage.ALARM),  # up is as bad as down
    ],
)
def test_ocimf_meg2_steepness(angle: float, level: Stage, keep: Stage) -> None:
    value, *stages = outcome("steep", "2", vertical_deg=(0.0, angle, 0.0))
    assert value == abs(angle)
    assert stages == [level, keep]


def test_shares_are_reached_at_their_limit() -> None:
    assert outcome("stretch", "1", stretch_share=(0.85, 0, 0))[1] is Stage.WARNING
    assert outcome("stretch", "1", stretch_share=(0.84999, 0, 0))[1:] == (Stage.CAUTION, Stage.WARNING)
    assert outcome("load", "3", load_share=(0, 0, 1.0))[1] is Stage.ALARM


def test_less_is_worse_for_slack_and_clearance() -> None:
    assert outcome("slack", "1", load_share=(0.041, 1, 1))[1:] == (Stage.NORMAL, Stage.CAUTION)
    assert outcome("slack", "1", load_share=(0.04, 1, 1))[1] is Stage.CAUTION
    assert outcome("slack", "1", load_share=(0.0, 1, 1))[1] is Stage.WARNING


def test_clearance_is_under_the_deeper_end() -> None:
    # 12 m charted + 2 m tide - 8 m at the aft mark, and 2 m x 1 m / 76 m more at the perpendicular; ours
    assert outcome("under_keel", "")[0] == pytest.approx(14.0 - 8.0 - 2.0 / 76.0)
    assert np.isnan(outcome("under_keel", "", spoilt={"draught_fwd": Reason.SILENT})[0])


def test_a_line_that_hangs_slack_is_not_steep() -> None:
    value, level, _ = outcome("steep", "2", vertical_deg=(0.0, 50.0, 0.0), load_share=(0.5, 0.01, 0.5))
    assert (value, level) == (0.0, Stage.NORMAL)
    assert outcome("slack", "2", load_share=(0.5, 0.01, 0.5))[1] is Stage.WARNING


def test_drift_either_way_against_what_the_gear_allows() -> None:
    # ship's gear: surge 1.0 m, sway 1.2 m, PIANC 1995 from memory; caution at half, warning at three quarters
    assert outcome("drift", "surge", moved=(-0.8, 0.1))[:2] == (0.8, Stage.WARNING)
    assert outcome("drift", "sway", moved=(0.0, 0.59))[:2] == (0.59, Stage.NORMAL)
    assert outcome("drift", "sway", moved=(0.0, -1.21))[:2] == (1.21, Stage.ALARM)


def test_off_the_fenders_counts_from_the_nearest() -> None:
    assert outcome("off_fenders", "", off_m=-0.05)[:2] == (0.0, Stage.NORMAL)
    assert outcome("off_fenders", "", off_m=0.2)[:2] == (0.2, Stage.WARNING)


def test_in_place_there_is_nothing_to_drift() -> None:
    causes = {rule.cause for rule in rules_of(replace(STAY, balance=False))}
    assert not causes & {"drift", "off_fenders", "holding"}


def test_measured_against_computed_either_way() -> None:
    cell = Source("tension.2", sentence="XDR", names=("L02",))
    stay = replace(STAY, feeds=(*STAY.feeds, Feed("cells", "udp:4001", (cell,))))
    rules = rules_of(stay)
    at = [rule.key for rule in rules].index(("tension", "2"))
    found = findings(stay, tension_kn=(0.0, 100.0, 0.0))
    read = found.readings
    for measured in (160.0, 40.0):
        cells = replace(
            read,
            channels=(*read.channels, "tension.2"),
            value=np.column_stack([read.value, [measured]]),
            quality=np.column_stack([read.quality, [0]]).astype(np.int8),
            reason=np.column_stack([read.reason, [0]]).astype(np.int8),
            age=np.column_stack([read.age, [0.0]]),
        )
        value = assess(rules, replace(found, readings=cells)).value[0, at]
        assert value == pytest.approx(60.0 / stay.lines[1].smallest_wll_kn)


def test_brake_and_bollard_shares() -> None:
    assert outcome("brake", "1", tension_kn=(340.0, 0, 0))[:2] == (0.85, Stage.WARNING)
    assert outcome("bollard", "B1", bollard_kn=(350.0, 9e9))[:2] == (0.7, Stage.CAUTION)


def test_a_line_not_made_fast_has_no_stage() -> None:
    nan = float("nan")
    loose = {"unstretched_m": (nan,) * 3, "load_share": (nan,) * 3, "stretch_share": (nan,) * 3}
    for cause in ("steep", "stretch", "slack"):
        value, *stages = outcome(cause, "1", vertical_deg=(60.0, 60.0, 60.0), **loose)
        assert np.isnan(value)
        assert stages == [Stage.NORMAL, Stage.NORMAL]


@pytest.mark.parametrize(
    ("reason", "level", "age"),
    [
        (Reason.STALE, Stage.CAUTION, 65.0),
        (Reason.FROZEN, Stage.CAUTION, 5.0),
        (Reason.SILENT, Stage.WARNING, 310.0),
        (Reason.OUT_OF_RANGE, Stage.WARNING, 5.0),
        (Reason.EXPECTED, Stage.WARNING, 5.0),  # what stands in for it is not measured
        (Reason.WAITING, Stage.CAUTION, 1.0),  # nothing that was known is lost
        (Reason.NOT_FITTED, Stage.NORMAL, 5.0),
    ],
)
def test_a_feed_is_as_good_as_its_worst_channel(reason: Reason, level: Stage, age: float) -> None:
    assert outcome("feed", "gauges", spoilt={"tide": reason}) == (age, level, level)
    assert outcome("feed", "anemometer", spoilt={"tide": reason})[1] is Stage.NORMAL


def test_a_feed_never_heard_has_a_level_but_no_age() -> None:
    value, level, _keep = outcome("feed", "anemometer", spoilt={"wind_speed": Reason.WAITING})
    assert np.isnan(value)
    assert level is Stage.CAUTION
    assert assess(RULES, findings(STAY, spoilt={"wind_speed": Reason.WAITING})).known.all()


def test_a_failed_calculation_is_an_alarm() -> None:
    assert outcome("calculation", "", fault=True)[1] is Stage.ALARM
    assert outcome("calculation", "")[1] is Stage.NORMAL


def test_what_is_not_on_record_is_a_warning() -> None:
    at = [rule.key for rule in RULES].index(("record", ""))
    lacking = replace(findings(STAY), unrecorded="journal (disk full)")
    assert assess(RULES, lacking).level[0, at] == Stage.WARNING
    assert assess(RULES, findings(STAY)).level[0, at] == Stage.NORMAL


def test_stages_that_are_not_used_are_passed_over() -> None:
    nan = float("nan")
    only = (
        Rule("stretch", "1", (0.7, nan, 1.0)),
        Rule("stretch", "2", (nan, 0.85, nan)),
        Rule("stretch", "3", (nan, nan, 1.0)),
    )
    for share, expected in [(0.8, [1, 0, 0]), (0.9, [1, 2, 0]), (1.0, [3, 2, 3])]:
        assessment = assess(only, findings(STAY, stretch_share=(share,) * 3))
        assert assessment.level[0].tolist() == expected


@given(st.lists(st.floats(0.0, 2.0) | st.just(float("nan")), min_size=3, max_size=3))
def test_a_stage_is_never_above_what_may_be_kept(shares: list[float]) -> None:
    assessment = assess(RULES, findings(STAY, stretch_share=shares, load_share=shares))
    assert (assessment.level <= assessment.keep).all()
    assert not assessment.keep[np.isnan(assessment.value)].any()


def test_noise_within_a_deadband_is_no_change() -> None:
    found = findings(STAY, n=6)
    found.lines.stretch_share[:, 0] = [0.69, 0.71, 0.69, 0.70, 0.66, 0.69]
    # reached at 1, kept through 2 and 3, lost at 4 (0.665 is the eased limit), not reached again at 5
    assert changed_rows(assess(RULES, found)).tolist() == [1, 4]


def test_changed_rows_and_stages_of_lines() -> None:
    found = findings(STAY, n=5)
    found.lines.stretch_share[2:, 1] = 0.9
    found.lines.vertical_deg[3, 1] = 50.0
    found.lines.load_share[4, 2] = np.nan
    assessment = assess(RULES, found)
    assert changed_rows(assessment).tolist() == [2, 3, 4]
    assert line_levels(assessment, ["1", "2", "3"]).tolist() == [
        [0, 0, 0],
        [0, 0, 0],
        [0, 2, 0],
        [0, 3, 0],
        [0, 2, 0],
    ]


@pytest.mark.parametrize(("share", "level"), [(-np.inf, Stage.NORMAL), (np.inf, Stage.ALARM)])
def test_a_limit_past_in_a_calm_is_an_alarm_of_holding_where_it_has_no_alert(
    share: float, level: Stage
) -> None:
    found = replace(findings(STAY), holding=np.array([share]))
    outcome = assess((Rule("holding", "", (0.60, 0.75, 0.90)),), found)
    assert outcome.level[0, 0] == level
    assert outcome.known[0, 0]


def test_limits_of_load_that_the_stay_file_gives_are_watched_on_every_line() -> None:
    """Below a share of 1 stretch and load differ on a rope that stiffens: what is asked for is watched."""
    asked = replace(STAY, limits=replace(STAY.limits, load_share=StageLimits(0.2, 0.3, 0.4)))
    assert [rule.subject for rule in rules_of(asked) if rule.cause == "load"] == ["1", "2", "3"]
