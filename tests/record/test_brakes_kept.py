"""A brake in question over a kill and a restart: both states go on, the answer is on record, a state kept is
judged as it was."""

from pathlib import Path

import numpy as np
import pytest

from alongside.actions import AnswerBrake
from alongside.record.reader import RecordReader
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch, shown

WORN = STAY_TEXT.replace("brake_kn: 120", "brake_kn: 21")
ASKED = 420
"""Seconds after which the flood has brought line 1 over its brake."""


def in_question(watch: Watch) -> bool:
    return watch.last.lines[0].asked is not None


def test_both_states_go_on_after_a_kill(tmp_path: Path) -> None:
    stay, folder = a_stay(tmp_path, WORN), tmp_path / "record"
    whole = Watch(stay, None).run(ASKED)
    assert in_question(whole)
    whole.run(30)
    first = Watch(stay, folder).run(ASKED)
    first.kill()
    second = Watch(stay, folder, ASKED).run(30)
    assert in_question(second)
    asked, as_asked = second.last.lines[0].asked, whole.last.lines[0].asked
    assert asked is not None
    assert as_asked is not None
    assert asked.ran_out_m == pytest.approx(as_asked.ran_out_m, abs=1e-6)
    assert asked.most_kn == pytest.approx(as_asked.most_kn, rel=1e-6)
    assert shown(second.last)[1] == shown(whole.last)[1]
    second.end()
    with RecordReader(folder) as record:
        kept = np.concatenate([piece.numbers("ran_out_m.1") for piece in record.states()])
    assert np.nanmax(kept) == pytest.approx(as_asked.ran_out_m, rel=1e-5)


def test_the_answer_is_on_record_and_stands_after_a_kill(tmp_path: Path) -> None:
    stay, folder = a_stay(tmp_path, WORN), tmp_path / "record"
    answer = AnswerBrake("1", "slipped", 0.1, "RV")
    watch = Watch(stay, folder).run(ASKED)
    before = watch.last.lines[0].unstretched_m
    watch.run(2, {ASKED + 1: answer})
    watch.kill()
    with RecordReader(folder) as record:
        assert [done.action for done in record.actions()] == [answer]
        events = [event for _, event in record.events() if event.event == "brake_slipped"]
    assert [(event.line, event.value) for event in events] == [("1", 0.1)]
    again = Watch(stay, folder, ASKED + 2).run(1)
    assert again.last.lines[0].unstretched_m == pytest.approx(before + 0.1)
    corrected = again.run(2, {ASKED + 4: AnswerBrake("1", "held", by="RV")})
    assert corrected.last.lines[0].unstretched_m == pytest.approx(before)
    again.end()
