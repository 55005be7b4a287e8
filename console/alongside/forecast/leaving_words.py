"""Letting go line by line, in rows; and the card for leaving at once."""

from math import isfinite
from textwrap import wrap
from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.instant_words import (
    Instant,
    asked_for,
    doubt_rows,
    headed,
    instant_words,
    sought_rows,
)
from alongside.forecast.letting_go import Left, Step, stations_of, unsafe_from
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Stay
from alongside.wording.figures import bearing, force_figure, held_speed, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import what_gives
from alongside.wording.safe import safe

BEGINS: Final = "leaving"
"""The question, as it is typed."""
COLUMNS: Final = 80
SNAP_BACK: Final = (
    "The whole mooring deck is a snap-back area: clear it, nobody in a bight, stand behind cover."
)
ABOVE: Final = (
    "The master's judgement, the pilot, the ship's own emergency plan and port rules stand above it."
)
BLANK: Final = "_" * 20
AT_ONCE: Final = (
    "General alarm; master, engine and both mooring stations called",
    "Cargo stopped; hoses, arms or grabs clear; gangway clear of the ship",
    "Tugs, pilot, terminal and port called",
    "Engine and rudder tried; thrusters ready",
    "Linesmen called; without them: slack well, then slip or cut",
)


def check_typed(text: str) -> None:
    """Raise WrongInput, with what was expected, where more was typed than the question."""
    if text.strip().lower() != BEGINS:
        raise WrongInput(f"{safe(text)!r}: not understood, expected {BEGINS}")


def leaving_rows(now: Left, steps: tuple[Step, ...], stay: Stay, instant: Instant) -> list[str]:
    """Return what holds her at the instant that was asked for, and each step with what is left."""
    display, stations = stay.display, stations_of(stay)
    rows = headed([asked_for(stay, instant), *sought_rows(stay)], instant)
    rows += [f"All fast: {_held(now, stay)}", ""]
    unsafe = unsafe_from(steps)
    if unsafe is not None:
        what = _over(unsafe.left)
        rows += [f"Not without engine or tugs from line {safe(unsafe.line)} on: in this wind {what}.", ""]
    head = (
        f"{'step':<5}{'let go':<8}{'station':<9}{'load':>6} {display.force:<3}{'left':>5}  what is left holds"
    )
    rows.append(head)
    for number, step in enumerate(steps, 1):
        held = _held(step.left, stay) if step.lines_left else "nothing"
        load = NOT_KNOWN if not isfinite(step.load_kn) else force_figure(step.load_kn, display)
        begin = (
            f"{number:<5}{safe(step.line):<8}{stations[step.line]:<9}{load:>6}    {len(step.lines_left):>5}"
        )
        rows.append(f"{begin}  {held}")
        if step.singled_up:
            rows.append(f"     -- singled up: {', '.join(map(safe, step.lines_left))} --")
    return rows


def leaving_card(now: Left, steps: tuple[Step, ...], stay: Stay, instant: Instant) -> list[str]:
    """Return a page to hang up: what is done at once, and the lines in the order in which they go."""
    lines = {line.id: line for line in stay.lines}
    stations = stations_of(stay)
    unsafe = unsafe_from(steps)
    rows = [
        "LEAVING THE BERTH AT ONCE",
        "",
        f"Ship   {safe(stay.ship.name)}"[:COLUMNS],
        f"Berth  {safe(stay.berth.name)}, {stay.alongside} side to"[:COLUMNS],
        f"For    {instant_words(stay, instant)}"[:COLUMNS],
        "",
        *(f"[ ] {each}" for each in AT_ONCE),
        "",
        *(f"{who:<12}{BLANK}   channel or number {BLANK}" for who in ("Master", "Terminal", "Tugs", "Port")),
        "",
        "Lines, in this order; the last ones are kept until engine and tugs hold her:",
        f"    {'line':<8}{'station':<10}{'over':<8}{'winch':<10}bollard",
    ]
    for step in steps:
        if step is unsafe:
            rows.append("    -- not this one without engine or tugs, in that wind --")
        line = lines[step.line]
        places = f"{line.fairlead:<8}{line.winch or 'bitts':<10}{line.bollard:<10}"
        rows.append(f"[ ] {safe(step.line):<8}{stations[step.line]:<10}{safe(places)}".rstrip())
        if step.singled_up:
            rows.append(f"    -- singled up; left holds {_held(step.left, stay)} --")
    rows += ["", f"All fast the lines hold {_held(now, stay)}."]
    for row in (*doubt_rows(instant.brakes, instant.without), *sought_rows(stay)):
        rows += wrap(row.strip(), COLUMNS)
    return [*rows, "", *wrap(f"{SNAP_BACK} {ABOVE}", COLUMNS)]


def _held(left: Left, stay: Stay) -> str:
    display = stay.display
    if left.holds_ms <= 0.0:
        return "no wind from the weakest direction"
    weakest = f"{held_speed(left.holds_ms, display, CAP_MS)} from {bearing(left.from_deg)}"
    if left.share >= 1.0:
        return f"{weakest}; NOW {_over(left)}"
    off = "" if left.on_fenders else ", off her fenders"
    return f"{weakest}; now at {percent(left.share)} of a limit{off}"


def _over(left: Left) -> str:
    if not isfinite(left.share):
        return "nothing keeps her"
    if left.gives == "drift":
        return "she leaves her place"
    return f"{what_gives(left.gives, left.where)} is over its limit"
