"""Files beside the stay file: ships, berths, ropes and stays that are known, and tables."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from alongside.errors import Fault, WrongInput
from alongside.reports.new_stay.sheet import KnownStay, Shelf
from alongside.reports.new_stay.values import Row, Value
from alongside.stay.berth import berth_of
from alongside.stay.document import read_document
from alongside.stay.fittings import STATIONS
from alongside.stay.model import Berth, Line, Marks, Place, Rope, Ship
from alongside.stay.nodes import Node
from alongside.stay.plain_file import NotPlain, read_plain
from alongside.stay.read import read_stay
from alongside.stay.ropes import ROPES
from alongside.stay.ship import SHIP

MOST_FILES: Final = 300
PLACES: Final = tuple(f"place.{key}" for key in STATIONS)
LARGEST_TABLE: Final = 1_000_000


def shelf_of(folder: Path) -> Shelf:
    """Return what is known in a folder; files with faults are left out."""
    names = frozenset(path.name for path in folder.iterdir())
    ships: dict[str, Ship] = {}
    measures: dict[str, Row] = {}
    berths: dict[str, Berth] = {}
    ropes: dict[str, dict[str, Rope]] = {}
    stays: dict[str, KnownStay] = {}
    for name, root in _documents(folder):
        faults = root.faults
        if "fairleads" in root and "loa" in root:
            ship = SHIP.read(root)
            if not faults:
                ships[name] = ship
                measures[name] = _measure(root)
        elif "bollards" in root:
            berth = berth_of(
                str(folder / name), "starboard", Place(0.0, 0.0), None, _any_ship(ships), None, None
            )
            value = berth.read(root)
            if not faults:
                berths[name] = value
        elif "format" in root and "lines" in root:
            known = _known_stay(folder / name, root)
            if known is not None:
                stays[name] = known
        elif _is_ropes(root):
            made = ROPES.read(root)
            if not faults:
                ropes[name] = dict(made)
    return Shelf(ships, measures, berths, ropes, stays, names, lambda table: _table(folder, table))


def _documents(folder: Path) -> Iterator[tuple[str, Node]]:
    """Yield the readable YAML files of a folder, ships first."""
    paths = sorted(path for path in folder.iterdir() if path.suffix in (".yaml", ".yml"))[:MOST_FILES]
    roots = []
    for path in paths:
        faults: list[Fault] = []
        try:
            root = read_document(path, faults)
        except (OSError, ValueError):
            continue
        if not faults and root.is_table:
            roots.append((path.name, root))
    yield from sorted(roots, key=lambda each: ("loa" not in each[1], each[0]))


def _measure(root: Node) -> Row:
    """Return how the fairleads of a ship's file are measured, as that would be answered."""
    fairleads = [place for _, place in root["fairleads"].entries("fairleads") or ()]
    along = next((way for way in ("stem", "stern") if any(f"from_{way}" in each for each in fairleads)), "ap")
    return {"along": along, "height": "deck" if any("above_deck" in each for each in fairleads) else "keel"}


def _any_ship(ships: dict[str, Ship]) -> Ship:
    """Return a ship to read berths with: none of what is written by `new` needs her."""
    return next(iter(ships.values()), Ship("", 100.0, 95.0, 16.0, 8.0, Marks(90.0, 5.0), {}))


def _is_ropes(root: Node) -> bool:
    entries = root.entries("ropes") or []
    return bool(entries) and all(
        value.is_table and ("mbl_kn" in value or "ldbf_kn" in value) for _, value in entries
    )


def _known_stay(path: Path, root: Node) -> KnownStay | None:
    parts = [root[part].word for part in ("ship", "berth", "ropes")]
    if not all(parts):
        return None
    try:
        stay = read_stay(path)
    except WrongInput:
        return None
    lines = tuple(_line_row(line) for line in stay.lines)
    ship, berth, ropes = parts
    place = stay.place.ship_x, stay.place.berth_x
    spread = next((each.spread for each in stay.guesses if each.path in PLACES), 0.0)
    return KnownStay(ship, berth, ropes, stay.alongside, lines, place, spread, stay.gear)


def _line_row(line: Line) -> Row:
    """Return a line as its answer would be read, with its tail."""
    tail: dict[str, Value | str] = {}
    if line.tail is not None:
        tail = {"tail": line.tail.rope.name, "length": Value(line.tail.length, f"{line.tail.length:g}")}
    return {
        **tail,
        "id": line.id,
        "role": line.role,
        "fairlead": line.fairlead,
        "bollard": line.bollard,
        "rope": line.rope.name,
        "winch": line.winch or "",
    }


def _table(folder: Path, name: str) -> str:
    """Return the text of a table. Raises OSError or ValueError."""
    if Path(name).name != name:
        raise ValueError("not in the folder of the stay file")
    try:
        return read_plain(folder / name, LARGEST_TABLE, "a table").decode("utf-8-sig")
    except NotPlain as odd:
        raise ValueError(str(odd)) from odd
