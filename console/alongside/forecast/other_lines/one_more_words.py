"""One more line in words: the best first, each with what it adds and what it costs the others."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.instant_words import doubt_rows
from alongside.forecast.other_lines.cost import Cost, Rounds, Share
from alongside.forecast.other_lines.limits import AGAINST
from alongside.forecast.other_lines.one_more import Aim, OneMore, Option
from alongside.forecast.other_lines.places import LeadNow
from alongside.forecast.what_if.changes import AddLine, in_words
from alongside.mechanics.guidance import DOWN, ROUNDING, off_lead
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display, Line, Stay
from alongside.wording.figures import (
    bearing,
    counted,
    degrees,
    force_text,
    held_speed,
    metres,
    percent,
    speed_text,
)
from alongside.wording.names import what_gives
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

BEGINS: Final = "one more line"
_AIMS: Final[Mapping[str, Aim]] = {
    "": "weakest",
    "weakest": "weakest",
    "weakest direction": "weakest",
    "forecast": "forecast",
    "forecast wind": "forecast",
    "rounds": "rounds",
    "fewest rounds": "rounds",
}
FROM: Final[Mapping[Aim, str]] = {
    "weakest": "from the weakest direction",
    "forecast": "from where the forecast wind blows",
}
LEAST_MS: Final = 0.25
"""Half a knot: less is no other wind."""
SEEN_SHARE: Final = 0.02
"""Change of a share that is worth its words."""
MOST_NAMED: Final = 4
CAUTION: Final = (
    "Calculation only. The ship's mooring plan, her master and the port decide;",
    "each line's rope and brake are as the stay file has them. The whole",
    "mooring deck is a snap-back area: clear it, nobody in a bight, stand behind",
    "cover.",
)


@dataclass(frozen=True, slots=True)
class MoreLine:
    """The question which extra line adds most, and to what."""

    aim: Aim = "weakest"


def typed_more_line(text: str) -> MoreLine:
    """Return the question that was typed: `one more line`, `one more line for fewest rounds`. Raise
    WrongInput with what was expected."""
    words = " ".join(text.lower().split()).removeprefix(BEGINS).strip().removeprefix("for ").strip()
    aim = _AIMS.get(words.removeprefix("the ").strip())
    if aim is None:
        expected = f"expected {BEGINS}, or with: for weakest direction, forecast wind, fewest rounds"
        raise WrongInput(f"{safe(text)!r}: not understood, {expected}")
    return MoreLine(aim)


def more_line_words(asked: MoreLine) -> str:
    """Return the question as it can be typed again."""
    for_what = next(
        words
        for words in ("weakest direction", "forecast wind", "fewest rounds")
        if _AIMS[words] == asked.aim
    )
    return f"{BEGINS} for {for_what}"


def one_more_rows(found: OneMore, stay: Stay) -> list[str]:
    """Return the answer: what is held now, then each option with its gain and its cost."""
    rows = [one_more_sentence(found, stay)]
    rows += doubt_rows(found.asked, found.without)
    rows += [f"Now: {held_words(found.weakest, stay.display)}{_forecast(found, found.forecast_ms, stay)}"]
    if found.rounds is not None:
        rows.append(f"     {rounds_words(found.rounds)}")
    rows += [_in_brief(number, each, found, stay) for number, each in enumerate(found.options, 1)]
    for number, option in enumerate(found.options, 1):
        rows += ["", *option_rows(number, option, found, stay)]
    rows += ["", tried_words(found.tried, found.left_out)]
    return rows


def one_more_sentence(found: OneMore, stay: Stay) -> str:
    """Return the deed and its reason in one sentence, or that there is none."""
    if not found.spare:
        if stay.spare_ropes:
            return "No extra line: every spare rope is in a line by now."
        return "No extra line: the stay file has no spare ropes (spare_ropes)."
    if not found.options:
        return "No extra line can be offered: every lead breaks a limit."
    best = found.options[0]
    where = f"{safe(best.line.fairlead)} to {safe(best.line.bollard)}"
    if found.aim == "rounds":
        if not _fewer_rounds(found, best):
            return f"No extra line makes the rounds fewer; {where} costs least."
        return f"One more line over {where}: {_fewer_words(found, best)}."
    before, after = (
        (found.forecast_ms, best.forecast_ms)
        if found.aim == "forecast"
        else (found.weakest.holds_ms or 0.0, best.weakest.holds_ms or 0.0)
    )
    if after - before < LEAST_MS:
        return f"No extra line adds half a knot; {where} adds most."
    held = " → ".join(held_speed(each, stay.display, CAP_MS) for each in (before, after))
    return f"One more line over {where}: {held} {FROM[found.aim]}."


def _fewer_rounds(found: OneMore, best: Option) -> bool:
    return found.rounds is not None and best.rounds is not None and best.rounds.rank < found.rounds.rank


def _fewer_words(found: OneMore, best: Option) -> str:
    """Return `3 rounds → 1 round`; in full where the rounds are as many."""
    assert found.rounds is not None  # asked before
    assert best.rounds is not None
    before, after = found.rounds, best.rounds
    if before.rounds != after.rounds:
        return f"{counted(before.rounds, 'round')} → {counted(after.rounds, 'round')}"
    return f"{rounds_words(before)} → {rounds_words(after)}"


def _in_brief(number: int, option: Option, found: OneMore, stay: Stay) -> str:
    """Return an option in a row: `+1  A4 to P2 on D3, breast: 52 → 53 kn, line 5 100 → 54 %, 3 rounds`."""
    line, display = option.line, stay.display
    on = f" on {safe(line.winch)}" if line.winch else " on bitts"
    before, after = (
        held_speed(each.holds_ms or 0.0, display, CAP_MS) for each in (found.weakest, option.weakest)
    )
    words = [f"{before} → {after}"]
    if found.aim == "forecast":
        before, after = (
            held_speed(each, display, CAP_MS) for each in (found.forecast_ms, option.forecast_ms)
        )
        words = [f"{before} → {after} in the forecast wind"]
    shares = option.at_limit.bollards if found.weakest.gives == "bollard" else option.at_limit.lines
    eased = next((each for each in shares if each.name == found.weakest.where), None)
    if eased is not None:
        what = "bollard" if found.weakest.gives == "bollard" else "line"
        words.append(f"{what} {_share(eased)}")
    if option.rounds is not None:
        words.append(brief_rounds(option.rounds))
    lead = f"{safe(line.fairlead)} to {safe(line.bollard)}{on}, {line.role}"
    return f"  +{number}  {lead}: {', '.join(words)}"


def _share(each: Share) -> str:
    return f"{safe(each.name)}: {percent(each.before)[:-2]} → {percent(each.after)}"


def option_rows(number: int, option: Option, found: OneMore, stay: Stay) -> list[str]:
    display, line = stay.display, option.line
    inboard = (
        f" on {_kind(stay, line)}{safe(line.winch)}" if line.winch else " on bitts by it (SWL not known)"
    )
    tail = f" with {metres(line.tail.length, 0)} tail {safe(line.tail.rope.name)}" if line.tail else ""
    rope = f"{safe(line.rope.name)} {metres(line.rope_length or 0.0, 0)}{tail}"
    made = f"made fast at {force_text(line.made_fast.tension_kn, display)}"
    rows = [
        f"+{number} {line.role} line over {safe(line.fairlead)}{inboard} to {safe(line.bollard)}",
        f"   {rope}, {metres(option.needs_m, 0)} needed; {made}",
        f"   leads {lead_words(option.lead)}{outside_words(line, option.lead)}",
        f"   then {held_words(option.weakest, display)}{_forecast(found, option.forecast_ms, stay)}",
    ]
    rows += costs_rows(option.now, option.at_limit, found.weakest, display)
    if option.rounds is not None:
        rows.append(f"   {rounds_words(option.rounds)}")
    typed = as_typed(stay, line)
    return [*rows, f"   all that it changes: {safe(typed)}"] if typed else rows


def as_typed(stay: Stay, line: Line) -> str:
    """Return an extra line as it is typed to ask what if; "" where that has no words for its tail."""
    like = None
    if line.tail is not None:
        same = (
            each.id
            for each in stay.lines
            if each.rope == line.rope
            and each.tail is not None
            and (each.tail.rope, each.tail.length) == (line.tail.rope, line.tail.length)
        )
        like = next(same, None)
        if like is None:
            return ""
    rope = line.rope.name if like is None else None
    load = line.made_fast.tension_kn
    return in_words(AddLine(line.id, line.fairlead, line.bollard, rope, load, like, line.winch), stay.display)


def _kind(stay: Stay, line: Line) -> str:
    return "winch " if stay.ship.winches[line.winch or ""].swl_kn is None else "bitts "


def lead_words(lead: LeadNow) -> str:
    """Return `17° from ahead, 8° down, 24 m outboard`."""
    way = "down" if lead.down_deg >= 0.0 else "up"
    steep = f"{degrees(abs(lead.down_deg))} {way}"
    return f"{degrees(lead.ahead_deg)} from ahead, {steep}, {metres(lead.outboard_m, 0)} outboard"


def outside_words(line: Line, lead: LeadNow) -> str:
    """Return what of a lead is outside of what guidance has; "" where nothing is."""
    off, most, of_what = off_lead(line.role, lead.ahead_deg)
    words = [f"{degrees(off)} {of_what}, guidance at most {degrees(most)}"] if off > most + ROUNDING else []
    if abs(lead.down_deg) > DOWN + ROUNDING:
        words.append(f"{degrees(abs(lead.down_deg))} steep, guidance at most {degrees(DOWN)}")
    return f" ({'; '.join(words)})" if words else ""


def held_words(spot: WeakSpot, display: Display) -> str:
    """Return `lines hold 52 kn from 145°, then load of line 5`."""
    holds = spot.holds_ms or 0.0
    if holds <= 0.0:
        return "no wind is held from the weakest direction"
    gives = what_gives(spot.gives, spot.where)
    if spot.gives == "drift":
        gives = "she leaves her place"
    then = f", then {gives}" if gives else ""
    return f"lines hold {held_speed(holds, display, CAP_MS)} from {bearing(spot.from_deg or 0.0)}{then}"


def _forecast(found: OneMore, holds_ms: float, stay: Stay) -> str:
    if found.blow is None or not isfinite(holds_ms):
        return ""
    display, blow = stay.display, found.blow
    when = DayClock(display, found.time)(blow.at)
    wind = f"{speed_text(blow.ms, display)} from {bearing(blow.from_deg)} at {when}"
    return f"; {held_speed(holds_ms, display, CAP_MS)} from about where {wind} is forecast"


def costs_rows(now: Cost, at_limit: Cost, weakest: WeakSpot, display: Display) -> Iterable[str]:
    """Yield what it costs in the wind of now, and in that which the lines hold without it."""
    yield from cost_rows("wind of now", now)
    held = weakest.holds_ms or 0.0
    if held > 0.0:
        wind = f"{held_speed(held, display, CAP_MS)} from {bearing(weakest.from_deg or 0.0)}"
        yield from cost_rows(wind, at_limit)


def cost_rows(wind: str, cost: Cost) -> Iterable[str]:
    """Yield a row of lines and one of bollards, those that change most."""
    for what, shares in (("lines", cost.lines), ("bollards", cost.bollards)):
        words = share_words(shares)
        if words:
            yield f"   {wind}: {what} {words}"


def share_words(shares: Iterable[Share]) -> str:
    """Return `5: 100 → 95 %, 7: new 25 %`: what rises most first; "" where nothing changes."""
    moved = [
        each for each in shares if isfinite(each.after) and not abs(each.after - each.before) < SEEN_SHARE
    ]
    moved.sort(key=lambda each: (not isfinite(each.before), each.before - each.after))
    known = [each for each in moved if isfinite(each.before)]
    new = [each for each in moved if not isfinite(each.before)]
    half = MOST_NAMED // 2
    named = known if len(known) <= MOST_NAMED else [*known[:half], *known[-half:]]
    words = [_share(each) for each in named]
    words += [f"{safe(each.name)}: new {percent(each.after)}" for each in new]
    return ", ".join(words)


def brief_rounds(rounds: Rounds) -> str:
    """Return `3 rounds`, with the lines that none of them serves."""
    words = counted(rounds.rounds, "round")
    return f"{words}, none serves {', '.join(map(safe, rounds.not_cured))}" if rounds.not_cured else words


def rounds_words(rounds: Rounds) -> str:
    tended = counted(rounds.lines_tended, "line")
    words = f"{counted(rounds.rounds, 'round')} in {rounds.hours:.0f} h, {tended} tended"
    if rounds.not_cured:
        words += f"; no round serves {', '.join(map(safe, rounds.not_cured))}"
    return words


def tried_words(tried: int, left_out: Mapping[str, int]) -> str:
    """Return how many leads were tried, and how many were left out, by what stands against them."""
    if not sum(left_out.values()):
        return f"{counted(tried, 'lead')} tried."
    why = ", ".join(f"{AGAINST[reason]} {count}" for reason, count in sorted(left_out.items()) if count)
    return f"{counted(tried, 'lead')} tried, {sum(left_out.values())} left out: {why}."
