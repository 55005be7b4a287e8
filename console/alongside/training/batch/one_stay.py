"""One stay of a batch: what a process or a worker does with it. Here is little to load: whoever hands out the
stays must know it, and a stay that is there already needs no more of the program."""

from dataclasses import replace

from alongside.errors import AlongsideError, DiskFailed, WrongInput
from alongside.record.faultlog import keep_trace
from alongside.reports.batch.outcome import Outcome, outcome_text
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import EVENTS, OUTCOME
from alongside.stay.read import read_stay
from alongside.training.batch import kept
from alongside.training.batch.task import Task


def play(task: Task) -> tuple[Outcome, bool]:
    """Return what came of a stay, and whether an earlier batch had done it. What is wrong with it is in the
    outcome; only a disk that is full or fails raises DiskFailed."""
    outcome = Outcome("", task.name, str(task.stay), str(task.log), exit=1)
    try:
        stay = read_stay(task.stay)
        outcome = replace(outcome, digest=kept.digest_of(task, stay))
        earlier = kept.kept_outcome(task, outcome.digest)
        if earlier is not None:
            return earlier, True
        from alongside.training.batch.played import played

        return played(task, stay, outcome), False
    except DiskFailed:
        raise
    except AlongsideError as error:
        outcome = replace(outcome, exit=error.exit_status, fault="; ".join(error.rows))
    except Exception as error:  # one bad stay never stops the others
        outcome = replace(outcome, exit=1, fault=f"a fault of ours: {error!r}; trace in {keep_trace()}")
    return write_fault(task, outcome), False


def died(task: Task) -> tuple[Outcome, bool]:
    """Return the outcome of a stay whose process died each time that it was played."""
    fault = "its process ended each time (killed, or out of memory?)"
    outcome = Outcome("", task.name, str(task.stay), str(task.log), exit=1, fault=fault)
    return write_fault(task, outcome), False


def write_fault(task: Task, outcome: Outcome) -> Outcome:
    """Write an outcome that is a fault in the place of what an earlier batch left; return it, or what kept it
    from being written."""
    try:
        with Outputs() as outputs:
            outputs.folder(task.folder)
            outputs.text(task.folder / kept.EVENTS, EVENTS)
            outputs.text(task.folder / kept.OUTCOME, OUTCOME).write(outcome_text(outcome))
    except WrongInput as error:
        return replace(outcome, fault=f"{outcome.fault}; {error}")
    return outcome
