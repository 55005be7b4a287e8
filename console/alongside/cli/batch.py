"""`alongside batch`: many recorded stays played, judged and summed up, on all cores or on a scheduler."""

import argparse
import os
from collections.abc import Iterator, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.cli.arguments import positive
from alongside.cli.interrupts import Interrupted
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_aside, print_rows
from alongside.errors import WrongInput

if TYPE_CHECKING:
    from alongside.reports.batch.outcome import Outcome
    from alongside.training.batch.task import Task

SOME_FAILED: Final = 5
"""Exit status: some stay could not be played; all others were."""
MOST_DRAWS: Final = 100_000
PACKED: Final = 8
"""By so much a log is about smaller when it is gzipped."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    stays = "a stay file with its log beside it under the same name, STAY=LOG, or a folder of such stays"
    parser.add_argument("stays", nargs="+", metavar="STAY", help=stays)
    out = "the folder for what comes of each stay, and of all; what is whole in it is not done again"
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help=out)
    jobs = "processes at once (default: as many as there are cores)"
    parser.add_argument("--jobs", type=_jobs, metavar="N", help=jobs)
    scheduler = "work on a scheduler that runs already, such as tcp://host:8786, instead of on this machine"
    parser.add_argument("--scheduler", metavar="ADDRESS", help=scheduler)
    ahead = "without: do not look ahead every ten minutes of log time (faster)"
    parser.add_argument("--ahead", action=argparse.BooleanOptionalAction, default=True, help=ahead)
    every = "also write states, one every so many seconds of log time"
    parser.add_argument("--every", type=positive, metavar="SECONDS", help=every)
    parser.add_argument("--report", action="store_true", help="also write the report of each stay (slow)")
    parser.add_argument("--parquet", action="store_true", help="also write the tables as Parquet files")
    draws = "play so many drawn variations of one stay instead: how often would she have been in alarm"
    parser.add_argument("--draws", type=_draws, metavar="N", help=draws)
    parser.add_argument("--seed", type=_seed, default=1, metavar="S", help="of the draws (default 1)")


def _jobs(text: str) -> int:
    return _whole(text, 1, 1024)


def _draws(text: str) -> int:
    return _whole(text, 1, MOST_DRAWS)


def _seed(text: str) -> int:
    return _whole(text, 0, 2**31)


def _whole(text: str, least: int, most: int) -> int:
    if not (text.isascii() and text.isdecimal() and least <= int(text) <= most):
        raise argparse.ArgumentTypeError(f"{text!r}: expected a whole number from {least} to {most}")
    return int(text)


def run(options: argparse.Namespace) -> int:
    tasks = _tasks(options)
    _check(options)
    outcomes = _outcomes(options, tasks)
    from alongside.reports.batch.summary import write_summary
    from alongside.reports.batch.summary_text import summary_rows

    write_summary(options.out, outcomes, options.draws is not None, options.parquet)
    print_rows(*summary_rows(outcomes, options.draws is not None), f"all of it in {options.out}")
    failed = [outcome for outcome in outcomes if not outcome.is_done]
    print_aside(*(f"{outcome.name}: {outcome.fault}" for outcome in failed))
    return SOME_FAILED if failed else 0


def _tasks(options: argparse.Namespace) -> list["Task"]:
    from alongside.training.batch.stays import LOGS, stays_of, without_log
    from alongside.training.batch.task import Task, Wanted

    given = stays_of(options.stays)
    for path in without_log(options.stays):
        print_aside(f"{path}: passed over, there is no log of its name beside it")
    wanted = Wanted(options.ahead, options.every, options.report)
    places = [(name, one.stay, one.log or one.stay.with_suffix(LOGS[0])) for name, one in given]
    out: Path = options.out
    if options.scheduler:  # a worker has another current folder
        out = out.resolve()
        places = [(name, stay.resolve(), log.resolve()) for name, stay, log in places]
    if options.draws is None:
        return [Task(name, stay, log, out / name, wanted) for name, stay, log in places]
    if len(places) != 1:
        raise WrongInput(f"--draws: {len(places)} stays are given, expected one")
    name, stay, log = places[0]
    folders = [(number, f"{name}.{number:05}") for number in range(1, options.draws + 1)]
    return [Task(each, stay, log, out / each, wanted, number, options.seed) for number, each in folders]


def _check(options: argparse.Namespace) -> None:
    """Raise WrongInput for what can be seen before anything is played."""
    from alongside.reports.output_places import check_folder

    check_folder(options.out)
    if options.report and options.draws is not None:
        raise WrongInput("--report: a drawn stay has no report, expected it without --draws")
    if options.report:
        from alongside.reports.stay.write import need_libraries

        need_libraries()
    if options.parquet:
        from alongside.reports.parquet_files import need_parquet

        need_parquet("batch")
    if options.scheduler:
        from alongside.reports.extras import need

        need("batch", "cluster", "distributed")
        if options.jobs is not None:
            raise WrongInput("--jobs: the scheduler has workers of its own, expected one of the two")


def _outcomes(options: argparse.Namespace, tasks: Sequence["Task"]) -> list["Outcome"]:
    """Return the outcome of each task, in their order. The longest are handed out first: at the end no
    process waits for another that has just begun with one."""
    outcomes: list[Outcome | None] = [None] * len(tasks)
    order = sorted(range(len(tasks)), key=lambda place: -_length(tasks[place].log))
    done = there = failed = 0
    try:
        with Progress() as progress:
            for at, (outcome, earlier) in _answers(options, [tasks[place] for place in order]):
                outcomes[order[at]] = outcome
                if not done:
                    _load_summary()
                done, there, failed = done + 1, there + earlier, failed + (not outcome.is_done)
                not_played = f", {failed} not played" if failed else ""
                progress.show(done / len(tasks), f"{done} of {len(tasks)}{not_played}")
    except KeyboardInterrupt:
        words = f"Interrupted: {done} of {len(tasks)} done; the same command goes on from there"
        raise Interrupted(words) from None
    if there:
        print_aside(f"{there} of {len(tasks)} were there already")
    return [outcome for outcome in outcomes if outcome is not None]


def _load_summary() -> None:
    """Load what sums up while others work: at the end they would wait for it."""
    import_module("alongside.reports.batch.summary_text")


def _length(log: Path) -> float:
    """Return about how many bytes a log has when it is not packed; 0 for one that cannot be read."""
    try:
        return log.stat().st_size * (PACKED if log.suffix == ".gz" else 1)
    except OSError:
        return 0.0


def _answers(
    options: argparse.Namespace, tasks: Sequence["Task"]
) -> Iterator[tuple[int, tuple["Outcome", bool]]]:
    from alongside.training.batch.one_stay import died, play

    if options.scheduler:
        from alongside.runtime.batch_cluster import on_scheduler

        return on_scheduler(options.scheduler, play, tasks, died)
    from alongside.runtime.batch_pool import in_processes

    return in_processes(play, tasks, options.jobs or _cores(), died)


def _cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
