"""A line that was shifted: the watch goes by its new lead, in a record, in a replay and after a resume."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Action, Correct, LineGone, MakeFast, ShiftLine, TendLine
from alongside.cycle.deck.altered import AS_WRITTEN, OnDeck, Rigged, altered, altered_stay
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold
from tests.berth import a_stay
from tests.record.kept import Watch


def figures(picture: Picture) -> list[list[float]]:
    return [[row.unstretched_m, row.tension_kn, row.path_m] for row in picture.lines]


def test_a_shifted_line_carries_its_load_along_the_new_lead(tmp_path: Path) -> None:
    stay = a_stay(tmp_path)
    watch = Watch(stay, None).run(4)
    before = watch.last
    after = watch.run(1, {5: ShiftLine("2", bollard="B1", tension_kn=30.0, by="RV")}).last
    assert after.lines[1].tension_kn == pytest.approx(30.0, abs=1e-6)  # kN, as entered
    assert after.stay.lines[1].bollard == "B1"
    there = hold(
        Basis.of(altered_stay(stay, OnDeck((Rigged("2", "FM", "B1"),)))).arrangement,
        after.present.situation(),  # type: ignore[union-attr]
        np.array([row.unstretched_m for row in after.lines]),
    )
    assert after.lines[1].path_m == pytest.approx(float(there.lines.path_m[0, 1]), abs=1e-9)
    event = [each for each in after.log if each.event == "made_fast"][-1]
    assert event.text.startswith("Line 2 shifted over FM to B1, made fast with 3.1 t, ")
    back = watch.run(1, {6: Correct(line="2", by="RV")}).last
    assert back.stay.lines[1].bollard == "B2"
    assert back.lines[1].unstretched_m == before.lines[1].unstretched_m


def test_shifted_without_a_load_it_has_that_of_the_stay_file(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5, {5: ShiftLine("2", fairlead="FA", by="RV")})
    assert watch.last.lines[1].tension_kn == pytest.approx(20.0, abs=1e-6)  # kN, of the stay file


@pytest.mark.parametrize(
    ("shift", "why"),
    [
        (ShiftLine("2", bollard="B9"), "there is no bollard B9"),
        (ShiftLine("2", bollard="B2"), "it leads so already"),
        (ShiftLine("2", bollard="B1", length_m=-1.0), "no length"),
    ],
)
def test_what_cannot_be_is_a_note(tmp_path: Path, shift: ShiftLine, why: str) -> None:
    watch = Watch(a_stay(tmp_path), None).run(4)
    before = figures(watch.last)[1][0]
    after = watch.run(1, {5: shift}).last
    assert figures(after)[1][0] == before
    assert any(event.event == "note" and why in event.text for event in after.log)


def test_the_basis_is_made_once_for_the_same_deeds(tmp_path: Path) -> None:
    basis = Basis.of(a_stay(tmp_path), ahead=True)
    deck = OnDeck((Rigged("2", "FM", "B1"),))
    assert altered(basis, deck) is altered(basis, deck)
    assert altered(basis, AS_WRITTEN) is basis
    assert altered(basis, deck).ahead


lines = st.sampled_from("123")
deeds = st.one_of(
    st.builds(ShiftLine, lines, st.sampled_from([None, "FB", "FM"]), st.sampled_from(["B1", "B2", "B3"])),
    st.builds(TendLine, lines, paid_out=st.sampled_from([-0.1, 0.2])),
    st.builds(LineGone, lines, st.sampled_from(["parted", "let_go"])),
    st.builds(MakeFast, lines, tension_kn=st.just(15.0)),
    st.builds(Correct, line=lines),
)


@pytest.mark.slow
@settings(max_examples=12)
@given(st.dictionaries(st.integers(2, 14), deeds, max_size=9), st.integers(1, 14))
def test_a_resume_anywhere_gives_the_same_figures(done: dict[int, Action], cut: int) -> None:
    with TemporaryDirectory() as place:
        stay = a_stay(Path(place))
        whole = Watch(stay, None).run(15, done).last
        first = Watch(stay, Path(place) / "record").run(cut, done)
        first.kill()
        second = Watch(stay, Path(place) / "record", float(cut)).run(15 - cut, done)
        second.end()
    np.testing.assert_allclose(figures(second.last), figures(whole), atol=1e-9)
    assert second.last.stay.lines == whole.stay.lines


@pytest.mark.slow
@settings(max_examples=12)
@given(st.dictionaries(st.integers(2, 8), deeds, max_size=5), deeds, st.integers(2, 8))
def test_a_corrected_deed_leaves_no_trace(done: dict[int, Action], wrong: Action, last: int) -> None:
    done = {second: deed for second, deed in done.items() if second <= last}
    with TemporaryDirectory() as place:
        stay = a_stay(Path(place))
        plain = Watch(stay, None).run(12, done)
        entered = Watch(stay, None).run(9, done).run(1, {10: wrong})
        took_effect = len(deeds_of(entered)) > len(deeds_of(plain))
        if isinstance(wrong, Correct) or not took_effect:
            return
        entered.run(2, {11: Correct(line=wrong.line)})  # type: ignore[union-attr]
    np.testing.assert_array_equal(figures(entered.last), figures(plain.last))
    assert entered.last.stay.lines == plain.last.stay.lines


def deeds_of(watch: Watch) -> tuple[object, ...]:
    return watch.desk._memory.lengths.deeds
