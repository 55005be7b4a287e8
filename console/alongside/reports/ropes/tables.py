"""Lives as a table to read, as CSV and as JSON."""

from collections.abc import Sequence
from math import isfinite
from pathlib import Path
from typing import Final

from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.replaceable import LIVES
from alongside.reports.ropes.cycles import class_names
from alongside.reports.ropes.life import Life
from alongside.reports.ropes.values import OVER, RETIRE_BY, cell_of, cut, cycle_columns, cycles_object, known
from alongside.units import iso_time
from alongside.wording.figures import figure, percent
from alongside.wording.safe import safe

CAUTION: Final = (
    "Loads are computed from stay file and gauges. Cycles faster than the states on record (10 s, 5 s around",
    "alerts), and those of swell and passing ships, are not counted: there were at least so many.",
    RETIRE_BY,
    f"{OVER} above its working load limit",
)
WIDEST: Final = 44
"""Characters of a key; a longer one is cut."""


def life_rows(lives: Sequence[Life]) -> list[str]:
    """Return rows to print."""
    head = ("rope or tail", "stays", "fast h", "known h", "peak kN", "of WLL", "of MBL", "over WLL h")
    classes = [f"{name}%" for name in class_names()]
    width = min(WIDEST, max((len(one.part.key) for one in lives), default=0))
    width = max(width, len(head[0]))
    rows = [f"{'':{width}}  {'':69}cycles by range, of MBL"]
    rows.append(f"{head[0]:{width}}" + _in_columns(head[1:], 9) + "  " + _in_columns(classes, 8))
    rows += [_row(one, width) for one in lives]
    return [row.rstrip() for row in [*rows, "", *CAUTION]]


def _row(one: Life, width: int) -> str:
    name = cut(safe(one.part.key), width)
    cells = (
        str(one.stays),
        f"{one.hours_made_fast:.1f}",
        f"{one.hours_known:.1f}",
        figure(one.peak_kn),
        f"{OVER} {percent(one.peak_share_wll)}" if one.peak_share_wll > 1.0 else percent(one.peak_share_wll),
        percent(one.peak_share_mbl),
        f"{one.hours_above_wll:.2f}",
    )
    return f"{name:{width}}" + _in_columns(cells, 9) + "  " + _in_columns([f"{c:.1f}" for c in one.cycles], 8)


def _in_columns(cells: Sequence[str], width: int) -> str:
    return "".join(f"{cell:>{max(width, len(cell) + 1)}}" for cell in cells)


def life_table(outputs: Outputs, path: Path, lives: Sequence[Life]) -> None:
    """Write one row a rope or tail."""
    objects = [_object(one) for one in lives]
    head = [*(name for name in _NAMES if name != "cycles"), *cycle_columns()]
    rows: list[list[Cell]] = []
    for one, life in zip(objects, lives, strict=True):
        cells = [one[name] for name in _NAMES if name != "cycles"]
        rows.append([cell_of(cell) for cell in cells] + list(life.cycles))
    write_csv(outputs, path, head, rows)


def life_json(outputs: Outputs, path: Path, lives: Sequence[Life]) -> None:
    """Write `{"format", "lives": [{…, "cycles": [{"range_pct_mbl": "5-10", "count": 1.5}]}]}`; not known is
    null."""
    outputs.text(path, LIVES).write(f"{json_text({'lives': [_object(one) for one in lives]})}\n")


_NAMES: Final = (
    "key",
    "by_serial",
    "what",
    "ship",
    "lines",
    "rope",
    "kind",
    "certificate",
    "mbl_kn",
    "wll_kn",
    "stays",
    "first",
    "last",
    "hours_made_fast",
    "hours_known",
    "hours_above_wll",
    "peak_kn",
    "peak_at",
    "peak_share_wll",
    "peak_share_mbl",
    "cycles",
)


def _object(one: Life) -> dict[str, object]:
    part = one.part
    values: tuple[object, ...] = (
        part.key,
        part.by_serial,
        part.what,
        part.ship,
        list(one.lines),
        part.rope.name,
        part.rope.kind,
        part.rope.certificate,
        part.rope.mbl_kn,
        part.wll_kn,
        one.stays,
        iso_time(one.first),
        iso_time(one.last),
        round(one.hours_made_fast, 4),
        round(one.hours_known, 4),
        round(one.hours_above_wll, 4),
        known(one.peak_kn),
        iso_time(one.peak_at) if isfinite(one.peak_at) else None,
        known(one.peak_share_wll),
        known(one.peak_share_mbl),
        cycles_object(one.cycles),
    )
    return dict(zip(_NAMES, values, strict=True))
