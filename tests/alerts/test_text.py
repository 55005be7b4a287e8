"""What alerts say."""

from dataclasses import replace
from math import inf

import pytest

from alongside.alerts.assess import assess
from alongside.alerts.model import Onset
from alongside.alerts.phrases import Detail
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.alerts.text import Facts, alert_text, describe, record_text
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.usage import Gives
from alongside.readings import Reason
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from tests.alerts.scene import findings, invented

STAY = invented()
RULES = rules_of(STAY)


def rule(cause: str, subject: str) -> Rule:
    return next(rule for rule in RULES if rule.key == (cause, subject))


@pytest.mark.parametrize(
    ("cause", "subject", "stage", "value", "text"),
    [
        ("stretch", "3", 2, 0.88, "Line 3 at 88 % of its stretch allowance (warning from 85 %)"),
        (
            "stretch",
            "3",
            0,
            0.66,
            "Line 3 back within limits, stretch 66 % then (caution from 70 %)",
        ),
        ("load", "3", 3, 1.02, "Line 3 at 102 % of its working load, 33.3 t (alarm from 100 %)"),
        ("slack", "2", 1, 0.03, "Line 2 carries 1.0 t, 3 % of its working load (caution below 4 %)"),
        ("slack", "2", 2, 0.0, "Line 2 hangs slack, no load (warning below 1 %)"),
        ("brake", "1", 2, 0.9, "Line 1 at 90 % of what its brake holds, 36.7 t (warning from 85 %)"),
        (
            "bollard",
            "B1",
            1,
            0.72,
            "Bollard B1 at 72 % of its safe working load, 36.7 t from lines 1, 2 (caution from 70 %)",
        ),
        ("under_keel", "", 2, 0.55, "Under-keel clearance 0.55 m (warning below 0.60 m)"),
        ("calculation", "", 3, 1.0, "Calculation failed: tend by eye"),
        ("calculation", "", 0, 0.0, "Calculation works again"),
        ("stretch", "3", 2, float("nan"), "Line 3 at — % of its stretch allowance (warning from 85 %)"),
    ],
)
def test_texts(cause: str, subject: str, stage: int, value: float, text: str) -> None:
    assert alert_text(STAY, rule(cause, subject), Stage(stage), value) == text


def test_loads_are_in_the_unit_of_the_display() -> None:
    stay = invented(Display(force="kN"))
    assert "326 kN" in alert_text(stay, rule("load", "3"), Stage.ALARM, 1.02)


def test_a_cause_without_words_of_its_own_is_still_told() -> None:
    sinking = Rule("sinking", "", (1.0, 2.0, 3.0), unit="m")
    assert alert_text(STAY, sinking, Stage.WARNING, 2.1) == "Sinking at 2.10 m (warning from 2.00 m)"


@pytest.mark.parametrize(("angle", "way"), [(34.2, "down"), (-34.2, "up")])
def test_a_steep_line_leads_up_or_down(angle: float, way: str) -> None:
    found = findings(STAY, vertical_deg=(angle, 0.0, 0.0))
    assessment = assess(RULES, found)
    words = describe(Facts(STAY, assessment, found.readings, 0, found.lines))
    assert words(0, Stage.WARNING) == f"Line 1 leads 34° {way} (warning from 30°)"
    blunt = describe(Facts(STAY, assessment, found.readings, 0))
    assert blunt(0, Stage.WARNING) == "Line 1 leads 34° (warning from 30°)"


def fed(stage: Stage, feed: str = "gauges", **spoilt: Reason) -> str:
    found = findings(STAY, spoilt=spoilt)
    words = describe(Facts(STAY, assess(RULES, found), found.readings, 0))
    return words(RULES.index(rule("feed", feed)), stage)


def test_an_input_lost_names_what_is_now_blind() -> None:
    assert (
        fed(Stage.WARNING, tide=Reason.SILENT)
        == "Input lost: gauges: tide silent 310 s; blind: all lines, under-keel clearance"
    )
    assert (
        fed(Stage.WARNING, "anemometer", wind_speed=Reason.SILENT)
        == "Input lost: anemometer: wind speed silent 310 s; blind: wind"
    )


def test_an_input_in_doubt_blinds_nothing() -> None:
    assert fed(Stage.CAUTION, tide=Reason.STALE) == "Input doubtful: gauges: tide stale 65 s"
    assert (
        fed(Stage.CAUTION, tide=Reason.FROZEN, draught_aft=Reason.FROZEN)
        == "Input doubtful: gauges: tide, draught aft frozen"
    )
    assert (
        fed(Stage.WARNING, tide=Reason.EXPECTED) == "Tide gauge silent since 03:59: predicted tide stands in"
    )


def test_an_input_waited_for_and_one_that_is_back() -> None:
    assert fed(Stage.CAUTION, tide=Reason.WAITING) == "Waiting for input: gauges: tide not heard yet"
    assert fed(Stage.WARNING) == "Input back: gauges"


def test_without_a_charted_depth_no_clearance_is_lost() -> None:
    bare = replace(STAY, berth=replace(STAY.berth, charted_depth=None))
    rules = rules_of(bare)
    found = findings(bare, spoilt={"tide": Reason.SILENT})
    words = describe(Facts(bare, assess(rules, found), found.readings, 0))
    at = [one.key for one in rules].index(("feed", "gauges"))
    assert words(at, Stage.WARNING).endswith("blind: all lines")


def test_what_is_not_on_record_is_named() -> None:
    assert record_text(Stage.WARNING, "journal (disk full)") == "Not on record: journal (disk full)"
    assert record_text(Stage.NORMAL, "") == "All is on record again"


def test_a_value_better_than_its_limit_is_told_with_the_one_that_reached_it() -> None:
    stretch = rule("stretch", "3")
    assert alert_text(STAY, stretch, Stage.WARNING, 0.82, onset=Onset(0.86)) == (
        "Line 3 at 82 % of its stretch allowance, was 86 % (warning from 85 %)"
    )
    assert ", was" not in alert_text(STAY, stretch, Stage.WARNING, 0.88, onset=Onset(0.86))
    assert ", was" not in alert_text(STAY, stretch, Stage.WARNING, 0.8499, onset=Onset(0.8501))
    assert ", was 4 %" in alert_text(STAY, rule("slack", "2"), Stage.CAUTION, 0.12, onset=Onset(0.04))


def test_nobody_has_answered_since() -> None:
    text = alert_text(STAY, rule("stretch", "3"), Stage.WARNING, 1.04, onset=Onset(0.86, 1_772_424_000.0))
    assert text.endswith(", nobody has answered since 04:00")


def test_what_is_over_is_told_in_the_past() -> None:
    detail = Detail(1_772_424_000.0)
    assert alert_text(STAY, rule("brake", "1"), Stage.NORMAL, 0.475, detail) == (
        "Line 1 back within limits 04:00, load on its brake 48 % then (caution from 70 %)"
    )
    assert alert_text(STAY, rule("steep", "1"), Stage.NORMAL, 0.0, detail) == (
        "Line 1 hung slack 04:00: no lead to watch"
    )


@pytest.mark.parametrize(
    ("alongside", "way", "moved", "where"),
    [
        ("starboard", "sway", 1.08, "off the berth"),
        ("starboard", "sway", -1.08, "onto the berth"),
        ("starboard", "surge", 1.08, "ahead of her place"),
        ("port", "surge", 1.08, "astern of her place"),
    ],
)
def test_which_way_she_has_moved(alongside: str, way: str, moved: float, where: str) -> None:
    stay = replace(STAY, alongside=alongside)
    text = alert_text(stay, rule("drift", way), Stage.CAUTION, 1.08, Detail(moved_m=moved))
    assert text.startswith(f"Ship 1.08 m {where} (caution from")


@pytest.mark.parametrize(
    ("gives", "where", "says"),
    [
        ("off_fenders", None, "Wind takes 92 % of what keeps her on her fenders (alarm from 90 %)"),
        ("wll", "4", "Wind takes 92 % of what line 4 can bear (alarm from 90 %)"),
        ("brake", "4", "Wind takes 92 % of what the brake of line 4 holds (alarm from 90 %)"),
        ("bollard", "B3", "Wind takes 92 % of what bollard B3 can bear (alarm from 90 %)"),
        (None, None, "Wind takes 92 % of what she is held against (alarm from 90 %)"),
    ],
)
def test_wind_is_told_by_what_gives_first(gives: Gives | None, where: str | None, says: str) -> None:
    holding = Rule("holding", "", (0.60, 0.75, 0.90))
    assert alert_text(STAY, holding, Stage.ALARM, 0.92, Detail(weak=WeakSpot(gives, where))) == says


def test_wind_where_a_limit_is_past_in_a_calm() -> None:
    holding = Rule("holding", "", (0.60, 0.75, 0.90))
    said = alert_text(STAY, holding, Stage.ALARM, inf, Detail(weak=WeakSpot("brake", "4")))
    assert said == "Wind has no share in it: the brake of line 4 renders even in a calm (alarm from 90 %)"


def test_a_load_cell_is_told_beside_what_is_computed() -> None:
    detail = Detail(measured_kn=70.6, computed_kn=154.0)
    tension = Rule("tension", "3", (0.10, 0.25, float("nan")), line="3")
    assert alert_text(STAY, tension, Stage.WARNING, 0.26, detail) == (
        "Line 3: cell says 7.2 t, computed 15.7 t: look at it; tend to the cell if true "
        "(warning from 8.2 t apart)"
    )
