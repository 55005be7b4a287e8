"""Tables as CSV for other programs: UTF-8, RFC 4180.

An empty cell is not known, or does not apply. Text that a spreadsheet would take for a formula (it begins
with `=`, `+`, `-` or `@`) gets an apostrophe before it. No cell holds a line end or a control character.
"""

import csv
import unicodedata
from collections.abc import Iterable, Sequence
from math import isfinite
from pathlib import Path
from typing import Final

from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import csv_kind
from alongside.wording.safe import safe

Cell = str | float | int | None

DIGITS: Final = 7
"""As many as a state on record has."""
FORMULA: Final = ("=", "+", "-", "@")


def write_csv(outputs: Outputs, path: Path, head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    """Write a table to a file. Raises WrongInput where it cannot be written."""
    table = csv.writer(outputs.text(path, csv_kind(head), newline=""), lineterminator="\r\n")
    table.writerow([written(name) for name in head])
    table.writerows([written(cell) for cell in row] for row in rows)


def written(cell: Cell) -> str:
    """Return a cell as it stands in the file, before quoting."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        text = safe(cell)
        # A spreadsheet may pass over blanks, and take the wide forms of these signs for them.
        begins = unicodedata.normalize("NFKC", text.lstrip()[:1])
        return f"'{text}" if begins.startswith(FORMULA) else text
    if isinstance(cell, int):
        return str(cell)
    return f"{cell + 0.0:.{DIGITS}g}" if isfinite(cell) else ""
