"""The example stays tell the stories that their notes promise, through the whole program."""

import gzip
import json
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from alongside.cli.headless import replay_headless
from alongside.forecast.expected.draughts import draughts_with_masses, masses_on_board
from alongside.forecast.tide.between_extremes import planned_height
from alongside.stay.read import read_stay
from alongside.training.simulate.log import simulate
from alongside.units import unix_time

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[1]
NAMES = ("coal_berth", "product_jetty", "coaster_quay")


class Story:
    """Events and states (every minute) of one example's log."""

    def __init__(self, name, folder):
        stay = read_stay(ROOT / "configs" / f"{name}.yaml")
        states, events = folder / f"{name}.states", folder / f"{name}.events"
        replay_headless(stay, log_of(name), states=states, events=events, every=60.0)
        self.events = [json.loads(line) for line in events.read_text().splitlines()]
        self.states = [json.loads(line) for line in states.read_text().splitlines()]

    def first(self, event, cause=None, stage=None, line=None, after="2026-01-01T00:00:00Z"):
        """Time of the first such event; fails the test where there is none."""
        for each in self.events:
            if (
                each["event"] == event
                and (cause is None or each["alert"].startswith(cause))
                and (stage is None or each["stage"] == stage)
                and (line is None or each["line"] == line)
                and each["time"] >= after
            ):
                return each["time"]
        raise AssertionError(f"no {event} {cause} {stage} {line} after {after}")

    def at(self, time):
        """The state next to a time."""
        return min(self.states, key=lambda state: abs(unix_time(state["time"]) - unix_time(time)))

    def line(self, time, name):
        return next(line for line in self.at(time)["lines"] if line["id"] == name)


def log_of(name):
    return ROOT / "replay_logs" / f"{name}.log.gz"


@pytest.fixture(scope="module")
def story_of(tmp_path_factory):
    """Stories by name, each replayed once."""
    folder, known = tmp_path_factory.mktemp("stories"), {}

    def story(name):
        if name not in known:
            known[name] = Story(name, folder)
        return known[name]

    return story


@pytest.mark.parametrize("name", NAMES)
def test_shipped_log_is_what_its_stay_file_gives(name):
    # Byte for byte; load cells, written to 0.1 kN, may round the other way on another machine's arithmetic.
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    with gzip.open(log_of(name)) as shipped:
        for ours, theirs in zip(simulate(stay), shipped, strict=True):
            assert ours == theirs or newtons_of(ours) == pytest.approx(newtons_of(theirs), abs=101.0)


def newtons_of(sentence):
    """Loads in a sentence of load cells; of any other sentence nothing, which is near to nothing."""
    loads = re.findall(rb"N,(-?[0-9]+),N,HOOK", sentence)
    assert loads, sentence
    return [float(load) for load in loads]


@pytest.mark.parametrize("name", NAMES)
def test_shipped_log_is_small_and_its_plans_reach_twelve_hours_beyond_it(name):
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    assert log_of(name).stat().st_size < 2_000_000
    assert 24.0 <= stay.simulate.hours <= 36.0
    beyond = stay.simulate.start + (stay.simulate.hours + 12.0) * 3600.0
    assert stay.tide.high_low[-1][0] > beyond
    assert max(operation.end for operation in stay.cargo) > beyond
    assert not stay.current or stay.current[-1].at > beyond


@pytest.mark.parametrize("name", NAMES)
def test_a_forecast_can_be_asked_for_from_the_first_to_the_last_hour(name):
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    start = stay.simulate.start
    time = start + np.arange(0.0, stay.simulate.hours + 12.0, 0.5) * 3600.0
    moved = masses_on_board(stay.cargo, time) - masses_on_board(stay.cargo, [start])
    x = [operation.x for operation in stay.cargo]
    fwd, aft = draughts_with_masses(stay.ship, stay.simulate.draught_fwd, stay.simulate.draught_aft, moved, x)
    assert np.isfinite(fwd + aft).all()
    assert np.isfinite(planned_height(stay.tide, time)).all()


@pytest.mark.parametrize("name", NAMES)
def test_the_ship_lies_where_all_balances(story_of, name):
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    assert stay.balance
    assert stay.ship.wind
    assert stay.ship.current
    known = [state for state in story_of(name).states if state["quality"] != "lost"]
    assert {state["sway"] for state in known} - {0.0, None}
    assert all(state["sway"] is not None for state in known)


@pytest.mark.parametrize("name", NAMES)
def test_healthy_gauges_are_not_doubted(story_of, name):
    # every doubt of a gauge falls into a fault that the stay file injects, or just after it
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    for event in story_of(name).events:
        if event["event"] == "raised" and event["alert"].startswith("feed"):
            now = unix_time(event["time"])
            causes = [f for f in stay.simulate.faults if f.at <= now <= f.at + f.seconds + 180.0]
            assert causes, event


def test_coal_berth_short_breast_goes_steep_and_tight_on_the_flood(story_of):
    story = story_of("coal_berth")
    assert "2026-03-20T03:05" < story.first("raised", "steep", "caution", "4") < "2026-03-20T03:15"
    assert "2026-03-20T03:25" < story.first("raised", "brake", "caution", "4") < "2026-03-20T03:35"
    assert "2026-03-20T03:25" < story.first("raised", "stretch", "caution", "4") < "2026-03-20T03:40"
    assert "2026-03-20T03:50" < story.first("worsened", "stretch", "warning", "4") < "2026-03-20T04:00"
    assert story.first("escalated", "stretch", "alarm", "4") < "2026-03-20T04:02"
    assert story.first("tended", line="4") == "2026-03-20T04:20:00Z"
    slacked = story.line("2026-03-20T04:25:00Z", "4")  # by what is left out, if the brake held
    assert slacked["stretch_share"] < 0.66
    assert slacked["slipped"]["tension_kn"] < 0.80 * slacked["tension_kn"]
    assert story.line("2026-03-20T04:25:00Z", "4")["vertical_deg"] > 30.0


def test_coal_berth_long_breast_of_the_same_rope_barely_moves(story_of):
    story = story_of("coal_berth")
    start, squall = "2026-03-20T03:00:00Z", "2026-03-20T03:41:00Z"
    short = story.line(squall, "4")["stretch_share"] - story.line(start, "4")["stretch_share"]
    long = story.line(squall, "5")["stretch_share"] - story.line(start, "5")["stretch_share"]
    assert short > 0.15
    assert 0.0 < long < 0.05
    assert not [e for e in story.events if e["line"] == "5" and e["event"] in ("raised", "worsened")]


def test_coal_berth_squall_takes_all_that_the_lines_hold(story_of):
    story = story_of("coal_berth")
    assert "2026-03-20T03:45" < story.first("raised", "holding") < "2026-03-20T03:50"
    assert "2026-03-20T03:48" < story.first("worsened", "holding", "alarm") < "2026-03-20T03:56"
    # The highest gust of ten minutes warns until the squall is that long over.
    assert "2026-03-20T04:28" < story.first("rectified", "holding") < "2026-03-20T04:35"


def test_coal_berth_leans_off_her_fenders_and_settles_back(story_of):
    story = story_of("coal_berth")
    assert "2026-03-20T03:55" < story.first("raised", "off_fenders", "warning") < "2026-03-20T04:00"
    gust, after = story.at("2026-03-20T03:58:00Z"), story.at("2026-03-20T04:15:00Z")
    assert 0.2 < gust["sway"] < 0.5
    assert {fender["reaction_kn"] for fender in gust["fenders"]} == {0.0}
    assert after["sway"] < 0.0
    assert min(fender["reaction_kn"] for fender in after["fenders"]) > 0.0


def test_coal_berth_worn_brake_is_in_question_from_the_squall_on(story_of):
    story = story_of("coal_berth")
    alarm = story.first("worsened", "brake", "alarm", "4")
    assert "2026-03-20T03:57:30" < alarm < "2026-03-20T03:58:30"
    asked = [state["time"] for state in story.states if state["lines"][3]["slipped"]]
    assert asked[0] == "2026-03-20T03:58:00Z"
    assert asked[-1] == "2026-03-20T10:39:00Z"  # then the line is set to 6 t: its length is known
    text = next(e["text"] for e in story.events if e["time"] == alarm and e["alert"] == "brake")
    assert text.startswith("Line 4 over its brake: slipped 0.0")
    assert text.endswith("look at winch 4")
    assert not [e for e in story.events if e["event"] in ("brake_slipped", "brake_held")]
    after = [e for e in story.events if e["alert"] == "brake" and alarm < e["time"] < asked[-1]]
    assert after == []  # one alarm that stands, not one a gust


def test_coal_berth_both_states_of_the_worn_brake_stand_side_by_side(story_of):
    story = story_of("coal_berth")
    line = story.line("2026-03-20T04:15:00Z", "4")
    assert 0.15 < line["slipped"]["paid_out_m"] < 0.50
    assert line["tension_kn"] - line["slipped"]["tension_kn"] > 30.0
    assert (line["stage"], line["because"]) == ("alarm", "brake")
    lengths = [story.line(f"2026-03-20T{time}:00Z", "4")["unstretched_m"] for time in ("03:45", "04:15")]
    assert lengths[0] == lengths[1]
    loads = [each for s in story.states for each in s["lines"] if each["id"] == "4" and each["slipped"]]
    assert max(each["slipped"]["tension_kn"] for each in loads) <= 255.1
    assert max(each["tension_kn"] for each in loads) > 265.0


def test_coal_berth_slack_at_midnight_and_steep_beyond_cure_in_the_morning(story_of):
    story = story_of("coal_berth")
    slack = story.first("worsened", "slack", "warning", "4", after="2026-03-20T22:00:00Z")
    assert "2026-03-20T23:50" < slack < "2026-03-21T00:40"
    steep = story.first("worsened", "steep", "alarm", "4")
    assert "2026-03-21T05:40" < steep < "2026-03-21T06:15"
    assert story.line("2026-03-21T07:00:00Z", "4")["vertical_deg"] > 45.0
    assert story.line("2026-03-21T07:00:00Z", "5")["vertical_deg"] < 20.0


def test_product_jetty_tide_gauge_dies_with_a_line_in_alarm(story_of):
    story = story_of("product_jetty")
    silent = unix_time("2026-09-12T22:40:00Z")
    alarm = story.first("escalated", "stretch", "alarm", "9")
    assert "2026-09-12T22:20" < alarm < "2026-09-12T22:40"
    lost = unix_time(story.first("feed_lost", after="2026-09-12T22:00:00Z"))
    assert 175.0 < lost - silent <= 185.0  # lost_s 180 after its last value, just before
    blind = story.first("worsened", "feed", "warning", after="2026-09-12T22:40:00Z")
    assert unix_time(blind) - silent < 200.0
    assert story.first("feed_back", after=blind) == "2026-09-13T00:40:00Z"


def test_product_jetty_continues_with_the_expected_tide_and_says_so(story_of):
    # the log was simulated from the stay's own tide table with a surge on top that the gauge had shown
    story = story_of("product_jetty")
    for time, level in (("2026-09-12T23:55:00Z", 6.25 + 0.07), ("2026-09-12T23:00:00Z", 6.02)):
        state = story.at(time)
        assert state["quality"] == "expected"
        assert state["tide"] == pytest.approx(level, abs=0.03)
    texts = [e["text"] for e in story.events if e["event"] == "feed_lost" and e["time"] > "2026-09-12T22:40"]
    assert "expected, not measured" in texts[0]
    assert story.line("2026-09-12T23:05:00Z", "9")["stretch_share"] > 1.0
    assert story.line("2026-09-13T00:45:00Z", "9")["stretch_share"] < 0.80


def test_product_jetty_expected_load_is_that_of_the_load_cell(story_of):
    story, cell = story_of("product_jetty"), hook_9()
    for time in ("2026-09-12T22:50:00Z", "2026-09-12T23:05:00Z", "2026-09-12T23:45:00Z"):
        measured = cell[int(unix_time(time))] / 1000.0
        assert story.line(time, "9")["tension_kn"] == pytest.approx(measured, abs=12.0)  # kN, in swell


def test_product_jetty_tending_that_nobody_entered_shows_in_the_load_cell(story_of):
    story = story_of("product_jetty")
    differs = story.first("raised", "tension", "warning", "3")
    assert "2026-09-12T11:10:00Z" < differs < "2026-09-12T11:12:00Z"
    assert story.first("tended", line="3") == "2026-09-12T12:10:00Z"
    assert story.first("rectified", "tension", line="3", after=differs) < "2026-09-12T12:12:00Z"
    others = [e for e in story.events if e["alert"] and e["alert"].startswith("tension")]
    assert {e["time"][:13] for e in others} <= {"2026-09-12T11", "2026-09-12T12"}


def hook_9():
    """Newtons of hook 9 by UNIX seconds."""
    newtons = {}
    with gzip.open(log_of("product_jetty"), "rt", encoding="ascii") as log:
        for line in log:
            if "HOOK9" in line:
                time = int(line.split("c:")[1].split("*")[0])
                newtons[time] = float(line.split(",N,HOOK9")[0].rsplit(",", 1)[1])
    return newtons


def test_product_jetty_load_cell_climbs_past_the_working_limit_meanwhile():
    # 0.55 of the wire's 480 kN is 264 kN
    newtons = hook_9()
    dead, slacked = unix_time("2026-09-12T22:40:00Z"), unix_time("2026-09-12T23:10:00Z")
    assert newtons[int(dead)] < 264_000.0
    assert newtons[int(slacked) - 60] > 264_000.0
    assert newtons[int(slacked) + 60] < 200_000.0


def test_coaster_is_steep_when_light_and_near_the_mud_when_loaded(story_of):
    story = story_of("coaster_quay")
    assert story.first("raised", "steep", "warning", "2") < "2026-06-16T06:35"
    mud = story.first("worsened", "under_keel", "alarm")
    assert "2026-06-17T00:05" < mud < "2026-06-17T00:25"
    assert story.line("2026-06-17T00:40:00Z", "5")["vertical_deg"] < -15.0


def test_coaster_breast_hove_in_at_low_water_is_in_alarm_on_the_flood(story_of):
    story = story_of("coaster_quay")
    alarm = story.first("escalated", "stretch", "alarm", "2")
    assert "2026-06-16T16:40" < alarm < "2026-06-16T17:05"
    assert story.line("2026-06-16T17:10:00Z", "2")["stretch_share"] > 0.85
    assert story.line("2026-06-16T17:10:00Z", "1")["stretch_share"] < 0.4


def test_coaster_comes_off_her_fenders_when_the_wind_shifts_on_slack_breasts(story_of):
    story = story_of("coaster_quay")
    shift = "2026-06-16T20:40:00Z"
    for line in ("2", "5"):
        assert story.first("raised", "slack", "caution", line, after="2026-06-16T20:00") < shift
    assert shift < story.first("raised", "off_fenders", "caution", after=shift) < "2026-06-16T20:55"
    assert 0.05 < story.at("2026-06-16T21:10:00Z")["sway"] < 0.3
    assert story.first("cleared", "off_fenders", after=shift) < "2026-06-16T21:30"
    assert story.at("2026-06-16T21:35:00Z")["sway"] < 0.0


def test_coaster_breast_is_tight_at_low_water_and_leads_up(story_of):
    story = story_of("coaster_quay")
    tight = story.first("raised", "stretch", "caution", "5", after="2026-06-16T22:00")
    assert "2026-06-16T23:40" < tight < "2026-06-17T00:10"
    assert story.line("2026-06-17T00:40:00Z", "5")["vertical_deg"] < -15.0


@pytest.mark.parametrize("name", NAMES)
def test_hydrostatics_of_the_examples_agree_with_themselves(name):
    """Displacement rises from row to row by what TPC makes of it, within 2 %."""
    for low, high in pairwise(read_stay(ROOT / "configs" / f"{name}.yaml").ship.hydrostatics):
        by_tpc = (high.draught - low.draught) * 100.0 * (low.tpc + high.tpc) / 2.0
        assert high.displacement - low.displacement == pytest.approx(by_tpc, rel=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_examples_are_moored_as_ocimf_meg2_asks(story_of, name):
    # OCIMF MEG2: breast lines within 15 deg of abeam, springs within 10 deg of the ship's side
    for line in story_of(name).states[0]["lines"]:
        angle = line["horizontal_deg"]
        if line["role"] == "breast":
            assert abs(angle - 90.0) <= 15.0, line["id"]
        elif line["role"] == "spring":
            assert min(angle, 180.0 - angle) <= 10.0, line["id"]
        else:
            assert angle < 60.0 if line["role"] == "head" else angle > 120.0, line["id"]


@pytest.mark.parametrize("name", NAMES)
def test_examples_have_brakes_at_60_percent_and_tails_of_125_to_130(name):
    # OCIMF MEG2: brake set to hold 60 % of MBL, tail 125 to 130 % of MBL; but W4 of the bulk carrier is worn
    stay = read_stay(ROOT / "configs" / f"{name}.yaml")
    for line in stay.lines:
        if line.winch and (name, line.winch) != ("coal_berth", "W4"):
            assert stay.ship.winches[line.winch].brake_kn / line.rope.mbl_kn == pytest.approx(0.60, abs=0.01)
        if line.tail:
            assert 1.25 <= line.tail.rope.mbl_kn / line.rope.mbl_kn <= 1.30
