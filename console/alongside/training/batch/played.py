"""What came of one stay: its log played to the end and judged."""

from dataclasses import replace
from math import inf, isnan
from pathlib import Path
from typing import Final

from alongside.alerts.model import Event
from alongside.cycle.advance import advance
from alongside.cycle.with_forecast import EVERY_S, advance_with_forecast
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import when_fast
from alongside.reports.batch.alarm_load import alarm_load
from alongside.reports.batch.alert_counts import (
    alert_counts,
    announcing,
    by_value,
    episodes_by_value,
    first_alarm,
    time_in_stages,
)
from alongside.reports.batch.gauge_time import GaugeTime
from alongside.reports.batch.highest import HighestFigures
from alongside.reports.batch.outcome import STAGE_STATUS, Draw, Outcome, outcome_text
from alongside.reports.json_lines import event_line
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import EVENTS, OUTCOME, STATES
from alongside.reports.states_due import StatesDue
from alongside.runtime.lines_used import lines_used
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.training.batch import kept
from alongside.training.batch.drawn import DrawnStaging, drawn, stay_of
from alongside.training.batch.task import Task
from alongside.units import iso_time

DAY_S: Final = 86_400.0
LATE_S: Final = 14 * DAY_S
"""A log that begins so long after making fast may well be that of another stay."""


def played(task: Task, stay: Stay, outcome: Outcome) -> Outcome:
    """Play a stay and write what came of it: all of it, or nothing."""
    wanted, draw = task.wanted, drawn(task.draw, task.seed) if task.draw else None
    player, basis = _player(task, stay, draw)
    begin = player.starts_at
    if isnan(begin):
        raise WrongInput(f"{task.log}: no line with a time, expected sentences with TAG blocks")
    events: list[Event] = [Event(begin, "started", text=stay.name)]
    highest, gauges = HighestFigures(basis), GaugeTime()
    with Outputs() as outputs:
        outputs.folder(task.folder)
        events_file = outputs.text(task.folder / kept.EVENTS, EVENTS)
        states = None
        if wanted.every is not None:
            file = outputs.text(task.folder / kept.STATES, STATES)
            states = StatesDue(file, basis, begin, wanted.every)
        for block in player.play_to(inf):
            events += block.events
            highest.add(block)
            gauges.add(block)
            if states is not None:
                states.write_block(block)
        end = begin if player.time is None else player.time
        used = lines_used(player)
        events.append(Event(end, "stopped", text=str(used)))
        events_file.writelines(f"{event_line(event)}\n" for event in events)
        if wanted.report:
            _report(stay, task.log, task.folder / kept.REPORT)
        outcome = _judged(outcome, stay, events, begin, end)
        outcome = replace(outcome, highest=highest.highest(), draw=draw, quality_s=gauges.seconds())
        note = "; ".join(filter(None, (used.note, _of_another_stay(stay, begin))))
        outcome = replace(
            outcome, lines=used.lines, not_used=used.not_used, why_not_used=used.why, log_note=note
        )
        outputs.text(task.folder / kept.OUTCOME, OUTCOME).write(outcome_text(outcome))
    return outcome


def _of_another_stay(stay: Stay, begin: float) -> str:
    """Return that a log begins long after the ship was made fast; "" for one that does not."""
    after = begin - when_fast(stay)
    return f"begins {after / DAY_S:.0f} days after she was made fast: of this stay?" if after > LATE_S else ""


def _player(task: Task, stay: Stay, draw: Draw | None) -> tuple[Player, Basis]:
    ahead = task.wanted.ahead
    basis = Basis.of(stay if draw is None else stay_of(stay, draw), ahead=ahead)
    staging = None if draw is None else DrawnStaging(basis, draw)
    cycle, every = (advance_with_forecast, EVERY_S) if ahead else (advance, inf)
    return Player(basis, task.log, cycle=cycle, staging=staging, every=every), basis


def _judged(outcome: Outcome, stay: Stay, events: list[Event], begin: float, end: float) -> Outcome:
    by_figures = by_value(events)
    episodes = episodes_by_value(events)
    seconds, blind = time_in_stages(by_figures, begin, end)
    worst = max((episode.worst for episode in episodes), default=Stage.NORMAL)
    return replace(
        outcome,
        exit=STAGE_STATUS[worst.word],
        ship=stay.ship.name,
        begin=iso_time(begin),
        end=iso_time(end),
        worst=worst.word,
        seconds=seconds,
        unknown_s=blind,
        alerts=alert_counts(episodes),
        escalated=len(events) - len(by_figures),
        first_alarm=first_alarm(by_figures),
        load=alarm_load(outcome.name, announcing(by_figures), episodes, begin, end, blind),
    )


def _report(stay: Stay, log: Path, path: Path) -> None:
    """Write the report of a log: it is played once more, onto a record that is removed again."""
    from alongside.record.temporary import temporary_folder
    from alongside.reports.stay.write import write_report
    from alongside.runtime.log_on_record import put_on_record

    with temporary_folder(path.parent.name) as folder:
        put_on_record(stay, log, folder)
        write_report(folder, path)
