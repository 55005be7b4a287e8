"""Spare ropes that are put out or come into a line count off the stay file's list. Counts by hand."""

from dataclasses import replace
from pathlib import Path

from alongside.actions import AddLine, Correct, LineGone, RenewLine
from alongside.cycle.deck.altered import OnDeck, Rigged, altered_stay
from alongside.cycle.deck.spares_left import RopeUsed, spares_left
from alongside.stay.model import SpareRope, Stay
from tests.berth import STAY_TEXT, a_stay
from tests.mechanics.stays import POLYESTER, WIRE
from tests.record.kept import Watch

SPARES = "\nspare_ropes: [{rope: polyester, length: 120, number: 2}]\n"
STAY = STAY_TEXT.replace("balance: off", "") + SPARES


def left(spares: tuple[SpareRope, ...], *used: RopeUsed) -> list[int]:
    return [each.number for each in spares_left(spares, used)]


def test_a_rope_used_takes_one_of_its_name_the_one_at_hand_first() -> None:
    name = POLYESTER.name
    kept, loose, other = (
        SpareRope(POLYESTER, 110.0, on="P1"),
        SpareRope(POLYESTER, 200.0, 2),
        SpareRope(WIRE, 110.0),
    )
    spares = (kept, loose, other)
    assert left(spares) == [1, 2, 1]
    assert left(spares, RopeUsed(name, "P1")) == [0, 2, 1]
    assert left(spares, RopeUsed(name, "P2")) == [1, 1, 1], "a loose one before one kept elsewhere"
    assert left(spares, RopeUsed(name, None)) == [1, 1, 1]
    assert left(spares, RopeUsed(name, "P2"), RopeUsed(name, "P2"), RopeUsed(name, "P2")) == [0, 0, 1]
    assert left(spares, *[RopeUsed(name, None)] * 5) == [0, 0, 1], "never below none"
    assert left(spares, RopeUsed("hemp", "P1")) == [1, 2, 1]


def spares_of(stay: Stay) -> list[int]:
    return [each.number for each in stay.spare_ropes]


def test_a_line_put_out_counts_off_until_it_is_taken_back(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path, STAY), None).run(4)
    assert spares_of(watch.last.stay) == [2]
    watch.run(2, {5: AddLine("9", "FM", "B1", "polyester", tension_kn=30.0, by="RV")})
    assert spares_of(watch.last.stay) == [1]
    watch.run(2, {7: LineGone("9", "let_go", "RV")})
    assert spares_of(watch.last.stay) == [1], "a rope let go is still no spare one"
    watch.run(2, {9: Correct(line="9"), 10: Correct(line="9")})
    assert spares_of(watch.last.stay) == [2]


def test_a_rope_renewed_counts_off_the_other_part_of_a_bight_does_not(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path, STAY), None).run(4)
    watch.run(2, {5: AddLine("1b", fairlead="FM", bight_with="1", tension_kn=25.0)})
    assert spares_of(watch.last.stay) == [2]
    watch.run(2, {7: LineGone("2", "parted"), 8: RenewLine("2", tension_kn=22.0)})
    assert spares_of(watch.last.stay) == [1]


def test_a_stay_that_is_altered_already_counts_nothing_twice(tmp_path: Path) -> None:
    stay = a_stay(tmp_path, STAY)
    one, two = stay.lines[0], stay.lines[1]
    new = replace(one, id="9", winch=None, serial="line 9", rope_since=5.0)
    renewed = Rigged("2", two.fairlead, two.bollard, rope=two.rope, serial="PL-1", rope_since=6.0)
    deck = OnDeck((renewed, Rigged("9", one.fairlead, one.bollard, new=new)))
    altered = altered_stay(stay, deck)
    assert spares_of(altered) == [0]
    assert spares_of(altered_stay(altered, deck)) == [0]
    more = OnDeck((*deck.lines, replace(renewed, line="1")))
    assert spares_of(altered_stay(replace(altered, spare_ropes=stay.spare_ropes), more)) == [1]
