"""A debrief as JSON for other programs."""

from math import isnan
from typing import Any

from alongside.stay.stage import Stage
from alongside.training.exercise.conduct import attempt_json
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.debrief_text import STAGES
from alongside.training.exercise.effects import Uncounted
from alongside.training.exercise.instructed_text import instructed_json
from alongside.training.exercise.judged import Judged
from alongside.training.exercise.lessons import Lesson
from alongside.training.exercise.lessons_text import expected_words
from alongside.training.exercise.points import Points
from alongside.training.exercise.score import AlertScore, rounds_made
from alongside.units import iso_time
from alongside.wording.actions import action_words, order_words


def debrief_json(debrief: Debrief) -> dict[str, Any]:
    """Return a debrief as plain objects: not known, not done and not asked are null, never 0; times ISO 8601,
    spans in s, lengths in m."""
    run = debrief.as_done.run
    return {
        "exercise": debrief.exercise.name,
        "start": iso_time(debrief.exercise.start),
        "end": iso_time(run.end),
        "attempt": None if debrief.attempt is None else attempt_json(debrief.attempt),
        "instructor": instructed_json(debrief.exercise),
        "points": _points_json(debrief.points),
        "lessons": [_lesson_json(debrief, each) for each in debrief.lessons],
        "expected": [
            {
                "deed": expected_words(each),
                "since": iso_time(each.since),
                "by": iso_time(each.by),
                "why": each.why,
                "ordered": None if met is None else iso_time(met.order.time),
            }
            for each, met in debrief.expected
        ],
        "deeds": [_deed_json(each) for each in debrief.judged],
        "alerts": [_alert_json(alert) for alert in debrief.as_done.alerts],
        "not_counted": [_uncounted_json(each) for each in run.uncounted],
        "undone": run.undone,
        "lines": [_line_json(debrief.as_done, at) for at in range(len(run.lines))],
        "rounds": {
            "made": [
                {"time": iso_time(each[0].time), "lines": [event.line for event in each]}
                for each in rounds_made(run.events)
            ],
            "fewest": [_round_json(debrief, at) for at in range(len(debrief.plan.rounds))],
            "proved_fewest": debrief.plan.is_fewest,
        },
        "outcomes": {outcome.name.replace(" ", "_"): _outcome_json(outcome) for outcome in debrief.outcomes},
    }


def _points_json(points: Points) -> dict[str, Any]:
    return {
        "total": points.total,
        "off": points.off,
        "pass_mark": points.mark,
        "finished": points.finished,
        "passed": points.passed,
        "parts": [
            {
                "part": part.name,
                "points": round(part.points, 2),
                "of": part.most,
                "counted_from": part.counted,
            }
            for part in points.parts
        ],
    }


def _lesson_json(debrief: Debrief, lesson: Lesson) -> dict[str, Any]:
    ways = {"as_done": lesson.went, "nothing_done": lesson.nothing, "best_plan": lesson.best}
    return {
        "raised": iso_time(lesson.raised),
        "worst_at": iso_time(lesson.worst_at),
        "times": lesson.times,
        "alert": lesson.cause,
        "subject": lesson.subject,
        "line": lesson.line,
        "text": lesson.text,
        "seen_from": _instant(lesson.seen_from),
        "moves": [
            {
                "line": debrief.as_done.run.lines[move.line],
                "pay_out_m": round(move.pay_out_m, 4),
                "from": iso_time(max(each.not_before, each.lengths_from)),
                "latest": iso_time(each.latest),
            }
            for each, move in lesson.moves
        ],
        "deeds": [_deed_json(each) for each in lesson.deeds],
        "answers": [
            {"what": order_words(each.order.action), "ordered": iso_time(each.order.time)}
            for each in lesson.answers
        ],
        "worst": {name: way.stage.word for name, way in ways.items()},
        "bar": {name: None if isnan(way.bar) else round(way.bar, 1) for name, way in ways.items()},
    }


def _deed_json(deed: Judged) -> dict[str, Any]:
    return {
        "what": order_words(deed.work.order.action),
        "ordered": iso_time(deed.work.order.time),
        "done": iso_time(deed.work.end),
        "until": iso_time(deed.until),
        "cost_without": round(deed.without, 2),
        "cost": round(deed.went, 2),
        "verdict": deed.verdict,
    }


def _alert_json(alert: AlertScore) -> dict[str, Any]:
    return {
        "raised": iso_time(alert.raised_at),
        "alert": alert.cause,
        "subject": alert.subject,
        "line": alert.episode.line,
        "stood_at_start": alert.episode.stood,
        "worst": alert.stage.word,
        "seen_s": alert.seen_s,
        "acknowledged_s": alert.acknowledged_s,
        "calls": [
            {
                "stage": call.stage.word,
                "since": iso_time(call.since),
                "acknowledged_s": None if isnan(call.answered) else call.waited_s,
            }
            for call in alert.calls
        ],
        "acted_s": alert.acted_s,
        "over_s": alert.rectified_s,
        "asks_acknowledgement": alert.asks_acknowledgement,
        "asks_act": alert.asks_act,
        "text": alert.episode.worst_text,
    }


def _uncounted_json(each: Uncounted) -> dict[str, Any]:
    action, what, by = action_words(each.done.action)
    return {"time": iso_time(each.done.time), "action": action, "what": what, "by": by, "why": each.why}


def _line_json(outcome: Outcome, at: int) -> dict[str, Any]:
    run = outcome.run
    return {
        "id": run.lines[at],
        "seconds": {stage.word: float(run.seconds[at, stage]) for stage in Stage},
        "unknown_s": float(run.unknown_s[at]),
        "stretch_share": _number(run.stretch[at]),
        "stretch_at": _instant(run.stretch_at[at]),
        "load_share": _number(run.load[at]),
        "load_at": _instant(run.load_at[at]),
    }


def _round_json(debrief: Debrief, at: int) -> dict[str, Any]:
    planned = debrief.plan.rounds[at]
    lines = debrief.as_done.run.lines
    return {
        "not_before": iso_time(planned.not_before),
        "lengths_from": iso_time(planned.lengths_from),
        "latest": iso_time(planned.latest),
        "moves": [
            {"line": lines[move.line], "pay_out_m": round(move.pay_out_m, 4)} for move in planned.moves
        ],
    }


def _outcome_json(outcome: Outcome) -> dict[str, Any]:
    return {
        "rounds": outcome.rounds,
        "lines_tended": outcome.moves,
        "alerts": {stage.word: outcome.count(stage) for stage in STAGES},
        "seconds": {stage.word: outcome.seconds_at(stage) for stage in STAGES},
        "cost": round(outcome.run.course.cost, 2),
        "lines": [_line_json(outcome, at) for at in range(len(outcome.run.lines))],
    }


def _number(value: float) -> float | None:
    return None if isnan(value) else round(float(value), 6)


def _instant(time: float) -> str | None:
    return None if isnan(time) else iso_time(float(time))
