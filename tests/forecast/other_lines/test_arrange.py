"""The best arrangement: that of plain enumeration, the same in a mirror, within limits, below its bound."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations, product
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.other_lines import arrange
from alongside.forecast.other_lines.arrange import Arranged, best_arrangement
from alongside.forecast.other_lines.arrange_words import arranged_rows, arranged_sentence
from alongside.mechanics.holding import holding_power
from alongside.reports.critique.leads import lead_notes
from alongside.reports.critique.planned import Planned
from alongside.runtime.log_moment import present_of
from alongside.stay.model import Bollard, Line, Point, Stay
from alongside.stay.read import read_stay
from tests.forecast.other_lines.small import mirrored

CONFIGS = Path(__file__).parents[3] / "configs"
TIE_MS = 0.06
BACK = {
    "S0": Bollard(Point(-4.0, -22.0, 5.0), 500.0),
    "S9": Bollard(Point(116.0, -22.0, 5.0), 500.0),
}
"""Farther back than those of the example: leads to them are squarer and flatter."""


@cache
def river(back: bool = False) -> Stay:
    stay = read_stay(CONFIGS / "river_quay.yaml")
    more = BACK if back else {}
    return replace(stay, berth=replace(stay.berth, bollards={**stay.berth.bollards, **more}))


@cache
def answer(back: bool = False) -> Arranged:
    return best_arrangement(river(back))


def lines_of(found: Arranged) -> tuple[Line, ...]:
    assert found.best is not None
    return tuple(own[at] for own, at in zip(found.options.of_line, found.best, strict=True))


def held(stay: Stay) -> float:
    """What the lines of a stay hold from their weakest direction, made fast as its file has it, m/s."""
    basis = Basis.of(stay)
    present = present_of(basis, None, None)
    power = holding_power(basis.arrangement, present.situation(), present.unstretched, basis.criteria)
    return float(power.holds_ms.min())


Place = tuple[float, float]


def ends(stay: Stay, line: Line) -> tuple[Place, Place]:
    """Fairlead and bollard seen from above, of a ship starboard side to, in place."""
    leaves, at = stay.ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
    x = leaves.x - stay.place.ship_x + stay.place.berth_x
    return (x, stay.ship.breadth / 2.0 + leaves.y), (at.x, at.y)


def crosses(stay: Stay, one: Line, other: Line) -> bool:
    def side(a: Place, b: Place, c: Place) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    if one.role == other.role == "spring":
        return False
    (a, b), (c, d) = ends(stay, one), ends(stay, other)
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def over_deck(stay: Stay, line: Line) -> bool:
    (x, y), (to_x, to_y) = ends(stay, line)
    for name in stay.ship.fairleads:
        (ox, oy), _ = ends(stay, replace(line, fairlead=name))
        between = min(x, to_x) < ox < max(x, to_x)
        if name != line.fairlead and between and y + (ox - x) / (to_x - x) * (to_y - y) > oy + 0.3:
            return True
    return False


def allowed(stay: Stay, index: int) -> Iterator[Line]:
    """The leads of one line that the notes of `check` have nothing against, and its own."""
    line, half = stay.lines[index], stay.ship.lbp / 2.0
    forward = stay.ship.fairleads[line.fairlead].x > half
    own_ahead = stay.berth.bollards[line.bollard].at.x > ends(stay, line)[0][0]
    for fairlead, bollard in product(sorted(stay.ship.fairleads), sorted(stay.berth.bollards)):
        led = replace(line, fairlead=fairlead, bollard=bollard)
        (x, _), (to_x, _) = ends(stay, led)
        if (fairlead, bollard) == (line.fairlead, line.bollard):
            yield led
            continue
        right_way = (to_x > x) == own_ahead if line.role in ("spring", "head", "stern") else True
        if (stay.ship.fairleads[fairlead].x > half) != forward or not right_way or over_deck(stay, led):
            continue
        lines = tuple(led if at == index else each for at, each in enumerate(stay.lines))
        notes = [note.path for note in lead_notes(Planned(replace(stay, lines=lines)))]
        if f"lines[{index}]" not in notes and turned_ok(stay, line, led):
            yield led


def turned_ok(stay: Stay, line: Line, led: Line) -> bool:
    """No chock turns its line more than 60 deg, or than in the plan."""

    def turn(one: Line) -> float:
        from tests.forecast.other_lines.test_one_more import turn_of

        return 0.0 if one.winch is None else turn_of(stay, one)

    return turn(led) <= max(60.0, turn(line)) + 1.0


@pytest.mark.slow
def test_it_is_the_best_of_plain_enumeration() -> None:
    stay, found = river(True), answer(True)
    assert found.is_proved
    options = [list(allowed(stay, index)) for index in range(len(stay.lines))]
    outside = [f"lines[{at}]" for at in range(len(stay.lines))]
    noted = {note.path for note in lead_notes(Planned(stay))}
    together: dict[int, list[tuple[Line, ...]]] = {}
    for chosen in product(*options):
        own = [
            (c.fairlead, c.bollard) == (o.fairlead, o.bollard)
            for c, o in zip(chosen, stay.lines, strict=True)
        ]
        pairs = combinations(range(len(chosen)), 2)
        fits = all(
            (own[i] and own[j])
            or (chosen[i].fairlead != chosen[j].fairlead and not crosses(stay, chosen[i], chosen[j]))
            for i, j in pairs
        )
        if fits:  # no bollard of 500 kN has three lines of 200 kN here but those of one side
            number = sum(own[at] and outside[at] in noted for at in range(len(chosen)))
            together.setdefault(number, []).append(chosen)
    fewest = min(together)
    assert found.best_outside == fewest
    best = max(held(replace(stay, lines=chosen)) for chosen in together[fewest])
    assert found.best_holds is not None
    assert found.best_holds.holds_ms == pytest.approx(best, abs=TIE_MS)


def test_the_plan_is_held_as_the_polar_has_it() -> None:
    for back in (False, True):
        assert answer(back).plan_holds.holds_ms == pytest.approx(held(river(back)), abs=0.02)


def test_the_best_is_held_as_a_file_with_its_leads_has_it() -> None:
    found = answer(True)
    assert found.best_holds is not None
    other = replace(river(True), lines=lines_of(found))
    assert found.best_holds.holds_ms == pytest.approx(held(other), abs=0.02)


@pytest.mark.parametrize("back", [False, True])
def test_what_is_proposed_breaks_no_limit(back: bool) -> None:
    stay, lines = river(back), lines_of(answer(back))
    assert len({line.fairlead for line in lines}) == len(lines)
    assert [(a.id, a.role, a.winch, a.rope) for a in lines] == [
        (b.id, b.role, b.winch, b.rope) for b in stay.lines
    ]
    assert not any(crosses(stay, one, other) for one, other in combinations(lines, 2))
    for bollard, its in stay.berth.bollards.items():
        on_it = [line.smallest_wll_kn for line in lines if line.bollard == bollard]
        assert sum(on_it) <= (its.swl_kn or 0.0) or len(on_it) == 1


def test_more_bollards_never_make_it_worse() -> None:
    """First fewer lines outside of the guidance, then what is held."""
    bare, more = answer(), answer(True)
    assert bare.best_holds is not None
    assert more.best_holds is not None
    one = bare.best_outside, -(bare.best_holds.holds_ms or 0.0)
    other = more.best_outside, -(more.best_holds.holds_ms or 0.0) - TIE_MS
    assert other <= one


def test_in_a_mirror_it_is_the_same() -> None:
    found, other = answer(), best_arrangement(mirrored(river()))
    assert [(line.fairlead, line.bollard) for line in lines_of(found)] == [
        (line.fairlead, line.bollard) for line in lines_of(other)
    ]
    assert found.at_most_ms == pytest.approx(other.at_most_ms, rel=1e-6)


@pytest.mark.parametrize("name", ["river_quay", "coaster_quay"])
def test_no_arrangement_holds_more_than_the_bound(name: str) -> None:
    """Each line at its limit at once: no set held elastically comes near it."""
    found = best_arrangement(read_stay(CONFIGS / f"{name}.yaml"))
    assert found.best_holds is not None
    for spot in (found.plan_holds, found.best_holds):
        assert (spot.holds_ms or 0.0) < found.at_most_ms


@pytest.mark.slow
def test_step_by_step_comes_near_the_best_of_all(monkeypatch: pytest.MonkeyPatch) -> None:
    stay = read_stay(CONFIGS / "product_jetty.yaml")
    proved = best_arrangement(stay)
    assert proved.is_proved
    monkeypatch.setattr(arrange, "FEW", 100)
    found = best_arrangement(stay)
    assert not found.is_proved
    assert proved.best_holds is not None
    assert found.best_holds is not None
    best, near = proved.best_holds.holds_ms or 0.0, found.best_holds.holds_ms or 0.0
    assert 0.99 * best <= near <= best + TIE_MS
    assert "best found, not proved" in " ".join(arranged_rows(found, stay))


def test_what_cannot_be_known_is_refused() -> None:
    stay = river()
    with pytest.raises(WrongInput, match="no fenders"):
        best_arrangement(replace(stay, berth=replace(stay.berth, fenders=())))


def test_the_command_prints_every_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["arrange", str(CONFIGS / "river_quay.yaml")]) == 0
    out = capsys.readouterr().out
    assert out.startswith(arranged_sentence(answer(), river()))
    for line in river().lines:
        assert f"\n{line.id:<5}{line.role}" in out
    assert "arrangements within the limits, all tried" in out
    assert "Calculation only" in out
