"""A brake in question over a kill and a restart: both states go on, the answer is on record, a state kept is
judged as it was."""

import json
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import AnswerBrake
from alongside.record.reader import RecordReader
from tests.berth import START
from tests.record.kept import ASKED, Watch, shown, worn_stay
from tests.record.with_a_question import said_of


def in_question(watch: Watch) -> bool:
    return watch.last.lines[0].asked is not None


@pytest.mark.slow
def test_both_states_go_on_after_a_kill(tmp_path: Path) -> None:
    stay, folder = worn_stay(tmp_path), tmp_path / "record"
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


@pytest.mark.slow
def test_the_question_stands_after_a_sigkill_from_another_process(tmp_path: Path) -> None:
    """The question is still open, both states are those shown last, and they go on as if nothing had been."""
    record = tmp_path / "record"
    command = [sys.executable, "-m", "tests.record.with_a_question", tmp_path, record, str(ASKED + 300)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE)
    assert child.stdout is not None
    asked = 0
    for line in child.stdout:
        asked += (json.loads(line)["ran_out_m"] or 0.0) > 0.02
        if asked == 5:
            break
    child.send_signal(signal.SIGKILL)
    said = [json.loads(line) for line in child.communicate()[0].split(b"\n")[:-1]] or [json.loads(line)]
    assert child.returncode == -signal.SIGKILL, "it had ended by itself"
    last = said[-1]
    second = round(last["second"] - START)
    watch = Watch(worn_stay(tmp_path), record, second + 1.0)
    question = watch.desk._memory.lengths.brakes.question("1")
    assert question is not None
    assert question.ran_out_m >= last["ran_out_m"] - 1e-6
    assert question.most_kn >= last["most_kn"] - 1e-6
    assert watch.desk._memory.lengths.unstretched[0] == pytest.approx(last["main_m"], abs=1e-9)
    here = said_of(watch.run(5).last)
    whole = said_of(Watch(worn_stay(tmp_path), None).run(second + 6).last)
    assert here == pytest.approx(whole, rel=0.02), "a second was not heard"
    watch.end()


@pytest.mark.slow
def test_the_answer_is_on_record_and_stands_after_a_kill(tmp_path: Path) -> None:
    stay, folder = worn_stay(tmp_path), tmp_path / "record"
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
