"""`alongside exercise`: a recorded stay with trouble put into it, on the console or without a screen."""

import argparse
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from alongside.actions import Done
from alongside.cli.actions_done import actions_done
from alongside.cli.arguments import add_json_lines, add_mouse, add_palette, speed
from alongside.cli.debrief import Asked, add_page, print_debrief
from alongside.cli.drawn import add_vary, as_drawn, attempt_in
from alongside.cli.exercise_from import add_from, cut_exercise
from alongside.cli.exercise_shelf import print_shelf
from alongside.cli.headless_output import HeadlessOutput
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows, print_wrapped
from alongside.cli.terminal import need_terminal
from alongside.errors import DiskFailed, WrongInput
from alongside.record.attempt import AttemptFolder
from alongside.record.orders_file import OrdersFile
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import ACTIONS, DEBRIEF_PAGE, EVENTS, STATES
from alongside.training.exercise.actions_file import rows_of, write_actions
from alongside.training.exercise.answers import as_met, met_by
from alongside.training.exercise.briefing import briefing
from alongside.training.exercise.conduct import NAME_MOST, Attempt
from alongside.training.exercise.file import describe, read_exercise
from alongside.training.exercise.given import write_given
from alongside.training.exercise.kept_yardstick import kept_beginning, kept_yardstick
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.page.write import need_libraries
from alongside.training.exercise.run import Playing, blocks, play_to_start, player_of
from alongside.training.exercise.varied_text import varied_rows
from alongside.training.exercise.yardstick import between
from alongside.training.station.places import kept_in, new_place
from alongside.units import iso_time

if TYPE_CHECKING:
    from alongside.training.exercise.desk import ExerciseDesk

BY_AN_INSTRUCTOR: Final = (
    "An instructor follows at another terminal (alongside instruct), and may stop time and put trouble in."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    which = "the exercise file, or a folder of them, to be listed (default: those that come with the program)"
    parser.add_argument("exercise", type=Path, nargs="?", metavar="FILE", help=which)
    parser.add_argument("--json", type=Path, metavar="OUT", help="the list of a folder for other programs")
    parser.add_argument("--check", action="store_true", help="only print every fault of the file")
    pace = "times real time (default 1; an exam goes at the pace of its file)"
    parser.add_argument("--speed", type=speed, metavar="X", help=pace)
    parser.add_argument("--name", default="", metavar="NAME", help="who goes through it")
    exam = "time cannot be stopped, gone back or jumped"
    parser.add_argument("--exam", action="store_true", help=exam)
    add_vary(parser, ", so that nobody knows what comes; with --check: what was drawn")
    parser.add_argument("--headless", action="store_true", help="without a screen, as fast as it goes")
    station = "let an instructor follow at another terminal: stop time, put trouble in, mark moments"
    parser.add_argument("--station", action="store_true", help=station)
    done = "what is done, as JSON lines: read with --headless, else written at the end"
    parser.add_argument("--actions", type=Path, metavar="FILE", help=done)
    add_page(parser)
    add_from(parser)
    add_json_lines(parser)
    add_palette(parser)
    add_mouse(parser)


def run(options: argparse.Namespace) -> int:
    if options.source is not None:
        return cut_exercise(options)
    if options.at is not None:
        raise WrongInput("--at: the moment of a stay to be cut, expected it with --from")
    if options.exercise is None or options.exercise.is_dir():
        _refuse_with_a_folder(options)
        return print_shelf(options.exercise, options.json)
    if options.json is not None:
        raise WrongInput(f"{options.exercise}: --json is for a list, expected a folder of exercises")
    if options.out is not None and (options.headless or options.check):
        raise WrongInput(
            f"{options.out}: a page of an exercise at the console, expected `debrief --out` here"
        )
    if options.headless:
        inputs = [path for path in (options.exercise, options.actions) if path]
        check_outputs(inputs, [(options.states, STATES), (options.events, EVENTS)])
    elif not options.check:
        check_outputs([options.exercise], [(options.actions, ACTIONS), (options.out, DEBRIEF_PAGE)])
        if options.out is not None:
            need_libraries("exercise")
    if options.station and (options.headless or options.check):
        raise WrongInput("--station: an instructor follows a screen, expected it without --headless, --check")
    as_written = read_exercise(options.exercise)
    lived = options.actions if options.headless else None
    done = actions_done(lived, as_written) if lived else ()
    attempt = attempt_in(lived)
    exercise = as_drawn(as_written, options.vary, attempt)
    if options.check:
        print_rows(f"{options.exercise}: {describe(exercise)}")
        print_rows(*(varied_rows(as_written, exercise) if options.vary is not None else ()))
        return 0
    if options.headless:
        outputs = {"states": options.states, "events": options.events, "every": options.every}
        exercise_headless(exercise, done, **outputs)
        return 0
    need_terminal("exercise", "or give --headless")
    if options.exam and options.speed is not None:
        raise WrongInput(f"{options.exercise}: an exam goes at the pace of its file, expected no --speed")
    pace = exercise.pace if options.exam else options.speed or 1.0
    trainee = _begun(exercise, options, pace)
    return 0 if trainee is None else _on_the_console(exercise, options, trainee, pace)


def _refuse_with_a_folder(options: argparse.Namespace) -> None:
    """Raise WrongInput for options that only one exercise can have."""
    of_one = ("headless", "exam", "station", "speed", "actions", "out", "states", "events", "vary")
    asked = [name for name in of_one if getattr(options, name) not in (None, False)]
    if asked:
        place = options.exercise or "alongside exercise"
        raise WrongInput(f"{place}: --{asked[0]} is for one exercise, expected an exercise file")


def exercise_headless(
    exercise: Exercise,
    done: Sequence[Done],
    *,
    states: Path | None = None,
    events: Path | None = None,
    every: float = 1.0,
) -> None:
    """Play an exercise with these actions; states and events to files, else its time line to standard
    output. The same files in give the same bytes out."""
    world = as_met(exercise, met_by(exercise, done))
    player = player_of(world, kept_beginning(exercise))
    rows_come = states is None and events is None and sys.stdout.isatty()
    with Outputs() as outputs, Progress(not rows_come) as progress:
        output = HeadlessOutput(outputs, player.basis, states, events, exercise.start, every)
        play_to_start(world, player, between(progress.show, 0.0, 0.5, "what comes before"))
        for block in blocks(world, player, done):
            output.write_block(block)
            now = float(block.readings.time[-1])
            part = (now - exercise.start) / (exercise.end - exercise.start)
            progress.show(0.5 + 0.5 * part, iso_time(now))


def _begun(exercise: Exercise, options: argparse.Namespace, pace: float) -> str | None:
    """Show the briefing, and wait until somebody begins. Return the trainee's name; None for who leaves."""
    print_wrapped(*briefing(exercise, options.exam, pace), "")
    if options.station:
        print_wrapped(BY_AN_INSTRUCTOR, "")
    name = str(options.name).strip()
    try:
        while options.exam and not name:
            name = input("Your name: ").strip()
        input("Enter begins, Ctrl-C leaves: ")
    except (EOFError, KeyboardInterrupt):
        print_rows("")
        return None
    return name[:NAME_MOST]


def _on_the_console(exercise: Exercise, options: argparse.Namespace, trainee: str, pace: float) -> int:
    from alongside.screens.run import run_console
    from alongside.training.station.trainee_desk import TraineeDesk

    with Progress() as progress:
        # Worked out now, once, so that the debrief comes at once.
        measure = kept_yardstick(exercise, progress.show)
    playing = Playing(exercise, measure.beginning)
    listed = _list_of(exercise, options.actions)
    desk = _desk_of(exercise, options, trainee, pace, playing, listed)
    status = run_console(desk, desk.stay, options.palette, options.ascii, mouse=options.mouse)
    kept = _kept(listed, options.actions, desk)
    print_rows(f"What was done: {kept}")
    given = desk.given if isinstance(desk, TraineeDesk) else None
    if given:
        place = _free(kept.with_suffix(".yaml"))
        write_given(exercise.file, given, place)
        exercise = as_drawn(read_exercise(place), options.vary)
        print_rows(f"The exercise as it was given: {place}")
    print_rows("")
    if status == 0:
        asked = Asked(page=options.out, all_lines=options.all_lines)
        print_debrief(exercise, desk.acts, desk.attempt, asked, desk.judging)
    return status


def _list_of(exercise: Exercise, asked: Path | None) -> OrdersFile | None:
    """Return the list of what will be done, its place taken before anybody begins; None for a pipe or a
    terminal, which is written to at the end. Raises DiskFailed."""
    place = asked or kept_in() / f"{Path(exercise.file).stem}-{_stamp()}.jsonl"
    if asked is not None and asked.exists():
        return None
    try:
        return OrdersFile(place) if asked is not None else OrdersFile.at_free_place(place)
    except FileExistsError:
        raise WrongInput(f"{place}: another console has just begun it, expected a new file") from None
    except OSError as error:
        raise DiskFailed(f"{place}: {error.strerror or error}, expected a place for what is done") from error


def _kept(listed: OrdersFile | None, asked: Path | None, desk: "ExerciseDesk") -> Path:
    """Put all that was done in its place; return that. Raises DiskFailed."""
    if listed is None:
        assert asked is not None, "what stands there was asked for"
        write_actions(asked, desk.acts, desk.attempt)
        return asked
    try:
        listed.write(rows_of(desk.acts, desk.attempt))
    except OSError as error:
        raise DiskFailed(f"{listed.path}: {error.strerror or error}; it is as it was") from error
    return listed.path


def _desk_of(
    exercise: Exercise,
    options: argparse.Namespace,
    trainee: str,
    pace: float,
    judging: Playing,
    listed: OrdersFile | None,
) -> "ExerciseDesk":
    """Return the desk, with the folder of an instructor's station where one is asked for."""
    from alongside.training.exercise.desk import ExerciseDesk
    from alongside.training.station.trainee_desk import TraineeDesk

    def keep(done: Sequence[Done], attempt: Attempt) -> None:
        assert listed is not None, "asked below"
        listed.write(rows_of(done, attempt))

    kept: dict[str, Any] = {"keep": keep if listed is not None else None, "judging": judging}
    if not options.station:
        return ExerciseDesk(exercise, pace, trainee=trainee, exam=options.exam, **kept)
    place = new_place(exercise.file, _stamp())
    try:
        folder = AttemptFolder(place)
    except OSError as error:
        raise DiskFailed(f"{place}: {error.strerror or error}, expected a folder for the station") from error
    return TraineeDesk(exercise, folder, pace, trainee=trainee, exam=options.exam, **kept)


def _stamp() -> str:
    return f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}"


def _free(path: Path) -> Path:
    """Return a place that no file has: a list of actions may be named as the exercise is."""
    number, free = 2, path
    while free.exists():
        number, free = number + 1, path.with_stem(f"{path.stem}-{number}")
    return free
