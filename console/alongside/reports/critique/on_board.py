"""Ropes, brakes and bitts: strong enough for each other, and for the deck that they stand on."""

from collections.abc import Iterator
from typing import Final

from alongside.mechanics.automatic import opposed
from alongside.reports.critique.model import DESIGN, PRACTICE, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.stay.model import Line, Rope, Winch
from alongside.wording.cautions import opposed_winches
from alongside.wording.figures import figure, force_text, listed, percent
from alongside.wording.safe import safe

FITTED: Final = (0.995, 1.055)
"""New breaking load of a fitted line, of the ship design MBL: 100 to 105 %, and half a per cent of
rounding."""
TAIL_LEAST: Final = 1.245
"""Of a tail, where 125 to 130 % are usual."""
BRAKE: Final = 0.605
"""Of what the line breaks at, at the most: 60 %, and half a per cent of rounding. So it slips first."""


def on_board_notes(planned: Planned) -> Iterator[PlanNote]:
    stay = planned.stay
    lines = stay.lines
    mains, tails = {line.rope.name for line in lines}, {line.tail.rope.name for line in lines if line.tail}
    for name, rope in stay.ropes.items():
        if name in mains | tails:
            yield from _against_design(f"ropes.{name}.mbl_kn", rope, is_tail=name not in mains)
    for index, line in enumerate(lines):
        yield from _tail(f"lines[{index}].tail", line)
    for name, winch in stay.ship.winches.items():
        on_it = [line for line in lines if line.winch == name]
        yield from _brake(planned, f"ship.winches.{name}", winch, on_it)
        yield from _bitts(f"ship.winches.{name}", winch, on_it)
    if text := opposed_winches(*opposed(planned.arrangement, planned.afloat.pose)):
        yield PlanNote("ship.winches", text, PRACTICE)


def _against_design(path: str, rope: Rope, *, is_tail: bool) -> Iterator[PlanNote]:
    design = rope.design_mbl_kn
    if design is None:
        return
    new = rope.mbl_kn * rope.wet_strength
    share = f"{figure(new)} kN is {percent(new / design)} of the ship design MBL"
    if is_tail and new < TAIL_LEAST * design:
        yield PlanNote(path, f"{share}; a tail has 125 to 130 %", DESIGN)
    elif not is_tail and not FITTED[0] <= new / design <= FITTED[1]:
        why = "the deck is not designed for it" if new > design else "weaker than the ship needs"
        yield PlanNote(path, f"{share}; a line has 100 to 105 %: {why}", DESIGN)


def _tail(path: str, line: Line) -> Iterator[PlanNote]:
    """Yield a tail that is little stronger than its line, where there is no ship design MBL to say it by; a
    weaker one is a remark."""
    if line.tail is None or line.tail.rope.design_mbl_kn is not None:
        return
    times = line.tail.rope.mbl_kn / line.rope.mbl_kn
    if 1.0 <= times < TAIL_LEAST:
        yield PlanNote(path, f"breaks at {percent(times)} of the line: a tail has 125 to 130 %", DESIGN)


def _brake(planned: Planned, path: str, winch: Winch, on_it: list[Line]) -> Iterator[PlanNote]:
    stay = planned.stay
    design = stay.ship.design_mbl_kn
    if design is not None and winch.brake_kn is not None and winch.brake_design is not None:
        share = winch.brake_kn / design
        if share > winch.brake_design:
            key = "brake_kn" if winch.brake_set is None else "brake_set"
            text = f"set to {percent(share)} of the ship design MBL, its gear is designed for"
            yield PlanNote(f"{path}.{key}", f"{text} {percent(winch.brake_design)}", DESIGN)
    for line in on_it:
        yield from _brake_of_line(planned, path, winch, line)


def _brake_of_line(planned: Planned, path: str, winch: Winch, line: Line) -> Iterator[PlanNote]:
    display, wll, breaks = planned.stay.display, line.smallest_wll_kn, line.smallest_mbl_kn
    name = f"line {safe(line.id)}"
    if winch.automatic_kn is not None and winch.automatic_kn[1] > wll:
        renders = force_text(winch.automatic_kn[1], display)
        text = f"renders at {renders}, above the working limit of {name}, {force_text(wll, display)}"
        yield PlanNote(f"{path}.rendering_kn", text, DESIGN)
    holding = winch.holding_kn
    if holding is None:
        return
    if holding > BRAKE * breaks:
        text = f"holds {percent(holding / breaks)} of what {name} breaks at; usual 60 %"
        yield PlanNote(f"{path}.brake_kn", f"{text}, so that it slips before the line parts", DESIGN)
    elif holding < wll:
        text = f"slips at {force_text(holding, display)}, below the working limit of {name}"
        yield PlanNote(f"{path}.brake_kn", f"{text}, {force_text(wll, display)}: it gives first", DESIGN)


def _bitts(path: str, winch: Winch, on_it: list[Line]) -> Iterator[PlanNote]:
    if winch.swl_kn is not None and len(on_it) > 1:
        ids = listed([safe(line.id) for line in on_it])
        yield PlanNote(f"{path}.swl_kn", f"lines {ids} on it: the mark is for one line, one turn", DESIGN)
