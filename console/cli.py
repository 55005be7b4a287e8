"""The commands and their exit statuses.

0 done; 1 a fault of ours, its trace in the log file; 2 wrong use or input, nothing done; 3 a feed could
not be opened; 10, 11, 12 with `--stage-status`: the worst stage was caution, warning, alarm;
130 interrupted, all written so far is whole.

Every command imports only what it needs: `check` answers without numpy, a headless replay without the
screen.
"""

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from console import __version__
from console.errors import AlongsideError, WrongInput
from console.units import unix_time

INTERRUPTED = 130
STAGE_STATUS = {"normal": 0, "caution": 10, "warning": 11, "alarm": 12}
PALETTES = ("day", "dusk", "night", "plain")
DEMO = "coal_berth"
DEMO_SPEED = 60.0


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit status."""
    options = _parser().parse_args(arguments)
    command: Callable[[argparse.Namespace], int] = options.command
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
        from console.faultlog import keep_trace

        print(f"alongside: a fault of ours: {error!r}; trace in {keep_trace()}", file=sys.stderr)
        return 1


def _check(options: argparse.Namespace) -> int:
    from console.stay.read import describe, read_stay

    worst = 0
    for path in options.stays:
        try:
            print(f"{path}: {describe(read_stay(path))}")
        except WrongInput as error:
            print(error, file=sys.stderr)
            worst = error.exit_status
    return worst


def _watch(options: argparse.Namespace) -> int:
    from console.stay.read import read_stay

    stay = read_stay(options.stay)
    _need_terminal("watch")
    from console.look import LookDesk
    from console.record.faults import RecordInUse
    from console.record.layout import default_folder
    from console.screens.app import run_console
    from console.watch import LiveDesk

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
    from console.stay.read import read_stay

    stay = read_stay(options.stay)
    if options.headless:
        from console.headless import replay_headless

        stage = replay_headless(
            stay,
            options.log,
            states=options.states,
            events=options.events,
            every=options.every,
            start=options.start,
            outlook=options.outlook,
        )
        return STAGE_STATUS[stage.word] if options.stage_status else 0
    _need_terminal("replay", "or give --headless")
    from console.rerun import ReplayDesk
    from console.screens.app import run_console

    desk = ReplayDesk(stay, options.log, speed=options.speed, start=options.start)
    return run_console(desk, stay, palette=options.palette)


def _demo(options: argparse.Namespace) -> int:
    from console.examples import example_log, example_stay

    options.stay, options.log = example_stay(DEMO), example_log(DEMO)
    options.headless = not (sys.stdin.isatty() and sys.stdout.isatty())
    return _replay(options)


def _holding(options: argparse.Namespace) -> int:
    from console.cycle import Plan
    from console.holding_answer import holding_answer, holding_json, write_json
    from console.moment import moment_in_log, moment_planned
    from console.stay.read import read_stay

    plan = Plan.of(read_stay(options.stay))
    moment = moment_in_log(plan, options.log, options.at) if options.log else moment_planned(plan, options.at)
    power, rows = holding_answer(plan, moment, standard=options.criteria == "standard")
    if options.json:
        write_json(holding_json(power), options.json)
    print("\n".join(rows))
    return 0


def _outlook(options: argparse.Namespace) -> int:
    from console.cycle import Plan
    from console.outlook_answer import answer, far_of, present_of
    from console.stay.read import read_stay

    plan = Plan.of(read_stay(options.stay))
    present = present_of(plan, options.log, options.at)
    far = far_of(plan.stay, options.hours, options.every, options.members)
    print("\n".join(answer(plan, present, far, options.what_if, options.json)))
    return 0


def _compare(options: argparse.Namespace) -> int:
    from console.ahead.planned import when_fast
    from console.comparison import comparison_rows, side_of
    from console.cycle import Plan
    from console.outlook_answer import CAUTION, far_of
    from console.stay.read import read_stay

    plans = [Plan.of(read_stay(path)) for path in options.stays]
    at = max(when_fast(plan.stay) for plan in plans) if options.at is None else options.at
    sides = [side_of(plan, at, far_of(plan.stay, options.hours)) for plan in plans]
    print("\n".join([*comparison_rows(*sides), "", CAUTION]))
    return 0


def _handover(options: argparse.Namespace) -> int:
    from console.handover_answer import handover_of

    print("\n".join(handover_of(options.what, options.log, options.at, options.since)))
    return 0


def _exercise(options: argparse.Namespace) -> int:
    from console.exercise.file import describe, read_exercise

    exercise = read_exercise(options.exercise)
    if options.check:
        print(f"{options.exercise}: {describe(exercise)}")
        return 0
    from console.exercise.commands import done_in, exercise_headless, kept_actions, tell_debrief

    if options.headless:
        done = done_in(options.actions) if options.actions else ()
        exercise_headless(exercise, done, states=options.states, events=options.events, every=options.every)
        return 0
    _need_terminal("exercise", "or give --headless")
    from datetime import UTC, datetime

    from console.exercise.actions_file import write_actions
    from console.exercise.desk import desk_of
    from console.screens.app import run_console

    desk = desk_of(exercise, options.speed)
    status = run_console(desk, desk.stay, palette=options.palette)
    kept = options.actions or kept_actions(exercise, f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}")
    write_actions(kept, desk.done)
    print(f"What was done: {kept}\n")
    if status == 0:
        tell_debrief(exercise, desk.done)
    return status


def _debrief(options: argparse.Namespace) -> int:
    from console.exercise.commands import done_in, tell_debrief
    from console.exercise.file import read_exercise

    tell_debrief(read_exercise(options.exercise), done_in(options.done), options.json)
    return 0


def _report(options: argparse.Namespace) -> int:
    from console.report import write_report

    print(write_report(options.record, options.out, options.csv))
    return 0


def _lives(options: argparse.Namespace) -> int:
    from console.lives import write_lives

    print("\n".join(write_lives(options.records, options.csv, options.json)))
    return 0


def _simulate(options: argparse.Namespace) -> int:
    from console.simulate import write_log
    from console.stay.read import read_stay

    stay = read_stay(options.stay)
    count = write_log(stay, options.out, seed=options.seed, hours=options.hours)
    print(f"{options.out}: {count} sentences")
    return 0


def _listen(options: argparse.Namespace) -> int:
    from console.listening import listen
    from console.stay.read import read_stay

    return listen(read_stay(options.stay), seconds=options.seconds)


def _need_terminal(command: str, otherwise: str = "") -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        hint = f", {otherwise}" if otherwise else ""
        raise WrongInput(f"alongside {command}: needs a terminal on standard input and output{hint}")


def _time(text: str) -> float:
    try:
        return unix_time(text)
    except ValueError as error:
        expected = "expected ISO 8601 with a zone, such as 2026-03-02T04:10:00Z"
        raise argparse.ArgumentTypeError(f"{text!r} is no time: {expected}") from error


def _positive(text: str) -> float:
    try:
        value = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no number") from error
    if not 0.0 < value < float("inf"):
        raise argparse.ArgumentTypeError(f"{text} is not above 0")
    return value


def _members(text: str) -> int:
    if not text.isdecimal() or not 2 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r}: expected a whole number from 2 to 1000")
    return int(text)


def _speed(text: str) -> float:
    value = _positive(text)
    if value > 3600.0:
        raise argparse.ArgumentTypeError(f"{text} is too fast to see, at most 3600")
    return value


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="alongside",
        description="Keeps watch over a moored ship's lines through a port stay. It advises; the master's "
        "judgement, the ship's line management plan, port rules and the makers' data stand above it.",
    )
    parser.add_argument("--version", action="version", version=f"alongside {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def add(name: str, does: str, run: Callable[[argparse.Namespace], int]) -> argparse.ArgumentParser:
        command = commands.add_parser(name, help=does, description=does)
        command.set_defaults(command=run)
        return command

    watch = add("watch", "the live console on the stay's feeds", _watch)
    watch.add_argument("stay", type=Path, metavar="STAY", help="the stay file")
    kept = watch.add_mutually_exclusive_group()
    where = "where the record is kept (default: the stay file's own, under $XDG_STATE_HOME/alongside/records)"
    kept.add_argument("--record", type=Path, metavar="FOLDER", help=where)
    kept.add_argument("--no-record", action="store_true", help="keep no record; nothing outlasts the console")
    _add_palette(watch)

    replay = add("replay", "the same console on a recorded feed log", _replay)
    replay.add_argument("stay", type=Path, metavar="STAY")
    replay.add_argument("log", type=Path, metavar="LOG", help="a feed log, plain or .gz")
    replay.add_argument("--speed", type=_speed, default=1.0, metavar="X", help="times real time (default 1)")
    replay.add_argument("--headless", action="store_true", help="without a screen, as fast as it goes")
    _add_headless(replay)
    _add_palette(replay)

    demo = add("demo", "replay the example that ships with the program", _demo)
    demo.add_argument("--speed", type=_speed, default=DEMO_SPEED, metavar="X")
    _add_headless(demo)
    _add_palette(demo)

    check = add("check", "every fault of a stay file, or one line saying what it holds", _check)
    check.add_argument("stays", nargs="+", type=Path, metavar="STAY")

    holding = add("holding", "what wind from each direction the set can hold, and what gives first", _holding)
    holding.add_argument("stay", type=Path, metavar="STAY")
    without = "a feed log that holds the moment; without one the plan alone is asked, as before arrival"
    holding.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z"
    holding.add_argument("--at", type=_time, required=True, metavar="T", help=when)
    holding.add_argument("--json", type=Path, metavar="FILE", help="72 directions for other programs")
    standard = "standard: also 60 kn of wind with the usual currents"
    holding.add_argument("--criteria", choices=["standard"], help=standard)

    outlook = add("outlook", "what will happen to each line, and the tending rounds", _outlook)
    outlook.add_argument("stay", type=Path, metavar="STAY")
    without = "a feed log that holds the moment; without one the plan alone is looked at, as before arrival"
    outlook.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    _add_ahead(outlook)
    outlook.add_argument("--json", type=Path, metavar="FILE", help="the outlook for other programs")
    every = "minutes between instants (default: the stay file's, else 5)"
    outlook.add_argument("--every", type=_positive, metavar="MIN", help=every)
    outlook.add_argument("--members", type=_members, metavar="N", help="of the ensemble (default 50)")
    change = "beside it with a change: 'slack 3 0.4', 'let go 5', 'shift 4 to B12', 'wind 40kn from 210', "
    change += "'stop cargo'; may be given again"
    outlook.add_argument("--what-if", action="append", default=[], metavar="CHANGE", help=change)

    compare = add("compare", "two stay files side by side: what differs over the stay", _compare)
    compare.add_argument("stays", type=Path, nargs=2, metavar="STAY")
    _add_ahead(compare)

    _add_report(add("report", "a recorded stay as a page to read and print, and as tables", _report))
    _add_lives(add("lives", "what each rope and tail has been through, over several records", _lives))

    simulate = add("simulate", "a seeded feed log of a stay", _simulate)
    simulate.add_argument("stay", type=Path, metavar="STAY")
    simulate.add_argument("--out", type=Path, required=True, metavar="LOG", help="where to; .gz compresses")
    simulate.add_argument("--seed", type=int, metavar="N", help="instead of the stay file's")
    simulate.add_argument("--hours", type=_positive, metavar="H", help="instead of the stay file's")

    handover = add("handover", "the page that a watch is handed over with, to print", _handover)
    what = "the folder of a record, or a stay file: that of its record, or with LOG"
    handover.add_argument("what", type=Path, metavar="RECORD|STAY", help=what)
    played = "a feed log of the stay, played up to the time"
    handover.add_argument("log", type=Path, nargs="?", metavar="LOG", help=played)
    handover.add_argument("--at", type=_time, metavar="T", help="at this time (default: the end)")
    began = "when the watch began (default: when it was last taken over, else 4 h before)"
    handover.add_argument("--since", type=_time, metavar="T", help=began)

    exercise = add("exercise", "a recorded stay with trouble put into it, to be lived through", _exercise)
    exercise.add_argument("exercise", type=Path, metavar="FILE", help="the exercise file")
    exercise.add_argument("--check", action="store_true", help="only tell every fault of the file")
    exercise.add_argument("--speed", type=_speed, default=1.0, metavar="X", help="times real time")
    exercise.add_argument("--headless", action="store_true", help="no screen; as fast as it goes")
    done = "what is done, as JSON lines: read with --headless, else written at the end"
    exercise.add_argument("--actions", type=Path, metavar="FILE", help=done)
    exercise.add_argument("--states", type=Path, metavar="FILE", help="states as JSON lines (headless)")
    exercise.add_argument("--events", type=Path, metavar="FILE", help="events as JSON lines (headless)")
    every = "seconds of log time between states (default: every cycle)"
    exercise.add_argument("--every", type=_positive, default=1.0, metavar="SECONDS", help=every)
    _add_palette(exercise)

    debrief = add("debrief", "how an exercise was met, beside nothing done and the best plan", _debrief)
    debrief.add_argument("exercise", type=Path, metavar="FILE", help="the exercise file")
    done = "what was done: actions as JSON lines, or the folder of a record"
    debrief.add_argument("done", type=Path, metavar="DONE", help=done)
    debrief.add_argument("--json", type=Path, metavar="OUT", help="the debrief for other programs")

    listen = add("listen", "what each feed really says: rates, channels, faults", _listen)
    listen.add_argument("stay", type=Path, metavar="STAY")
    listen.add_argument("--seconds", type=_positive, metavar="S", help="stop after so long (default: Ctrl-C)")
    return parser


def _add_ahead(command: argparse.ArgumentParser) -> None:
    when = "from when on, such as 2026-03-02T04:10:00Z (default: when the last line is made fast)"
    command.add_argument("--at", type=_time, metavar="T", help=when)
    hours = "how far to look (default: the stay file's, else 12)"
    command.add_argument("--hours", type=_positive, metavar="H", help=hours)


def _add_report(command: argparse.ArgumentParser) -> None:
    record = "the folder of a record, or the journal in it"
    command.add_argument("record", type=Path, metavar="RECORD", help=record)
    out = "the page (default: the record's name with .html, in this folder)"
    command.add_argument("--out", type=Path, metavar="FILE.html", help=out)
    command.add_argument(
        "--csv", type=Path, metavar="FOLDER", help="states, events, deeds and lines as tables"
    )


def _add_lives(command: argparse.ArgumentParser) -> None:
    command.add_argument("records", nargs="+", type=Path, metavar="RECORD", help="records, in any order")
    command.add_argument("--csv", type=Path, metavar="FILE", help="the same as a table for other programs")
    command.add_argument("--json", type=Path, metavar="FILE", help="the same as JSON")


def _add_palette(command: argparse.ArgumentParser) -> None:
    command.add_argument("--palette", choices=PALETTES, default="day", help="colours of the screen")


def _add_headless(command: argparse.ArgumentParser) -> None:
    command.add_argument("--states", type=Path, metavar="FILE", help="states as JSON lines (headless)")
    command.add_argument("--events", type=Path, metavar="FILE", help="events as JSON lines (headless)")
    every = "seconds of log time between states (default: every cycle)"
    command.add_argument("--every", type=_positive, default=1.0, metavar="SECONDS", help=every)
    command.add_argument("--from", dest="start", type=_time, metavar="T", help="begin at this time")
    ahead = "look hours ahead every five minutes of log time, and raise what comes soon (headless; slower)"
    command.add_argument("--outlook", action="store_true", help=ahead)
    stages = "exit with 10, 11, 12 if the worst stage was caution, warning, alarm (headless)"
    command.add_argument("--stage-status", action="store_true", help=stages)


if __name__ == "__main__":
    sys.exit(main())
