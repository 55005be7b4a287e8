"""The record sheet of a ship's ropes: as JSON and as a table.

MSC.1/Circ.1620 asks that lines and tails can be identified and correlated with their certificates and
records, and that records of their inspection and replacement are kept on board, at least until the next
annual survey (as flag and class digests give it; it prescribes no form). Use and loads are what line
management plans keep besides: common practice, no source.
"""

from datetime import date
from math import isfinite
from pathlib import Path
from typing import Any, Final

from alongside.record.ropes.entry import Entry
from alongside.record.ropes.store import Kept
from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.replaceable import ROPES
from alongside.reports.ropes.condition import Condition
from alongside.reports.ropes.cycles import class_names, cycles_by_class
from alongside.reports.ropes.history import StayUse, day_at
from alongside.reports.ropes.keeping import Ropes
from alongside.reports.ropes.values import cell_of, cycle_columns, cycles_object, known
from alongside.units import iso_time

OF_CERTIFICATE: Final = (
    "certificate", "maker", "material", "construction", "diameter_mm", "made", "hours_limit", "years_limit",
    "inspect_months",
)  # fmt: skip
LISTS: Final = ("retire", "cycles", "uses", "entries")
"""Keys of a rope that are lists: not in the table, but for the cycles."""


def sheet_object(ropes: Ropes) -> dict[str, Any]:
    """Return the sheet as plain values; what is not known is None."""
    return {
        "day": ropes.today.isoformat(),
        "ropes": [_rope(each, ropes.today) for each in ropes.conditions],
        "records": [
            {
                "entry": each.number,
                "name": each.record.name,
                "ship": each.record.ship,
                "stay": each.record.stay,
                "begin": iso_time(each.record.begin),
                "end": iso_time(each.record.end),
                "withdrawn": _day_of(each.withdrawn),
            }
            for each in ropes.imports
        ],
    }


def sheet_json(outputs: Outputs, path: Path, ropes: Ropes) -> None:
    outputs.text(path, ROPES).write(f"{json_text(sheet_object(ropes))}\n")


def sheet_table(outputs: Outputs, path: Path, ropes: Ropes) -> None:
    """Write a row a rope or tail."""
    objects = [_rope(each, ropes.today) for each in ropes.conditions]
    names = [name for name in KEYS if name not in LISTS]
    head = [*names, *cycle_columns()]
    rows: list[list[Cell]] = []
    for one in objects:
        cycles: list[Cell] = [None] * len(class_names())
        if one["cycles"]:
            cycles = [each["count"] for each in one["cycles"]]
        rows.append([*(cell_of(one[name]) for name in names), *cycles])
    write_csv(outputs, path, head, rows)


def _rope(one: Condition, today: date) -> dict[str, Any]:
    history, rope, life = one.history, one.rope, one.history.life
    by, following = one.retire_by(), one.inspect
    given = history.certificate
    values: dict[str, Any] = {
        "serial": history.serial,
        "what": history.what,
        "stands_in": history.stands_in,
        "where": history.where or None,
        **{name: given.get(name) for name in OF_CERTIFICATE},
        "length_m": known(history.length_m),
        "mbl_kn": None if rope is None else known(rope.mbl_kn),
        "design_mbl_kn": None if rope is None else rope.design_mbl_kn,
        "residual_strength": known(one.residual),
        "residual_by": one.residual_by or None,
        "strength_kn": None if rope is None else known(rope.strength_kn),
        "wll_kn": None if rope is None else known(rope.wll_kn),
        "in_use_since": _iso(one.in_service),
        "inspected": _iso(one.inspected),
        "next_inspection": _iso(None if following is None else following.day),
        "inspection_due": bool(one.inspect_now(today)),
        "retire_by": _iso(None if by is None else by.day),
        "retirement_due": bool(one.retire_now(today)),
        "retired": _iso(one.retired),
        "stays": 0 if life is None else life.stays,
        "hours_fast": None if life is None else round(life.hours_made_fast, 4),
        "hours_known": None if life is None else round(life.hours_known, 4),
        "hours_carried": None if life is None else round(life.hours_carried, 4),
        "hours_above_wll": None if life is None else round(life.hours_above_wll, 4),
        "peak_kn": None if life is None else known(life.peak_kn),
        "peak_share_mbl": None if life is None else known(life.peak_share_mbl),
        "brake_slips": sum(len(each.use.slips) for each in history.uses),
        "retire": list(one.retire_now(today)),
        "cycles": [] if life is None else cycles_object(life.cycles),
        "uses": [use_object(each) for each in history.uses],
        "entries": [_entry(each) for each in history.kept],
    }
    assert tuple(values) == KEYS, "the table's columns are the keys"
    return values


KEYS: Final = (
    "serial", "what", "stands_in", "where", *OF_CERTIFICATE, "length_m", "mbl_kn", "design_mbl_kn",
    "residual_strength", "residual_by", "strength_kn", "wll_kn", "in_use_since", "inspected",
    "next_inspection", "inspection_due", "retire_by", "retirement_due", "retired", "stays", "hours_fast",
    "hours_known", "hours_carried", "hours_above_wll", "peak_kn", "peak_share_mbl", "brake_slips", *LISTS,
)  # fmt: skip


def use_object(each: StayUse) -> dict[str, Any]:
    use, mbl = each.use, each.use.part.rope.mbl_kn
    return {
        "entry": each.entry,
        "ship": use.part.ship,
        "line": use.part.line,
        "since": iso_time(each.begin),
        "until": iso_time(use.until),
        "hours_fast": round(each.hours_fast, 4),
        "hours_known": round(use.known_s / 3600.0, 4),
        "hours_carried": round(use.carried_s / 3600.0, 4),
        "hours_above_wll": round(use.above_wll_s / 3600.0, 4),
        "wll_kn": known(use.part.wll_kn),
        "peak_kn": known(use.peak_kn),
        "peak_at": iso_time(use.peak_at) if isfinite(use.peak_at) else None,
        "peak_share_mbl": known(use.peak_kn / mbl),
        "cycles": cycles_object(cycles_by_class([0.0, *use.turns.tolist(), 0.0], mbl)),
        "brake_slipped": [iso_time(at) for at in use.slips],
        "parted": iso_time(use.parted_at) if isfinite(use.parted_at) else None,
    }


def _entry(each: Kept) -> dict[str, Any]:
    entry = each.entry
    head = {"entry": each.number, "day": entry.day, "deed": entry.deed, "by": entry.who}
    return {**head, "withdrawn": _day_of(each.withdrawn), "fields": _fields(entry)}


def _fields(entry: Entry) -> list[dict[str, Any]]:
    return [{"field": name, "value": value} for name, value in entry.fields.items()]


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _day_of(time: float) -> str | None:
    return day_at(time) if isfinite(time) else None
