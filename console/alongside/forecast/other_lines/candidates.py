"""Which extra lines could be put out at all: each spare rope over each free fairlead, on each free winch or
bitts of the same station, to each bollard."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from statistics import median
from typing import Final

from alongside.forecast.other_lines.limits import against, rope_needed_m, station
from alongside.forecast.other_lines.places import Places
from alongside.forecast.present import Present
from alongside.mechanics.reasons import NoLength
from alongside.stay.fittings import with_fittings
from alongside.stay.model import Line, MadeFast, SpareRope, Stay

GENTLE: Final = 0.25
"""Of its working limit a line is made fast with at most. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Free:
    """What bears no line: fairleads, winches and bitts; and the lines that are in use, each a `Line`."""

    fairleads: tuple[str, ...]
    winches: tuple[str, ...]
    in_use: tuple[Line, ...]


@dataclass(slots=True)
class Candidates:
    """Lines that may be proposed, in order of names, and how many are not, by what stands against them."""

    lines: list[Line] = field(default_factory=list)
    left_out: Counter[str] = field(default_factory=Counter)


def free_of(stay: Stay, present: Present) -> Free:
    """Return what is free: a line let go or parted is off its winch and fairlead."""
    gone = (NoLength.LET_GO, NoLength.PARTED)
    in_use = tuple(
        line
        for line, code in zip(stay.lines, present.why_no_length().tolist(), strict=True)
        if code not in gone
    )
    over, on = {line.fairlead for line in in_use}, {line.winch for line in in_use}
    return Free(
        tuple(name for name in stay.ship.fairleads if name not in over),
        tuple(
            name for name, winch in stay.ship.winches.items() if name not in on and winch.automatic_kn is None
        ),
        in_use,
    )


def candidates_of(
    stay: Stay, places: Places, free: Free, now: float, load_kn: float | None = None
) -> Candidates:
    """Return the extra lines that break no limit by where they lead, made fast `now`, UNIX s, with a load,
    kN: by default that of the lines that are fast."""
    found = Candidates()
    name = next_name(stay)
    steep = stay.limits.steep_deg.warning or 90.0
    for spare in (each for each in stay.spare_ropes if each.number > 0):
        for fairlead in sorted(free.fairleads):
            for winch in _inboard(stay, free, spare, fairlead):
                for bollard in bollards_of(stay):
                    line = extra_line(stay, places, spare, (fairlead, winch, bollard), name)
                    line = _made_fast(stay, line, now, load_kn)
                    reason = against(places, line, free.in_use, steep)
                    if not reason and rope_needed_m(places, line) > spare.length:
                        reason = "short"
                    if reason:
                        found.left_out[reason] += 1
                    else:
                        found.lines.append(line)
    return found


def bollards_of(stay: Stay) -> list[str]:
    """Return the bollards that may be proposed, by name: those of the berth, none on another ship."""
    return sorted(name for name, bollard in stay.berth.bollards.items() if not bollard.on)


def extra_line(
    stay: Stay, places: Places, spare: SpareRope, over: tuple[str, str | None, str], name: str
) -> Line:
    """Return a spare rope as a line over (fairlead, winch or None, bollard)."""
    fairlead, winch, bollard = over
    role = places.role(fairlead, bollard)
    line = Line(name, role, fairlead, winch, bollard, spare.rope, spare.tail, MadeFast(0.0, 1.0))
    return with_fittings(stay.ship, replace(line, rope_length=spare.length))


def next_name(stay: Stay) -> str:
    """Return the name of the next line: the next number, where lines are numbered."""
    ids = {line.id for line in stay.lines}
    return next(name for name in map(str, range(len(ids) + 1, 2 * len(ids) + 3)) if name not in ids)


def _made_fast(stay: Stay, line: Line, now: float, load_kn: float | None) -> Line:
    usual = median(each.made_fast.tension_kn for each in stay.lines)
    load = min(usual, GENTLE * line.smallest_wll_kn) if load_kn is None else load_kn
    return replace(line, made_fast=MadeFast(at=now, tension_kn=load))


def _inboard(stay: Stay, free: Free, spare: SpareRope, fairlead: str) -> Iterator[str | None]:
    """Yield on what a spare rope may be made fast behind a fairlead: the winch that it is on; else every free
    winch and bitts of that station that no other rope is kept on, and where the file has no bitts at all,
    bitts by the fairlead, None."""
    here = station(stay, stay.ship.fairleads[fairlead].x)
    kept = {each.on for each in stay.spare_ropes if each.on and each.number > 0}
    for name in sorted(free.winches):
        at_hand = spare.on == name if spare.on else name not in kept
        if at_hand and station(stay, stay.ship.winches[name].at.x) == here:
            yield name
    if not spare.on and all(each.swl_kn is None for each in stay.ship.winches.values()):
        yield None
