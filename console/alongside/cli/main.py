"""The commands and their exit statuses.

0 done; 1 a fault of ours, its trace in the log file; 2 wrong use or input, nothing done; 3 a feed could
not be opened; 10, 11, 12 with `--stage-status`: the worst stage was caution, warning, alarm;
130 interrupted, all written so far is whole.

Every command imports only what it needs: `check` answers without numpy, a headless replay without the
screen.
"""

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from alongside.cli.arguments import Run, parser_of
from alongside.errors import AlongsideError, WrongInput

INTERRUPTED = 130
STAGE_STATUS = {"normal": 0, "caution": 10, "warning": 11, "alarm": 12}
DEMO = "coal_berth"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit status."""
    options = parser_of(COMMANDS).parse_args(arguments)
    command: Run = options.command
    try:
        return command(options)
    except AlongsideError as error:
        print(error, file=sys.stderr)
        return error.exit_status
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader of our output has gone (`| head`): nothing is wrong, and nobody is left to tell.
        sys.stderr.close()
        return 0
    except Exception as error:
        # The outermost guard: whatever we did not foresee is told in one line, its trace kept for repair.
        from alongside.record.faultlog import keep_trace

        print(f"alongside: a fault of ours: {error!r}; trace in {keep_trace()}", file=sys.stderr)
        return 1


def _check(options: argparse.Namespace) -> int:
    from alongside.stay.read import describe, read_stay

    worst = 0
    for path in options.stays:
        try:
            print(f"{path}: {describe(read_stay(path))}")
        except WrongInput as error:
            print(error, file=sys.stderr)
            worst = error.exit_status
    return worst


def _watch(options: argparse.Namespace) -> int:
    from alongside.stay.read import read_stay

    stay = read_stay(options.stay)
    _need_terminal("watch")
    from alongside.record.faults import RecordInUse
    from alongside.record.layout import default_folder
    from alongside.runtime.live import LiveDesk
    from alongside.runtime.look_only import LookDesk
    from alongside.screens.app import run_console

    folder: Path | None = None if options.no_record else options.record or default_folder(options.stay)
    try:
        desk: LiveDesk | LookDesk = LiveDesk(stay, record=folder)
    except RecordInUse as busy:
        desk = LookDesk(busy.folder, stay, busy.holder)
    status = run_console(desk, stay, palette=options.palette)
    if isinstance(desk, LiveDesk) and desk.lost:
        print(f"alongside: not on record: {desk.lost}", file=sys.stderr)
    return status


def _replay(options: argparse.Namespace) -> int:
    from alongside.stay.read import read_stay

    stay = read_stay(options.stay)
    if options.headless:
        from alongside.cli.headless import replay_headless

        stage = replay_headless(
            stay,
            options.log,
            states=options.states,
            events=options.events,
            every=options.every,
            start=options.start,
            ahead=options.ahead,
        )
        return STAGE_STATUS[stage.word] if options.stage_status else 0
    _need_terminal("replay", "or give --headless")
    from alongside.runtime.replay import ReplayDesk
    from alongside.screens.app import run_console

    desk = ReplayDesk(stay, options.log, speed=options.speed, start=options.start)
    return run_console(desk, stay, palette=options.palette)


def _demo(options: argparse.Namespace) -> int:
    from alongside.cli.examples import example_log, example_stay

    options.stay, options.log = example_stay(DEMO), example_log(DEMO)
    options.headless = not (sys.stdin.isatty() and sys.stdout.isatty())
    return _replay(options)


def _holding(options: argparse.Namespace) -> int:
    from alongside.cli.moment import moment_in_log
    from alongside.cycle.advance import Plan
    from alongside.cycle.moment import moment_planned
    from alongside.reports.holding_text import holding_answer, holding_json, write_json
    from alongside.stay.read import read_stay

    plan = Plan.of(read_stay(options.stay))
    moment = moment_in_log(plan, options.log, options.at) if options.log else moment_planned(plan, options.at)
    power, rows = holding_answer(plan, moment, standard=options.criteria == "standard")
    if options.json:
        write_json(holding_json(power), options.json)
    print("\n".join(rows))
    return 0


def _ahead(options: argparse.Namespace) -> int:
    from alongside.cli.ahead import answer, far_of, present_of
    from alongside.cycle.advance import Plan
    from alongside.stay.read import read_stay

    plan = Plan.of(read_stay(options.stay))
    present = present_of(plan, options.log, options.at)
    far = far_of(plan.stay, options.hours, options.every, options.members)
    print("\n".join(answer(plan, present, far, options.what_if, options.json)))
    return 0


def _compare(options: argparse.Namespace) -> int:
    from alongside.cli.ahead import CAUTION, far_of
    from alongside.cycle.advance import Plan
    from alongside.forecast.before_arrival import when_fast
    from alongside.reports.comparison import comparison_rows, side_of
    from alongside.stay.read import read_stay

    plans = [Plan.of(read_stay(path)) for path in options.stays]
    at = max(when_fast(plan.stay) for plan in plans) if options.at is None else options.at
    sides = [side_of(plan, at, far_of(plan.stay, options.hours)) for plan in plans]
    print("\n".join([*comparison_rows(*sides), "", CAUTION]))
    return 0


def _handover(options: argparse.Namespace) -> int:
    from alongside.cli.handover import handover_of

    print("\n".join(handover_of(options.what, options.log, options.at, options.since)))
    return 0


def _exercise(options: argparse.Namespace) -> int:
    from alongside.training.exercise.file import describe, read_exercise

    exercise = read_exercise(options.exercise)
    if options.check:
        print(f"{options.exercise}: {describe(exercise)}")
        return 0
    from alongside.cli.exercise import done_in, exercise_headless, kept_actions, tell_debrief

    if options.headless:
        done = done_in(options.actions, exercise) if options.actions else ()
        exercise_headless(exercise, done, states=options.states, events=options.events, every=options.every)
        return 0
    _need_terminal("exercise", "or give --headless")
    from datetime import UTC, datetime

    from alongside.screens.app import run_console
    from alongside.training.exercise.actions_file import write_actions
    from alongside.training.exercise.desk import ExerciseDesk

    desk = ExerciseDesk(exercise, options.speed)
    status = run_console(desk, desk.stay, palette=options.palette)
    kept = options.actions or kept_actions(exercise, f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}")
    write_actions(kept, desk.acts)
    print(f"What was done: {kept}\n")
    if status == 0:
        tell_debrief(exercise, desk.acts)
    return status


def _debrief(options: argparse.Namespace) -> int:
    from alongside.cli.exercise import done_in, tell_debrief
    from alongside.training.exercise.file import read_exercise

    exercise = read_exercise(options.exercise)
    tell_debrief(exercise, done_in(options.done, exercise), options.json)
    return 0


def _report(options: argparse.Namespace) -> int:
    from alongside.reports.stay.write import write_report

    print(write_report(options.record, options.out, options.csv))
    return 0


def _lives(options: argparse.Namespace) -> int:
    from alongside.reports.ropes.write import write_lives

    print("\n".join(write_lives(options.records, options.csv, options.json)))
    return 0


def _simulate(options: argparse.Namespace) -> int:
    from alongside.stay.read import read_stay
    from alongside.training.simulate.log import write_log

    stay = read_stay(options.stay)
    count = write_log(stay, options.out, seed=options.seed, hours=options.hours)
    print(f"{options.out}: {count} sentences")
    return 0


def _listen(options: argparse.Namespace) -> int:
    from alongside.cli.listen import listen
    from alongside.stay.read import read_stay

    return listen(read_stay(options.stay), seconds=options.seconds)


def _need_terminal(command: str, otherwise: str = "") -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        hint = f", {otherwise}" if otherwise else ""
        raise WrongInput(f"alongside {command}: needs a terminal on standard input and output{hint}")


COMMANDS: Mapping[str, Run] = {
    "watch": _watch,
    "replay": _replay,
    "demo": _demo,
    "check": _check,
    "holding": _holding,
    "ahead": _ahead,
    "compare": _compare,
    "report": _report,
    "lives": _lives,
    "simulate": _simulate,
    "handover": _handover,
    "exercise": _exercise,
    "debrief": _debrief,
    "listen": _listen,
}
