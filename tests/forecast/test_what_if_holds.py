"""What if: what is added goes through plain mechanics, what is lost is said, and no loss is called better."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize
from scipy.interpolate import PchipInterpolator

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.what_if.answer import WhatIf, what_if
from alongside.forecast.what_if.changes import (
    AddLine,
    AddTug,
    LetGo,
    OtherCurrent,
    OtherTide,
    OtherWind,
    PayOut,
    SetTo,
    Shift,
)
from alongside.forecast.what_if.losses import Effect
from alongside.forecast.what_if.sentences import rows_of, verdict_sentence
from alongside.forecast.what_if.verdict import Word
from alongside.mechanics.hold import hold
from alongside.stay.model import Stay, TidePlan, WindAreas
from tests.berth import a_stay
from tests.forecast.scene import HIGH_LOW, planned, stay_ahead
from tests.worlds import AWKWARD_TEXT

HELD = ("holds", "square_off", "wind_share", "contact")
CALM = OtherWind(0.0, 0.0)


def port_side_to(folder, text: str = AWKWARD_TEXT) -> Stay:
    """The awkward stay: port side to, off the bearing of the quay, one line slack, one not made fast."""
    return replace(a_stay(folder, text), tide=TidePlan(high_low=HIGH_LOW))


def quay(folder) -> Stay:
    """The plain berth in balance, with wind areas: head, breast and stern line, all within their limits."""
    stay = stay_ahead(folder, balance=True, cargo=())
    areas = WindAreas(front_m2=120.0, side_m2=480.0, at_draught=4.3, side_centroid_x=38.0)
    return replace(stay, ship=replace(stay.ship, wind=areas))


def asked(stay: Stay, *changes) -> WhatIf:
    return what_if(Basis.of(stay), planned(stay), changes, ahead=False)


# Against plain mechanics


def place_by_root(stay: Stay, result: WhatIf, tug_kn: float, ship_x: float) -> np.ndarray:
    """Surge, sway, yaw in a calm, written out anew from the contract: pchip ropes, one part, level ship."""
    situation, lengths = result.then.situation, result.then.hold.lines.unstretched_m[0]
    head = 1.0 if stay.alongside == "starboard" else -1.0
    fwd, aft, tide = (float(getattr(situation, n)[0]) for n in ("draught_fwd", "draught_aft", "tide"))
    marks, place = stay.ship.marks, stay.place
    slope = (fwd - aft) / (marks.fwd - marks.aft)
    trim, waterline = np.arctan(slope), aft + (place.ship_x - marks.aft) * slope

    def berth(point, pose):
        x, y, z = point.x - place.ship_x, point.y, point.z - waterline
        x, z = x * np.cos(trim) + z * np.sin(trim), z * np.cos(trim) - x * np.sin(trim)
        turn = pose[2] + (0.0 if head > 0.0 else np.pi)
        cos, sin = np.cos(turn), np.sin(turn)
        middle = np.array([place.berth_x + pose[0], stay.ship.breadth / 2.0 + pose[1], tide])
        return middle, np.array([x * cos - y * sin, x * sin + y * cos, z])

    def tension(line, path, length):
        percent, fraction = np.array(line.rope.curve).T
        curve = PchipInterpolator(percent, fraction)
        strain, last = 100.0 * (path / length - 1.0), percent[-1]
        slope = max((fraction[-1] - fraction[-2]) / (last - percent[-2]), float(curve(last, 1)))
        beyond = slope * max(strain - last, 0.0)
        return line.rope.mbl_kn * (float(curve(min(strain, last))) + beyond) if strain > 0.0 else 0.0

    def net(pose):
        total = np.zeros(3)
        for line, length in zip(stay.lines, lengths, strict=True):
            if np.isnan(length):
                continue
            leaves, to = stay.ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
            middle, arm = berth(leaves, pose)
            lead = np.array([to.x, to.y, to.z]) - middle - arm
            inboard = 0.0
            if line.winch:
                drum = stay.ship.winches[line.winch].at
                inboard = np.linalg.norm([drum.x - leaves.x, drum.y - leaves.y, drum.z - leaves.z])
            out = np.linalg.norm(lead)
            pull = tension(line, out + inboard, length) * lead / out
            total += [pull[0], pull[1], arm[0] * pull[1] - arm[1] * pull[0]]
        total -= [optimize.approx_fprime(pose, pressed, 1e-7)[k] for k in range(3)]
        middle, arm = berth(replace(stay.ship.fairleads["FM"], x=ship_x, y=0.0, z=waterline), pose)
        force = tug_kn * np.array([np.sin(pose[2]), -np.cos(pose[2])])
        return total + np.array([force[0], force[1], arm[0] * force[1] - arm[1] * force[0]])

    def pressed(pose):
        x0, y0 = place.berth_x + pose[0], stay.ship.breadth / 2.0 + pose[1]
        half, yaw = stay.ship.breadth / 2.0, pose[2]
        side = [
            y0 - half * np.cos(yaw) + np.tan(yaw) * (f.x - x0 - half * np.sin(yaw))
            for f in stay.berth.fenders
        ]
        return sum(
            0.5 * f.stiffness_kn_per_m * max(0.0, -y) ** 2
            for f, y in zip(stay.berth.fenders, side, strict=True)
        )

    scaled = optimize.root(lambda p: net(p / [1, 1, 30.0]) / [1, 1, 30.0], np.zeros(3), tol=1e-9)
    return scaled.x / [1, 1, 30.0]


@pytest.mark.slow
@pytest.mark.parametrize("side", ["starboard", "port"])
@pytest.mark.parametrize(("tug_kn", "ship_x"), [(120.0, None), (-60.0, 40.0), (-40.0, 62.0), (80.0, 10.0)])
def test_a_tug_is_a_force_square_to_her_side(tmp_path, side, tug_kn, ship_x) -> None:
    stay = port_side_to(tmp_path) if side == "port" else stay_ahead(tmp_path, balance=True, cargo=())
    result = asked(stay, CALM, AddTug(tug_kn, ship_x))
    expected = place_by_root(stay, result, tug_kn, 40.0 if ship_x is None else ship_x)
    pose = result.then.hold.pose
    found = [float(pose.surge[0]), float(pose.sway[0]), float(pose.yaw[0])]
    assert found == pytest.approx(list(expected), abs=2e-4)


def test_a_tug_pushing_on_adds_its_force_to_what_is_held(tmp_path) -> None:
    stay = quay(tmp_path)
    result = asked(stay, AddTug(30.0))
    at = result.now.square_off
    assert result.then.power.holds_ms[at] > result.now.power.holds_ms[at] + 0.5
    assert result.then.power.contact_ms[at] > result.now.power.contact_ms[at] + 0.5
    assert result.verdict.word is Word.BETTER
    off = asked(stay, AddTug(-10.0))
    assert off.then.power.holds_ms[at] < off.now.power.holds_ms[at]
    assert off.verdict.word in (Word.DO_NOT, Word.WORSE, Word.NOTHING_HOLDS)


def test_a_tide_is_that_tide_now_and_as_much_higher_ahead(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    present, basis = planned(stay), Basis.of(stay)
    higher = what_if(basis, present, [OtherTide(raised=0.7)])
    situation = replace(present.situation(), tide=np.array([present.tide + 0.7]))
    plain = hold(basis.arrangement, situation, present.unstretched).lines.tension_kn
    assert higher.then.tension_kn == pytest.approx(plain[0], abs=1e-9)
    assert higher.changed is not None
    assert higher.as_it_stands is not None
    assert higher.changed.tide.expected - higher.as_it_stands.tide.expected == pytest.approx(0.7)
    level = asked(stay, OtherTide(level=present.tide + 0.7))
    assert level.then.tension_kn == pytest.approx(plain[0], abs=1e-9)


def test_a_current_is_the_plain_current(tmp_path) -> None:
    text = AWKWARD_TEXT.replace("berth:\n", "  current: {coefficients: rule}\nberth:\n", 1)
    stay = port_side_to(tmp_path, text)
    present, basis = planned(stay), Basis.of(stay)
    result = what_if(basis, present, [OtherCurrent(1.0, 340.0)], ahead=False)
    situation = replace(present.situation(), current_speed=np.ones(1), current_to=np.array([340.0]))
    plain = hold(basis.arrangement, situation, present.unstretched)
    assert float(result.then.hold.pose.sway[0]) == pytest.approx(float(plain.pose.sway[0]), abs=1e-9)
    assert not np.allclose(plain.lines.tension_kn[0, :2], result.now.tension_kn[:2])


def test_a_line_more_carries_its_load_and_the_old_ones_keep_their_lengths(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    result = asked(stay, AddLine("9", like="2", tension_kn=33.0))
    assert result.then.lines == ("1", "2", "3", "9")
    assert result.then.tension_kn[3] == pytest.approx(33.0, abs=1e-6)
    assert result.then.tension_kn[:3] == pytest.approx(result.now.tension_kn, abs=1e-9)
    other = asked(stay, AddLine("9", "FM", "B2", "polyester", 33.0))
    assert other.then.stay.lines[3].role == "breast"
    assert other.then.tension_kn[3] == pytest.approx(33.0, abs=1e-6)
    assert asked(stay, AddLine("9", "FB", "B1", "polyester", 20.0)).then.stay.lines[3].role == "head"


def test_a_line_set_to_a_load_carries_it(tmp_path) -> None:
    assert asked(stay_ahead(tmp_path), SetTo("2", 45.0)).then.tension_kn[1] == pytest.approx(45.0, abs=1e-6)


def test_a_line_set_to_its_cell_carries_what_a_good_cell_says(tmp_path) -> None:
    basis = Basis.of(stay := stay_ahead(tmp_path))
    present = replace(planned(stay), cells_kn=(("2", 45.0),))
    assert what_if(basis, present, [SetTo("2", None)], ahead=False).then.tension_kn[1] == pytest.approx(45.0)
    both = what_if(basis, present, [AddLine("9", like="1"), SetTo("2", None)], ahead=False)
    assert both.then.tension_kn[1] == pytest.approx(45.0)
    with pytest.raises(WrongInput, match="'set 1 to cell': line 1 has no load cell, or its cell is doubtful"):
        what_if(basis, present, [SetTo("1", None)], ahead=False)
    for kn, why in ((-0.4, "its load cell says"), (900.0, "at most the MBL")):
        with pytest.raises(WrongInput, match=why):
            what_if(basis, replace(present, cells_kn=(("2", kn),)), [SetTo("2", None)], ahead=False)


def test_a_winch_bears_one_line(tmp_path) -> None:
    """One brake cannot hold the full load of two lines: the answer would say BETTER where it is not."""
    stay = quay(tmp_path)
    with pytest.raises(WrongInput, match="winch W1 bears line 1, expected no winch: on bitts"):
        asked(stay, AddLine("9", like="2", winch="W1"))
    first = AddLine("8", like="2", winch="W1")
    with pytest.raises(WrongInput, match="winch W1 bears line 8"):
        asked(stay, LetGo("1"), first, AddLine("9", like="2", winch="W1"))
    free = asked(stay, LetGo("1"), first).then.stay.lines[-1]
    assert (free.id, free.winch) == ("8", "W1")
    other = replace(stay.ship.winches["W1"])
    two = replace(stay, ship=replace(stay.ship, winches={**stay.ship.winches, "W2": other}))
    with pytest.raises(WrongInput, match="expected a winch without a line: W2"):
        asked(two, AddLine("9", like="2", winch="W1"))


def test_a_line_beyond_its_mbl_would_part(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    result = asked(stay, PayOut("2", -6.0))
    assert float(result.then.tension_kn[1]) > 200.0, "the MBL of the stay file"
    assert result.verdict.word is Word.PARTS
    row = next(row for row in rows_of(result) if row.label == "WOULD PART")
    assert (row.before, row.after, row.mark) == ("none", "2", "LOST")
    assert "line 2 would part" in verdict_sentence(result)


# Never called better


@pytest.mark.slow
@settings(max_examples=8)
@given(st.booleans(), st.sets(st.sampled_from(["1", "2", "3"]), min_size=1), st.sampled_from([0.0, 12.0]))
def test_fewer_lines_are_never_a_gain_in_holding(tmp_path_factory, awkward, gone, wind) -> None:
    folder = tmp_path_factory.mktemp("fewer")
    stay = port_side_to(folder) if awkward else quay(folder)
    present = planned(stay).in_wind(wind, 340.0 if awkward else 180.0)
    answer = what_if(Basis.of(stay), present, [LetGo(line) for line in sorted(gone)], ahead=False)
    assert answer.verdict.word not in (Word.BETTER, Word.NOT_ENOUGH)
    assert not [f for f in answer.figures if f.name in HELD and f.effect is Effect.GAINED]
    assert (answer.then.power.holds_ms <= answer.now.power.holds_ms).all()


@pytest.mark.slow
@settings(max_examples=8)
@given(
    st.lists(
        st.tuples(st.sampled_from(["1", "2", "3"]), st.floats(-0.5, 3.0, allow_nan=False)),
        min_size=1,
        max_size=3,
    )
)
def test_what_takes_from_what_holds_her_is_never_better(tmp_path_factory, moves) -> None:
    result = asked(quay(tmp_path_factory.mktemp("moves")), *(PayOut(*move) for move in moves))
    lost = {each.name for each in (*result.figures, *result.sets) if each.effect is Effect.LOST}
    if lost:
        assert result.verdict.word not in (Word.BETTER, Word.NOT_ENOUGH, Word.NO_CHANGE)


def test_a_deed_is_judged_in_the_weather_that_is_asked_with_it(tmp_path) -> None:
    """Ours: in the same wind a tug that pushes on makes no loss, though wind and tug beside the calm of now
    are more of what lines hold; the words compare equal winds."""
    stay = quay(tmp_path)
    wind = OtherWind(9.0, 180.0)
    alone, both = asked(stay, wind), asked(stay, wind, AddTug(60.0))
    share = {each.name: each for each in alone.figures}["wind_share"]
    assert alone.verdict.word is Word.WORSE
    assert both.verdict.word in (Word.BETTER, Word.NOT_ENOUGH)
    (judged,) = (each for each in both.verdict.by if each.name == "wind_share")
    assert judged.before == pytest.approx(share.after), "as in that wind without the tug"
    assert "in that weather" in verdict_sentence(both)
    assert "in that weather" not in verdict_sentence(alone)
    shown = {each.name: each for each in both.figures}["wind_share"]
    assert shown.before == share.before, "the table stands beside things as they are"


def test_whether_she_is_held_goes_by_weather_and_deed_together(tmp_path) -> None:
    gale = OtherWind(45.0, 180.0)
    assert asked(quay(tmp_path), gale).verdict.word in (Word.NOTHING_HOLDS, Word.PARTS)
    helped = asked(quay(tmp_path), gale, AddTug(5.0)).verdict.word
    assert helped in (Word.NOTHING_HOLDS, Word.PARTS), "a little less bad is not held"


@pytest.mark.parametrize("tug_kn", [-5.0, -15.0, -30.0])
def test_a_tug_that_pulls_off_eases_no_line(tmp_path, tug_kn: float) -> None:
    """Ours: its pull is on the lines, all of it that the fenders do not give up."""
    result = asked(quay(tmp_path), AddTug(tug_kn))
    assert np.nansum(result.then.tension_kn) >= np.nansum(result.now.tension_kn)
    assert result.verdict.word not in (Word.EASES, Word.EARLIER, Word.BETTER)


@pytest.mark.slow
@pytest.mark.parametrize("changes", [(), (PayOut("2", 0.0),), (PayOut("2", 0.3), PayOut("2", -0.3))])
def test_nothing_changes_nothing(tmp_path, changes) -> None:
    result = what_if(Basis.of(stay := port_side_to(tmp_path)), planned(stay), changes)
    assert result.verdict.word is Word.NO_CHANGE
    assert {row.effect for row in rows_of(result)} == {Effect.SAME}
    assert result.then.tension_kn == pytest.approx(result.now.tension_kn, abs=1e-6, nan_ok=True)
    assert verdict_sentence(result) == "NO CHANGE: what holds her stays"


# Not known, with its reason


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("balance: on", "balance: off", "ship kept in place"),
        ("  wind: {front_m2: 120, side_m2: 480, at_draught: 4.3, side_centroid_x: 38.0}\n", "", "wind areas"),
        (
            "  fenders: [{x: 20.0, stiffness_kn_per_m: 1000}, {x: 60.0, stiffness_kn_per_m: 1000}]\n",
            "",
            "no fenders at the berth",
        ),
    ],
)
@pytest.mark.parametrize("change", [AddTug(60.0), OtherWind(20.0, 340.0), PayOut("2", 0.1)])
def test_what_cannot_be_known_is_not_called_better(tmp_path, old, new, why, change) -> None:
    assert old in AWKWARD_TEXT
    result = asked(port_side_to(tmp_path, AWKWARD_TEXT.replace(old, new)), change)
    assert result.verdict.word in (Word.NOT_KNOWN, Word.WORSE, Word.DO_NOT)
    if result.verdict.word is Word.NOT_KNOWN:
        assert why in verdict_sentence(result)


def test_a_current_without_coefficients_is_not_known(tmp_path) -> None:
    result = asked(port_side_to(tmp_path), OtherCurrent(1.0, 250.0))
    assert verdict_sentence(result).startswith("NOT KNOWN: what holds her (current coefficients of the ship")


def test_a_tide_that_is_not_known_is_asked_with_a_level(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    blind = replace(planned(stay), tide=np.nan)
    assert what_if(Basis.of(stay), blind, [PayOut("2", 0.1)], ahead=False).verdict.word is Word.NOT_KNOWN
    level = what_if(Basis.of(stay), blind, [OtherTide(level=2.0)], ahead=False)
    assert np.isfinite(level.then.tension_kn).all()


def test_it_is_for_this_very_instant_and_its_gust(tmp_path) -> None:
    stay = port_side_to(tmp_path)
    present = replace(planned(stay).in_wind(10.0, 340.0), wind_gust=20.0)
    result = what_if(Basis.of(stay), present, [PayOut("2", 0.1)], ahead=False)
    assert result.time == present.time
    assert result.now.wind_ms == pytest.approx(0.87 * 20.0), "a 3 s gust as a 30 s mean, US Navy"


def test_a_shift_goes_by_where_she_lies(tmp_path) -> None:
    result = asked(stay_ahead(tmp_path), Shift("2", bollard="B1"))
    assert result.then.tension_kn[1] == pytest.approx(20.0, abs=1e-6)


def test_a_brake_in_question_is_said(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    present = replace(planned(stay), asked=("1",))
    result = what_if(Basis.of(stay), present, [PayOut("2", 0.1)], ahead=False)
    assert "brake of line 1 in question, as if it held" in verdict_sentence(result)


@pytest.mark.slow
@pytest.mark.parametrize("which", ["held", "slipped"])
def test_both_states_of_a_brake_are_judged_and_the_worse_is_the_answer(tmp_path, which: str) -> None:
    """Of line 1 as it is and 0.3 m longer the deed is not enough in the one, and changes nothing in the
    other."""
    stay = port_side_to(tmp_path)
    held = planned(stay).in_wind(12.0, 340.0)
    longer = held.unstretched.copy()
    longer[0] += 0.3
    lengths = [held.unstretched, longer] if which == "slipped" else [longer, held.unstretched]
    deed = [PayOut("2", 0.2)]
    present = replace(held, unstretched=lengths[0], asked=("1",), slipped=lengths[1])
    both = what_if(Basis.of(stay), present, deed, ahead=False)
    alone = [
        what_if(Basis.of(stay), replace(held, unstretched=each), deed, ahead=False).verdict.word
        for each in lengths
    ]
    assert set(alone) == {Word.NOT_ENOUGH, Word.NO_CHANGE}
    assert both.verdict.word is Word.NOT_ENOUGH
    assert both.if_brakes == which
    assert f"worse if brake 1 {which}" in verdict_sentence(both)
    np.testing.assert_array_equal(both.then.hold.lines.unstretched_m[0, 0], longer[0])
