"""The section of a line: both ends worked by hand, the same port and starboard side to, the forecast's own
figures at high and low water; and what a metre does, tried on the mechanics."""

from dataclasses import replace
from functools import cache
from math import atan2, degrees, hypot, isfinite
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cycle.line_moment import Compiled, Moment
from alongside.cycle.line_section import HIDDEN, NO_HOURS, Section, section_of
from alongside.cycle.metre_tried import metre_tried
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.stay.model import Fender, Place, Point, Stay
from alongside.stay.stage import Stage
from tests.prudent.situation import Wind
from tests.prudent.situation import watched as prudent
from tests.screens.invented import invented_stay
from tests.test_prudent_officer import SITUATIONS
from tests.worlds import LEADS_UP, NOT_FAST, SLACK_AND_STEEP, awkward_stay, readings, watched

FAR = {"coal": "coal, quiet night", "jetty": "jetty, quiet on the flood", "blown": "coal, quiet night"}
BLOWN = Wind(28.0, 30.0, 20.0)
"""Off the quay, so hard that the lines feel it."""


def drawn_angle_deg(moment: Moment) -> float:
    """The angle below the horizontal at which a moment's line is drawn, deg; + down from the fairlead."""
    return degrees(atan2(moment.fairlead_z - moment.far_z, moment.level_m))


@cache
def looking_ahead(name: str) -> Picture:
    of = replace(SITUATIONS[FAR[name]], ahead=True)
    return prudent(replace(of, wind=BLOWN, before=BLOWN) if name == "blown" else of)


def lying(stay: Stay, tide: float = 3.0, draught: float = 8.0, **changes: float) -> Picture:
    """A Picture of a ship on an even keel, in place, whose line 0 leads anywhere."""
    rows = tuple(replace(row, vertical_deg=1.0) for row in blank_picture(stay).lines)
    parts = {"surge": 0.0, "sway": 0.0, "yaw_deg": 0.0, "heel_deg": 0.0, **changes}
    picture = replace(blank_picture(stay), time=1.7e9, tide=tide, lines=rows, trim=0.0)
    return replace(picture, draught_fwd=draught, draught_aft=draught, **parts)


def one_lead(fairlead: Point, bollard: Point) -> Stay:
    """The invented stay, its first line led as asked."""
    stay = invented_stay()
    line = stay.lines[0]
    ship = replace(stay.ship, fairleads={**stay.ship.fairleads, line.fairlead: fairlead})
    bollards = {**stay.berth.bollards, line.bollard: replace(stay.berth.bollards[line.bollard], at=bollard)}
    return replace(stay, ship=ship, berth=replace(stay.berth, bollards=bollards))


def section(picture: Picture, line: str | None = None) -> Section:
    stay = picture.stay
    return section_of(Compiled.of(stay), picture, line or stay.lines[0].id)


def test_both_ends_by_hand() -> None:
    """By hand. Place 90 on 90, starboard side to: x of ship and berth are the same, berth y is 15.5 + y. The
    fairlead at (100, -15.5, 14) stands on the fender line, 14 - 8 + 3 = 9 m over chart datum. The bollard
    lies 3 m ahead, 4 m in and 5 m lower: 5 m level, 45 deg down."""
    now = section(lying(one_lead(Point(100.0, -15.5, 14.0), Point(103.0, -4.0, 4.0)))).now
    assert now.level_m == pytest.approx(5.0, abs=1e-9)
    assert now.fairlead_z == pytest.approx(9.0, abs=1e-9)
    assert now.far_z == pytest.approx(4.0, abs=1e-9)
    assert now.edge_m == pytest.approx(5.0, abs=1e-6), "the fairlead stands over the quay edge"
    assert drawn_angle_deg(now) == pytest.approx(45.0, abs=1e-9)


def test_the_quay_edge_by_hand() -> None:
    """By hand: a fairlead 6 m inside of her side, so 6 m off the fender line, and a bollard 2 m behind it: of
    16 m level (10 ahead, 8 in: 12.806) a quarter lies on the quay."""
    now = section(lying(one_lead(Point(100.0, -9.5, 14.0), Point(110.0, -2.0, 4.0)))).now
    assert now.level_m == pytest.approx(hypot(10.0, 8.0), abs=1e-9)
    assert now.edge_m == pytest.approx(hypot(10.0, 8.0) / 4.0, abs=1e-9)


def test_heel_lowers_the_fairlead_on_the_side_that_goes_down() -> None:
    """By hand: 1 deg to starboard at 15.5 m from the centreline lowers it by 15.5 sin 1 = 0.27 m; its height
    over the waterline of 6 m times cos 1 is 0.9 mm less."""
    stay = one_lead(Point(90.0, -15.5, 14.0), Point(93.0, -4.0, 4.0))
    upright, heeled = section(lying(stay)).now, section(lying(stay, heel_deg=1.0)).now
    assert upright.fairlead_z - heeled.fairlead_z == pytest.approx(0.2705 + 0.0009, abs=1e-3)


@pytest.mark.slow
@given(
    x=st.floats(0.0, 180.0),
    y=st.floats(-15.5, -5.0),
    far_x=st.floats(-40.0, 220.0),
    far_y=st.floats(-40.0, -1.0),
    heel=st.floats(-3.0, 3.0),
    surge=st.floats(-1.0, 1.0),
    sway=st.floats(-0.1, 1.0),
)
def test_port_side_to_is_the_mirror_image(
    x: float, y: float, far_x: float, far_y: float, heel: float, surge: float, sway: float
) -> None:
    """Turned about the athwart plane: ship y, berth x, heel and surge change their signs, no section does."""
    stay = one_lead(Point(x, y, 14.0), Point(far_x, far_y, 4.5))
    other = one_lead(Point(x, -y, 14.0), Point(-far_x, far_y, 4.5))
    fenders = tuple(Fender(-each.x, each.stiffness_kn_per_m) for each in stay.berth.fenders)
    berth = replace(other.berth, fenders=fenders)
    other = replace(other, alongside="port", place=Place(90.0, -90.0), berth=berth)
    here = section(lying(stay, heel_deg=heel, surge=surge, sway=sway)).now
    there = section(lying(other, heel_deg=-heel, surge=-surge, sway=sway)).now
    for name in ("level_m", "fairlead_z", "far_z", "edge_m"):
        assert getattr(there, name) == pytest.approx(getattr(here, name), abs=1e-9), name


@pytest.mark.slow
@given(tide=st.floats(0.0, 6.0), fwd=st.floats(3.0, 5.0), aft=st.floats(3.0, 5.5))
def test_a_line_is_drawn_at_the_angle_that_is_said(
    tide: float, fwd: float, aft: float, awkward: Stay
) -> None:
    picture = watched(awkward, readings(5, tide, (fwd, aft))).picture()
    compiled = Compiled.of(picture.stay)
    for row in picture.lines:
        now = section_of(compiled, picture, row.id).now
        assert drawn_angle_deg(now) == pytest.approx(row.vertical_deg, abs=1e-6)
        if isfinite(row.outboard_m):
            assert hypot(now.level_m, now.fairlead_z - now.far_z) == pytest.approx(row.outboard_m, abs=1e-6)


@pytest.fixture(scope="module")
def awkward(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return awkward_stay(tmp_path_factory.mktemp("awkward"))


def test_awkward_lines_are_said(awkward: Stay) -> None:
    """Port side to; one leads up to a bollard above it, one is not made fast, one hangs slack."""
    picture = watched(awkward).picture()
    up = section(picture, LEADS_UP)
    assert drawn_angle_deg(up.now) < 0.0
    assert up.now.far_z > up.now.fairlead_z
    not_fast = section(picture, NOT_FAST)
    assert not not_fast.is_out
    assert metre_tried(Compiled.of(picture.stay), picture, NOT_FAST).why
    slack = section(picture, SLACK_AND_STEEP)
    assert slack.is_out
    assert slack.now.tension_kn == 0.0


@pytest.mark.slow
@pytest.mark.parametrize("name", FAR)
def test_high_water_is_as_the_forecast_has_it(name: str) -> None:
    """The same instant, the same lengths: angle, stretch and load are those of the hours ahead."""
    picture = looking_ahead(name)
    forecast = picture.forecast
    assert forecast is not None
    seen = 0
    for at, row in enumerate(picture.lines):
        for moment in section(picture, row.id).moments[1:]:
            if moment.why:
                continue
            instant = int(np.abs(forecast.times - moment.time).argmin())
            assert forecast.tide.expected[instant] == pytest.approx(moment.water)
            assert moment.vertical_deg == pytest.approx(forecast.vertical_deg[instant, at], abs=0.01)
            assert moment.load_share == pytest.approx(forecast.load_share[instant, at], abs=0.005)
            assert moment.stretch_share == pytest.approx(forecast.stretch_share[instant, at], abs=0.005)
            assert drawn_angle_deg(moment) == pytest.approx(moment.vertical_deg, abs=1e-6)
            limits = picture.stay.limits.stretch_share.as_tuple()
            passed = sum(moment.stretch_share >= limit for limit in limits)
            assert moment.stages["stretch"] == Stage(passed)
            seen += 1
    assert seen >= len(picture.lines)


@pytest.mark.slow
def test_what_is_not_known_of_the_hours_ahead_is_said() -> None:
    picture = looking_ahead("coal")
    assert {each.why for each in section(replace(picture, forecast=None)).moments[1:]} == {NO_HOURS}
    assert {each.why for each in section(replace(picture, forecast_hidden=True)).moments[1:]} == {HIDDEN}
    nothing = section(blank_picture(picture.stay))
    assert not nothing.now.is_drawn
    assert nothing.now.why
    dock = replace(picture, stay=replace(picture.stay, tide=None))
    assert {each.why for each in section(dock).moments[1:]} == {"no tide in the stay file"}


@pytest.mark.slow
@pytest.mark.parametrize("name", FAR)
def test_a_metre_out_lowers_the_load_and_another_line_takes_it_up(name: str) -> None:
    picture = looking_ahead(name)
    compiled = Compiled.of(picture.stay)
    for row in picture.lines:
        tried = metre_tried(compiled, picture, row.id)
        assert not tried.why
        assert tried.out.tension_kn < row.tension_kn < tried.in_.tension_kn
        assert tried.out.stretch_share < row.stretch_share < tried.in_.stretch_share
        assert tried.out.other != row.id
        nothing = metre_tried(compiled, picture, row.id, metre=0.0)
        assert nothing.out.tension_kn == pytest.approx(row.tension_kn, abs=0.1)
        assert nothing.out.other == ""


def test_of_two_like_lines_the_other_takes_up_what_one_gives_away() -> None:
    """Two breasts side by side share what they hold: the one that is slacked loads its twin most."""
    picture = looking_ahead("coal")
    stay = picture.stay
    tried = metre_tried(Compiled.of(stay), picture, "1", metre=0.2)
    role = {row.id: row.role for row in picture.lines}
    assert tried.out.other in role
    assert abs(tried.out.other_kn) < picture.lines[0].tension_kn


def test_a_line_that_is_too_short_for_a_metre_in_says_so() -> None:
    picture = looking_ahead("coal")
    assert picture.present is not None
    tried = metre_tried(Compiled.of(picture.stay), picture, "4", metre=100.0)
    assert tried.in_.why == "that much rope is not out"
    asked = replace(picture, present=replace(picture.present, asked=("4",)))
    assert "winch" in metre_tried(Compiled.of(picture.stay), asked, "4").why


def test_what_floats_rides_with_the_water(tmp_path: Path) -> None:
    """By hand: on a pontoon both ends rise with the tide, so that no angle changes."""
    stay = one_lead(Point(100.0, -15.5, 14.0), Point(103.0, -4.0, 2.0))
    line = stay.lines[0]
    bollards = dict(stay.berth.bollards)
    bollards[line.bollard] = replace(bollards[line.bollard], floats=True)
    stay = replace(stay, berth=replace(stay.berth, bollards=bollards, floats=True))
    low, high = (section(lying(stay, tide=tide)) for tide in (1.0, 5.0))
    assert low.ashore == "pontoon"
    assert high.now.far_z - low.now.far_z == pytest.approx(4.0)
    assert drawn_angle_deg(high.now) == pytest.approx(drawn_angle_deg(low.now))
    assert degrees(atan2(high.now.fairlead_z - high.now.far_z, high.now.level_m)) == pytest.approx(
        drawn_angle_deg(low.now)
    )
