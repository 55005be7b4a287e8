"""The answer to "what will happen?": as a table to read, and as JSON for other programs."""

import json
from collections.abc import Sequence
from datetime import datetime, tzinfo
from math import isfinite
from pathlib import Path
from typing import Final

import numpy as np

from console.advice.rounds import moves_in_words
from console.ahead import LimitAhead, Outlook, look_ahead
from console.ahead.look import Far
from console.ahead.planned import planned_present, when_fast
from console.ahead.what_if import WhatIf, parse_change, what_if
from console.alerts.text import percent
from console.assessment import Stage
from console.cycle import Plan
from console.errors import WrongInput
from console.holding_answer import write_json
from console.lookout import ground_of
from console.outlook.present import Present
from console.player import Player
from console.readings import Floats
from console.stay.model import Display, Stay
from console.timeline import MARKS, plain, zone_of
from console.trail import Trail
from console.units import iso_time

CAUTION: Final = (
    "Expected, not measured: computed from the stay file, the tide table and the gauges so far; no swell,\n"
    "passing ships or dynamics. Stay clear of snap-back zones. The master's judgement, the ship's line\n"
    "management plan, port rules and the makers' data stand above it."
)
MOST_INSTANTS: Final = 200_000
"""Members times instants: 16 lines at so many take some hundred MB."""
ROWS: Final = 13
"""Rows of the table of tide and draughts to come."""


def far_of(
    stay: Stay, hours: float | None = None, every_min: float | None = None, members: int | None = None
) -> Far:
    """How far to look: as asked, else as the stay file says. WrongInput for more instants than memory and
    patience have room for."""
    own = Far.of(stay)
    far = Far(
        hours or own.hours, own.every_s if every_min is None else every_min * 60.0, members or own.members
    )
    asked = far.hours * 3600.0 / far.every_s * far.members
    if asked > MOST_INSTANTS:
        raise WrongInput(
            f"{far.hours:g} h every {far.every_s / 60.0:g} min with {far.members} members: {asked:.0f} "
            f"instants, expected at most {MOST_INSTANTS}"
        )
    return far


def present_in_log(plan: Plan, log: Path, at: float) -> Present:
    """The present of a recorded stay at a time, all that went before played through. Raises WrongInput for a
    time outside the log."""
    player, trail, last = Player(plan, log), Trail(), None
    first = player.starts_at
    if at >= first:
        for block in player.play_to(at):
            trail.add(block)
            last = block
    if last is None or player.time is None or player.time < np.floor(at):
        begin = "no line with a time" if np.isnan(first) else f"it begins at {iso_time(first)}"
        end = "" if player.time is None else f" and ends at {iso_time(player.time)}"
        raise WrongInput(f"{log}: nothing at {iso_time(at)}: {begin}{end}")
    return trail.present(last, player.memory)


def present_of(plan: Plan, log: Path | None, at: float | None) -> Present:
    """The present at a time, by a log, or by the plan alone: then, unless a time is given, from when the last
    line is made fast."""
    if log is None:
        return planned_present(plan.stay, plan.arrangement, when_fast(plan.stay) if at is None else at)
    if at is None:
        raise WrongInput(f"{log}: at which moment? expected --at TIME")
    return present_in_log(plan, log, at)


def answer(
    plan: Plan, present: Present, far: Far, changes: Sequence[str] = (), json_file: Path | None = None
) -> list[str]:
    """The rows to print of an outlook, with what-ifs beside it; the JSON is written where asked for. Raises
    WrongInput where there is no outlook, saying what it lacks."""
    ground = ground_of(plan)
    parsed = [parse_change(change) for change in changes]
    outlook = look_ahead(ground, present, far)
    if outlook.reason:
        lacks = "; ".join((outlook.reason, *outlook.notes))
        raise WrongInput(f"{plan.stay.file}: no outlook at {iso_time(outlook.time)}: {lacks}")
    other = what_if(ground, present, parsed, far, outlook) if parsed else None
    if json_file is not None:
        said = outlook_object(outlook)
        if other is not None:
            said["what_if"] = {
                "changes": other.words,
                "lines_now": _now(other),
                **outlook_object(other.changed),
            }
        write_json(json.dumps(said, ensure_ascii=False, allow_nan=False), json_file)
    rows = outlook_rows(plan.stay, outlook)
    return [*rows, *(what_if_rows(plan.stay, other) if other else []), "", *CAUTION.splitlines()]


# --- for other programs


def outlook_object(outlook: Outlook) -> dict[str, object]:
    """An outlook as JSON has it; not known, and what may not occur, is null."""
    return {
        "time": iso_time(outlook.time),
        "samples": _samples(outlook),
        "lines": [
            {"id": line, "limits": [_limit(limit) for limit in outlook.limits_of(line)]}
            for line in outlook.lines
        ],
        "ship": [
            {"subject": limit.subject, **_limit(limit)} for limit in outlook.limits if limit.line is None
        ],
        "rounds": [
            {
                "not_before": iso_time(each.not_before),
                "latest": iso_time(each.latest),
                "moves": [{"line": move.line, "pay_out_m": _number(move.pay_out_m)} for move in each.moves],
                "serves_until": iso_time(each.serves_until),
                "overdue": each.overdue,
            }
            for each in outlook.tending.rounds
        ],
        "cannot_cure": [
            {
                "line": each.line,
                "time": iso_time(each.time),
                "missing_m": _number(each.missing_m),
                "why": each.why,
            }
            for each in outlook.tending.cannot_cure
        ],
        "verified": outlook.tending.verified,
        "members": outlook.members,
        "notes": list(outlook.notes),
    }


def _samples(outlook: Outlook) -> list[dict[str, object]]:
    samples: list[dict[str, object]] = []
    for row, time in enumerate(outlook.times):
        sample: dict[str, object] = {"time": iso_time(float(time))}
        for name in ("tide", "draught_fwd", "draught_aft"):
            spread = getattr(outlook, name)
            sample[name] = _number(spread.expected[row])
            sample[f"{name}_low"], sample[f"{name}_high"] = (
                _number(spread.low[row]),
                _number(spread.high[row]),
            )
        samples.append(sample)
    return samples


def _limit(limit: LimitAhead) -> dict[str, object]:
    return {
        "cause": limit.cause,
        "stage": limit.stage.word,
        "not_before": iso_time(limit.not_before),
        "expected": None if limit.expected is None else iso_time(limit.expected),
        "no_later": None if limit.no_later is None else iso_time(limit.no_later),
    }


def _now(other: WhatIf) -> list[dict[str, object]]:
    """All lines at the first instant, as things stand and with the changes."""
    return [
        {
            "id": line,
            "stretch_share": _number(other.then.stretch_share[0, k]),
            "load_share": _number(other.then.load_share[0, k]),
            "vertical_deg": _number(other.then.vertical_deg[0, k]),
            "stretch_share_as_it_stands": _number(other.now.stretch_share[0, k]),
            "load_share_as_it_stands": _number(other.now.load_share[0, k]),
        }
        for k, line in enumerate(other.lines)
    ]


def _number(value: float) -> float | None:
    return round(float(value), 6) + 0.0 if isfinite(value) else None


# --- to read


class Clock:
    """Times of an outlook in the stay's zone: hour and minute, with the date where it is another day."""

    def __init__(self, display: Display, begin: float) -> None:
        self._zone: tzinfo = zone_of(display)
        self._day = datetime.fromtimestamp(begin, self._zone).date()

    def __call__(self, time: float | None) -> str:
        if time is None:
            return "may not"
        if not isfinite(time):
            return "—"
        local = datetime.fromtimestamp(time, self._zone)
        return f"{local:%H:%M}" if local.date() == self._day else f"{local:%d %b %H:%M}"

    def whole(self, time: float) -> str:
        return f"{datetime.fromtimestamp(time, self._zone):%Y-%m-%d %H:%M %z}"


def outlook_rows(stay: Stay, outlook: Outlook) -> list[str]:
    """An outlook as rows: tide and draughts, limits to come, rounds, and what cannot be cured."""
    clock = Clock(stay.display, outlook.time)
    until = clock(float(outlook.times[-1]))
    head = f"{plain(stay.name)}: from {clock.whole(outlook.time)} to {until}, {outlook.members} members"
    return [
        head,
        *(f"  {plain(note)}" for note in outlook.notes),
        "",
        *_water_rows(outlook, clock),
        "",
        *_limit_rows(outlook, clock),
        "",
        *_round_rows(outlook, clock),
    ]


def _water_rows(outlook: Outlook, clock: Clock) -> list[str]:
    columns = [("tide", outlook.tide), ("fwd", outlook.draught_fwd), ("aft", outlook.draught_aft)]
    columns += [("under keel", outlook.under_keel), ("rail over quay", outlook.rail_over_quay)]
    shown = [(name, spread) for name, spread in columns if spread.known]
    rows = [f"{'time':>12}" + "".join(f"  {name + ' m':>20}" for name, _ in shown)]
    last = outlook.times.size - 1
    for row in np.unique(np.linspace(0, last, min(ROWS, last + 1)).round().astype(int)):
        cells = [_between(spread.expected[row], spread.low[row], spread.high[row]) for _, spread in shown]
        rows.append(f"{clock(float(outlook.times[row])):>12}" + "".join(f"  {cell:>20}" for cell in cells))
    return rows


def _between(expected: float, low: float, high: float) -> str:
    if not isfinite(expected):
        return "—"
    return f"{expected:.2f} ({low:.2f}..{high:.2f})"


def _limit_rows(outlook: Outlook, clock: Clock) -> list[str]:
    if not outlook.limits:
        return ["No limit is reached within the outlook."]
    rows = [f"{'limit':<34}{'not before':>12}{'expected':>14}{'no later':>14}"]
    for limit in outlook.limits:
        what = f"{MARKS[limit.stage]} {limit_words(limit)}"
        times = (
            ("stands now", "", "") if limit.standing else (limit.not_before, limit.expected, limit.no_later)
        )
        cells = [cell if isinstance(cell, str) else clock(cell) for cell in times]
        rows.append(f"{what:<34}{cells[0]:>12}{cells[1]:>14}{cells[2]:>14}".rstrip())
    return rows


def limit_words(limit: LimitAhead) -> str:
    """`line 3 stretch warning`."""
    who = f"line {limit.line} " if limit.line else ""
    of = f" {limit.subject}" if limit.subject and not limit.line else ""
    return plain(f"{who}{limit.cause.replace('_', ' ')}{of} {limit.stage.word}")


def _round_rows(outlook: Outlook, clock: Clock) -> list[str]:
    tending = outlook.tending
    rows = []
    if not tending.rounds and not tending.cannot_cure:
        rows.append(f"No tending needed to keep every line short of {tending.within}.")
    for number, each in enumerate(tending.rounds, start=1):
        when = "now, a line is out of band" if each.overdue else _window(each.not_before, each.latest, clock)
        good = f"good until {clock(each.serves_until)}"
        rows.append(f"round {number}: {plain(moves_in_words(each.moves))}; {when}; {good}")
    for cure in tending.cannot_cure:
        spell = _window(cure.time, cure.until, clock)
        rows.append(
            f"tending cannot cure line {plain(cure.line)}, {spell}: {cure.missing_m:.2f} m are missing"
        )
    if tending.rounds:
        held = "holds as run through the mechanics" if tending.verified else "DOES NOT HOLD where told above"
        rows.append(f"the plan {held}; in {percent(tending.holds)} of the members nothing leaves its band")
    rows += [
        f"  {choice.rounds} rounds keep lines {choice.margin_m:.2f} m clear of their bands"
        for choice in tending.choices
    ]
    return rows


def _window(begin: float, end: float, clock: Clock) -> str:
    return f"at {clock(begin)}" if begin == end else f"between {clock(begin)} and {clock(end)}"


def what_if_rows(stay: Stay, other: WhatIf) -> list[str]:
    """All lines now and over the outlook, as things stand and with the changes."""
    clock = Clock(stay.display, other.changed.time)
    rows = ["", f"What if: {plain(other.words)}", ""]
    if other.changed.reason:
        return [*rows, f"No outlook then: {other.changed.reason}"]
    rows.append(f"{'line':<8}{'stretch now':>20}{'most to come':>20}{'first warning':>26}")
    before, after = other.as_it_stands, other.changed
    for k, line in enumerate(other.lines):
        now = _both(other.now.stretch_share[0, k], other.then.stretch_share[0, k])
        most = _both(_most(before.stretch_share[:, k]), _most(after.stretch_share[:, k]))
        first = f"{clock_first(before, line, clock)} -> {clock_first(after, line, clock)}"
        rows.append(f"{plain(line):<8}{now:>20}{most:>20}{first:>26}")
    return [*rows, "", *_round_rows(after, clock)]


def clock_first(outlook: Outlook, line: str, clock: Clock) -> str:
    """When a line is expected to reach its first warning, or none."""
    times = [
        limit.expected
        for limit in outlook.limits_of(line)
        if limit.stage >= Stage.WARNING and limit.expected is not None
    ]
    return clock(min(times)) if times else "none"


def _both(before: float, after: float) -> str:
    return f"{percent(before)} -> {percent(after)}"


def _most(values: Floats) -> float:
    known = values[~np.isnan(values)]
    return float(known.max()) if known.size else float("nan")
