"""How each line of a mooring plan may lead within the guidance's angles, and which leads go together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import prod
from typing import Final

from alongside.forecast.other_lines.candidates import bollards_of
from alongside.forecast.other_lines.limits import ashore, chock, rope_needed_m, station
from alongside.forecast.other_lines.places import LeadNow, Places, cross
from alongside.mechanics.guidance import DOWN, EVEN_DEG, ROUNDING, off_lead
from alongside.stay.fittings import with_fittings
from alongside.stay.model import Line, Stay

MOST_STEPS: Final = 100_000
"""Of a search for arrangements that go together."""


@dataclass(frozen=True, slots=True)
class Options:
    """For each line the leads that it may have, each as a `Line`: those within the guidance in order of
    names, then that of the plan where it is none of them (`outside` says of each lead whether it is so)."""

    of_line: tuple[tuple[Line, ...], ...]
    outside: tuple[tuple[bool, ...], ...]

    @property
    def product(self) -> int:
        return prod(len(each) for each in self.of_line)

    def planned(self, stay: Stay) -> tuple[int, ...]:
        """Return which option of each line is that of the plan."""
        return tuple(
            next(at for at, each in enumerate(own) if same_lead(each, line))
            for own, line in zip(self.of_line, stay.lines, strict=True)
        )


def options_of(stay: Stay, places: Places) -> Options:
    """Return the options of all lines of the plan."""
    leads, outside = [], []
    for line in stay.lines:
        within = tuple(_leads(stay, places, line))
        own = () if any(same_lead(each, line) for each in within) else (line,)
        leads.append((*within, *own))
        lead, here = places.lead(line.fairlead, line.bollard), _station_of(stay, line)
        is_outside = not within_guidance(line, lead, lead, here)
        outside.append((*(False for _ in within), *(is_outside for _ in own)))
    return Options(tuple(leads), tuple(outside))


def _leads(stay: Stay, places: Places, line: Line) -> Iterator[Line]:
    if is_bound(stay, line):
        return
    own = places.lead(line.fairlead, line.bollard)
    here = _station_of(stay, line)
    turn = max(EVEN_DEG, places.turn_deg(line.winch, line.fairlead, line.bollard))
    for fairlead in sorted(stay.ship.fairleads):
        if station(stay, stay.ship.fairleads[fairlead].x) != here:
            continue
        for bollard in bollards_of(stay):
            lead = places.lead(fairlead, bollard)
            if not within_guidance(line, lead, own, here) or places.over_deck(fairlead, bollard):
                continue
            led = with_fittings(stay.ship, replace(line, fairlead=fairlead, bollard=bollard))
            fits = line.rope_length is None or rope_needed_m(places, led) <= line.rope_length
            if fits and not ashore(places, led, ()) and not chock(places, led, turn):
                yield led


def _station_of(stay: Stay, line: Line) -> str:
    return station(stay, stay.ship.fairleads[line.fairlead].x)


def is_bound(stay: Stay, line: Line) -> bool:
    """Return whether a line stays as planned: part of a bight, on an automatic winch, or to another ship."""
    halves = {each.bight_with for each in stay.lines}
    winch = stay.ship.winches.get(line.winch or "")
    automatic = winch is not None and winch.automatic_kn is not None
    return (
        line.bight_with != "" or line.id in halves or automatic or stay.berth.bollards[line.bollard].on != ""
    )


def within_guidance(line: Line, lead: LeadNow, own: LeadNow, here: str) -> bool:
    """Return whether a lead is within the angles of a line's role: head lines lead forward of square, stern
    lines aft of it, a spring the way that it does in the plan (`own`)."""
    off, most, _ = off_lead(line.role, lead.ahead_deg)
    if off > most + ROUNDING or lead.steepest_deg > DOWN + ROUNDING:
        return False
    forward = lead.ahead_deg <= 90.0 + ROUNDING
    if line.role == "spring":
        return (lead.ahead_deg < 90.0) == (own.ahead_deg < 90.0)
    if line.role in ("head", "stern"):
        return forward if here == "forward" else lead.ahead_deg >= 90.0 - ROUNDING
    return True


class Together:
    """Which options go together: no two over one fairlead or on one hook, none across another; and whether
    all of a set leave SWL on every bollard. Options of a line are bits of a whole number."""

    def __init__(self, stay: Stay, places: Places, options: Options) -> None:
        self._stay, self._places, self.options = stay, places, options
        self._planned = {line.id: line for line in stay.lines}
        self.planned = options.planned(stay)
        count = len(options.of_line)
        self._fits = {
            (i, a, j): sum(1 << b for b, other in enumerate(options.of_line[j]) if self._pair(one, other))
            for i in range(count)
            for a, one in enumerate(options.of_line[i])
            for j in range(count)
            if j != i
        }

    def _pair(self, one: Line, other: Line) -> bool:
        if same_lead(one, self._planned[one.id]) and same_lead(other, self._planned[other.id]):
            return True  # as the plan has both
        if one.fairlead == other.fairlead:
            return False
        if one.bollard == other.bollard and self._stay.berth.bollards[one.bollard].dolphin:
            return False
        (a, b), (c, d) = (self._places.ends(each.fairlead, each.bollard) for each in (one, other))
        return one.role == other.role == "spring" or not cross(a, b, c, d)

    def fits_all(self, chosen: Sequence[int]) -> bool:
        """Return whether all options that are chosen go together."""
        pairs = ((i, a, j, b) for i, a in enumerate(chosen) for j, b in enumerate(chosen[:i]))
        return all(self._fits[i, a, j] >> b & 1 for i, a, j, b in pairs) and self.bollards_bear(chosen)

    def bollards_bear(self, chosen: Sequence[int]) -> bool:
        """Return whether every bollard to which a line is led anew bears its lines."""
        lines = self.lines(chosen)
        anew = {line.bollard for line in lines if not same_lead(line, self._planned[line.id])}
        return not any(
            ashore(self._places, line, [each for each in lines if each is not line])
            for line in lines
            if line.bollard in anew
        )

    def lines(self, chosen: Sequence[int]) -> list[Line]:
        return [own[at] for own, at in zip(self.options.of_line, chosen, strict=True)]

    def outside(self, chosen: Sequence[int]) -> int:
        """Return how many lines lead outside of the guidance, as the plan has them."""
        return sum(own[at] for own, at in zip(self.options.outside, chosen, strict=True))

    def in_order(self, preferred: Sequence[Sequence[int]], outside: int) -> Iterator[tuple[int, ...]]:
        """Yield arrangements that go together with at most so many lines outside of the guidance: always the
        line next to which least is left, its options in the order that is preferred. It ends after
        `MOST_STEPS`."""
        every = [(1 << len(own)) - 1 for own in self.options.of_line]
        self._steps = 0
        yield from self._further(preferred, {}, every, outside)

    @property
    def is_cut_off(self) -> bool:
        """Return whether the last search ended before all was seen."""
        return self._steps > MOST_STEPS

    def _further(
        self, preferred: Sequence[Sequence[int]], chosen: dict[int, int], left: list[int], outside: int
    ) -> Iterator[tuple[int, ...]]:
        self._steps += 1
        if self._steps > MOST_STEPS:
            return
        if len(chosen) == len(left):
            whole = tuple(chosen[line] for line in range(len(left)))
            if self.bollards_bear(whole):
                yield whole
            return
        line = min(
            (each for each in range(len(left)) if each not in chosen), key=lambda each: left[each].bit_count()
        )
        for option in preferred[line]:
            is_outside = self.options.outside[line][option]
            if not left[line] >> option & 1 or is_outside > outside:
                continue
            further = [
                own if each == line or each in chosen else own & self._fits[line, option, each]
                for each, own in enumerate(left)
            ]
            if all(further):
                yield from self._further(preferred, {**chosen, line: option}, further, outside - is_outside)


def same_lead(one: Line, other: Line) -> bool:
    """Return whether two lines lead over one fairlead to one bollard."""
    return (one.fairlead, one.bollard) == (other.fairlead, other.bollard)
