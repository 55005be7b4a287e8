"""A line that is put out, and a main rope that is new: the line that the stay then has."""

from collections.abc import Sequence
from dataclasses import replace
from math import floor
from typing import Final

from alongside.actions import AddLine, RenewLine
from alongside.errors import WrongInput
from alongside.forecast.what_if import changes
from alongside.forecast.what_if.other_leads import new_line, rope_of_kind
from alongside.stay.model import Line, Stay
from alongside.units import iso_time
from alongside.wording.safe import safe
from alongside.wording.typed_tending import HAND_TIGHT_SHARE


def line_put_out(stay: Stay, gone: Sequence[bool], action: AddLine, now: float) -> Line:
    """Return one more line of a stay, `gone` which of its lines have parted or are let go. Raise WrongInput
    for what is not there, not given, or taken."""
    like = next((line for line in stay.lines if line.id == action.like), None)
    if action.like is not None and like is None:
        raise WrongInput(f"there is no line {safe(action.like)}")
    tension = action.tension_kn
    if tension is None and action.length_m is not None:
        tension = 1.0  # stands until the rope is known
    if action.bight_with:
        other = next((line for line in stay.lines if line.id == action.bight_with), None)
        like = _other_part(stay, other, gone, action)
    change = changes.AddLine(
        action.line, action.fairlead, action.bollard, action.rope, tension, action.like, action.winch
    )
    taken = {
        line.winch: line.id
        for line, is_gone in zip(stay.lines, gone, strict=True)
        if line.winch is not None and not is_gone
    }
    line = new_line(stay, change, like, now, taken)
    made_fast = replace(line.made_fast, settled=True)
    if not action.bight_with:
        tail = line.tail and replace(line.tail, serial=stand_in(f"tail of line {line.id}", now))
        line = replace(line, serial=_serial(stay, line.id, action.serial, now), tail=tail, rope_since=now)
    if action.tension_kn is None and action.length_m is not None:
        made_fast = replace(made_fast, tension_kn=HAND_TIGHT_SHARE * line.smallest_mbl_kn)
    return replace(line, made_fast=made_fast, bight_with=action.bight_with)


def _other_part(stay: Stay, line: Line | None, gone: Sequence[bool], action: AddLine) -> Line:
    """Return the line whose rope is doubled. Raise WrongInput where it cannot be."""
    if line is None or gone[stay.lines.index(line)]:
        raise WrongInput(f"line {safe(action.bight_with)} is not out, expected one that is")
    if line.tail is not None:
        raise WrongInput(f"line {safe(line.id)} has a tail, expected rope alone in a bight: put out a line")
    if line.bight_with or any(each.bight_with == line.id for each in stay.lines):
        raise WrongInput(f"line {safe(line.id)} is part of a bight already")
    winches = (stay.ship.winches.get(name or "") for name in (line.winch, action.winch))
    if any(winch is not None and winch.automatic_kn is not None for winch in winches):
        raise WrongInput("a winch on automatic has no bight, expected one on its brake")
    if action.rope is not None and action.rope != line.rope.name:
        raise WrongInput(f"one rope in both parts of a bight, expected {safe(line.rope.name)}")
    return line


def renewed(stay: Stay, line: Line, action: RenewLine, now: float) -> Line:
    """Return a line with a new main rope: whole, and of a serial of its own, so that its use begins anew.
    Raise WrongInput for a kind of rope that the stay file has not."""
    rope = line.rope if action.rope is None else rope_of_kind(stay, action.rope)
    if action.rope is None and line.learnt is not None:
        rope = stay.ropes.get(line.rope.name, line.rope)
    serial = _serial(stay, line.id, action.serial, now)
    new = replace(rope, residual_strength=1.0)
    return replace(line, rope=new, serial=serial, learnt=None, rope_since=now)


def _serial(stay: Stay, line: str, given: str, now: float) -> str:
    """Return the serial number of a new rope: as given, else one that stands in for it."""
    if given:
        check_free(stay, line, given)
    return given or stand_in(f"line {line}", now)


def check_free(stay: Stay, line: str, serial: str) -> None:
    """Raise WrongInput for a serial number that another rope or tail of the stay has."""
    for each in stay.lines:
        if serial == each.serial and each.id != line:
            raise WrongInput(f"serial {safe(serial)} is that of line {safe(each.id)}")
        if each.tail is not None and serial == each.tail.serial:
            raise WrongInput(f"serial {safe(serial)} is that of the tail of line {safe(each.id)}")


_NEW: Final = ", new "


def stand_in(part: str, since: float) -> str:
    """Return what stands in for the serial number of a rope or tail that came into its place then, UNIX s."""
    return f"{part}{_NEW}{iso_time(floor(since))}"


def is_stand_in(serial: str) -> bool:
    """Return whether a serial number is one that stands in for that of a new rope, until somebody says it."""
    return serial.startswith(("line ", "tail of line ")) and _NEW in serial
