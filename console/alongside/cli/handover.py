"""`alongside handover`: from a record, or from a recorded stay played up to a time."""

import argparse
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from math import inf
from pathlib import Path

from alongside.alerts.model import Event
from alongside.cli.arguments import a_time
from alongside.cli.standard_output import print_rows
from alongside.cycle.block import Block
from alongside.cycle.decide_memory import as_remembered
from alongside.cycle.deck.altered import altered
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.decided import Decisions
from alongside.record.layout import default_folder, journal_of
from alongside.record.opening import open_record
from alongside.record.reader import RecordReader
from alongside.record.refill import restore
from alongside.record.words import chain_rows, missing_rows
from alongside.reports.handover import folded, handover_text, watch_began
from alongside.reports.handover_alerts import as_on_record
from alongside.reports.ropes.in_stay import ropes_due
from alongside.runtime.log_player import Player
from alongside.runtime.picture_maker import LOG_S, PictureMaker
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import iso_time, utc_day

Again = Callable[[Decisions | None], Block]
"""Makes the last block anew, with what the hours ahead call for."""
FORECAST_S = 60.0
"""How long the hours ahead are waited for."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    what = "the folder of a record, or a stay file: that of its record, or with LOG"
    parser.add_argument("what", type=Path, metavar="RECORD|STAY", help=what)
    played = "a feed log of the stay, played up to the time"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=played)
    parser.add_argument("--at", type=a_time, metavar="T", help="at this time (default: the end)")
    began = "when the watch began (default: when it was last taken over, else 4 h before)"
    parser.add_argument("--since", type=a_time, metavar="T", help=began)


def run(options: argparse.Namespace) -> int:
    print_rows(*handover_of(options.what, options.log, options.at, options.since))
    return 0


def handover_of(
    what: Path, log: Path | None = None, at: float | None = None, since: float | None = None
) -> list[str]:
    """Return the rows to print of a record (its folder, or the stay file whose record it is), or of a stay
    file with a log; at its end, or at a time. `since` is when the watch began, else when it was last taken
    over."""
    if log is not None:
        return _of_log(read_stay(what), log, inf if at is None else at, since)
    folder = what
    if what.is_file() and what.name != journal_of(what).name:
        folder = default_folder(what)
        if not journal_of(folder).exists():
            raise WrongInput(f"{what}: no record of this stay, expected a log besides, or a record's folder")
    with open_record(folder) as record:
        return _of_record(record, inf if at is None else at, since)


def _of_log(stay: Stay, log: Path, at: float, since: float | None) -> list[str]:
    basis = Basis.of(stay)
    player = Player(basis, log)
    maker = PictureMaker(basis, player.intake.channels)
    events: list[Event] = []
    first = player.starts_at
    for block in player.play_to(at) if at >= first else ():
        maker.add(block)
        events += block.events
    if player.time is None or (at < inf and player.time < at - 1.0):
        span = "" if player.time is None else f", it goes from {iso_time(first)} to {iso_time(player.time)}"
        raise WrongInput(f"{log}: nothing at {iso_time(at)}{span}")
    picture = _with_the_hours_ahead(maker, player.memory, lambda found: replace(block, decisions=found))
    began = watch_began(events, picture.time) if since is None else since
    return list(folded(handover_text(picture, began, events, ropes=_ropes(picture))))


def _of_record(record: RecordReader, at: float, since: float | None) -> list[str]:
    state, kept = record.state_at(at), record.memory_at(at)
    if state is None or kept is None:
        raise WrongInput(
            f"{record.folder}: nothing on record before {iso_time(at) if at < inf else 'its end'}"
        )
    kept_at, memory, run = kept
    now = float(state.time[-1])
    basis = altered(Basis.of(run.stay, ahead=True), memory.lengths.deck)
    maker = PictureMaker(basis, run.columns.channels)
    past = tuple(record.states(now - LOG_S, now, dense=False))
    restore(maker.past, basis, run.columns.channels, past)
    events = [event for _, event in record.events(end=at)]
    maker.log_events(events)
    maker.add(state.block(basis, memory))
    again = partial(state.block, basis, memory, "")
    picture = _with_the_hours_ahead(maker, memory, again)
    picture = replace(picture, sound=Stage.NORMAL, alerts=as_on_record(picture.alerts, events))
    display = run.stay.display
    rows = [*missing_rows(record.missing(), display), *chain_rows(record.chain(at), display)]
    # An event is on record at once, figures only every so often: a watch may be taken over after the last.
    end = max([picture.time, *(event.time for event in events[-1:])])
    began = watch_began(events, end) if since is None else since
    ropes = _ropes(picture)
    text = handover_text(picture, began, events, record=rows, ropes=ropes, kept=kept_at, until=end)
    return list(folded(text))


def _ropes(picture: Picture) -> tuple[str, ...]:
    """Return what is due of the ropes of the stay on the day of a picture."""
    return ropes_due(picture.stay, utc_day(picture.time))


def _with_the_hours_ahead(maker: PictureMaker, memory: Memory, again: Again) -> Picture:
    """Return the picture once its look ahead has come, or could not in time: its alerts and its advice say
    what that calls for."""
    picture = maker.picture(memory, ())  # begins to look ahead
    assert picture is not None, "an instant was added"
    maker.forecasts.wait(FORECAST_S)
    found = as_remembered(memory.decided, maker.forecasts.decisions, picture.stay, picture.time)
    maker.restate(again(found))
    picture = maker.picture(memory, ())
    assert picture is not None, "an instant was added"
    return picture
