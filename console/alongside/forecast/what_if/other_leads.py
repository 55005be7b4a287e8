"""Lines that lead otherwise than the stay file has them: a new one, and one that is moved."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import atan2, degrees

from alongside.errors import WrongInput
from alongside.forecast.what_if.changes import AddLine, Change, Shift
from alongside.mechanics.guidance import role_by_lead
from alongside.stay.fittings import with_fittings
from alongside.stay.model import Line, MadeFast, Role, Rope, Stay
from alongside.wording.safe import safe


def moved_line(stay: Stay, line: Line, change: Shift) -> Line:
    """Return a line led to another bollard, over another fairlead, or both. Raise WrongInput for one that is
    not there."""
    bollard, fairlead = change.bollard or line.bollard, change.fairlead or line.fairlead
    _check_named(stay, bollard, fairlead)
    return with_fittings(stay.ship, replace(line, bollard=bollard, fairlead=fairlead))


def new_line(stay: Stay, change: AddLine, like: Line | None, now: float, taken: Mapping[str, str]) -> Line:
    """Return one more line, made fast `now`, UNIX s; `like` what it is like, `taken` the winches that bear a
    line, with that line. Raise WrongInput for what is not there, not given, or taken."""
    if any(each.id == change.line for each in stay.lines):
        raise WrongInput(f"there is a line {safe(change.line)} already, expected a new name")
    fairlead = change.fairlead or (like.fairlead if like else None)
    bollard = change.bollard or (like.bollard if like else None)
    rope = rope_of_kind(stay, change.rope) if change.rope else (like.rope if like else None)
    if fairlead is None or bollard is None or rope is None:
        raise WrongInput(f"line {safe(change.line)}: over which fairlead, to which bollard, of which rope?")
    _check_named(stay, bollard, fairlead)
    if change.winch is not None:
        _check_winch(stay, change.winch, taken)
    tension = change.tension_kn or (like.made_fast.tension_kn if like else None)
    if tension is None:
        raise WrongInput(f"line {safe(change.line)}: with which load is it made fast? expected at LOAD")
    new = Line(
        id=change.line,
        role=_role(stay, fairlead, bollard),
        fairlead=fairlead,
        winch=change.winch,
        bollard=bollard,
        rope=rope,
        tail=like.tail if like and change.rope is None else None,
        made_fast=MadeFast(at=now, tension_kn=tension),
    )
    return with_fittings(stay.ship, new)


def rope_of_kind(stay: Stay, name: str) -> Rope:
    """Return a kind of rope of the stay file. Raise WrongInput for one that is not there."""
    rope = stay.ropes.get(name)
    if rope is None:
        raise WrongInput(f"there is no rope {safe(name)}, expected one of {_names(stay.ropes)}")
    return rope


def _check_winch(stay: Stay, winch: str, taken: Mapping[str, str]) -> None:
    """Raise WrongInput for a winch that is not there, or whose drum bears a line: one brake cannot hold the
    full load of two."""
    if winch not in stay.ship.winches:
        raise WrongInput(f"there is no winch {safe(winch)}, expected one of {_names(stay.ship.winches)}")
    if winch in taken:
        free = [name for name in stay.ship.winches if name not in taken]
        expected = f"a winch without a line: {', '.join(map(safe, free))}" if free else "no winch: on bitts"
        raise WrongInput(f"winch {safe(winch)} bears line {safe(taken[winch])}, expected {expected}")


def check_places(stay: Stay, changes: Iterable[Change]) -> None:
    """Raise WrongInput for a change that names a bollard, fairlead, winch or rope that is not there: this is
    known before a log is played."""
    for change in changes:
        if isinstance(change, Shift | AddLine):
            try:
                _check_places(stay, change)
            except WrongInput as error:
                raise WrongInput(f"what if, line {safe(change.line)}: {error}") from None


def _check_places(stay: Stay, change: Shift | AddLine) -> None:
    _check_named(stay, change.bollard, change.fairlead)
    if isinstance(change, AddLine) and change.rope:
        rope_of_kind(stay, change.rope)
    if isinstance(change, AddLine) and change.winch is not None:
        _check_winch(stay, change.winch, {})


def _check_named(stay: Stay, bollard: str | None, fairlead: str | None) -> None:
    for name, known, what in (
        (bollard, stay.berth.bollards, "bollard"),
        (fairlead, stay.ship.fairleads, "fairlead"),
    ):
        if name is not None and name not in known:
            raise WrongInput(f"there is no {what} {safe(name)}, expected one of {_names(known)}")


def _names(known: Mapping[str, object]) -> str:
    return ", ".join(map(safe, known))


def _role(stay: Stay, fairlead: str, bollard: str) -> Role:
    """Return what a line does by its lead while she lies in place."""
    head = 1.0 if stay.alongside == "starboard" else -1.0
    leaves, to = stay.ship.fairleads[fairlead], stay.berth.bollards[bollard].at
    ahead = head * (to.x - stay.place.berth_x) - (leaves.x - stay.place.ship_x)
    across = abs(to.y - (stay.ship.breadth / 2.0 + head * leaves.y))
    return role_by_lead(degrees(atan2(across, ahead)), leaves.x >= stay.ship.lbp / 2.0)
