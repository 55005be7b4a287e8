"""What alerts say."""

from dataclasses import replace

import pytest

from console.alerts.text import alert_text, describe, record_text
from console.assessment import Rule, Stage, assess, rules_of
from console.readings import Reason
from console.stay.model import Display
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
            "Line 3 back in band: at 66 % of its stretch allowance (caution from 70 %)",
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
    words = describe(STAY, RULES, assessment, found.readings, 0, found.lines)
    assert words(0, Stage.WARNING) == f"Line 1 leads 34° {way} (warning from 30°)"
    blunt = describe(STAY, RULES, assessment, found.readings, 0)
    assert blunt(0, Stage.WARNING) == "Line 1 leads 34° (warning from 30°)"


def fed(stage: Stage, feed: str = "gauges", **spoilt: Reason) -> str:
    found = findings(STAY, spoilt=spoilt)
    words = describe(STAY, RULES, assess(RULES, found), found.readings, 0)
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
    assert fed(Stage.WARNING, tide=Reason.EXPECTED) == "Input lost: gauges: tide expected, not measured"


def test_an_input_waited_for_and_one_that_is_back() -> None:
    assert fed(Stage.CAUTION, tide=Reason.WAITING) == "Waiting for input: gauges: tide not heard yet"
    assert fed(Stage.WARNING) == "Input back: gauges"


def test_without_a_charted_depth_no_clearance_is_lost() -> None:
    bare = replace(STAY, berth=replace(STAY.berth, charted_depth=None))
    rules = rules_of(bare)
    found = findings(bare, spoilt={"tide": Reason.SILENT})
    words = describe(bare, rules, assess(rules, found), found.readings, 0)
    at = [one.key for one in rules].index(("feed", "gauges"))
    assert words(at, Stage.WARNING).endswith("blind: all lines")


def test_what_is_not_on_record_is_named() -> None:
    assert record_text(Stage.WARNING, "journal (disk full)") == "Not on record: journal (disk full)"
    assert record_text(Stage.NORMAL, "") == "All is on record again"
