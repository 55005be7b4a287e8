"""Lines put out, doubled, renewed, and brakes set: live, and after a resume anywhere."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from alongside.actions import Action, AddLine, Correct, LineGone, MakeFast, RenewLine, SetBrake, ShiftLine
from alongside.cycle.deck.altered import set_to_hold
from alongside.mechanics.reasons import NoLength
from alongside.record.reader import RecordReader
from alongside.runtime.history import read_record
from alongside.stay.model import Point, Stay, Winch
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch

BALANCED = STAY_TEXT.replace("balance: off", "")
TWO_WINCHES = BALANCED.replace("    W1:", "    W2: {x: 60.0, y: 0.0, z: 9.5, brake_kn: 90}\n    W1:").replace(
    "polyester: {kind: synthetic,", "polyester: {kind: synthetic, residual_strength: 0.8,"
)


def stay_in(folder: Path) -> Stay:
    return a_stay(folder, TWO_WINCHES)


def loads(watch: Watch) -> dict[str, float]:
    return {row.id: row.tension_kn for row in watch.last.lines}


def texts(watch: Watch) -> list[str]:
    return [event.text for event in watch.last.log]


def test_a_line_put_out_carries_its_load_and_stands_behind_the_others(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None).run(4)
    before = loads(watch)
    watch.run(1, {5: AddLine("9", "FM", "B1", "polyester", "W2", tension_kn=30.0, by="RV")})
    after = loads(watch)
    assert list(after) == ["1", "2", "3", "9"]
    assert after["9"] == pytest.approx(30.0, abs=0.01)  # kN, as entered
    assert after["1"] < before["1"], "it takes load from the line beside it"
    added = watch.last.stay.lines[3]
    assert (added.bollard, added.fairlead, added.winch, added.role) == ("B1", "FM", "W2", "head")
    assert any(
        text.startswith("Line 9 put out over FM to B1, made fast with 3.1 t, ") for text in texts(watch)
    )


def test_taken_back_it_is_not_there_and_the_others_are_as_before(tmp_path: Path) -> None:
    plain = Watch(stay_in(tmp_path), None).run(8)
    watch = Watch(stay_in(tmp_path), None)
    watch.run(8, {5: AddLine("9", like="2", tension_kn=30.0), 6: Correct(line="9", by="TK")})
    assert [row.id for row in watch.last.lines] == ["1", "2", "3"]
    np.testing.assert_allclose(list(loads(watch).values()), list(loads(plain).values()), atol=1e-6)
    assert any("Line 9: taken back, was wrong: put out over FM to B2" in text for text in texts(watch))
    again = watch.run(1, {9: AddLine("9", like="1", tension_kn=20.0)})
    assert again.last.stay.lines[3].bollard == "B1"


@pytest.mark.parametrize(
    ("add", "why"),
    [
        (AddLine("2", like="1"), "there is a line 2 already"),
        (AddLine("9", "FM", "B7", "polyester", tension_kn=20.0), "there is no bollard B7"),
        (AddLine("9", "FM", "B1", "hemp", tension_kn=20.0), "there is no rope hemp"),
        (AddLine("9", like="2", winch="W1"), "winch W1 bears line 1"),
        (AddLine("9", "FM", "B1", "polyester"), "with which load"),
        (AddLine("9", bight_with="8"), "is not out"),
    ],
)
def test_what_cannot_be_put_out_is_a_note_and_no_line(tmp_path: Path, add: Action, why: str) -> None:
    watch = Watch(stay_in(tmp_path), None).run(6, {5: add})
    assert [row.id for row in watch.last.lines] == ["1", "2", "3"]
    assert any(why in text and "not done" in text for text in texts(watch))


def test_doubled_both_parts_carry_the_same_and_by_itself_again_it_carries_its_own(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None).run(4)
    before = watch.last.lines[0]
    watch.run(2, {5: AddLine("1b", fairlead="FM", bight_with="1", tension_kn=25.0, by="RV")})
    after = loads(watch)
    assert after["1b"] == pytest.approx(after["1"], abs=1e-6), "one rope, one load"
    assert after["1"] == pytest.approx(25.0, abs=0.5)
    assert watch.last.lines[0].unstretched_m == before.unstretched_m, "this part keeps what it has"
    watch.run(2, {7: LineGone("1b", "let_go", "RV")})
    assert loads(watch)["1"] == pytest.approx(before.tension_kn, abs=0.5)
    watch.run(1, {9: Correct(line="1b")})
    assert loads(watch)["1b"] == pytest.approx(loads(watch)["1"], abs=1e-6)


def test_a_new_rope_is_whole_in_the_same_place_and_its_use_begins_anew(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None).run(3)
    was = watch.last.stay.lines[0]
    watch.run(3, {4: LineGone("1", "parted", "RV"), 6: RenewLine("1", tension_kn=22.0, by="RV")})
    now = watch.last.stay.lines[0]
    assert (was.rope.residual_strength, now.rope.residual_strength) == (0.8, 1.0)
    assert now.rope.wll_kn == pytest.approx(was.rope.wll_kn / 0.8)
    assert (now.bollard, now.fairlead, now.winch) == (was.bollard, was.fairlead, was.winch)
    assert now.serial != was.serial
    assert loads(watch)["1"] == pytest.approx(22.0, abs=0.01)  # kN, as entered
    watch.run(1, {7: Correct(line="1")})
    assert watch.last.stay.lines[0] == was
    assert watch.last.lines[0].no_length is NoLength.PARTED


def test_a_brake_set_holds_that_on_the_layer_that_bears_the_load(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None).run(5, {5: SetBrake("1", 60.0, "RV")})
    winch = watch.last.stay.ship.winches["W1"]
    assert winch.holding_kn == pytest.approx(60.0)
    assert "Line 1 brake set to hold 6.1 t (RV)" in texts(watch)
    watch.run(1, {6: Correct(line="1")})
    assert watch.last.stay.ship.winches["W1"].holding_kn == pytest.approx(120.0)
    layered = Winch(Point(0.0, 0.0, 0.0), 300.0, drum_mm=600.0, rope_mm=60.0, layer=4)
    assert set_to_hold(layered, 200.0).holding_kn == pytest.approx(200.0)


def test_on_record_each_arrangement_is_a_run_of_its_own(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(stay_in(tmp_path), folder)
    watch.run(
        12, {5: AddLine("9", like="2", tension_kn=30.0), 8: ShiftLine("1", bollard="B2", tension_kn=20.0)}
    )
    watch.end()
    with RecordReader(folder) as record:
        runs = record.runs()
        assert [run.columns.lines for run in runs] == [("1", "2", "3"), *[("1", "2", "3", "9")] * 2]
        assert [run.stay.lines[0].bollard for run in runs] == ["B1", "B1", "B2"]
        assert record.chain().breaks == ()
        assert sum(len(states) for states in record.states()) >= 2
    assert read_record(folder).line_ids == ("1", "2", "3", "9")


lines = st.sampled_from(["1", "2", "3", "9", "9b"])
deeds = st.one_of(
    st.builds(
        AddLine, st.sampled_from(["9", "8"]), like=st.sampled_from(["1", "2"]), tension_kn=st.just(25.0)
    ),
    st.builds(AddLine, st.just("9b"), bight_with=st.sampled_from(["2", "9"]), tension_kn=st.just(15.0)),
    st.builds(LineGone, lines, st.sampled_from(["parted", "let_go"])),
    st.builds(MakeFast, lines, tension_kn=st.sampled_from([15.0, 30.0])),
    st.builds(RenewLine, lines, tension_kn=st.just(18.0)),
    st.builds(ShiftLine, lines, bollard=st.sampled_from(["B1", "B2"]), tension_kn=st.just(15.0)),
    st.builds(SetBrake, lines, st.sampled_from([10.0, 60.0])),
    st.builds(Correct, line=lines),
)


@pytest.mark.slow
@settings(max_examples=12)
@given(st.dictionaries(st.integers(2, 14), deeds, max_size=9), st.integers(1, 14))
@example({2: AddLine("9", like="1", tension_kn=25.0), 3: AddLine("9b", bight_with="9", tension_kn=15.0)}, 3)
def test_a_resume_anywhere_gives_the_same_lines_and_loads(done: dict[int, Action], cut: int) -> None:
    with TemporaryDirectory() as place:
        stay = stay_in(Path(place))
        whole = Watch(stay, None).run(15, done).last
        Watch(stay, Path(place) / "record").run(cut, done).kill()
        again = Watch(stay, Path(place) / "record", float(cut)).run(15 - cut, done)
        second = again.last
        again.end()
    assert [row.id for row in second.lines] == [row.id for row in whole.lines]
    for mine, other in zip(second.lines, whole.lines, strict=True):
        np.testing.assert_allclose(mine.unstretched_m, other.unstretched_m, atol=1e-9)
        np.testing.assert_allclose(mine.tension_kn, other.tension_kn, atol=1e-5)
        assert (mine.why, mine.no_length) == (other.why, other.no_length)
    assert second.stay.lines == whole.stay.lines
    assert second.stay.ship.winches == whole.stay.ship.winches
