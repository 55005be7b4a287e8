"""The alerting part of a cycle: what was found is assessed, the alerts are stepped, their texts made."""

from collections.abc import Sequence
from dataclasses import replace
from math import nan
from typing import Final

import numpy as np

from alongside.actions import Action
from alongside.alerts.assess import assess, changed_rows
from alongside.alerts.event_text import worded
from alongside.alerts.findings import Findings
from alongside.alerts.model import Alert, Event, Key, Standing, Watchlist
from alongside.alerts.rule_model import Assessment
from alongside.alerts.step import next_row, step
from alongside.alerts.text import Facts
from alongside.cycle.guard import Guard
from alongside.cycle.plausibility.worse import OtherFindings, worse_of
from alongside.forecast.basis import Basis
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Codes, Readings
from alongside.stay.stage import Stage

FAILED: Final = "Calculation failed"

Alerted = tuple[Assessment, Watchlist, tuple[Event, ...]]


def alerted(
    basis: Basis,
    watchlist: Watchlist,
    findings: Findings,
    actions: Sequence[Action],
    guard: Guard,
    others: Sequence[OtherFindings] = (),
) -> Alerted:
    """Return the assessment of n instants, the watchlist after them and what happened in it. What `others`
    say counts where it is worse."""
    failed_before = guard.failed
    assessment = assessed(basis, findings, others, guard)
    if guard.failed != failed_before:
        # A cause that failed is known only now: once more, for the alarm that something did.
        codes = np.full(len(findings), NoAnswer.FAILED, dtype=np.int8)
        findings = replace(findings, unanswered=codes)
        assessment = assessed(basis, findings, others, guard)
    return assessment, *_stepped(watchlist, findings, assessment, actions, guard)


def assessed(basis: Basis, findings: Findings, others: Sequence[OtherFindings], guard: Guard) -> Assessment:
    """Return the assessment of n instants; what `others` say counts where it is worse."""
    assessment = assess(basis.rules, findings, guard.run)
    for other in others:
        rules = tuple(rule for rule in basis.rules if rule.cause in other.causes)
        assessment = worse_of(assessment, assess(rules, other.findings, guard.run))
    return assessment


def only_failed(basis: Basis, watchlist: Watchlist, readings: Readings) -> Alerted:
    """Return what remains where alerting itself failed: every alert as it stood, nothing known of any rule,
    and the alarm that the calculation failed."""
    n, k = len(readings), len(basis.rules)
    codes = np.zeros((n, k), dtype=np.int8)
    assessment = Assessment(readings.time, basis.rules, np.full((n, k), nan), codes, codes)
    now = float(readings.time[-1])
    key: Key = ("calculation", "")
    if key in watchlist.alerts:
        return assessment, watchlist, ()
    alarm = Alert(
        *key,
        None,
        Stage.ALARM,
        Standing.UNACKNOWLEDGED,
        now,
        now,
        nan,
        nan,
        "",
        FAILED,
        owed=Stage.ALARM,
        alarm_since=now,
    )
    watchlist = replace(watchlist, alerts={**watchlist.alerts, key: alarm})
    return assessment, watchlist, (Event(now, "raised", *key, Stage.ALARM, text=FAILED),)


def findings_of(
    basis: Basis,
    readings: Readings,
    situation: Situation,
    states: Hold,
    failed: bool = False,
    unrecorded: str = "",
) -> Findings:
    """Return what rules rest on, of n instants computed just now or long ago. `failed` says that a part of
    the calculation did."""
    findings = Findings.of(basis.stay, basis.arrangement, situation, states, readings)
    return replace(findings, unanswered=_unanswered(states, failed), unrecorded=unrecorded)


def _unanswered(states: Hold, fault: bool) -> Codes:
    """(n,) why there is no answer although the inputs are known; 0 where there is one, or an input is not."""
    ours = np.isin(states.reason, (NoAnswer.NOTHING_HOLDS, NoAnswer.NOT_BALANCED, NoAnswer.FAILED))
    codes: Codes = np.where(fault, np.int8(NoAnswer.FAILED), np.where(ours, states.reason, np.int8(0)))
    return codes


def _stepped(
    watchlist: Watchlist,
    findings: Findings,
    assessment: Assessment,
    actions: Sequence[Action],
    guard: Guard,
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Step the alerts at the first instant, wherever a level changes, and whenever a delay runs out."""
    times = assessment.time
    changed = changed_rows(assessment)
    events: list[Event] = []
    row = 0
    while row < times.size:
        watchlist, changes = step(watchlist, assessment.at(row), actions if row == 0 else ())
        if changes:
            facts = Facts(
                findings.stay,
                assessment,
                findings.readings,
                row,
                findings.lines,
                findings.pose,
                findings.weak_spot(row),
                findings.unrecorded,
                findings.next_limits or (),
                findings.parted_at,
                findings.filling,
                findings.over_brake,
                findings.call_fault,
                findings.bridge_fault,
                findings.due or (),
            )
            watchlist, new = worded(watchlist, changes, guard.words(facts), findings.stay.display)
            events.extend(new)
        row = next_row(watchlist, assessment, changed, row)
    return watchlist, tuple(events)
