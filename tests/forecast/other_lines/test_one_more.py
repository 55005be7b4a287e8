"""One more line: the best of plain enumeration, the same in a mirror, never one that breaks a limit."""

from dataclasses import replace
from functools import cache
from itertools import product
from math import hypot
from pathlib import Path

import numpy as np
import pytest

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.instant_words import Instant
from alongside.forecast.other_lines import one_more
from alongside.forecast.other_lines.one_more import OneMore, one_more_line, strongest_wind
from alongside.forecast.other_lines.one_more_words import one_more_rows, typed_more_line
from alongside.forecast.other_lines.trial import TIE_MS, with_line
from alongside.forecast.present import Present
from alongside.forecast.what_if.case import Case
from alongside.forecast.what_if.changes import AddLine
from alongside.mechanics.holding import holding_power
from alongside.mechanics.reasons import NoLength
from alongside.reports.one_more_json import one_more_object
from alongside.stay.model import Bollard, Line, Point, SpareRope, Stay
from tests.forecast.other_lines.small import BITTS, FREE, SPARE, made_fast, mirrored, small_stay
from tests.mechanics.stays import POLYESTER, WIRE

Key = tuple[str, str]
MORE = {
    "X": Bollard(Point(130.0, -20.0, 5.0), 800.0),
    "Y": Bollard(Point(152.0, -30.0, 5.0), 800.0),
    "Z": Bollard(Point(48.0, -30.0, 5.0), 800.0),
}
"""A line over G1 to X leads across line 2."""


@cache
def answer() -> OneMore:
    return one_more_line(*made_fast(small_stay()), ahead=False)


def key(found: OneMore, at: int = 0) -> Key:
    return found.options[at].line.fairlead, found.options[at].line.bollard


def held_with(basis: Basis, present: Present, fairlead: str, winch: str, bollard: str) -> float:
    """What the set holds from its weakest direction with one line added as what-if adds it, m/s."""
    case = Case(basis.stay, present).with_changes(
        (AddLine("7", fairlead, bollard, "polyester", 60.0, None, winch),)
    )
    lengths, here = case.present.unstretched, case.present.situation()
    power = holding_power(case.arrangement(), here, lengths, basis.criteria)
    return float(power.holds_ms.min())


def may_be_offered(stay: Stay, fairlead: str, winch: str, bollard: str) -> bool:
    """The limits anew, of a ship in place at a draught of 6 m and a tide of 1 m."""
    ship, at = stay.ship, stay.berth.bollards[bollard].at
    leaves = ship.fairleads[fairlead]

    def ashore(name: str) -> tuple[float, float]:
        point = ship.fairleads[name]
        return point.x - stay.place.ship_x + stay.place.berth_x, ship.breadth / 2.0 + point.y

    x, y = ashore(fairlead)
    if (leaves.x > 60.0) != (ship.winches[winch].at.x > 60.0):
        return False
    for name in ship.fairleads:
        ox, oy = ashore(name)
        if (
            name != fairlead
            and (ox - x) * (ox - at.x) < 0
            and y + (at.y - y) * (ox - x) / (at.x - x) > oy + 0.06
        ):
            return False
    drop = (leaves.z - 6.0 + 1.0) - at.z
    level = hypot(at.x - x, at.y - y)
    if np.degrees(np.arctan2(drop, level)) >= 30.0:
        return False
    inward = np.array([leaves.x, leaves.y, leaves.z]) - np.array(
        [ship.winches[winch].at.x, ship.winches[winch].at.y, ship.winches[winch].at.z]
    )
    outward = np.array([at.x - x, at.y - y, -drop])
    straight = inward @ outward / np.linalg.norm(inward) / np.linalg.norm(outward)
    if np.degrees(np.arccos(straight)) > 60.0:
        return False
    for line in stay.lines:
        p, q = ashore(line.fairlead), stay.berth.bollards[line.bollard].at
        one = np.linalg.solve(
            np.array([[at.x - x, p[0] - q.x], [at.y - y, p[1] - q.y]]), np.array([p[0] - x, p[1] - y])
        )
        springs = line.role == "spring" and abs(at.y - y) < abs(at.x - x)
        inwards = (leaves.x > 60.0) == (at.x < x)
        if (one > 1e-9).all() and (one < 1 - 1e-9).all() and not (springs and inwards):
            return False
    return True


@pytest.mark.slow
@pytest.mark.parametrize("more", [{}, MORE])
@pytest.mark.parametrize("at_once", [1, 6])
def test_the_best_three_are_those_of_plain_enumeration(
    more: dict[str, Bollard], at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many are asked from all directions at once: with one the bound decides which are not."""
    monkeypatch.setattr(one_more, "SOME", at_once)
    basis, present = made_fast(small_stay(more=more))
    held = {}
    for fairlead, winch, bollard in product(FREE, BITTS, basis.stay.berth.bollards):
        if may_be_offered(basis.stay, fairlead, winch, bollard):
            one = held_with(basis, present, fairlead, winch, bollard)
            held[fairlead, bollard] = max(one, held.get((fairlead, bollard), 0.0))
    assert len(held) >= 3
    found = one_more_line(basis, present, ahead=False)
    assert found.tried == len(held)
    assert (found.left_out["crosses"] > 0) is bool(more)
    best = sorted(held.values(), reverse=True)[:3]
    assert [each.weakest.holds_ms for each in found.options] == pytest.approx(best, abs=0.08)  # m/s, a tie
    for at, option in enumerate(found.options):
        assert option.weakest.holds_ms == pytest.approx(held[key(found, at)], abs=0.02)


def test_each_of_many_is_what_it_is_alone() -> None:
    """By the bound some are never asked from all directions: the best must not depend on that."""
    basis, present = made_fast(small_stay())
    for option in answer().options:
        b, p = with_line(basis, present, option.line, option.length_m)
        power = holding_power(b.arrangement, p.situation(), p.unstretched, b.criteria)
        assert option.weakest.holds_ms == pytest.approx(float(power.holds_ms.min()), abs=0.02)
        shares = {each.name: each.after for each in option.now.lines}
        assert shares["7"] == pytest.approx(60.0 / 320.0, rel=1e-3)  # made fast as others are, in a calm


def test_in_a_mirror_it_is_the_same() -> None:
    basis, present = made_fast(mirrored(small_stay()))
    found, other = answer(), one_more_line(basis, present, ahead=False)
    assert [key(found, at) for at in range(3)] == [key(other, at) for at in range(3)]
    for one, two in zip(found.options, other.options, strict=True):
        assert one.weakest.holds_ms == pytest.approx(two.weakest.holds_ms, abs=0.02)
        assert one.weakest.from_deg == pytest.approx((-(two.weakest.from_deg or 0.0)) % 360.0, abs=1e-6)


def test_more_to_choose_from_never_makes_the_best_worse() -> None:
    best = answer().options[0].weakest.holds_ms
    more = {"B0": Bollard(Point(45.0, -20.0, 5.0), 800.0), "B9": Bollard(Point(150.0, -25.0, 5.0), 800.0)}
    for stay in (
        small_stay(more=more),
        small_stay(spare=(*SPARE, SpareRope(WIRE, 120.0))),
    ):
        found = one_more_line(*made_fast(stay), ahead=False)
        assert found.tried > answer().tried
        assert (found.options[0].weakest.holds_ms or 0.0) >= (best or 0.0) - 0.02


def test_the_same_question_has_the_same_answer_whatever_the_order_in_the_file() -> None:
    stay = small_stay()
    turned = replace(stay, berth=replace(stay.berth, bollards=dict(reversed(stay.berth.bollards.items()))))
    found = one_more_line(*made_fast(turned), ahead=False)
    assert [key(found, at) for at in range(3)] == [key(answer(), at) for at in range(3)]


def leads(found: OneMore) -> set[Key]:
    return {(each.line.fairlead, each.line.bollard) for each in found.options}


def test_what_breaks_a_limit_is_never_offered() -> None:
    stay = small_stay()
    best = key(answer())
    bollards = dict(stay.berth.bollards)
    bollards[best[1]] = replace(bollards[best[1]], swl_kn=0.95 * POLYESTER.wll_kn)
    weak = replace(stay, berth=replace(stay.berth, bollards=bollards))
    found = one_more_line(*made_fast(weak), ahead=False)
    assert best not in leads(found)
    assert found.left_out["bollard"] > 0
    short = small_stay(spare=(SpareRope(POLYESTER, 20.0),))
    found = one_more_line(*made_fast(short), ahead=False)
    assert found.left_out["short"] > 0
    assert all(option.needs_m <= 20.0 for option in found.options)
    narrow = replace(stay, ship=replace(stay.ship, chocks=dict.fromkeys(FREE, 30.0)))
    found = one_more_line(*made_fast(narrow), ahead=False)
    assert all(
        2.0 * np.sin(np.radians(turn_of(narrow, option.line)) / 2.0) <= 1.0 for option in found.options
    )
    for spare, why in (
        ((), "the stay file has no spare ropes"),
        ((replace(SPARE[0], number=0),), "every spare rope is in a line by now"),
    ):
        bare = small_stay(spare=spare)
        said = one_more_rows(one_more_line(*made_fast(bare), ahead=False), bare)[0]
        assert said.startswith(f"No extra line: {why}")


def turn_of(stay: Stay, line: Line) -> float:
    """Through how much the fairlead turns a line, deg, of a ship in place."""
    leaves, at = stay.ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
    winch = stay.ship.winches[line.winch or ""].at
    inward = np.array([leaves.x - winch.x, leaves.y - winch.y, leaves.z - winch.z])
    outward = np.array(
        [
            at.x - (leaves.x - stay.place.ship_x + stay.place.berth_x),
            at.y - (stay.ship.breadth / 2.0 + leaves.y),
            at.z - (leaves.z - 6.0 + 1.0),
        ]
    )
    cosine = inward @ outward / np.linalg.norm(inward) / np.linalg.norm(outward)
    return float(np.degrees(np.arccos(cosine)))


def test_a_winch_and_a_fairlead_in_use_are_left_alone_until_their_line_is_let_go() -> None:
    basis, present = made_fast(small_stay())
    found = one_more_line(basis, present, ahead=False)
    assert {option.line.fairlead for option in found.options} <= set(FREE)
    codes, lengths = present.why_no_length(), present.unstretched.copy()
    codes[1], lengths[1] = NoLength.LET_GO, np.nan
    gone = replace(present, unstretched=lengths, no_length=codes)
    found = one_more_line(basis, gone, ahead=False)
    assert key(found) == ("F2", "B5")  # the breast that was let go holds most again


def test_for_the_forecast_wind_it_asks_from_where_that_blows() -> None:
    basis, present = made_fast(small_stay())
    with pytest.raises(WrongInput, match="no stronger wind is expected"):
        one_more_line(basis, present, "forecast", ahead=False)
    coming = WindAt(present.time + 3600.0, 18.0, 0.0, 350.0, "AB", present.time)
    windy = replace(present.in_wind(5.0, 0.0), wind_forecast=(coming,))
    blow = strongest_wind(basis, windy)
    assert blow is not None
    assert (blow.ms, blow.from_deg) == pytest.approx((18.0, 350.0))
    found = one_more_line(basis, windy, "forecast", ahead=False)
    assert found.forecast_ms >= (found.weakest.holds_ms or 0.0) - 0.02
    held = [round(each.forecast_ms / TIE_MS) for each in found.options]
    assert held == sorted(held, reverse=True)
    for option in found.options:
        b, p = with_line(basis, windy, option.line, option.length_m)
        power = holding_power(b.arrangement, p.situation(), p.unstretched, b.criteria)
        off = np.abs((power.from_deg - 350.0 + 180.0) % 360.0 - 180.0)
        assert option.forecast_ms == pytest.approx(float(power.holds_ms[off <= 15.0].min()), abs=0.02)
    assert "from about where" in " ".join(one_more_rows(found, basis.stay))


def test_typed() -> None:
    assert typed_more_line("one more line").aim == "weakest"
    assert typed_more_line("One more line for the fewest rounds").aim == "rounds"
    assert typed_more_line("one more line forecast wind").aim == "forecast"
    with pytest.raises(WrongInput, match="expected one more line"):
        typed_more_line("one more line please")


def test_what_is_not_known_is_said() -> None:
    basis, present = made_fast(small_stay())
    lengths, codes = present.unstretched.copy(), present.why_no_length()
    lengths[0], codes[0] = np.nan, NoLength.IMPOSSIBLE
    doubtful = replace(present, unstretched=lengths, no_length=codes, asked=("2",))
    found = one_more_line(basis, doubtful, ahead=False)
    rows = one_more_rows(found, basis.stay)
    assert "As if the brake of line 2 held: look at it first." in rows[1]
    assert rows[2].startswith("  Without line 1 (")
    object_ = one_more_object(found, Instant.of(basis.arrangement.ids, doubtful))
    assert (object_["as_if_brakes_held"], object_["without"]) == (["2"], ["1"])


def test_a_forecast_that_is_hidden_is_not_said() -> None:
    basis, present = made_fast(small_stay())
    coming = WindAt(present.time + 3600.0, 18.0, 0.0, 350.0, "AB", present.time)
    windy = replace(present.in_wind(5.0, 0.0), wind_forecast=(coming,))
    assert one_more_line(basis, windy, ahead=False).blow is not None
    hidden = one_more_line(basis, windy, ahead=False, forecast=False)
    assert hidden.blow is None
    assert "forecast" not in " ".join(one_more_rows(hidden, basis.stay))


def test_a_rope_goes_only_where_it_is_kept_a_loose_one_on_what_is_free() -> None:
    kept = small_stay(spare=(SpareRope(POLYESTER, 110.0, on="P1"),))
    found = one_more_line(*made_fast(kept), ahead=False)
    assert {option.line.winch for option in found.options} == {"P1"}
    both = small_stay(spare=(SpareRope(POLYESTER, 110.0, on="P1"), SpareRope(WIRE, 110.0)))
    found = one_more_line(*made_fast(both), ahead=False)
    assert all((option.line.winch == "P1") == (option.line.rope == POLYESTER) for option in found.options)
    stay = small_stay()
    bare = replace(stay, ship=replace(stay.ship, winches={}))
    found = one_more_line(*made_fast(bare), ahead=False)
    assert {option.line.winch for option in found.options} == {None}
    assert "on bitts by it (SWL not known)" in " ".join(one_more_rows(found, bare))


def test_one_line_a_hook_and_within_the_dolphin() -> None:
    """On a hook that bears a line no second one; on one beside it only within the SWL of the dolphin."""
    stay = small_stay()
    best = key(answer())[1]
    bollards, beside = dict(stay.berth.bollards), f"{best}b"
    at = bollards[best].at
    bollards[best] = replace(bollards[best], dolphin="D", swl_kn=800.0)
    bollards[beside] = replace(bollards[best], at=replace(at, y=at.y - 0.5))
    line = replace(stay.lines[1], bollard=best)
    lines = (stay.lines[0], line, *stay.lines[2:])
    for swl, offered in ((2.2 * POLYESTER.wll_kn, {beside}), (1.5 * POLYESTER.wll_kn, set())):
        berth = replace(stay.berth, bollards=bollards, dolphins={"D": swl})
        basis, present = made_fast(replace(stay, berth=berth, lines=lines))
        names = {option.line.bollard for option in one_more_line(basis, present, ahead=False).options}
        assert names & {best, beside} <= offered


def test_the_fewest_rounds_are_not_asked_for_without_rounds(capsys: pytest.CaptureFixture[str]) -> None:
    river = str(Path(__file__).parents[3] / "configs" / "river_quay.yaml")
    assert main(["one-more", river, "--for", "rounds", "--no-rounds"]) == 2
    assert "--for rounds and --no-rounds: expected one of them" in capsys.readouterr().err
