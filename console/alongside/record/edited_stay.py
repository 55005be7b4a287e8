"""A memory brought over to a stay file that may have been edited in between."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np

from alongside.alerts.hearing import NOT_HEARD
from alongside.alerts.kept_rules import of_rules
from alongside.alerts.model import Watchlist
from alongside.alerts.rules import rules_of
from alongside.cycle.deck.altered import OnDeck, altered_stay, that_fits
from alongside.cycle.lengths import Lengths
from alongside.cycle.memory import Memory
from alongside.cycle.plausibility.model import NOTHING_KNOWN
from alongside.mechanics.rope_spread import length_as_learnt
from alongside.readings import Codes
from alongside.stay.model import Limits, Line, StageLimits, Stay, Tend

_WORDS: Final = {"alongside": "side alongside", "cargo": "cargo plan", "tide": "tide plan"}


WITNESSES: Final = ("tide", "cargo", "ship", "berth", "alongside", "place")
"""What gauges are judged by: where it was edited they are judged anew."""


OLDER_TENSION: Final = StageLimits(0.10, 0.25, None)
"""The limits of `tension` before they had an alarm."""


@dataclass(frozen=True, slots=True)
class Carried:
    """The memory as it serves the stay file of now, and notes of what was changed in it."""

    memory: Memory
    notes: tuple[str, ...]


def carried_over(
    memory: Memory, before: Stay, heard: Sequence[str], stay: Stay, channels: Sequence[str]
) -> Carried:
    """Return the memory of an earlier run on the stay file `before`, with channels `heard`, for the file of
    now.

    Lines are known by their id: a line keeps its length whatever else was edited, unless the file now says
    that it was made fast at another time or otherwise. A tending is done once, whether the list grew or not.
    Alerts whose rule is gone go with it.
    """
    hearing = _hearing(memory.hearing, heard, channels)
    before = _as_written(before)
    stay = _as_known_to(before, _as_written(stay))
    deck = deck_that_fits(memory, before, stay)
    memory = replace(memory, lengths=replace(memory.lengths, deck=deck))
    before, stay = (altered_stay(each, deck) for each in (before, stay))
    if before == stay:
        return Carried(replace(memory, hearing=hearing), ())
    lengths, notes = _lengths(memory.lengths, before, stay)
    watchlist, dropped = _watchlist(memory.watchlist, stay)
    news = [f"The stay file was edited since: {'; '.join(differences(before, stay))}", *notes, *dropped]
    carried = replace(memory, lengths=lengths, watchlist=watchlist, hearing=hearing, held=None)
    carried = replace(carried, lengths_changed_at=None)
    if before.tide != stay.tide:
        carried = replace(carried, residuals=())
    if any(getattr(before, part) != getattr(stay, part) for part in WITNESSES):
        carried = replace(carried, plausibility=NOTHING_KNOWN)
    return Carried(carried, tuple(news))


def deck_that_fits(memory: Memory, before: Stay, stay: Stay) -> OnDeck:
    """Return what was done on deck as far as it holds for the stay file of now: not of a line that it makes
    fast at another time or otherwise than `before`."""
    kept = {line.id for line in stay.lines if _is_fast_as_before(before, line)}
    return that_fits(stay, memory.lengths.deck, kept)


def _is_fast_as_before(before: Stay, line: Line) -> bool:
    """Return whether a line of the file is made fast as it was, but for how sure its tension is."""
    was = next((each for each in before.lines if each.id == line.id), None)
    if was is None:
        return False
    return replace(was.made_fast, tension_band=line.made_fast.tension_band) == line.made_fast


def _as_written(stay: Stay) -> Stay:
    """Return a stay without what does not stand in its file: where that lies, how this program looks at
    units, which an older one did not, and a default that an older one had otherwise."""
    feeds = tuple(
        replace(
            feed,
            channels=tuple(replace(source, checks_unit=False, unit_factor=None) for source in feed.channels),
        )
        for feed in stay.feeds
    )
    limits = stay.limits
    if limits.tension_share == OLDER_TENSION:
        limits = replace(limits, tension_share=Limits().tension_share)
    return replace(stay, file="", feeds=feeds, limits=limits)


def _as_known_to(before: Stay, stay: Stay) -> Stay:
    """Return a stay without how the ship lay when lines were made fast, where the program that wrote `before`
    did not ask: their lengths stand."""
    unasked = {line.id for line in before.lines if line.made_fast.settled is None}
    lines = tuple(
        replace(line, made_fast=replace(line.made_fast, settled=None)) if line.id in unasked else line
        for line in stay.lines
    )
    return replace(stay, lines=lines)


def differences(before: Stay, stay: Stay) -> tuple[str, ...]:
    """Return the differences of two stay files in words; lines one by one."""
    words: list[str] = []
    for item in fields(Stay):
        if item.name in ("file", "lines") or getattr(before, item.name) == getattr(stay, item.name):
            continue
        words.append(_WORDS.get(item.name, item.name))
    old, new = ({line.id: line for line in one.lines} for one in (before, stay))
    for line in new.values():
        if line.id not in old:
            words.append(f"line {line.id} is new")
        elif line != old[line.id]:
            words.append(f"line {line.id} ({', '.join(_edited(old[line.id], line))})")
    words += [f"line {line} is gone" for line in old if line not in new]
    return tuple(words)


def _edited(before: Line, line: Line) -> list[str]:
    names = [item.name for item in fields(Line)]
    return [name.replace("_", " ") for name in names if getattr(before, name) != getattr(line, name)]


def _lengths(lengths: Lengths, before: Stay, stay: Stay) -> tuple[Lengths, list[str]]:
    old = {line.id: (at, line) for at, line in enumerate(before.lines)}
    parted, was_parted = np.full(len(stay.lines), np.inf), lengths.parted_at()
    let_go, was_let_go = parted.copy(), lengths.let_go_at()
    unstretched, notes = np.full(len(stay.lines), np.nan), []
    fast, tended = [False] * len(stay.lines), [0] * len(stay.lines)
    same: set[str] = set()
    for at, line in enumerate(stay.lines):
        if line.id not in old:
            continue
        place, was = old[line.id]
        if replace(was.made_fast, tension_band=line.made_fast.tension_band) != line.made_fast:
            notes.append(f"Line {line.id} is made fast anew, as the stay file says")
            continue
        unstretched[at], fast[at] = lengths.unstretched[place], lengths.fast[place]
        if line.learnt != was.learnt:
            unstretched[at] = length_as_learnt(was, line, float(unstretched[at]))
            notes.append(f"Line {line.id} is as it was learnt, as the stay file says")
        parted[at], let_go[at] = was_parted[place], was_let_go[place]
        same.add(line.id)
        tended[at], passed = _done(was.tended[: lengths.tended[place]], line.tended)
        if passed:
            notes.append(
                f"Line {line.id}: {passed} tending(s) of the stay file lie before one that is done already "
                "and are not taken into account; enter them by hand"
            )
    here = {line.id for line, is_fast in zip(stay.lines, fast, strict=True) if is_fast}
    brakes = lengths.brakes
    if brakes.slipped is not None:
        kept = [brakes.slipped[old[line.id][0]] if line.id in here else np.nan for line in stay.lines]
        brakes = replace(brakes, slipped=np.array(kept))
    brakes = brakes.without(set(old) - here)
    return Lengths(
        unstretched,
        tuple(fast),
        tuple(tended),
        parted=tuple(parted.tolist()),
        brakes=brakes,
        let_go=tuple(let_go.tolist()) if lengths.let_go else (),
        deeds=tuple(each for each in lengths.deeds if each.line in same),
        deck=lengths.deck,
        other_deeds=lengths.other_deeds,
        loads_read=tuple(each for each in lengths.loads_read if each.line in same),
    ), notes


def _done(done: Sequence[Tend], listed: Sequence[Tend]) -> tuple[int, int]:
    """Return how many of a list, from its start, count as done, and how many of these were not among them."""
    places = [at for at, tend in enumerate(listed) if tend in done]
    count = places[-1] + 1 if places else 0
    return count, count - len(places)


def _watchlist(watchlist: Watchlist, stay: Stay) -> tuple[Watchlist, list[str]]:
    kept, gone = of_rules(watchlist, rules_of(stay, ahead=True))
    return kept, [f"Alert dropped, the stay file no longer asks for it: {alert.text}" for alert in gone]


def _hearing(hearing: Codes | None, heard: Sequence[str], channels: Sequence[str]) -> Codes | None:
    if hearing is None:
        return None
    known = dict(zip(heard, hearing.tolist(), strict=True))
    return np.array([known.get(name, NOT_HEARD) for name in channels], dtype=np.int8)
