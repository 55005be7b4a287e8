"""The summary of a batch to read: how each stay went, the alarm load, the shares of draws."""

from collections.abc import Iterator, Sequence
from math import isnan
from typing import Final

from alongside.reports.batch.alarm_load import AGAIN_S, AlarmLoad
from alongside.reports.batch.draws import CONFIDENCE, DrawnShare, drawn_shares
from alongside.reports.batch.outcome import Outcome
from alongside.reports.batch.summary import total_load
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, figure, percent

ROWS: Final = 40
"""Stays that are listed; of more only how many came to which stage."""
MOST: Final = 5
"""Most frequent alerts that are listed."""


def summary_rows(outcomes: Sequence[Outcome], drawn: bool) -> list[str]:
    """Return the rows to print."""
    rows = [] if drawn or len(outcomes) > ROWS else list(_stay_rows(outcomes))
    done = [outcome for outcome in outcomes if outcome.is_done]
    failed = len(outcomes) - len(done)
    thing, things = ("drawn stay", "drawn stays") if drawn else ("stay", "stays")
    came = ", ".join(
        f"{stage.word} {sum(each.worst == stage.word for each in done)}" for stage in reversed(Stage)
    )
    rows.append(f"{counted(len(done), thing, things)} played; worst stage: {came}")
    if failed:
        rows.append(f"{counted(failed, thing, things)} not played, see the column fault")
    doubtful = sum(bool(outcome.doubts) for outcome in done)
    if doubtful and not drawn:
        rows.append(f"{counted(doubtful, thing, things)} of which the log or the gauges leave much in doubt")
    if drawn:
        rows += _share_rows(drawn_shares(outcomes))
    return [*rows, *_load_rows(total_load(outcomes))]


def _stay_rows(outcomes: Sequence[Outcome]) -> Iterator[str]:
    width = max((len(outcome.name) for outcome in outcomes), default=0)
    for outcome in outcomes:
        if not outcome.is_done or outcome.worst is None:
            yield f"{outcome.name:{width}}  not played"
            continue
        alarm = outcome.first_alarm
        first = f"  first alarm {alarm.time}: {alarm.text}" if alarm else ""
        hours = 0.0 if outcome.load is None else outcome.load.hours
        yield f"{outcome.name:{width}}  {outcome.worst:7}  {figure(hours, 1):>6} h{first}"
        if outcome.doubts:
            yield f"{'':{width}}  {outcome.doubts}"


def _share_rows(shares: Sequence[DrawnShare]) -> Iterator[str]:
    yield f"came to it in so many draws ({percent(CONFIDENCE)} of such intervals hold the true share):"
    for one in shares:
        if isnan(one.share):
            continue
        share = f"{percent(one.share)} ({percent(one.low)} to {percent(one.high)})"
        yield f"  {one.stage:7}  {one.cause:12}  {one.in_it:>5} of {one.draws}  {share}"


def _load_rows(load: AlarmLoad) -> Iterator[str]:
    if isnan(load.per_hour):
        return
    caution, warning, alarm = load.announced
    yield (
        f"alarm load: {figure(load.per_hour, 2)} announced an hour over {figure(load.hours, 1)} h "
        f"(caution {caution}, warning {warning}, alarm {alarm})"
    )
    again = f"the same again within {AGAIN_S / 60.0:.0f} min {load.again}"
    yield (
        f"  in ten minutes at most {load.most}, floods {load.floods} of {load.periods}; "
        f"chattering {load.chattering}, {again}; standing over a day {len(load.standing)}"
    )
    for one in load.each[:MOST]:
        yield f"  {one.announced:>5}  {one.alert} {one.subject}".rstrip() + f", {one.stay}"
