"""A debrief as text to read."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from math import isnan
from textwrap import wrap
from typing import Final

from alongside.actions import Done, TendLine
from alongside.alerts.episodes import Call
from alongside.stay.stage import Stage
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.instructed_text import instructor_rows
from alongside.training.exercise.lessons_text import expected_rows, lesson_head, lesson_rows, points_rows, who
from alongside.training.exercise.score import AlertScore, rounds_made
from alongside.wording.actions import action_words, order_words
from alongside.wording.figures import counted, listed, metres, percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

STAGES: Final = (Stage.CAUTION, Stage.WARNING, Stage.ALARM)
NEVER: Final = "never"
"""In a column of times: it was asked for and not done, or did not happen."""
STOOD: Final = "+"
"""Marks an alert that stood before the exercise began."""
LEGEND: Final = (
    "Times count from when the alert was raised.",
    "seen: first action about it: acknowledged, silenced, named in a note, a line of it tended.",
    "acknowledged: from when it came to warning or alarm.  acted: a line that bears on it tended, or",
    "what it asks for ordered.",
)
ALERT_HEAD: Final = ("raised", "worst", "seen", "acknowledged", "acted", "cleared", "alert at its worst")
COLUMNS: Final = 110
MOST_ALIKE: Final = 5
"""More actions than this that are not counted for the same reason are one row."""


def debrief_text(debrief: Debrief) -> list[str]:
    """Return rows of text, at most some 110 characters wide."""
    exercise = debrief.exercise
    return [
        f"Debrief: {safe(exercise.name)}",
        f"{safe(exercise.stay.name)}, "
        f"{_clock(debrief, exercise.start)} to {_clock(debrief, debrief.as_done.run.end)}",
        *who(debrief.attempt, exercise.end, exercise.stay.display),
        *instructor_rows(exercise),
        "",
        *_table(("points", "", "of", "counted from"), list(points_rows(debrief.points))),
        "",
        *_lessons(debrief),
        *_expected(debrief),
        *_alerts(debrief),
        "",
        *_not_counted(debrief),
        *_lines(debrief),
        "",
        *_rounds(debrief),
        "",
        *_beside(debrief),
    ]


def _lessons(debrief: Debrief) -> Iterator[str]:
    for lesson in debrief.lessons:
        head = lesson_head(lesson, debrief.exercise.stay.display)
        yield from wrap(head, COLUMNS, subsequent_indent="  ")
        for about, words in lesson_rows(lesson, debrief):
            row = f"{about}: {words}"
            yield from wrap(row, COLUMNS, initial_indent="  ", subsequent_indent="    ")
        yield ""


def _expected(debrief: Debrief) -> Iterator[str]:
    if debrief.expected:
        display = debrief.exercise.stay.display
        rows = [expected_rows(each, met, display) for each, met in debrief.expected]
        yield from _table(("by", "expected", "done"), rows)
        yield ""


def _alerts(debrief: Debrief) -> Iterator[str]:
    if not debrief.as_done.alerts:
        yield "No alert was raised"
        return
    yield from _table(ALERT_HEAD, list(alert_rows(debrief)))
    yield from (f"  {row}" for row in alert_legend(debrief))


def alert_rows(debrief: Debrief) -> Iterator[tuple[str, ...]]:
    """Return rows of the table of alerts, as `ALERT_HEAD` has its columns."""
    for alert in debrief.as_done.alerts:
        yield (
            _clock(debrief, alert.raised_at) + (STOOD if alert.episode.stood else ""),
            f"{MARKS[alert.stage]} {alert.stage.word}",
            _wait(alert.seen_s),
            _acknowledged(alert),
            _wait(alert.acted_s, alert.asks_act),
            _wait(alert.rectified_s),
            safe(alert.episode.worst_text),
        )


def alert_legend(debrief: Debrief) -> tuple[str, ...]:
    """Return what the columns of the table of alerts are."""
    stood = any(alert.episode.stood for alert in debrief.as_done.alerts)
    return (*LEGEND, *([f"{STOOD} stood when the exercise began; times count from then."] if stood else []))


def _acknowledged(alert: AlertScore) -> str:
    """`50 s`; `warning 50 s, alarm never` where it worsened after it had been acknowledged."""
    if not alert.calls:
        return NOT_KNOWN
    if len(alert.calls) == 1 and alert.calls[0].stage is alert.stage:
        return _call(alert.calls[0])
    return ", ".join(f"{call.stage.word} {_call(call)}" for call in alert.calls)


def _call(call: Call) -> str:
    return _wait(None if isnan(call.answered) else call.waited_s)


def _not_counted(debrief: Debrief) -> Iterator[str]:
    rows = list(not_counted_rows(debrief))
    yield from rows
    if rows:
        yield ""


def not_counted_rows(debrief: Debrief) -> Iterator[str]:
    """Return actions that the scores leave out, and why."""
    run = debrief.as_done.run
    if run.undone:
        yield f"{counted(run.undone, 'action was', 'actions were')} undone by going back"
    for why, together in groupby(run.uncounted, key=lambda each: each.why):
        alike = [each.done for each in together]
        if len(alike) > MOST_ALIKE:
            spell = f"{_clock(debrief, alike[0].time)} to {_clock(debrief, alike[-1].time)}"
            yield f"Not counted: {len(alike)} actions, {spell}: {safe(why)}"
            continue
        for done in alike:
            yield f"Not counted: {_clock(debrief, done.time)} {_action(done)}: {safe(why)}"


def _action(done: Done) -> str:
    action, what, by = action_words(done.action)
    return " ".join(part for part in (action, what, f"({safe(by)})" if by else "") if part)


def _lines(debrief: Debrief) -> Iterator[str]:
    run = debrief.as_done.run
    head = ("line", *(stage.word for stage in Stage), "not known", "highest stretch", "highest load")
    rows = []
    for at, line in enumerate(run.lines):
        times = [span(seconds) for seconds in (*run.seconds[at].tolist(), float(run.unknown_s[at]))]
        stretch = _peak(debrief, run.stretch[at], run.stretch_at[at])
        load = _peak(debrief, run.load[at], run.load_at[at])
        rows.append((safe(line), *times, stretch, load))
    yield from _table(head, rows)


def _rounds(debrief: Debrief) -> Iterator[str]:
    yield rounds_words(debrief)
    run = debrief.as_done.run
    unknown = [safe(line) for line, s in zip(run.lines, run.unknown_s.tolist(), strict=True) if s > 0.0]
    if unknown:
        yield f"  not known at times, and no round planned for it then: {listed(unknown)}"
    for each in rounds_made(run.events):
        yield f"  made {_clock(debrief, each[0].time)}: " + "; ".join(safe(event.text) for event in each)
    yield from (f"  {row}" for row in best_rows(debrief))


def rounds_words(debrief: Debrief) -> str:
    """Return how many rounds were made, and how many would do."""
    rounds = rounds_made(debrief.as_done.run.events)
    moves = sum(len(each) for each in rounds)
    best = debrief.plan
    proved = "" if best.is_fewest else " (not proved to be the fewest)"
    tended = f", {counted(moves, 'line')} tended" if rounds else ""
    return f"Rounds made: {len(rounds)}{tended}; with hindsight {len(best.rounds)} would do{proved}"


def best_rows(debrief: Debrief) -> Iterator[str]:
    """Return what the best plan does, and what no length cures."""
    best = debrief.plan
    for planned in best.rounds:
        moves_text = "; ".join(_move(debrief, move.line, move.pay_out_m) for move in planned.moves)
        begin = max(planned.not_before, planned.lengths_from)
        first, last = (_minute(debrief, at) for at in (begin, planned.latest))
        yield f"best {first}{f' to {last}' if last != first else ''}: {moves_text}"
    for work in debrief.best.run.works:
        if not isinstance(work.order.action, TendLine):
            yield f"best {_minute(debrief, work.order.time)}: {order_words(work.order.action)}"
    for cure in best.cannot_cure:
        name = safe(debrief.as_done.run.lines[cure.line])
        spell = f"{_minute(debrief, cure.time)} to {_minute(debrief, cure.until)}"
        yield f"no length keeps line {name} within limits {spell}: {metres(cure.missing_m)} short"


def _move(debrief: Debrief, line: int, pay_out_m: float) -> str:
    way = "slack" if pay_out_m >= 0.0 else "heave"
    return f"{way} {safe(debrief.as_done.run.lines[line])} by {metres(abs(pay_out_m))}"


def _beside(debrief: Debrief) -> Iterator[str]:
    yield from _table(("", *(outcome.name for outcome in debrief.outcomes)), beside_rows(debrief))


def beside_rows(debrief: Debrief) -> list[tuple[str, ...]]:
    """Return rows of a table: what, and its figure as done, with nothing done and by the best plan."""

    def row(what: str, of: Callable[[Outcome], str]) -> tuple[str, ...]:
        return what, *(of(outcome) for outcome in debrief.outcomes)

    def alerts(stage: Stage) -> tuple[str, ...]:
        return row(f"alerts, worst {stage.word}", lambda outcome: f"{outcome.count(stage)}")

    def times(stage: Stage) -> tuple[str, ...]:
        return row(f"lines' time at {stage.word}", lambda outcome: span(outcome.seconds_at(stage)))

    return [
        row("rounds", lambda outcome: f"{outcome.rounds}"),
        row("lines tended", lambda outcome: f"{outcome.moves}"),
        *(alerts(stage) for stage in STAGES),
        *(times(stage) for stage in STAGES),
        row("highest stretch", lambda outcome: _highest(outcome, "stretch")),
        row("highest load", lambda outcome: _highest(outcome, "load")),
    ]


def _highest(outcome: Outcome, what: str) -> str:
    """The highest share of all lines, and which line it is."""
    values = getattr(outcome.run, what).tolist()
    known = [(value, line) for value, line in zip(values, outcome.run.lines, strict=True) if value == value]
    return f"{percent(max(known)[0])} line {safe(max(known)[1])}" if known else NOT_KNOWN


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns as wide as they must be; the last runs on."""
    widths = [max(len(row[at]) for row in (head, *rows)) for at in range(len(head) - 1)]
    return [
        "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]]).rstrip()
        for row in (head, *rows)
    ]


def _peak(debrief: Debrief, share: float, at: float) -> str:
    return NOT_KNOWN if isnan(share) else f"{percent(share)} at {_clock(debrief, at)}"


def _wait(seconds: float | None, asked: bool = True) -> str:
    """How long it took; `never` where it was asked for and did not happen, a dash where it was not asked."""
    if not asked:
        return NOT_KNOWN
    return NEVER if seconds is None else span(seconds)


def _clock(debrief: Debrief, time: float) -> str:
    return clock(time, debrief.exercise.stay.display, "%a %H:%M:%S")


def _minute(debrief: Debrief, time: float) -> str:
    return clock(time, debrief.exercise.stay.display)
