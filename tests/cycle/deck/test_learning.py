"""Loads that were read; what was learnt of a line accepted and taken back, in a watch and over its kill."""

from pathlib import Path

import pytest

from alongside.actions import AcceptLearnt, Correct, MakeFast, ReadLoad, RenewLine, ShiftLine
from alongside.cycle.deck.altered import AS_WRITTEN
from alongside.mechanics.rope_spread import length_as_learnt
from alongside.stay.model import Learnt
from tests.berth import a_stay
from tests.record.kept import Watch

ACCEPTED = AcceptLearnt("2", 0.8, 0.05, 0.10, 25.0, 0.06, "9 readings of its load cell", "RV")


def test_an_accepted_stiffness_and_length_serve_from_then_on_and_can_be_taken_back(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(4)
    before = watch.last.lines[1]
    watch.run(2, {5: ACCEPTED})
    line, row = watch.last.stay.lines[1], watch.last.lines[1]
    assert line.learnt is not None
    assert line.learnt == Learnt(0.8, 0.05, line.learnt.more_m, 25.0, 0.06, "9 readings of its load cell")
    # What more is out stands beyond the length that a softer rope is made fast with, as in the stay file.
    was = a_stay(tmp_path).lines[1]
    assert length_as_learnt(was, line, before.unstretched_m) == pytest.approx(row.unstretched_m, abs=1e-9)
    assert line.learnt.more_m > 0.10
    assert line.rope.stiffness_band == 0.05
    assert row.unstretched_m == pytest.approx(before.unstretched_m + 0.10, abs=1e-12)
    assert row.tension_kn < before.tension_kn
    assert row.last_deed is not None
    more = f"{line.learnt.more_m:.2f} m more out than computed"
    assert row.last_deed.words == f"accepted: 20 % softer than its curve, {more}"
    assert any("accepted: 20 % softer" in event.text for event in watch.last.log)
    assert watch.last.stay.lines[0].learnt is None
    watch.run(3, {8: Correct(line="2", by="TK")})
    assert watch.last.deck == AS_WRITTEN
    assert watch.last.lines[1].unstretched_m == before.unstretched_m
    assert watch.last.stay.lines[1].rope == a_stay(tmp_path).lines[1].rope


def test_what_was_accepted_and_read_survives_a_kill(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(a_stay(tmp_path), folder).run(6, {3: ReadLoad("1", 30.0, None, "RV"), 5: ACCEPTED})
    shown = watch.last
    watch.kill()
    again = Watch(a_stay(tmp_path), folder, 6.0)
    again.run(2)
    assert again.last.stay.lines[1].learnt == shown.stay.lines[1].learnt
    assert again.last.lines[1].unstretched_m == shown.lines[1].unstretched_m
    assert again.last.lines[0].last_deed is not None
    assert again.last.lines[0].last_deed.words.startswith("found")
    again.run(3, {9: Correct(line="2", by="TK")})
    assert again.last.stay.lines[1].learnt is None
    again.end()


def test_a_load_that_was_read_changes_nothing_by_itself(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(4)
    before = watch.last.lines
    watch.run(2, {5: ReadLoad("2", 0.0, None, "RV")})
    assert [row.unstretched_m for row in watch.last.lines] == [row.unstretched_m for row in before]
    assert watch.last.deck == AS_WRITTEN
    assert any(event.text == "Line 2 found slack (RV)" for event in watch.last.log)


def test_made_fast_anew_a_line_keeps_its_stiffness_and_a_new_rope_has_none(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(6, {4: ACCEPTED, 6: ShiftLine("2", bollard="B1", by="RV")})
    learnt = watch.last.stay.lines[1].learnt
    assert learnt is not None
    assert (learnt.stiffness, learnt.at_kn, learnt.more_m) == (0.8, None, 0.0)
    watch.run(3, {9: RenewLine("2", None, 20.0, None, "RV")})
    line = watch.last.stay.lines[1]
    assert line.learnt is None
    assert line.rope.curve == a_stay(tmp_path).lines[1].rope.curve


def test_what_cannot_be_is_not_done(tmp_path: Path) -> None:
    wrong = AcceptLearnt("2", 90.0, 0.05, 0.1, 25.0, 0.06, by="RV")
    watch = Watch(a_stay(tmp_path), None).run(6, {4: wrong, 6: MakeFast("2", 20.0, by="RV")})
    assert watch.last.deck == AS_WRITTEN
    assert any("not done" in event.text for event in watch.last.log)
