"""The stay as it is now: what was done on deck since, the stay file does not say."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf
from typing import Final

from alongside.cycle.deck.spares_left import RopeUsed, spares_left
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.what_if.changes import Shift
from alongside.forecast.what_if.other_leads import moved_line
from alongside.stay.learnt import taught
from alongside.stay.model import CargoOperation, Learnt, Line, Rope, Stay, TugAlongside, Winch


@dataclass(frozen=True, slots=True)
class Rigged:
    """How a line is rigged that is not as the stay file has it: over which fairlead to which bollard, with
    another rope since UNIX s, what its brake is set to hold, kN, what was learnt of it; `new` a line that the
    file has not."""

    line: str
    fairlead: str
    bollard: str
    rope: Rope | None = None
    serial: str = ""
    rope_since: float | None = None
    brake_kn: float | None = None
    new: Line | None = None
    learnt: Learnt | None = None


@dataclass(frozen=True, slots=True)
class NamedTug:
    """A tug that is made fast, or pushes."""

    name: str
    tug: TugAlongside


@dataclass(frozen=True, slots=True)
class CargoNow:
    """The cargo plan from a time on (UNIX s), and operations that wait until cargo is begun again."""

    plan: tuple[CargoOperation, ...]
    as_of: float = -inf
    waiting: tuple[CargoOperation, ...] = ()


@dataclass(frozen=True, slots=True)
class OnDeck:
    """All that is not as the stay file has it: lines, each once, those that are new in the order of the
    arrangement; tugs; cargo, None as in the file."""

    lines: tuple[Rigged, ...] = ()
    tugs: tuple[NamedTug, ...] = ()
    cargo: CargoNow | None = None
    apart: tuple[str, ...] = ()
    """Parts of bights that have parted or are let go: the other part is a line by itself."""

    def rig(self, line: str) -> Rigged | None:
        """Return how a line is rigged; None where it is as the stay file says."""
        return next((each for each in self.lines if each.line == line), None)

    def with_rig(self, line: str, rig: Rigged | None) -> "OnDeck":
        """Return the same with another rig of one line; None: as the stay file has it. Lines keep their
        places."""
        if rig is not None and self.rig(line) is None:
            return replace(self, lines=(*self.lines, rig))
        lines = (rig if each.line == line else each for each in self.lines)
        return replace(self, lines=tuple(each for each in lines if each is not None))


AS_WRITTEN: Final = OnDeck()


def altered_stay(stay: Stay, deck: OnDeck) -> Stay:
    """Return a stay file with what was done on deck since. Lines keep their places, new ones stand at the
    end; a stay that is altered so already stays as it is."""
    if deck == AS_WRITTEN:
        return stay
    of_line = {rig.line: rig for rig in deck.lines}
    known = {line.id for line in stay.lines}
    new = [rig.new for rig in deck.lines if rig.new is not None and rig.line not in known]
    lines = tuple(_rigged(stay, line, of_line.get(line.id)) for line in (*stay.lines, *new))
    lines = tuple(_by_itself(line, deck.apart) for line in lines)
    winches = dict(stay.ship.winches)
    for line in lines:
        rig = of_line.get(line.id)
        if rig is not None and rig.brake_kn is not None and line.winch in winches:
            winches[line.winch] = set_to_hold(winches[line.winch], rig.brake_kn)
    ship = stay.ship if winches == stay.ship.winches else replace(stay.ship, winches=winches)
    stay = replace(stay, spare_ropes=spares_left(stay.spare_ropes, _ropes_used(stay, deck)))
    stay = replace(stay, amended=True, lines=lines, ship=ship, tugs=tuple(each.tug for each in deck.tugs))
    if deck.cargo is None:
        return stay
    return replace(stay, cargo=deck.cargo.plan, cargo_as_of=deck.cargo.as_of, cargo_waits=deck.cargo.waiting)


@lru_cache(maxsize=8)
def altered(basis: Basis, deck: OnDeck) -> Basis:
    """Return the basis of a stay file with what was done on deck since; the same for the same deeds."""
    return basis if deck == AS_WRITTEN else Basis.of(altered_stay(basis.stay, deck), basis.ahead)


def set_to_hold(winch: Winch, holding_kn: float) -> Winch:
    """Return a winch whose brake is set to hold so much, kN, on the layer that bears the load now."""
    layer = winch.rated_layer if winch.layer is None else winch.layer
    on_this = winch.holding_on(layer, 1.0, winch.rated_layer)
    return replace(winch, brake_kn=holding_kn / on_this, brake_set=None)


def that_fits(stay: Stay, deck: OnDeck, lines: Collection[str]) -> OnDeck:
    """Return what was done on deck as far as a stay has its fairleads and bollards, and `lines` or new
    ones."""
    known = {line.id for line in stay.lines}
    kept: list[Rigged] = []
    for rig in deck.lines:
        there = known | {each.line for each in kept}
        fits = rig.line in lines if rig.line in known else _has_place(stay, rig.new, there)
        if fits and rig.fairlead in stay.ship.fairleads and rig.bollard in stay.berth.bollards:
            kept.append(rig)
    return replace(deck, lines=tuple(kept))


def _has_place(stay: Stay, line: Line | None, there: Collection[str]) -> bool:
    """Return whether a stay has what a line that its file has not is on; `there` are the lines it may be a
    bight with, those put out before among them."""
    if line is None or (line.winch is not None and line.winch not in stay.ship.winches):
        return False
    return not line.bight_with or line.bight_with in there


def rig_of(line: Line, deck: OnDeck) -> Rigged:
    """Return how a line is rigged now, `line` as it leads now."""
    return deck.rig(line.id) or Rigged(line.id, line.fairlead, line.bollard)


def shifted(stay: Stay, line: Line, fairlead: str | None, bollard: str | None) -> Line:
    """Return a line that is shifted. Raise WrongInput for a fairlead or bollard that is not there, and where
    it leads so already."""
    moved = moved_line(stay, line, Shift(line.id, bollard, fairlead))
    if (moved.fairlead, moved.bollard) == (line.fairlead, line.bollard):
        raise WrongInput("it leads so already")
    return moved


def with_bights(stay: Stay, deck: OnDeck, gone: Sequence[bool]) -> OnDeck:
    """Return what is on deck with the parts of bights that are gone, `gone` (lines,) which lines are."""
    if deck == AS_WRITTEN and not any(line.bight_with for line in stay.lines):
        return deck
    lines = altered_stay(stay, replace(deck, apart=())).lines
    parts = {line.id for line in lines if line.bight_with} | {line.bight_with for line in lines}
    apart = tuple(line.id for line, is_gone in zip(lines, gone, strict=True) if is_gone and line.id in parts)
    return deck if apart == deck.apart else replace(deck, apart=apart)


def _ropes_used(stay: Stay, deck: OnDeck) -> list[RopeUsed]:
    """Return the ropes that came into lines and are not in a stay yet; the other part of a bight is no
    other rope."""
    known = {line.id: line for line in stay.lines}
    used = []
    for rig in deck.lines:
        line = known.get(rig.line, rig.new)
        if rig.new is not None and rig.line not in known and not rig.new.bight_with:
            used.append(RopeUsed(rig.new.rope.name, rig.new.winch))
        if rig.rope is not None and line is not None and line.rope_since != rig.rope_since:
            used.append(RopeUsed(rig.rope.name, line.winch))
    return used


def _by_itself(line: Line, apart: Sequence[str]) -> Line:
    """Return a line that names the other part of its rope without it where either is gone."""
    is_apart = line.bight_with and (line.id in apart or line.bight_with in apart)
    return replace(line, bight_with="") if is_apart else line


def _rigged(stay: Stay, line: Line, rig: Rigged | None) -> Line:
    if rig is None:
        return line
    if rig.rope is not None:
        line = replace(line, rope=rig.rope, serial=rig.serial, rope_since=rig.rope_since, learnt=None)
    if rig.learnt is not None:
        line = taught(line, rig.learnt)
    return moved_line(stay, line, Shift(line.id, rig.bollard, rig.fairlead))
