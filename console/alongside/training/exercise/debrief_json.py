"""A debrief as JSON for other programs."""

from math import isnan
from typing import Any

from alongside.stay.stage import Stage
from alongside.training.exercise.debrief import Debrief, Outcome
from alongside.training.exercise.debrief_text import STAGES
from alongside.training.exercise.effects import Uncounted
from alongside.training.exercise.score import AlertScore, rounds_made
from alongside.units import iso_time
from alongside.wording.actions import action_words


def debrief_json(debrief: Debrief) -> dict[str, Any]:
    """Return a debrief as plain objects: not known, not done and not asked are null, never 0; times ISO 8601,
    spans in s, lengths in m."""
    run = debrief.as_done.run
    return {
        "exercise": debrief.exercise.name,
        "start": iso_time(debrief.exercise.start),
        "end": iso_time(run.end),
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
        "lines": [_line_json(outcome, at) for at in range(len(outcome.run.lines))],
    }


def _number(value: float) -> float | None:
    return None if isnan(value) else round(float(value), 6)


def _instant(time: float) -> str | None:
    return None if isnan(time) else iso_time(float(time))
