"""What came of an exercise as it was done: the same from where it was kept, for all kinds of actions that a
record knows; played again where the file is gone, cut short or of other orders. Expected values: ours."""

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Acknowledge, CallOut, Done, Note, ReadByHand, TendLine
from alongside.training.exercise.course import Course
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_run import KEPT, kept_run
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Playing, Run
from tests.berth import START
from tests.training.exercise.lived import BALANCED, flood, second, write_exercise

ACTS = (
    Done(START + 100.0, Note("too early", "TK")),
    Done(START + 1300.0, Acknowledge("stretch", "2", "TK")),
    Done(START + 1400.0, TendLine("2", paid_out=0.4, by="TK")),
    Done(START + 1450.0, TendLine("1", paid_out=0.4, by="TK"), undone=True),
    Done(START + 1900.0, CallOut("engineer", "draught_fwd", by="TK")),
    Done(START + 1960.0, ReadByHand((("draught_fwd", 4.0),), START + 1960.0, by="TK")),
    Done(START + 3000.0, TendLine("1", paid_out=-40.0, by="TK")),
)


class NoPlaying(Playing):
    """Must not be asked."""

    def run(self, *_args: object, **_more: object) -> Run:
        raise AssertionError("played again")


@pytest.fixture
def exercise(tmp_path: Path) -> Exercise:
    silent = f"  - {{kind: silent, channel: draught_fwd, at: {second(1800)}, seconds: 900}}\n"
    return read_exercise(write_exercise(tmp_path, silent, BALANCED, flood))


def assert_same(one: Run | Course, other: Run | Course) -> None:
    for each in fields(one):
        ours, theirs = getattr(one, each.name), getattr(other, each.name)
        if isinstance(ours, np.ndarray):
            np.testing.assert_array_equal(ours, theirs, err_msg=each.name)
        elif isinstance(ours, Course):
            assert_same(ours, theirs)
        else:
            assert repr(ours) == repr(theirs), each.name  # NaN is not itself


@pytest.mark.slow
def test_it_is_the_same_from_where_it_was_kept(exercise: Exercise) -> None:
    played = kept_run(exercise, ACTS, Playing(exercise))
    assert (len(played.done), played.undone) == (4, 1)
    assert len(played.uncounted) == 2, "before it began, and more than its length"
    assert_same(kept_run(exercise, ACTS, NoPlaying(exercise)), played)


@pytest.mark.slow
@pytest.mark.parametrize("harm", ["cut", "other orders", "gone"])
def test_what_cannot_serve_is_played_again(harm: str, exercise: Exercise) -> None:
    played = kept_run(exercise, ACTS, Playing(exercise))
    (file,) = KEPT.folder().iterdir()
    acts = ACTS
    if harm == "cut":
        file.write_bytes(file.read_bytes()[:-200])
    elif harm == "gone":
        file.unlink()
    else:
        acts = (*ACTS[:2], replace(ACTS[2], time=ACTS[2].time + 1.0), *ACTS[3:])
    with pytest.raises(AssertionError, match="played again"):
        kept_run(exercise, acts, NoPlaying(exercise))
    if harm != "other orders":
        assert_same(kept_run(exercise, acts, Playing(exercise)), played)
