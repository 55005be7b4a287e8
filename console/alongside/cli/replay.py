"""`alongside replay`: a recorded feed log on the console, or without a screen."""

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from alongside.cli.arguments import add_replay, add_stay, speed
from alongside.cli.interrupts import said_when_interrupted
from alongside.cli.terminal import need_terminal
from alongside.errors import WrongInput
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.wording.typed_times import TimeOfDay, spans_text, times_of_day

STAGE_STATUS: Final[Mapping[str, int]] = {"normal": 0, "caution": 10, "warning": 11, "alarm": 12}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    parser.add_argument("log", type=Path, metavar="LOG", help="a feed log, plain or .gz")
    parser.add_argument("--speed", type=speed, default=1.0, metavar="X", help="times real time (default 1)")
    parser.add_argument("--headless", action="store_true", help="without a screen, as fast as it goes")
    record = "put on record what a watch on it would have, for report, handover and lives (headless)"
    parser.add_argument("--record", type=Path, metavar="FOLDER", help=record)
    add_replay(parser)


def run(options: argparse.Namespace) -> int:
    stay = read_stay(options.stay)
    start = options.start if not isinstance(options.start, TimeOfDay) else _first(stay, options)
    if options.headless:
        from alongside.cli.headless import replay_headless

        kept = f"; what was played up to then is on record in {options.record}" if options.record else ""
        with said_when_interrupted(kept):
            stage = replay_headless(
                stay,
                options.log,
                states=options.states,
                events=options.events,
                every=options.every,
                start=start,
                ahead=options.ahead,
                record=options.record,
                spread=options.spread,
            )
        return STAGE_STATUS[stage.word] if options.stage_status else 0
    if options.record is not None:
        raise WrongInput("--record: expected with --headless, at the console a replay is not kept")
    need_terminal("replay", "or give --headless")
    from alongside.runtime.replay import ReplayDesk
    from alongside.screens.run import run_console

    desk = ReplayDesk(stay, options.log, speed=options.speed, start=start)
    return run_console(desk, stay, options.palette, options.ascii, mouse=options.mouse)


def _first(stay: Stay, options: argparse.Namespace) -> float:
    """Return when it is first that time of day in the log, UNIX seconds. Raise WrongInput where never."""
    from alongside.runtime.log_spans import spans_of

    spans, display = spans_of(options.log, stay=stay), stay.display
    times = times_of_day(options.start, display, spans)
    if not times:
        reach = spans_text(spans, display) if spans else "no line with a time"
        raise WrongInput(f"{options.log}: no {options.start} in it ({reach})")
    return times[0]
