"""What alerts say."""

import re
from dataclasses import replace
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.assess import assess
from alongside.alerts.gear_text import record_text
from alongside.alerts.model import Onset
from alongside.alerts.phrases import PHRASES, Detail
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.alerts.text import Facts, alert_text, describe
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.usage import Gives
from alongside.readings import Reason
from alongside.stay.causes import Cause
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.doubts import SET_ASIDE
from tests.alerts.scene import findings, invented

STAY = invented()
RULES = rules_of(STAY)
BY_CAUSE = {rule.cause: rule for rule in RULES} | {
    "tension": Rule("tension", "3", (0.10, 0.25, float("nan")), line="3"),
    "holding": Rule("holding", "", (0.60, 0.75, 0.90)),
    "gangway": Rule("gangway", "high", (float("nan"), 3.0, float("nan")), unit="m"),
    "heading": Rule("heading", "", (float("nan"), 10.0, float("nan")), unit="deg"),
}


def rule(cause: str, subject: str) -> Rule:
    return next(rule for rule in RULES if rule.key == (cause, subject))


@pytest.mark.parametrize(
    ("cause", "subject", "stage", "value", "text"),
    [
        ("stretch", "3", 2, 0.88, "Line 3 stretch 88 % (limit 85 %)"),
        ("stretch", "3", 0, 0.66, "Line 3 stretch within limits: 66 % (limit 70 %)"),
        ("load", "3", 3, 1.02, "Line 3 load 33.3 t, 102 % of WLL (limit 100 %)"),
        ("slack", "2", 1, 0.03, "Line 2 slack: 1.0 t (limit 4 % of WLL)"),
        ("slack", "2", 2, 0.0, "Line 2 slack: no load (limit 1 % of WLL)"),
        ("brake", "1", 2, 0.9, "Line 1 brake 90 %: 36.7 of 40.8 t (limit 85 %)"),
        ("bollard", "B1", 1, 0.72, "Bollard B1 load 72 %: 36.7 of 51.0 t, lines 1, 2 (limit 70 %)"),
        ("under_keel", "", 2, 0.55, "UKC 0.55 m (limit 0.60 m)"),
        ("off_fenders", "", 2, 0.29, "Ship 0.29 m off fenders (limit 0.15 m)"),
        ("calculation", "", 3, 1.0, "Calculation failed"),
        ("calculation", "", 0, 0.0, "Calculation works again"),
        ("stretch", "3", 2, float("nan"), "Line 3 stretch — (limit 85 %)"),
    ],
)
def test_texts(cause: str, subject: str, stage: int, value: float, text: str) -> None:
    assert alert_text(STAY, rule(cause, subject), Stage(stage), value) == text


def test_loads_are_in_the_unit_of_the_display() -> None:
    stay = invented(Display(force="kN"))
    assert "326 kN" in alert_text(stay, rule("load", "3"), Stage.ALARM, 1.02)


def test_a_cause_without_words_of_its_own_is_still_told() -> None:
    sinking = Rule("sinking", "", (1.0, 2.0, 3.0), unit="m")
    assert alert_text(STAY, sinking, Stage.WARNING, 2.1) == "Sinking 2.10 m (limit 2.00 m)"


@pytest.mark.parametrize(("angle", "way"), [(34.2, "down"), (-34.2, "up")])
def test_a_steep_line_leads_up_or_down(angle: float, way: str) -> None:
    found = findings(STAY, vertical_deg=(angle, 0.0, 0.0))
    assessment = assess(RULES, found)
    words = describe(Facts(STAY, assessment, found.readings, 0, found.lines))
    assert words(0, Stage.WARNING) == f"Line 1 steep: 34° {way} (limit 30°)"
    blunt = describe(Facts(STAY, assessment, found.readings, 0))
    assert blunt(0, Stage.WARNING) == "Line 1 steep: 34° (limit 30°)"


def fed(stage: Stage, feed: str = "gauges", **spoilt: Reason) -> str:
    found = findings(STAY, spoilt=spoilt)
    words = describe(Facts(STAY, assess(RULES, found), found.readings, 0))
    return words(RULES.index(rule("feed", feed)), stage)


def test_an_input_lost_names_what_is_now_blind() -> None:
    assert (
        fed(Stage.WARNING, tide=Reason.SILENT)
        == "Feed gauges: tide no signal since 03:54; not watched: all lines, UKC"
    )
    assert (
        fed(Stage.WARNING, "anemometer", wind_speed=Reason.SILENT)
        == "Feed anemometer: wind no signal since 03:54; not watched: wind"
    )


def test_an_input_in_doubt_blinds_nothing() -> None:
    assert fed(Stage.CAUTION, tide=Reason.STALE) == "Feed gauges doubtful: tide late since 03:58"
    assert (
        fed(Stage.CAUTION, tide=Reason.FROZEN, draught_aft=Reason.FROZEN)
        == "Feed gauges doubtful: tide, draught aft does not move"
    )
    assert (
        fed(Stage.WARNING, tide=Reason.EXPECTED) == "Tide gauge: no signal since 03:59; expected from table"
    )


def test_a_gauge_set_aside_by_hand_is_not_one_without_a_signal() -> None:
    found = findings(STAY, spoilt={"tide": Reason.EXPECTED, "draught_aft": Reason.EXPECTED})
    aside = replace(found.readings, whys=((0, {"tide": SET_ASIDE}),))
    words = describe(Facts(STAY, assess(RULES, found), aside, 0))(
        RULES.index(rule("feed", "gauges")), Stage.WARNING
    )
    assert words.startswith(
        "Tide gauge: set aside by hand; expected from table; Draught aft gauge: no signal"
    )


def test_an_input_waited_for_and_one_that_is_back() -> None:
    waiting = "Feed gauges: tide not heard yet; not watched: all lines, UKC"
    assert fed(Stage.CAUTION, tide=Reason.WAITING) == waiting
    both = fed(Stage.WARNING, tide=Reason.WAITING, draught_aft=Reason.EXPECTED)
    assert both.startswith("Draught aft gauge: no signal")
    assert both.endswith("; tide not heard yet; not watched: all lines, UKC")
    assert fed(Stage.WARNING) == "Feed gauges: signal is back"


def test_without_a_charted_depth_no_clearance_is_lost() -> None:
    bare = replace(STAY, berth=replace(STAY.berth, charted_depth=None))
    rules = rules_of(bare)
    found = findings(bare, spoilt={"tide": Reason.SILENT})
    words = describe(Facts(bare, assess(rules, found), found.readings, 0))
    at = [one.key for one in rules].index(("feed", "gauges"))
    assert words(at, Stage.WARNING).endswith("not watched: all lines")


def test_what_is_not_on_record_is_named() -> None:
    assert record_text(Stage.WARNING, "journal (disk full)") == "Not on record: journal (disk full)"
    assert record_text(Stage.NORMAL, "") == "All is on record"


def test_a_value_better_than_its_limit_is_told_with_the_one_that_reached_it() -> None:
    stretch = rule("stretch", "3")
    assert alert_text(STAY, stretch, Stage.WARNING, 0.82, onset=Onset(0.86)) == (
        "Line 3 stretch easing: 82 %, was 86 %"
    )
    assert alert_text(STAY, stretch, Stage.WARNING, 0.82, onset=Onset(0.86, rising=True)) == (
        "Line 3 stretch 86 % (limit 85 %), 82 % now"
    ), "what is just raised is not easing"
    assert ", was" not in alert_text(STAY, stretch, Stage.WARNING, 0.88, onset=Onset(0.86))
    assert ", was" not in alert_text(STAY, stretch, Stage.WARNING, 0.8499, onset=Onset(0.8501))
    assert ", was 4 % of WLL" in alert_text(STAY, rule("slack", "2"), Stage.CAUTION, 0.12, onset=Onset(0.04))


def test_a_line_slack_by_what_is_computed_whose_cell_says_otherwise() -> None:
    slack, detail = rule("slack", "2"), Detail(measured_kn=18.0, computed_kn=0.0)
    text = alert_text(STAY, slack, Stage.WARNING, 0.0, detail)
    assert text == "Line 2 slack: cell 1.8 t, computed no load (limit 1 % of WLL)"
    assert "cell" not in alert_text(STAY, slack, Stage.WARNING, 0.0, Detail(measured_kn=0.4, computed_kn=0.0))


def test_nobody_has_answered_since() -> None:
    text = alert_text(STAY, rule("stretch", "3"), Stage.WARNING, 1.04, onset=Onset(0.86, 1_772_424_000.0))
    assert text.endswith("; not acknowledged since 04:00")


def test_what_is_over_is_told_in_the_past() -> None:
    detail = Detail(1_772_424_000.0)
    assert alert_text(STAY, rule("brake", "1"), Stage.NORMAL, 0.475, detail) == (
        "Line 1 brake within limits since 04:00: 48 %: 19.4 of 40.8 t (limit 70 %)"
    )
    assert alert_text(STAY, rule("steep", "1"), Stage.NORMAL, 0.0, detail) == (
        "Line 1 not steep since 04:00: no load then, angle not judged"
    )


@pytest.mark.parametrize(
    ("alongside", "way", "moved", "where"),
    [
        ("starboard", "sway", 1.08, "off the berth"),
        ("starboard", "sway", -1.08, "onto the berth"),
        ("starboard", "surge", 1.08, "ahead of place"),
        ("port", "surge", 1.08, "astern of place"),
    ],
)
def test_which_way_she_has_moved(alongside: str, way: str, moved: float, where: str) -> None:
    stay = replace(STAY, alongside=alongside)
    text = alert_text(stay, rule("drift", way), Stage.CAUTION, 1.08, Detail(moved_m=moved))
    assert text.startswith(f"Ship 1.08 m {where} (limit ")


@pytest.mark.parametrize(
    ("gives", "where", "says"),
    [
        ("off_fenders", None, "Wind 41 kn, lines hold 44 kn (fenders)"),
        ("wll", "4", "Wind 41 kn, lines hold 44 kn (load of line 4)"),
        ("brake", "4", "Wind 41 kn, lines hold 44 kn (brake of line 4)"),
        ("bollard", "B3", "Wind 41 kn, lines hold 44 kn (bollard B3)"),
        (None, None, "Wind 41 kn, lines hold 44 kn"),
    ],
)
def test_wind_stands_beside_what_lines_hold_and_what_gives_first(
    gives: Gives | None, where: str | None, says: str
) -> None:
    holding = Rule("holding", "", (0.60, 0.75, 0.90))
    detail = Detail(weak=WeakSpot(gives, where), wind_ms=21.1)  # 21.1 m/s / 0.92 = 44.6 kn: 44 are held
    assert alert_text(STAY, holding, Stage.ALARM, 0.92, detail) == says


def test_wind_where_a_limit_is_past_in_a_calm() -> None:
    holding = Rule("holding", "", (0.60, 0.75, 0.90))
    text = alert_text(STAY, holding, Stage.ALARM, inf, Detail(weak=WeakSpot("brake", "4")))
    assert text == "Over limit without wind: brake of line 4"


@pytest.mark.parametrize("stage", [Stage.NORMAL, Stage.CAUTION, Stage.ALARM])
def test_a_limit_past_without_wind_that_has_its_own_alert_is_never_within_limits(stage):
    holding = Rule("holding", "", (0.60, 0.75, 0.90))
    detail = Detail(wind_ms=37.0 * 0.514444, weak=WeakSpot("brake", "4"))
    text = alert_text(STAY, holding, stage, -inf, detail)
    assert text == "Wind 37 kn: see the alert of brake of line 4"


def test_a_gangway_out_of_reach() -> None:
    high = Rule("gangway", "high", (float("nan"), 3.0, float("nan")), unit="m")
    assert alert_text(STAY, high, Stage.WARNING, 3.2) == (
        "Gangway too high: rail 3.20 m over quay (limit 3.00 m)"
    )


def test_a_load_cell_is_told_beside_what_is_computed() -> None:
    detail = Detail(measured_kn=70.6, computed_kn=154.0)
    tension = Rule("tension", "3", (0.10, 0.25, float("nan")), line="3")
    assert alert_text(STAY, tension, Stage.WARNING, 0.26, detail) == (
        "Line 3 cell 7.2 t, computed 15.7 t (limit 8.2 t apart)"
    )


RIDDLES = (
    "takes",
    "share in it",
    "even in a calm",
    "hung",
    "told",
    "reckoned",
    "stands in",
    "silent",
    "blind",
)
OPENINGS = st.sampled_from(sorted(PHRASES))


@given(OPENINGS, st.sampled_from(Stage), st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_no_text_is_a_riddle_or_long(cause: Cause, stage: Stage, value: float, was: float) -> None:
    """One sentence of twelve words at most before what is added to it; figures count as one word."""
    rule = BY_CAUSE[cause]
    for text in (
        alert_text(STAY, rule, stage, value, Detail(1.77e9, wind_ms=20.0)),
        alert_text(STAY, rule, stage, value, Detail(wind_ms=20.0), Onset(was)),
    ):
        assert not any(riddle in text.lower() for riddle in RIDDLES)
        for part in re.split(r"[;:]", text.split(" (limit")[0]):
            assert len(part.replace(" %", "").replace(" t", "").replace(" m", "").split()) <= 12
        assert "nan" not in text
