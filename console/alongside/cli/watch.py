"""`alongside watch`: the live console."""

import argparse
import shlex
import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.cli.arguments import add_mouse, add_palette, add_stay
from alongside.cli.standard_output import print_aside
from alongside.cli.terminal import need_terminal, read_keys_from_terminal
from alongside.errors import DiskFailed, WrongInput
from alongside.stay.model import Stay
from alongside.stay.read import read_stay

if TYPE_CHECKING:
    from alongside.record.access import Access
    from alongside.runtime.live import LiveDesk
    from alongside.runtime.watch_desk import WatchDesk


LOOK_ONLY: Final = "it was started with --look-only"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    kept = parser.add_mutually_exclusive_group()
    where = "where the record is kept (default: the stay file's own, under $XDG_STATE_HOME/alongside/records)"
    kept.add_argument("--record", type=Path, metavar="FOLDER", help=where)
    kept.add_argument("--no-record", action="store_true", help="keep no record; nothing outlasts the console")
    shared = "let the users of a group read the record and go on with it (default: its owner only)"
    parser.add_argument("--shared", metavar="GROUP", help=shared)
    call = (
        "run this command, without a shell, when an alarm has not been answered for 3 min, and every 3 min "
        "until it is; the alarms come on its standard input"
    )
    parser.add_argument("--call", metavar="COMMAND", help=call)
    look = "look at what another console keeps, and do nothing: gives no alarm in a browser"
    parser.add_argument("--look-only", action="store_true", help=look)
    web = (
        "with --look-only: as a page for browsers and phones, without a terminal, on this machine alone "
        "unless an address is given (0: any free port)"
    )
    parser.add_argument("--web", metavar="[ADDRESS:]PORT", help=web)
    add_palette(parser)
    add_mouse(parser)


def run(options: argparse.Namespace) -> int:
    if options.shared and options.no_record:
        raise WrongInput("--shared: there is no record to share, expected it without --no-record")
    _check_looking(options)
    if options.web is not None:
        from alongside.cli.look_page import look_at_a_page

        look_at_a_page(read_stay(options.stay), folder_of(options), options.web)
    from alongside.record.access import OWNER_ONLY, shared_with

    call = command_of(options.call)
    access = shared_with(options.shared) if options.shared else OWNER_ONLY
    stay = read_stay(options.stay)
    if not options.look_only:
        read_keys_from_terminal(stay)
    need_terminal("watch")
    from alongside.runtime.look_only import LookDesk
    from alongside.screens.run import run_console

    folder = None if options.no_record else folder_of(options)
    if options.look_only:
        looks = LookDesk(folder_of(options), stay, LOOK_ONLY)
        return run_console(looks, stay, options.palette, options.ascii, mouse=options.mouse)
    desk = desk_of(stay, folder, access, call)
    status = run_console(desk, stay, options.palette, options.ascii, mouse=options.mouse)
    if desk.lost:
        print_aside(f"alongside: not on record: {desk.lost}")
        return status or DiskFailed.exit_status
    return status


def folder_of(options: argparse.Namespace) -> Path:
    """Return the folder of the record: the one that is given, else the stay file's own."""
    from alongside.record.layout import default_folder

    folder: Path = options.record or default_folder(options.stay)
    return folder


def _check_looking(options: argparse.Namespace) -> None:
    """Raise WrongInput where one that only looks is asked for what only a watch can do, or the other way
    round."""
    if options.web is not None and not options.look_only:
        raise WrongInput("--web: the page only looks, expected it with --look-only")
    kept = (("--no-record", options.no_record), ("--shared", options.shared), ("--call", options.call))
    for name, given in kept:
        if options.look_only and given:
            raise WrongInput(f"{name}: --look-only keeps no watch, expected it without {name}")


def desk_of(stay: Stay, folder: Path | None, access: "Access", call: Sequence[str]) -> "LiveDesk | WatchDesk":
    """Return the desk of a watch; one that only looks where another console keeps the record. Raise
    WrongInput where that one is asked to call: nobody may believe that it does."""
    from alongside.record.faults import RecordInUse
    from alongside.runtime.live import LiveDesk
    from alongside.runtime.watch_desk import WatchDesk

    if folder is None:
        return LiveDesk(stay, access=access, call=call)
    try:
        return WatchDesk(stay, folder, access, call)
    except RecordInUse as busy:
        raise WrongInput(
            f"--call: another console keeps the record in {busy.folder}, and this one would only look; "
            "expected it there, or here without --call"
        ) from busy


def command_of(text: str | None) -> tuple[str, ...]:
    """Return the words of a command line, as a shell would take them apart; () for none. Raise WrongInput
    where it cannot be run."""
    if text is None:
        return ()
    try:
        words = tuple(shlex.split(text))
    except ValueError as error:
        raise WrongInput(f"--call: {text!r} ({error}), expected a command") from error
    if not words or shutil.which(words[0]) is None:
        raise WrongInput(f"--call: no program {words[0] if words else ''!r}, expected one that can be run")
    return words
