"""Section `lines:`, from which winch over which fairlead to which bollard, and how made fast and tended."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Final

from alongside.stay.bights import parts_of_one_rope
from alongside.stay.fields import (
    NAME,
    SWITCH,
    TEXT,
    TIME,
    Field,
    choice,
    distinct,
    force,
    known,
    listed,
    looked_up,
    number,
)
from alongside.stay.learnt import LEARNT
from alongside.stay.model import Berth, Learnt, Line, MadeFast, Role, Rope, Ship, Tail, Tend
from alongside.stay.model.lines import TENSION_BAND
from alongside.stay.nodes import Node, shown
from alongside.stay.records import exactly_one, optional, record, required
from alongside.stay.ropes import ROPE, SHARE_LEFT
from alongside.units import iso_time

DRAUGHT: Final = number("m", above=0, most=40)
TIDE: Final = number("m", least=-20, most=30)
ROPE_LENGTH: Final = number("m", above=0, most=1000)
HEEL: Final = number("deg", least=-45, most=45)


def _made_fast(
    at: float,
    tension_kn: float,
    tide: float | None = None,
    draught_fwd: float | None = None,
    draught_aft: float | None = None,
    heel_deg: float | None = None,
    tension_band: float = TENSION_BAND,
    settled: bool | None = None,
) -> MadeFast:
    """A heel that is not stated is upright where the rest is stated, as measured where that is measured."""
    stated = None not in (tide, draught_fwd, draught_aft)
    heel = 0.0 if heel_deg is None and stated else heel_deg
    return MadeFast(at, tension_kn, tide, draught_fwd, draught_aft, heel, tension_band, settled)


def _tend(
    at: float,
    paid_out: float | None = None,
    to_tension: float | None = None,
    to_tension_kn: float | None = None,
) -> Tend:
    """The tension may be given under either name."""
    return Tend("", at, paid_out, to_tension_kn if to_tension is None else to_tension)


def _line(
    id: str,  # noqa: A002 - the file's own word
    role: Role,
    fairlead: str,
    bollard: str,
    rope: Rope,
    made_fast: MadeFast,
    winch: str | None = None,
    tail: Tail | None = None,
    tended: tuple[Tend, ...] = (),
    serial: str = "",
    residual_strength: float | None = None,
    bight_with: str = "",
    rope_length: float | None = None,
    learnt: Learnt | None = None,
) -> Line:
    own = tuple(replace(tend, line=id) for tend in tended)
    worn = _worn(rope, residual_strength)
    line = Line(id, role, fairlead, winch, bollard, worn, tail, made_fast, own, serial)
    return replace(line, bight_with=bight_with, rope_length=rope_length, learnt=learnt)


def _tail(rope: Rope, length: float, serial: str = "", residual_strength: float | None = None) -> Tail:
    return Tail(_worn(rope, residual_strength), length, serial)


def _worn(rope: Rope, residual_strength: float | None) -> Rope:
    """Return this very rope: with the strength that is left of it, where that is known apart from its
    kind."""
    return rope if residual_strength is None else replace(rope, residual_strength=residual_strength)


def _holds_its_tension(node: Node, line: Line) -> None:
    parts = [line.rope] if line.tail is None else [line.rope, line.tail.rope]
    weakest = min(parts, key=lambda rope: rope.strength_kn)
    if line.made_fast.tension_kn >= weakest.strength_kn:
        node["made_fast"]["tension_kn"].fault(
            f"{line.made_fast.tension_kn:g} kN would part {weakest.name}",
            f"less than {weakest.strength_kn:g} kN",
        )


def no_bight_on_automatic(ship: Ship) -> Callable[[Node, tuple[Line, ...]], None]:
    """Return the check that no automatic winch has a bight: half of what it pays out goes round."""

    def check(node: Node, lines: tuple[Line, ...]) -> None:
        halves = {line.id for line in lines if line.bight_with} | {line.bight_with for line in lines}
        for place, line in enumerate(lines):
            winch = ship.winches.get(line.winch or "")
            if line.id in halves and winch is not None and winch.automatic_kn is not None:
                node[place]["winch"].fault(f"line {line.id} is part of a bight", "a winch not on automatic")

    return check


def _tended_in_order(node: Node, line: Line) -> None:
    before, what = line.made_fast.at, "made fast"
    for place, tend in enumerate(line.tended):
        if tend.at <= before:
            node["tended"][place]["at"].fault(
                f"not after the line was {what}", f"later than {iso_time(before)}"
            )
        before, what = tend.at, "tended before"


def in_use_on(ship: Ship, ropes: Iterable[Rope]) -> Callable[[Rope], Rope]:
    """Return what gives each of the ropes with the ship design MBL; ropes that are one stay one."""
    if ship.design_mbl_kn is None:
        return lambda rope: rope
    known = {id(rope): replace(rope, design_mbl_kn=ship.design_mbl_kn) for rope in ropes}
    return lambda rope: known[id(rope)]


def settled_by_default(lines: tuple[Line, ...], settled: bool) -> tuple[Line, ...]:
    """Return the lines with `settled` where theirs is not given."""
    return tuple(
        replace(line, made_fast=replace(line.made_fast, settled=settled))
        if line.made_fast.settled is None
        else line
        for line in lines
    )


def _each_its_own_serial(node: Node, lines: tuple[Line, ...]) -> None:
    """One rope or tail cannot be in two lines."""
    seen: set[str] = set()
    for place, line in enumerate(lines):
        parts = [(node[place]["serial"], line.serial)]
        if line.tail is not None:
            parts.append((node[place]["tail"]["serial"], line.tail.serial))
        for where, serial in parts:
            if serial and serial in seen:
                where.fault(f"serial {shown(serial)} is used before", "another serial for each rope and tail")
            seen.add(serial)


MADE_FAST: Final = record(
    _made_fast,
    at=required(TIME),
    tension_kn=required(force(above=0), band="tension_band"),
    tide=optional(TIDE),
    draught_fwd=optional(DRAUGHT),
    draught_aft=optional(DRAUGHT),
    heel_deg=optional(HEEL),
    tension_band=optional(number(least=0, most=0.8)),
    settled=optional(SWITCH),
)

TEND: Final = record(
    _tend,
    exactly_one("paid_out", "to_tension", "to_tension_kn"),
    at=required(TIME),
    paid_out=optional(number("m", least=-200, most=200)),
    to_tension=optional(force(above=0)),
    to_tension_kn=optional(force(above=0)),
)


def tail_of(ropes: Mapping[str, Rope]) -> Field[Tail]:
    return record(
        _tail,
        rope=required(looked_up(ropes, "rope", ROPE)),
        length=required(number("m", above=0, most=100)),
        serial=optional(TEXT),
        residual_strength=optional(SHARE_LEFT),
    )


def line_of(ship: Ship, berth: Berth, ropes: Mapping[str, Rope]) -> Field[Line]:
    return record(
        _line,
        _holds_its_tension,
        _tended_in_order,
        id=required(NAME),
        role=required(choice("head", "breast", "spring", "stern")),
        fairlead=required(known(ship.fairleads, "fairlead")),
        winch=optional(known(ship.winches, "winch")),
        bollard=required(known(berth.bollards, "bollard")),
        rope=required(looked_up(ropes, "rope", ROPE)),
        tail=optional(tail_of(ropes)),
        made_fast=required(MADE_FAST),
        tended=optional(listed(TEND)),
        serial=optional(TEXT),
        residual_strength=optional(SHARE_LEFT),
        bight_with=optional(NAME),
        rope_length=optional(ROPE_LENGTH),
        learnt=optional(LEARNT),
    )


def lines_of(ship: Ship, berth: Berth, ropes: Mapping[str, Rope]) -> Field[tuple[Line, ...]]:
    return listed(
        line_of(ship, berth, ropes),
        distinct("id"),
        _each_its_own_serial,
        parts_of_one_rope,
        no_bight_on_automatic(ship),
        least=1,
    )
