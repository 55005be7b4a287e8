"""The best arrangement in words, line by line beside the mooring plan's own."""

from typing import Final

from alongside.forecast.other_lines.arrange import FEW, Arranged
from alongside.forecast.other_lines.limits import rope_needed_m
from alongside.forecast.other_lines.one_more_words import LEAST_MS, held_words, outside_words
from alongside.forecast.other_lines.options import same_lead
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Line, Stay
from alongside.wording.figures import counted, degrees, held_speed, metres
from alongside.wording.safe import safe

CAUTION: Final = (
    "Calculation only, for the water of making fast. The ship's mooring plan, her master,",
    "pilot and port decide; the ropes of changed lines must be long enough, and winches",
    "must lead there.",
)


def arranged_rows(found: Arranged, stay: Stay) -> list[str]:
    """Return the plan and the best arrangement, then each line as it leads in both."""
    display = stay.display
    rows = [arranged_sentence(found, stay), "", f"Plan: {held_words(found.plan_holds, display)}"]
    rows += _outside(stay, [line for line in stay.lines if _outside_words(found, line)])
    if found.best is None or found.best_holds is None:
        return [*rows, "", *_counted(found, stay)]
    lines = _arranged(found)
    rows.append(f"{_best(found)}: {held_words(found.best_holds, display)}")
    rows += _outside(stay, [line for line in lines if _outside_words(found, line)])
    rows += ["", f"{'line':<5}{'role':<8}{'as planned':<15}arranged"]
    rows += [_row(found, line, then) for line, then in zip(stay.lines, lines, strict=True)]
    return [*rows, "", *_counted(found, stay)]


def arranged_sentence(found: Arranged, stay: Stay) -> str:
    """Return in one sentence whether another arrangement is better."""
    if found.best is None or found.best_holds is None:
        return "No arrangement of all lines goes together at this berth: every one breaks a limit."
    if found.best == found.plan:
        return "The mooring plan's own arrangement is the best."
    gain = (found.best_holds.holds_ms or 0.0) - (found.plan_holds.holds_ms or 0.0)
    then, now = (
        held_speed(each.holds_ms or 0.0, stay.display, CAP_MS)
        for each in (found.best_holds, found.plan_holds)
    )
    figures = f"lines hold {then}, as planned {now}"
    if gain >= LEAST_MS:
        return f"Another arrangement holds more: {figures}."
    if found.best_outside < found.plan_outside:
        return f"Fewer lines outside of the guidance: {figures}."
    return "No arrangement holds half a knot more than the plan."


def _arranged(found: Arranged) -> list[Line]:
    assert found.best is not None  # asked before
    return [own[at] for own, at in zip(found.options.of_line, found.best, strict=True)]


def _best(found: Arranged) -> str:
    if found.is_proved:
        return f"Best of all {found.count}" if found.count != 1 else "The only one"
    return "Best found"


def _outside_words(found: Arranged, line: Line) -> str:
    lead = found.places.lead(line.fairlead, line.bollard)
    return outside_words(line, lead)


def _outside(stay: Stay, lines: list[Line]) -> list[str]:
    names = ", ".join(safe(line.id) for line in lines)
    return [f"   outside of the guidance: line{'s' if len(lines) > 1 else ''} {names}"] if lines else []


def _row(found: Arranged, line: Line, then: Line) -> str:
    begin = f"{safe(line.id):<5}{line.role:<8}{_places(line):<15}"
    if same_lead(line, then):
        return f"{begin}as planned{_outside_words(found, line)}"
    lead = found.places.lead(then.fairlead, then.bollard)
    way = "down" if lead.down_deg >= 0.0 else "up"
    angles = f"{degrees(lead.ahead_deg)} from ahead, {degrees(abs(lead.down_deg))} {way}"
    rope = f"{metres(rope_needed_m(found.places, then), 0)} of rope"
    return f"{begin}{_places(then)}: {angles}, {rope}{_outside_words(found, then)}"


def _places(line: Line) -> str:
    return f"{safe(line.fairlead)} to {safe(line.bollard)}"


def _counted(found: Arranged, stay: Stay) -> list[str]:
    most = held_speed(found.at_most_ms, stay.display, CAP_MS)
    bound = f"No arrangement of these leads holds more than {most}: every line at its limit, ship in place."
    if found.is_proved:
        return [f"{counted(found.count or 0, 'arrangement')} within the limits, all tried.", bound]
    return [f"{found.tried} of more than {FEW} arrangements tried: best found, not proved.", bound]
