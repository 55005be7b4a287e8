"""What happened on deck, on record: after a kill the watch goes on as if there had been none."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import AcceptLearnt, Action, Correct, LineGone, MakeFast, ReadLoad, TendLine
from alongside.mechanics.reasons import NoLength
from alongside.record.reader import RecordReader
from tests.berth import a_stay
from tests.record.kept import BEGIN, Watch, flood_stay

DONE: dict[int, Action] = {
    3: LineGone("2", "let_go", "RV"),
    5: LineGone("3", "parted", "RV"),
    7: MakeFast("2", tension_kn=25.0, by="RV"),
    9: Correct(line="3", by="TK"),
}


def test_deeds_are_on_record_with_their_events(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(a_stay(tmp_path), folder).run(6, DONE)
    watch.kill()
    again = Watch(a_stay(tmp_path), folder, 6.0)
    again.run(1, DONE)
    assert again.last.lines[1].tension_kn == 25.0 or abs(again.last.lines[1].tension_kn - 25.0) < 0.01
    assert again.last.lines[2].no_length is NoLength.PARTED
    again.run(5, DONE)
    assert again.last.lines[2].unstretched_m == watch.pictures[0].lines[2].unstretched_m
    again.end()
    with RecordReader(folder) as record:
        assert [done.action for done in record.actions()] == list(DONE.values())
        told = [event.event for _, event in record.events() if event.line in ("2", "3")]
    assert [each for each in told if each in ("let_go", "parted", "made_fast", "note")][-4:] == [
        "let_go",
        "parted",
        "made_fast",
        "note",
    ]


@pytest.mark.slow
def test_an_alert_of_a_line_let_go_is_over_and_of_one_taken_back_comes_again(tmp_path: Path) -> None:
    watch = Watch(flood_stay(tmp_path), None, BEGIN).run(100)
    (line,) = {alert.line for alert in watch.last.alerts if alert.cause == "stretch"}
    at = int(watch.second)
    watch.run(30, {at + 1: LineGone(line, "let_go", "RV")})
    assert [alert for alert in watch.last.alerts if alert.line == line] == []
    assert any(event.event == "cleared" and event.alert == "stretch" for event in watch.last.log)
    watch.run(60, {at + 31: Correct(line=line, by="RV")})
    assert any(alert.cause == "stretch" and alert.line == line for alert in watch.last.alerts)


lines = st.sampled_from("123")
deeds = st.one_of(
    st.builds(TendLine, lines, paid_out=st.sampled_from([-0.1, 0.2])),
    st.builds(LineGone, lines, st.sampled_from(["parted", "let_go"])),
    st.builds(MakeFast, lines, tension_kn=st.sampled_from([15.0, 30.0])),
    st.builds(MakeFast, lines, length_m=st.just(30.5)),
    st.builds(ReadLoad, lines, st.sampled_from([0.0, 30.0])),
    st.builds(
        AcceptLearnt,
        lines,
        st.sampled_from([0.8, 1.0]),
        st.just(0.05),
        st.sampled_from([-0.05, 0.0, 0.1]),
        st.just(25.0),
        st.just(0.05),
    ),
    st.builds(Correct, line=lines),
)


@pytest.mark.slow
@settings(max_examples=12)
@given(st.dictionaries(st.integers(2, 14), deeds, max_size=9), st.integers(1, 14))
def test_a_resume_anywhere_gives_the_same_lengths(done: dict[int, Action], cut: int) -> None:
    with TemporaryDirectory() as place:
        stay = a_stay(Path(place))
        whole = Watch(stay, None).run(15, done).last
        first = Watch(stay, Path(place) / "record").run(cut, done)
        first.kill()
        second = Watch(stay, Path(place) / "record", float(cut)).run(15 - cut, done)
        second.end()
    for mine, other in zip(second.last.lines, whole.lines, strict=True):
        np.testing.assert_allclose(mine.unstretched_m, other.unstretched_m, atol=1e-9)
        assert (mine.why, mine.no_length, mine.last_deed) == (
            other.why,
            other.no_length,
            other.last_deed,
        ) or (mine.last_deed is not None and np.isnan(mine.last_deed.unstretched_m))
