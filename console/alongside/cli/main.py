"""The command `alongside`: finds the command's module, reads its arguments, answers with the exit status.

0 done; 1 a fault of ours, its trace in the fault log; 2 wrong use or input, nothing done; 3 a feed could not
be opened; 4 the disk is full or fails, what stood in the place of an output is as it was; 10, 11, 12 with
`--stage-status`: the worst stage was caution, warning, alarm; 5 some stays of a batch
could not be played; 130 interrupted, all written so far is whole.

Only the module of the command that is run is imported, and it imports only what it needs: `check` finds
faults without numpy, a headless replay runs without the screen.
"""

import argparse
import gc
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from importlib import import_module
from types import ModuleType
from typing import Any, Final, NoReturn

from alongside import __version__
from alongside.cli.first_run import asked_for
from alongside.cli.interrupts import interrupted_by_signals, words_of
from alongside.cli.standard_output import (
    give_up_output,
    open_what_is_closed,
    print_aside,
    print_error,
    print_rows,
)
from alongside.cli.start import INTERRUPTED
from alongside.errors import OF_THE_DISK, AlongsideError, DiskFailed
from alongside.wording.safe import safe

COMMANDS: Final[Mapping[str, str]] = {
    "watch": "the live console on the stay's feeds",
    "replay": "the same console on a recorded feed log",
    "demo": "replay the example that ships with the program",
    "new": "write a stay file by asking",
    "check": "every fault of a stay file; what can hardly be meant, and what is not watched",
    "holding": "what wind from each direction the set can hold, and what gives first",
    "passing": "what a ship that passes does to the lines, and the speed to ask her for",
    "ranging": "the periods in which she moves at her lines, beside a wave that is reported",
    "arrange": "before arrival: the best arrangement of all lines, beside the mooring plan's own",
    "one-more": "which extra line adds most, over which fairlead to which bollard",
    "farther": "which line led to which farther bollard helps most",
    "leaving": "in which order the lines go, and what still holds her at each step",
    "learn": "what measured loads show of ropes and lengths, for a new stay file",
    "decide": "what is to be ordered by when, for the wind to come",
    "ahead": "what will happen to each line, and the tending rounds",
    "compare": "two stay files side by side: what differs over the stay",
    "report": "a recorded stay as a page to read and print, and as tables",
    "batch": "many recorded stays at once: each played and judged, and the alarm load over all",
    "read": "a reading by hand, for the watch that runs at another terminal",
    "lives": "what each rope and tail has been through, over several records",
    "ropes": "the history of each rope and tail by serial number, and what is due",
    "handover": "the page that a watch is handed over with, to print",
    "simulate": "a seeded feed log of a stay",
    "exercise": "a recorded stay with trouble put into it, to be lived through",
    "instruct": "follow an exercise at another terminal: stop time, put trouble in, mark moments",
    "debrief": "how an exercise was met, beside nothing done and the best plan",
    "manual": "the manual, on board: its pages, one page, or where a word stands",
    "listen": "what each feed or port really says, and the channel lines that it proposes",
    "emit": "play a log, or the simulation of a stay, onto a port",
}
"""Each is the module of its name in `alongside.cli`, with `add_arguments(parser)` and `run(options)`."""

ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""By these the libraries below numpy are asked to work in the thread that calls them, unless whoever calls
the program says otherwise. Our matrices have a few rows: threads that wait for each other cost a seventh of
the time and take the cores from other processes, and last digits would depend on how many cores there are."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    open_what_is_closed()
    given = list(sys.argv[1:] if arguments is None else arguments)
    for name in ONE_THREAD:
        os.environ.setdefault(name, "1")  # before numpy is loaded, here and in every process begun from here
    try:
        chosen = asked_for(given)
        if chosen is None:
            return 0
        given = chosen
        options = parser_of(given).parse_args(given)
        run: Callable[[argparse.Namespace], int] = options.run
        with interrupted_by_signals():
            status = run(options)
            # A disk that is full shows here at the latest, while it can still be said.
            sys.stdout.flush()
            return status
    except AlongsideError as error:
        print_error(error)
        return error.exit_status
    except KeyboardInterrupt as error:
        return _interrupted(words_of(error) or "")
    except BrokenPipeError:
        # The reader of our output has gone (`| head`): nothing is wrong, and nobody is there to read more.
        give_up_output()
        return 0
    except Exception as error:
        if (words := words_of(error)) is not None:
            return _interrupted(words)
        if isinstance(error, OSError) and error.errno in OF_THE_DISK:
            full = DiskFailed(
                f"{error.filename or 'standard output'}: {error.strerror}; what was printed breaks off"
            )
            print_error(full)
            give_up_output()
            return full.exit_status
        # The outermost guard: what we did not foresee is one line here, and its trace is kept for repair.
        from alongside.record.faultlog import keep_trace

        print_error(AlongsideError(f"alongside: a fault of ours: {error!r}; trace in {keep_trace()}"))
        return 1


def _interrupted(words: str) -> int:
    """Say that a command was interrupted, if that is not said already, and return its exit status."""
    with suppress(OSError):  # whoever reads it may be gone
        sys.stdout.flush()
    if words:
        print_aside(words)
    return INTERRUPTED


def parser_of(given: Sequence[str]) -> argparse.ArgumentParser:
    """Return the parser of all commands, with the arguments of the one that is given."""
    parser = _Parser(
        prog="alongside",
        description="Keeps watch over a moored ship's lines through a port stay. It advises; the master's "
        "judgement, the ship's line management plan, port rules and the makers' data stand above it.",
    )
    parser.add_argument("--version", action=_Version, help="versions of the program and what it stands on")
    places = parser.add_subparsers(required=True, metavar="COMMAND")
    chosen = next((each for each in given if not each.startswith("-")), None)
    for name, does in COMMANDS.items():
        command = places.add_parser(name, help=does, description=does)
        if name == chosen:
            module = _loaded(f"alongside.cli.{name.replace('-', '_')}")
            module.add_arguments(command)
            command.set_defaults(run=module.run)
    return parser


def _loaded(name: str) -> ModuleType:
    """Return the module of a command. What is made while it loads stays, so nothing is collected then, nor
    looked through by any collection afterwards."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        module = import_module(name)
    finally:
        if was_on:
            gc.enable()
    gc.freeze()
    return module


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with arguments without printing them raw."""

    def error(self, message: str) -> NoReturn:
        super().error(safe(message))


class _Version(argparse.Action):
    """Prints what a report of a fault needs, and ends."""

    def __init__(self, option_strings: Sequence[str], dest: str, **given: Any) -> None:
        super().__init__(option_strings, dest, nargs=0, **given)

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> NoReturn:
        from importlib.metadata import PackageNotFoundError, version

        python = ".".join(map(str, sys.version_info[:3]))
        parts = [f"alongside {__version__}", f"Python {python}"]
        for library in ("numpy", "textual"):
            try:
                parts.append(f"{library} {version(library)}")
            except PackageNotFoundError:
                parts.append(f"{library} not installed")
        print_rows(", ".join(parts))
        parser.exit()
