"""The answer to a what-if in words, once for the screen and the command: the verdict in a sentence, and rows
of what holds her before and after."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isfinite, isnan
from typing import Final

from alongside.alerts.over_brake import if_brakes
from alongside.forecast.what_if.ahead_of import AheadChange
from alongside.forecast.what_if.answer import WhatIf
from alongside.forecast.what_if.losses import Effect, Figure, LineSet
from alongside.forecast.what_if.state_now import StateNow
from alongside.forecast.what_if.verdict import Verdict, Word
from alongside.forecast.worst_wind import WorstWind
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display
from alongside.wording.decide import wind_and_limit
from alongside.wording.figures import (
    bearing,
    force_figure,
    force_text,
    held_speed,
    listed,
    metres,
    percent,
    speed_text,
)
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import condition, what_gives, what_holds
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

MOST_REASONS: Final = 3
NONE: Final = "none"
TOO_TIGHT: Final = "a line too tight in a calm"
IN_CALM: Final = "over a limit in calm"
LABELS: Final = {
    "square_off": "Hold, square off",
    "holds": "Hold, weakest",
    "wind_share": "Wind with gusts",
    "wind_ahead": "Worst ahead",
    "contact": "Off fenders from",
    "off_fenders": "Off fenders now",
    "drift": "Off place",
    "parts": "WOULD PART",
    "over_wll": "Over WLL",
    "over_brake": "Over brake",
    "slack": "Hangs slack",
    "breasts": "Breasts that pull",
    "fast": "Lines fast",
}
MARKS: Final = {Effect.LOST: "LOST", Effect.GAINED: "better", Effect.SAME: "", Effect.NOT_KNOWN: "not known"}


@dataclass(frozen=True, slots=True)
class Row:
    """What a measure is called, before and after in words, and what becomes of it; the mark is "" where it
    stays."""

    label: str
    before: str
    after: str
    effect: Effect

    @property
    def mark(self) -> str:
        return MARKS[self.effect]


def rows_of(result: WhatIf) -> list[Row]:
    """Return what holds her before and after, what matters most first; what is none both times is left out,
    but for WOULD PART and what hangs slack, and so are all lines that are fast."""
    display = result.now.stay.display
    rows: list[Row] = []
    for each in result.figures:
        before = _cell(each, 0, result.now, display)
        after = _cell(each, 1, result.then, display)
        rows.append(Row(LABELS[each.name], before, after, each.effect))
        if each.name == "holds":
            rows.append(_gives_first(each))
    always = ("parts", "slack", "breasts")
    return rows + [
        Row(LABELS[those.name], _names(those.before), _names(those.after), those.effect)
        for those in result.sets
        if those.name != "fast" and (those.before or those.after or those.name in always)
    ]


def _gives_first(each: Figure) -> Row:
    before, after = (
        what_gives(gives, where) or NOT_KNOWN for gives, where in zip(each.gives, each.where, strict=True)
    )
    return Row("Gives first", before, after, Effect.SAME)


def _cell(each: Figure, at: int, state: StateNow, display: Display) -> str:
    value = (each.before, each.after)[at]
    if each.name == "wind_share":
        return _wind(state, value, display)
    if each.name == "wind_ahead":
        return _worst_wind(each.worst_wind[at], state)
    if each.name in ("off_fenders", "drift"):
        return metres(value)
    if each.name in ("square_off", "holds") and value <= 0.0:
        return IN_CALM
    if each.name == "square_off":
        return held_speed(value, display, CAP_MS)
    if not isfinite(value) or value >= CAP_MS:
        return held_speed(value, display, CAP_MS)
    return f"{held_speed(value, display, CAP_MS)} from {bearing(each.from_deg[at])}"


def _wind(state: StateNow, share: float, display: Display) -> str:
    wind, at = state.wind_ms, state.in_the_wind
    if not isfinite(wind) or at < 0:
        return NOT_KNOWN
    holds_ms, blows = float(state.power.holds_ms[at]), speed_text(wind, display)
    if holds_ms >= CAP_MS:
        return f"{blows}, at most {percent(share)}"
    return (
        f"{blows}, {percent(share)} of {_held(holds_ms, display)}"
        if isfinite(share)
        else f"{blows}, {IN_CALM}"
    )


def _worst_wind(worst: WorstWind | None, state: StateNow) -> str:
    """Return the wind of the hours ahead that is most by what is held: `47 kn from 265° at 10:33, lines hold
    43 kn (load of line 9)`; that it goes on as it is where no forecast serves."""
    if worst is None:
        return NOT_KNOWN
    display, clock = state.stay.display, DayClock(state.stay.display, state.time)
    gives = what_gives(worst.weak.gives, worst.weak.where)
    if worst.tight is not None:
        hardest = f"{speed_text(worst.tight[1], display)} at {clock(worst.tight[0])}, {TOO_TIGHT} then"
        if isnan(worst.share):
            return hardest
        return f"{_worst_wind(replace(worst, tight=None), state)}; {hardest}"
    by = "" if worst.forecast else "; wind goes on, without forecast"
    if worst.holds_ms <= 0.0:
        return f"{IN_CALM} at {clock(worst.time)} ({gives}){by}"
    peak = worst.wind_ms, worst.from_deg, worst.time
    is_drift = worst.weak.gives == "drift"
    words = wind_and_limit(
        peak,
        worst.holds_ms,
        gust=False,
        agreed=False,
        gives="" if is_drift else gives,
        clock=clock,
        holds=what_holds(worst.weak.gives),
        cap_ms=CAP_MS,
    )
    return words + by


def _worst_wind_reason(each: Figure, then: StateNow) -> str:
    """Return the same with what it was before the change, where that differs."""
    before, after = each.worst_wind
    if before is None or after is None:
        return _worst_wind(after, then)
    display = then.stay.display
    same_wind = speed_text(before.wind_ms, display) == speed_text(after.wind_ms, display)
    held = IN_CALM if before.holds_ms <= 0.0 else _held(before.holds_ms, display)
    was = held if same_wind else f"{speed_text(before.wind_ms, display)}, {held}"
    at = "" if before.time == after.time else f" at {DayClock(display, then.time)(before.time)}"
    words = _worst_wind(after, then)
    return f"{'' if after.holds_ms <= 0.0 else 'wind '}{words}, was {was}{at}"


def _names(lines: tuple[str, ...]) -> str:
    return ", ".join(safe(line) for line in lines) or NONE


def verdict_sentence(result: WhatIf) -> str:
    """Return the word of the closed list and what decides it: `DO NOT: no breast pulls; …`."""
    judged, display = result.verdict, result.now.stay.display
    reasons = list(dict.fromkeys(_reason(each, result, display) for each in judged.by))
    if judged.why:
        reasons = [
            f"what holds her ({judged.why})" if judged.word is Word.NOT_KNOWN else judged.why,
            *reasons,
        ]
    later = _ahead_reasons(result.ahead, judged)
    reasons = [*later, *reasons] if judged.ahead else [*reasons, *later]
    if result.brakes:
        reasons.insert(0, _of_brakes(result))
    more = len(reasons) - MOST_REASONS
    shown = [*reasons[:MOST_REASONS], *([f"and {more} more"] if more > 0 else [])]
    if not shown and judged.word is Word.NO_CHANGE:
        shown = ["what holds her stays"]
    where = "in that weather " if judged.in_that_weather else ""
    return f"{judged.word.value}: {where}{'; '.join(shown)}" if shown else judged.word.value


def _of_brakes(result: WhatIf) -> str:
    """Return which state of brakes in question is the worse, of which the answer is: `worse if brake 4
    held`."""
    other = "held" if result.if_brakes == "slipped" else "slipped"
    shown = if_brakes(result.brakes, result.if_brakes).strip()
    if result.same_word is None:
        held = "it" if len(result.brakes) == 1 else "they"
        return f"brake of {_lines(result.brakes)} in question, as if {held} held"
    if not result.same_word:
        return f"worse {shown}"
    return f"figures {shown}, no better{if_brakes(result.brakes, other, again=True)}"


def _ahead_reasons(ahead: AheadChange, judged: Verdict) -> list[str]:
    words: list[str] = []
    if judged.word in (Word.BETTER, Word.NOT_ENOUGH, Word.EASES, Word.EARLIER):
        if ahead.lines_better:
            words.append(f"{_lines(ahead.lines_better)} eased in the hours ahead")
    elif ahead.lines_worse or ahead.ship_worse:
        said = ["holding"] if any(each.name == "wind_ahead" for each in judged.by) else []
        worse = [each for each in ahead.ship_worse if each.cause not in said]
        ship = [condition(each.cause, each.subject, None) for each in worse]
        names = [_lines(ahead.lines_worse)] if ahead.lines_worse else []
        if names or ship:
            words.append(f"{listed([*names, *ship])} worse in the hours ahead")
    if ahead.lines_new:
        words.append(f"tend {_lines(ahead.lines_new)} in the hours ahead")
    return words


def _lines(lines: tuple[str, ...]) -> str:
    return f"{'line' if len(lines) == 1 else 'lines'} {listed([safe(line) for line in lines])}"


def _reason(each: Figure | LineSet, result: WhatIf, display: Display) -> str:
    if isinstance(each, LineSet):
        return _set_reason(each, result.then, display)
    if each.name in ("square_off", "holds") and each.after <= 0.0:
        return f"{IN_CALM}: {what_gives(each.gives[1], each.where[1])}"
    words: dict[str, Callable[[], str]] = {
        "square_off": lambda: (
            f"{what_holds(each.gives[1])} {_held(each.after, display)} square off the berth "
            f"(was {_held(each.before, display)})"
        ),
        "holds": lambda: (
            f"weakest {_held(each.after, display)} from {bearing(each.from_deg[1])} "
            f"(was {_held(each.before, display)})"
        ),
        "wind_share": lambda: _wind_reason(each, result.then, display),
        "wind_ahead": lambda: _worst_wind_reason(each, result.then),
        "contact": lambda: (
            f"off fenders from {_held(each.after, display)} (was {_held(each.before, display)})"
        ),
        "off_fenders": lambda: f"{metres(each.after)} off fenders (was {metres(each.before)})",
        "drift": lambda: f"{metres(each.after)} off place (was {metres(each.before)})",
    }
    return words[each.name]()


def _held(ms: float, display: Display) -> str:
    return held_speed(ms, display, CAP_MS)


def _wind_reason(each: Figure, then: StateNow, display: Display) -> str:
    if not isfinite(each.after):
        power, at = then.power, then.in_the_wind
        return f"{IN_CALM}: {what_gives(power.gives_first[at], power.where[at])}"
    was = f" (was {percent(each.before)})" if isfinite(each.before) else ""
    return f"wind {speed_text(then.wind_ms, display)} is {percent(each.after)} of what lines hold{was}"


def _set_reason(each: LineSet, then: StateNow, display: Display) -> str:
    new = tuple(line for line in each.after if line not in each.before)
    gone = tuple(line for line in each.before if line not in each.after)
    lost = each.effect is Effect.LOST
    if each.name == "fast":
        return f"{_lines(gone)} let go" if lost else f"{_lines(new)} more"
    if each.name == "breasts":
        if lost:
            return f"breast {listed([safe(line) for line in gone])} lost" if each.after else "no breast pulls"
        return f"breast {listed([safe(line) for line in new])} pulls as well"
    if each.name == "parts" and lost and len(new) == 1:
        at = then.lines.index(new[0])
        load, breaks = float(then.tension_kn[at]), then.stay.lines[at].smallest_mbl_kn
        return f"{_lines(new)} would part, {force_figure(load, display)} of {force_text(breaks, display)}"
    those = _lines(new if lost else gone)
    verb = {
        "parts": "would part",
        "over_wll": "over WLL",
        "over_brake": "over the brake",
        "slack": "slack",
    }[each.name]
    return f"{those} {verb}" if lost else f"{those} no longer {verb.replace('would part', 'parts')}"
