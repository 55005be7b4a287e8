"""The history of each rope and tail: what was entered of it, and its uses, under one serial number.

Pure: from what a database holds to plain values; `today` is an argument.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import nan
from typing import Any, Final

from alongside.cycle.deck.new_line import is_stand_in
from alongside.record.ropes.entry import Entry
from alongside.record.ropes.store import Kept, KeptImport
from alongside.record.ropes.use import Use
from alongside.reports.ropes.life import Life, in_order, life_of
from alongside.stay.model import Rope
from alongside.stay.ropes import WLL_FRACTION
from alongside.units import utc_day

WHAT: Final = {"main": "rope", "tail": "tail"}


@dataclass(frozen=True, slots=True)
class StayUse:
    """One use, the number of the import that it came with, and from when it counts: from making fast on, but
    for one that another record began."""

    entry: int
    use: Use
    begin: float = nan

    @property
    def hours_fast(self) -> float:
        return (self.use.until - self.begin) / 3600.0


@dataclass(frozen=True, slots=True)
class RopeHistory:
    """All of one rope or tail. `kept` has every entry of it, withdrawn ones too; all else goes by those that
    stand. `life` is None where no record with it was imported."""

    serial: str
    kept: tuple[Kept, ...]
    uses: tuple[StayUse, ...]
    life: Life | None
    replaced: bool
    """Another was in the line of its last use after it."""
    certificate: Mapping[str, Any]
    """What the maker's certificate says, as it was entered last, value by value."""

    @property
    def stands_in(self) -> bool:
        """Return whether its number is one that stands in for that on the rope, which nobody has said yet."""
        return is_stand_in(self.serial)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Return entries that stand, by day, those of one day as they were entered."""
        return tuple(sorted((each.entry for each in self.kept if each.stands), key=lambda one: one.day))

    def last(self, *deeds: str) -> Entry | None:
        """Return the last entry of some deeds."""
        return next((each for each in reversed(self.entries) if each.deed in deeds), None)

    @property
    def what(self) -> str:
        """Return `rope` or `tail`."""
        of_use = WHAT[self.uses[-1].use.part.what] if self.uses else "rope"
        return str(self.certificate.get("what", of_use))

    @property
    def new_rope(self) -> Rope | None:
        """Return the rope as it was new, without its curve: by its certificate, and by the stay file of its
        last use; None where neither gives a breaking load."""
        used = self.uses[-1].use.part.rope if self.uses else None
        mbl = self.certificate.get("mbl_kn", nan if used is None else used.mbl_kn)
        if mbl != mbl:
            return None
        material = str(self.certificate.get("material", "" if used is None else used.material))
        if used is not None:
            return replace(used, mbl_kn=mbl, material=material, residual_strength=1.0)
        kind: Any = "wire" if material == "steel" else "synthetic"
        return Rope(material or "rope", kind, mbl, (), WLL_FRACTION[kind], material=material)

    @property
    def length_m(self) -> float:
        """Return how long it is now, m; NaN where that was never entered."""
        length = self.certificate.get("length_m", nan)
        for entry in self.entries:
            if entry.deed == "cropped":
                length = entry.fields.get("length_m", length - entry.fields["cut_m"])
        return float(length)

    @property
    def where(self) -> str:
        """Return where it is: as entered, or the line of its last use where that is later, `was line 4` where
        another has been there since; "" not known."""
        entry = self.last("fitted", "stowed", "retired")
        used = self.uses[-1].use if self.uses else None
        if used is not None and (entry is None or entry.day < day_at(used.until)):
            return f"{'was ' if self.replaced else ''}line {used.part.line}"
        if entry is None:
            return ""
        if entry.deed == "retired":
            return "retired"
        return str(entry.fields.get("where", "stowed"))


def histories_of(kept: Sequence[Kept], uses: Iterable[tuple[int, Use]]) -> tuple[RopeHistory, ...]:
    """Return the history of each rope, in order of serial numbers; one that was renamed under its new one."""
    names = _names(kept)
    entries: dict[str, list[Kept]] = {}
    for each in kept:
        entries.setdefault(names.get(each.entry.serial, each.entry.serial), []).append(each)
    used: dict[str, list[StayUse]] = {}
    for number, use in uses:
        serial = names.get(use.part.key, use.part.key)
        used.setdefault(serial, []).append(StayUse(number, replace(use, part=replace(use.part, key=serial))))
    newest = _newest(use for of_one in used.values() for use in of_one)
    return tuple(
        _history(serial, entries.get(serial, []), used.get(serial, []), newest)
        for serial in sorted({*entries, *used}, key=in_order)
    )


def last_day(kept: Sequence[Kept], imports: Sequence[KeptImport]) -> date | None:
    """Return the newest day on which anything was entered; None where nothing was."""
    entered = [each.entered for each in kept] + [each.entered for each in imports]
    return utc_day(max(entered)) if entered else None


def day_at(time: float) -> str:
    """Return the day (UTC) of UNIX seconds, `2026-11-20`."""
    return utc_day(time).isoformat()


def _names(kept: Sequence[Kept]) -> dict[str, str]:
    """Return by which serial number each that was renamed goes now, the last rename first asked."""
    to = {each.entry.serial: str(each.entry.fields["to"]) for each in kept if _renames(each)}
    found: dict[str, str] = {}
    for serial in to:
        name, seen = serial, {serial}
        while name in to and to[name] not in seen:
            name = to[name]
            seen.add(name)
        found[serial] = name
    return found


def _renames(each: Kept) -> bool:
    return each.entry.deed == "renamed" and each.stands


Place = tuple[str, str, str]
"""Ship, line, and whether rope or tail."""


def _newest(uses: Iterable[StayUse]) -> dict[Place, str]:
    """Return which rope was last in each place."""
    in_order_of_time = sorted(uses, key=lambda each: each.use.since)
    return {_place(each.use): each.use.part.key for each in in_order_of_time}


def _place(use: Use) -> Place:
    return use.part.ship, use.part.line, use.part.what


def _history(
    serial: str, kept: Sequence[Kept], uses: Sequence[StayUse], newest: Mapping[Place, str]
) -> RopeHistory:
    certificate: dict[str, Any] = {}
    for each in kept:
        if each.stands and each.entry.deed == "certificate":
            certificate |= each.entry.fields
    ordered = _counted_once(sorted(uses, key=lambda one: (one.use.fast_at, one.use.since)))
    life = life_of([each.use for each in ordered]) if ordered else None
    replaced = bool(ordered) and newest[_place(ordered[-1].use)] != serial
    return RopeHistory(serial, tuple(kept), ordered, life, replaced, certificate)


def _counted_once(uses: Sequence[StayUse]) -> tuple[StayUse, ...]:
    """Return uses with their begins: hours made fast before a record count with the first of them."""
    begun: set[tuple[str, float]] = set()
    found: list[StayUse] = []
    for each in uses:
        use = each.use
        making = (use.part.line, use.fast_at)
        found.append(replace(each, begin=use.since if making in begun else min(use.fast_at, use.since)))
        begun.add(making)
    return tuple(found)
