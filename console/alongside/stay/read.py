"""The stay file as a whole: read, or refused with all of its faults at once."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from alongside.errors import Fault, StayFaults, WrongInput
from alongside.stay.alerts_out import ALERTS_OUT
from alongside.stay.berth import BEARING, berth_of
from alongside.stay.beside import BESIDE
from alongside.stay.by_hand import BY_HAND
from alongside.stay.cargo import cargo_of
from alongside.stay.current import current_of
from alongside.stay.decide import decide_of
from alongside.stay.display import DISPLAY
from alongside.stay.document import elsewhere, read_document, root_of
from alongside.stay.estimates import Estimates
from alongside.stay.feeds import feeds_of
from alongside.stay.fields import SWITCH, TEXT, Field, choice, number
from alongside.stay.fittings import place_on, with_fittings
from alongside.stay.gear import GEAR
from alongside.stay.learnt import with_learnt
from alongside.stay.limits import LIMITS
from alongside.stay.lines import in_use_on, lines_of, settled_by_default
from alongside.stay.model import Berth, HoldingSettings, Line, Rope, Ship, SpareRope, Stay, Tail
from alongside.stay.nodes import Node
from alongside.stay.not_modelled import ANCHORS, SIDE
from alongside.stay.outlook import OUTLOOK
from alongside.stay.records import optional, record, required
from alongside.stay.ropes import ROPES
from alongside.stay.ship import SHIP
from alongside.stay.simulate import scenario_of
from alongside.stay.spare_ropes import spare_ropes_of
from alongside.stay.standing_orders import STANDING_ORDERS
from alongside.stay.tide import TIDE
from alongside.stay.wind_forecast import WIND_FORECAST


def read_stay(path: str | Path, moved: Mapping[str, float] = MappingProxyType({})) -> Stay:
    """The stay that a file describes, with the files it names beside it. `moved` says, by path, for which of
    its guesses an end of the spread serves: -1 the low one, 1 the high one.

    Raises StayFaults with every fault, in the order they stand, or WrongInput when there is no such file.
    """
    faults: list[Fault] = []
    estimates = Estimates(moved=moved)
    try:
        root = read_document(Path(path), faults, estimates=estimates)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected a stay file") from error
    return _read(root, str(path), faults, estimates)


def read_stay_text(text: str, path: Path) -> Stay:
    """Return the stay that a text describes which is to stand in `path`. Raises StayFaults."""
    faults: list[Fault] = []
    estimates = Estimates()
    return _read(root_of(text, path, faults, estimates=estimates), str(path), faults, estimates)


def _read(root: Node, file: str, faults: list[Fault], estimates: Estimates) -> Stay:
    stay = stay_of(file).read(root)
    if faults:
        raise StayFaults(faults)
    return replace(stay, guesses=tuple(estimates.guesses.values()))


HOLDING: Final = record(
    HoldingSettings,
    gust_factor=optional(number(least=1, most=3)),
    margin=optional(number(least=0, below=1)),
)


def stay_of(file: str) -> Field[Stay]:
    def berth(*known: Any) -> Field[Berth]:
        return elsewhere(berth_of(file, *known))

    return record(
        partial(_stay, file),
        format=required(choice("1")),
        name=required(TEXT),
        alongside=required(SIDE),
        anchors=optional(ANCHORS),
        heads=optional(BEARING),
        ship=required(elsewhere(SHIP)),
        place=required(place_on, knowing=("ship",)),
        tide=optional(TIDE),
        beside=optional(BESIDE),
        berth=required(berth, knowing=("alongside", "place", "heads", "ship", "tide", "beside")),
        ropes=required(elsewhere(ROPES)),
        lines=required(lines_of, knowing=("ship", "berth", "ropes")),
        spare_ropes=optional(spare_ropes_of, knowing=("ship", "ropes", "lines")),
        feeds=optional(feeds_of, knowing=("lines", "tide")),
        limits=optional(LIMITS),
        gear=optional(choice(*GEAR)),
        balance=optional(SWITCH),
        settled=optional(SWITCH),
        holding=optional(HOLDING),
        by_hand=optional(BY_HAND),
        display=optional(DISPLAY),
        current=optional(current_of, knowing=("tide",)),
        cargo=optional(cargo_of, knowing=("ship",)),
        decide=optional(decide_of, knowing=("cargo",)),
        wind_forecast=optional(WIND_FORECAST),
        outlook=optional(OUTLOOK),
        standing_orders=optional(STANDING_ORDERS),
        alerts_out=optional(ALERTS_OUT),
        ropes_history=optional(TEXT),
        simulate=optional(scenario_of, knowing=("feeds", "lines")),
    )


def _stay(
    file: str,
    *,
    format: str,  # noqa: A002 - the file's own word
    ship: Ship,
    ropes: Mapping[str, Rope],
    lines: tuple[Line, ...],
    spare_ropes: tuple[SpareRope, ...] = (),
    settled: bool = True,
    heads: float | None = None,
    anchors: None = None,
    **parts: Any,
) -> Stay:
    """Return the stay; the heading has served for the berth's direction."""
    used = [line.rope for line in lines] + [line.tail.rope for line in lines if line.tail]
    spare = [each.rope for each in spare_ropes] + [each.tail.rope for each in spare_ropes if each.tail]
    in_use = in_use_on(ship, (*ropes.values(), *used, *spare))
    lines = tuple(
        replace(
            with_fittings(ship, line),
            rope=in_use(line.rope),
            tail=_tail_in_use(line.tail, in_use),
        )
        for line in settled_by_default(lines, settled)
    )
    spare_ropes = tuple(
        replace(each, rope=in_use(each.rope), tail=_tail_in_use(each.tail, in_use)) for each in spare_ropes
    )
    ropes = {name: in_use(rope) for name, rope in ropes.items()}
    lines = tuple(map(with_learnt, lines))
    return Stay(file=file, ship=ship, ropes=ropes, lines=lines, spare_ropes=spare_ropes, **parts)


def _tail_in_use(tail: Tail | None, in_use: Callable[[Rope], Rope]) -> Tail | None:
    return None if tail is None else replace(tail, rope=in_use(tail.rope))


def describe(stay: Stay) -> str:
    """In one line, what a stay file holds."""
    roles = Counter(line.role for line in stay.lines)
    by_role = ", ".join(
        f"{roles[role]} {role}" for role in ("head", "breast", "spring", "stern") if role in roles
    )
    spare = sum(each.number for each in stay.spare_ropes)
    channels = sum(len(feed.channels) for feed in stay.feeds)
    parts = [
        f"{stay.ship.name}, {stay.alongside} side to {stay.berth.name}",
        f"{_count(len(stay.lines), 'line')} ({by_role}) of {_count(len(stay.ropes), 'rope')}",
        _count(len(stay.berth.fenders), "fender"),
        f"{_count(channels, 'channel')} from {_count(len(stay.feeds), 'feed')}",
    ]
    if spare:
        parts.append(_count(spare, "spare rope"))
    if stay.tide is not None:
        known = len(stay.tide.high_low), len(stay.tide.constituents)
        words = f"{known[0]} high and low waters" if known[0] else _count(known[1], "tidal constituent")
        words += " by differences" if stay.tide.standard or stay.tide.differences else ""
        parts.append(f"no tide, {_count(len(stay.tide.levels), 'level')}" if stay.tide.levels else words)
    if stay.cargo:
        parts.append(_count(len(stay.cargo), "cargo operation"))
    if stay.standing_orders:
        parts.append(_count(len(stay.standing_orders), "standing order"))
    if stay.alerts_out is not None:
        parts.append("alerts go to the bridge")
    return f"{stay.name}: " + "; ".join(parts)


def _count(number_of: int, what: str) -> str:
    return f"{number_of or 'no'} {what}{'' if number_of == 1 else 's'}"
