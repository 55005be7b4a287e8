"""A debrief as text to read."""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from itertools import groupby
from math import isnan
from typing import Final

from alongside.actions import Done
from alongside.alerts.episodes import Call
from alongside.stay.stage import Stage
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.score import AlertScore, rounds_made
from alongside.wording.actions import action_words
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import zone_of

STAGES: Final = (Stage.CAUTION, Stage.WARNING, Stage.ALARM)
DASH: Final = "–"
LEGEND: Final = (
    "seen: first thing done that concerns it (acknowledged, silenced, named in a note, a line of it tended);",
    "to act: a line that bears on it tended; acknowledged: counted from when a warning or alarm came.",
)
MOST_ALIKE: Final = 5
"""More acts than this that are left out for the same reason are told in one row."""
STOOD: Final = "+"
"""Marks an alert that stood before the exercise began."""


def debrief_text(found: Debrief) -> list[str]:
    """Rows of text, at most some 110 characters wide."""
    exercise = found.exercise
    return [
        f"Debrief: {safe(exercise.name)}",
        f"{safe(exercise.stay.name)}, "
        f"{_clock(found, exercise.start)} to {_clock(found, found.as_done.run.end)}",
        "",
        *_alerts(found),
        "",
        *_not_counted(found),
        *_lines(found),
        "",
        *_rounds(found),
        "",
        *_beside(found),
    ]


def _alerts(found: Debrief) -> Iterator[str]:
    alerts = found.as_done.alerts
    if not alerts:
        yield "No alert was raised"
        return
    head = ("raised", "worst", "seen", "acknowledged", "to act", "over", "")
    rows = [
        (
            _clock(found, alert.raised_at) + (STOOD if alert.episode.stood else ""),
            f"{MARKS[alert.stage]} {alert.stage.word}" if alert.is_alert else DASH,
            _span(alert.seen_s),
            _acknowledged(alert),
            _span(alert.acted_s, alert.asks_act),
            _span(alert.rectified_s, alert.is_alert),
            safe(alert.episode.text),
        )
        for alert in alerts
    ]
    yield from _table(head, rows)
    yield from (f"  {row}" for row in LEGEND)
    if any(alert.episode.stood for alert in alerts):
        yield f"  {STOOD} stood when the exercise began; times count from then."


def _acknowledged(alert: AlertScore) -> str:
    """`50 s`; `warning 50 s, alarm not` where it grew worse after it had been acknowledged."""
    if not alert.calls:
        return DASH
    if len(alert.calls) == 1 and alert.calls[0].stage is alert.stage:
        return _wait(alert.calls[0])
    return ", ".join(f"{call.stage.word} {_wait(call)}" for call in alert.calls)


def _wait(call: Call) -> str:
    return "not" if isnan(call.answered) else _span(call.waited_s)


def _deed(done: Done) -> tuple[str, str, str]:
    deed, what, by = action_words(done.action)
    return deed, what, f"({by})" if by else ""


def _not_counted(found: Debrief) -> Iterator[str]:
    """Acts that the scores leave out, and why."""
    taken = found.as_done.run
    if taken.undone:
        acts = "1 act was" if taken.undone == 1 else f"{taken.undone} acts were"
        yield f"{acts} undone by going back"
    for why, together in groupby(taken.uncounted, key=lambda each: each.why):
        alike = [each.done for each in together]
        if len(alike) > MOST_ALIKE:
            spell = f"{_clock(found, alike[0].time)} to {_clock(found, alike[-1].time)}"
            yield f"Not counted: {len(alike)} acts, {spell}: {safe(why)}"
            continue
        for done in alike:
            told = " ".join(part for part in _deed(done) if part)
            yield f"Not counted: {_clock(found, done.time)} {safe(told)}: {safe(why)}"
    if taken.undone or taken.uncounted:
        yield ""


def _lines(found: Debrief) -> Iterator[str]:
    taken = found.as_done.run
    head = ("line", "normal", "caution", "warning", "alarm", "unknown", "highest stretch", "highest load")
    rows = []
    for at, line in enumerate(taken.lines):
        times = [_span(seconds) for seconds in (*taken.seconds[at], taken.unknown_s[at])]
        stretch = _peak(found, taken.stretch[at], taken.stretch_at[at])
        load = _peak(found, taken.load[at], taken.load_at[at])
        rows.append((line, *times, stretch, load))
    yield from _table(head, rows)


def _rounds(found: Debrief) -> Iterator[str]:
    rounds = rounds_made(found.as_done.run.events)
    moves = sum(len(each) for each in rounds)
    best = found.plan
    proved = "" if best.is_fewest else " (not proved to be the fewest)"
    fewest = f"with hindsight {len(best.rounds)} would do{proved}"
    yield f"Rounds made: {len(rounds)}, {moves} lines tended; {fewest}"
    for each in rounds:
        yield f"  made {_clock(found, each[0].time)}: " + "; ".join(safe(event.text) for event in each)
    for planned in best.rounds:
        deeds = "; ".join(_move(found, move.line, move.pay_out_m) for move in planned.moves)
        window = f"{_clock(found, planned.not_before)} to {_clock(found, planned.latest)}"
        yield f"  best {window}: {deeds}"
    for cure in best.cannot_cure:
        name = found.as_done.run.lines[cure.line]
        spell = f"{_clock(found, cure.time)} to {_clock(found, cure.until)}"
        yield f"  no tending serves line {name} from {spell}: {cure.missing_m:.2f} m missing"


def _move(found: Debrief, line: int, metres: float) -> str:
    way = "out" if metres >= 0.0 else "in"
    return f"line {found.as_done.run.lines[line]} {way} {abs(metres):.2f} m"


def _beside(found: Debrief) -> Iterator[str]:
    head = ("", *(outcome.name for outcome in found.outcomes))

    def row(what: str, of: Callable[[Outcome], str]) -> tuple[str, ...]:
        return what, *(of(outcome) for outcome in found.outcomes)

    def alerts(stage: Stage) -> tuple[str, ...]:
        return row(f"alerts, worst {stage.word}", lambda outcome: f"{outcome.count(stage)}")

    def times(stage: Stage) -> tuple[str, ...]:
        return row(f"lines' time at {stage.word}", lambda outcome: _span(outcome.seconds_at(stage)))

    yield from _table(
        head,
        [
            row("rounds", lambda outcome: f"{outcome.rounds}"),
            row("lines tended", lambda outcome: f"{outcome.moves}"),
            *(alerts(stage) for stage in STAGES),
            *(times(stage) for stage in STAGES),
            row("highest stretch", lambda outcome: _top(outcome, "stretch")),
            row("highest load", lambda outcome: _top(outcome, "load")),
        ],
    )


def _top(outcome: Outcome, what: str) -> str:
    """The highest of all lines, and which."""
    values = getattr(outcome.run, what).tolist()
    known = [(value, line) for value, line in zip(values, outcome.run.lines, strict=True) if value == value]
    return f"{max(known)[0]:.0%} line {max(known)[1]}" if known else DASH


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns as wide as they must be; the last runs on."""
    widths = [max(len(row[at]) for row in (head, *rows)) for at in range(len(head) - 1)]
    return [
        "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]]).rstrip()
        for row in (head, *rows)
    ]


def _peak(found: Debrief, share: float, at: float) -> str:
    return DASH if isnan(share) else f"{share:.0%} at {_clock(found, at)}"


def _span(seconds: float | None, asked: bool = True) -> str:
    """`45 s`, `12 min`, `3 h 05 min`; `not` where it was asked for and did not happen."""
    if not asked:
        return DASH
    if seconds is None:
        return "not"
    whole = round(seconds)
    if whole < 120:
        return f"{whole} s"
    minutes = whole // 60
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60:02d} min"


def _clock(found: Debrief, time: float) -> str:
    return f"{datetime.fromtimestamp(time, zone_of(found.exercise.stay.display)):%a %H:%M:%S}"
