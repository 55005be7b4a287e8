"""Published reference tables, kept as CSV with their source, page and unit."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "published"


def rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
