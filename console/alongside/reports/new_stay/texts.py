"""Answers -> texts of the files: the stay, and ship, berth and ropes in files of their own."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count
from typing import Final

from alongside.reports.new_stay.asked_lines import (
    HAND_TIGHT,
    HAND_TIGHT_SHARE,
    HAND_TIGHT_SPREAD,
    copied_lines,
)
from alongside.reports.new_stay.asked_plans import LEVEL, waters_of
from alongside.reports.new_stay.asked_ropes import tail_of
from alongside.reports.new_stay.part_texts import berth_rows, given, place_text, rope_rows, ship_rows, table
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.values import Row, Value, as_key, number_of, quoted, word_of
from alongside.units import iso_time
from alongside.wording.times import clock

PARTS: Final = ("ship", "berth", "ropes")
GUESSES: Final = "# guess: marks an estimate; `alongside check` lists each until it is replaced."


@dataclass(frozen=True, slots=True)
class Files:
    """Texts by the names of files, the stay's last."""

    texts: Mapping[str, str]
    stay: str


def part_rows(sheet: Sheet, part: str) -> Iterator[str] | None:
    """Return the rows of a section; None where a file that is known serves."""
    known = {"ship": sheet.known_ship, "berth": sheet.known_berth, "ropes": sheet.known_ropes}[part]
    if known is not None:
        return None
    return {"ship": ship_rows, "berth": berth_rows, "ropes": rope_rows}[part](sheet)


def one_text(sheet: Sheet) -> str:
    """Return all of the stay as one text, only files that are known already by name."""
    return _stay_text(sheet, {})


def files_of(sheet: Sheet, stay: str) -> Files:
    """Return the texts of all files of a stay, under names that no file has."""
    names = _names(sheet, stay)
    texts = {name: _part_text(sheet, part) for part, name in names.items()}
    return Files({**texts, stay: _stay_text(sheet, names)}, stay)


def _names(sheet: Sheet, stay: str) -> dict[str, str]:
    """Return the name of a new file for each part that needs one."""
    stems = {
        "ship": f"ship-{_slug(sheet.word('ship', 'name'))}",
        "berth": f"berth-{_slug(sheet.word('berth', 'name'))}",
        "ropes": f"ropes-{_slug(_ship_name(sheet))}",
    }
    taken = {*sheet.shelf.names, stay}
    names = {}
    for part, stem in stems.items():
        if part_rows(sheet, part) is not None:
            numbered = (f"{stem}.yaml" if at == 1 else f"{stem}-{at}.yaml" for at in count(1))
            names[part] = next(name for name in numbered if name not in taken)
            taken.add(names[part])
    return names


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:40] or "new"


def _ship_name(sheet: Sheet) -> str:
    ship = sheet.known_ship
    return sheet.word("ship", "name") if ship is None else ship.name


def _berth_name(sheet: Sheet) -> str:
    berth = sheet.known_berth
    return sheet.word("berth", "name") if berth is None else berth.name


def _part_text(sheet: Sheet, part: str) -> str:
    head = {
        "ship": f"# {_ship_name(sheet)}: the ship, for every stay of hers.",
        "berth": f"# {_berth_name(sheet)}: the berth, for every ship there.",
        "ropes": f"# Ropes of {_ship_name(sheet)}.",
    }[part]
    return "\n".join([head, GUESSES, *(part_rows(sheet, part) or ()), ""])


def _stay_text(sheet: Sheet, names: Mapping[str, str]) -> str:
    return "\n".join([*_head(sheet, names), *_lines(sheet), *_plans(sheet), ""])


def _head(sheet: Sheet, names: Mapping[str, str]) -> Iterator[str]:
    yield "# A stay, written by `alongside new`. Every key: `alongside manual stay-file`."
    yield GUESSES
    yield ""
    yield "format: 1"
    yield f"name: {quoted(f'{_ship_name(sheet)} at {_berth_name(sheet)}')}"
    yield f"alongside: {sheet.side}    # the side that lies alongside"
    abreast = sheet.word("place", "abreast")
    yield f"place: {place_text(sheet)}    # abreast of {abreast or 'each other'}"
    known = {"ship": sheet.word("ship", "name"), "berth": sheet.word("berth", "name"),
             "ropes": sheet.word("ropes_file", "name")}  # fmt: skip
    for part in PARTS:
        rows = part_rows(sheet, part)
        if rows is None:
            yield f"{part}: {as_key(known[part])}"
        elif part in names:
            yield f"{part}: {as_key(names[part])}"
        else:
            yield f"{part}:"
            yield from (f"  {row}" for row in rows)


def _lines(sheet: Sheet) -> Iterator[str]:
    fast = sheet.one("fast")
    at = number_of(fast, "at")
    yield ""
    yield f"# All fast at {clock(at, sheet.display, '%H:%M %d %b')}, clock of the ship; times below are UTC."
    yield "lines:"
    said = Repeated()
    for row in sheet.all("lines") or copied_lines(sheet):
        rope = word_of(row, "rope")
        tail = row if "tail" in row else tail_of(sheet, rope)
        made = table(
            ("at", iso_time(at)),
            ("tension_kn", _tension(sheet, row, rope, word_of(tail, "tail"))),
            *((key, given(fast, key)) for key in ("tide", "draught_fwd", "draught_aft")),
        )
        names = ((key, word_of(row, key)) for key in ("role", "fairlead", "winch", "bollard", "rope"))
        parts = [
            ("id", quoted(word_of(row, "id"))),
            *((key, as_key(name) if name else "") for key, name in names),
        ]
        if tail:
            hung = table(("rope", given(tail, "tail")), ("length", given(tail, "length")))
            parts.append(("tail", said.once("tail", hung)))
        yield f"  - {table(*parts)[:-1]},"
        yield f"     made_fast: {said.once('fast', made)}}}"


@dataclass(frozen=True, slots=True)
class Repeated:
    """Values that stand once and are named after: `&fast {…}`, then `*fast`."""

    names: dict[str, str] = field(default_factory=dict)
    """By the value."""

    def once(self, stem: str, value: str) -> str:
        """Return a value with its anchor, or the name of it where it stood before."""
        if value in self.names:
            return f"*{self.names[value]}"
        alike = sum(name.startswith(stem) for name in self.names.values())
        self.names[value] = f"{stem}_{alike + 1}" if alike else stem
        return f"&{self.names[value]} {value}"


def _tension(sheet: Sheet, row: Row, rope: str, tail: str) -> str:
    """Return the tension as the file has it; hand-tight is a guess by the weaker of rope and tail."""
    value = row.get("tension", HAND_TIGHT)
    if isinstance(value, Value):
        return value.in_file()
    known = [mbl for mbl in (sheet.mbl_kn(rope), sheet.mbl_kn(tail)) if mbl > 0.0]
    kn = HAND_TIGHT_SHARE * min(known, default=400.0)
    guess = Value(kn, f"{kn:.3g} kN", HAND_TIGHT_SPREAD, "hand-tight, a tenth of MBL, common practice")
    return guess.in_file()


def _plans(sheet: Sheet) -> Iterator[str]:
    yield ""
    yield "# Gauges, once they are wired up: feeds, see `alongside manual feeds`; until then read by hand."
    if waters := waters_of(sheet):
        yield "tide:"
        yield "  high_low:    # m above chart datum"
        yield from (f"    - [{iso_time(at)}, {height:g}]" for at, height in waters)
    if level := given(sheet.one("tide"), LEVEL):
        yield f"tide: {{level: {level}}}    # a dock without tide, m above chart datum"
    if sheet.all("cargo"):
        yield "cargo:    # planned; tonnes loaded +, discharged -"
    for number, row in enumerate(sheet.all("cargo"), start=1):
        start = ("start", iso_time(number_of(row, "start")))
        parts = (("tonnes", given(row, "tonnes")), ("rate", given(row, "rate")), ("x", given(row, "x")))
        yield f"  - {table(('name', quoted(f'operation {number}')), start, *parts)}"
    yield f"gear: {sheet.word('gear', 'gear') or 'ship_gear'}    # what works the cargo"
    clearance = sheet.one("clearance")
    if clearance:
        stages = ((each, given(clearance, each)) for each in ("caution", "warning", "alarm"))
        yield "limits:"
        yield f"  under_keel_m: {table(*stages)}"
    yield f"display: {table(('zone', quoted(sheet.display.zone)))}"
