"""What the lives of ropes and their history have in common: values of JSON, cells of tables, words."""

from collections.abc import Sequence
from math import isfinite
from typing import Any, Final

from alongside.reports.csv_files import Cell
from alongside.reports.ropes.cycles import class_names

OVER: Final = "▲"
"""Before the load of a rope or tail that was above its working load limit."""
RETIRE_BY: Final = "Retire a rope by its maker's criteria and by inspection, never by these figures alone."


def known(value: float) -> float | None:
    """Return a number as JSON has it, None where it is not known."""
    return round(value, 6) if isfinite(value) else None


def cycles_object(counts: Sequence[float]) -> list[dict[str, Any]]:
    """Return cycles of load by the classes of their range, `[{"range_pct_mbl": "5-10", "count": 1.5}]`."""
    return [{"range_pct_mbl": n, "count": c} for n, c in zip(class_names(), counts, strict=True)]


def cycle_columns() -> list[str]:
    """Return the heads of a table for them."""
    return [f"cycles_{name}_pct_mbl" for name in class_names()]


def cut(text: str, width: int) -> str:
    """Return a text of at most so many characters."""
    return text if len(text) <= width else f"{text[: width - 1]}…"


def cell_of(value: object) -> Cell:
    """Return a value as it stands in a table: `yes` or `no` of a bool, the items of a list with blanks."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(str(item) for item in value)
    assert value is None or isinstance(value, str | int | float)
    return value
