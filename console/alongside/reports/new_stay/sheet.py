"""What is known so far: every answer read, and the files that are at hand beside it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import isnan
from typing import Final

from alongside.reports.new_stay.values import Row, Value, number_of, word_of
from alongside.stay.fittings import usual_overhang
from alongside.stay.model import Berth, Display, Rope, Ship
from alongside.stay.nodes import one_of

NOTHING: Final[Row] = {}


@dataclass(frozen=True, slots=True)
class KnownStay:
    """Another stay: the files that it names, and its lines as they would be typed."""

    ship: str
    berth: str
    ropes: str
    side: str
    lines: tuple[Row, ...]
    place: tuple[float, float]
    place_spread: float = 0.0
    """m, of a place along the ship that was a guess."""
    gear: str = ""


def no_table(name: str) -> str:
    """Raise OSError: there are no tables."""
    raise FileNotFoundError(2, "no such file", name)


@dataclass(frozen=True, slots=True)
class Shelf:
    """Files beside the stay file that is being written, by their names. `table` returns the text of a
    table."""

    ships: Mapping[str, Ship] = field(default_factory=dict)
    measures: Mapping[str, Row] = field(default_factory=dict)
    """How each of the ships is measured, as the question of it is answered."""
    berths: Mapping[str, Berth] = field(default_factory=dict)
    ropes: Mapping[str, Mapping[str, Rope]] = field(default_factory=dict)
    stays: Mapping[str, KnownStay] = field(default_factory=dict)
    names: frozenset[str] = frozenset()
    """Of all files there: none of them is written over."""
    table: Callable[[str], str] = no_table


@dataclass(frozen=True, slots=True)
class Sheet:
    """Answers read so far, by the keys of their questions; `answered` are those that the officer gave, the
    others stand in for what is not answered yet. `now` is when it is asked, UNIX s."""

    shelf: Shelf
    now: float
    rows: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    answered: Mapping[str, int] = field(default_factory=dict)
    """How many rows of each the officer gave."""

    def __contains__(self, key: str) -> bool:
        return key in self.rows

    def all(self, key: str) -> tuple[Row, ...]:
        return self.rows.get(key, ())

    def one(self, key: str) -> Row:
        """Return the only row of an answer; an empty one where there is none."""
        rows = self.rows.get(key, ())
        return rows[0] if rows else NOTHING

    def number(self, key: str, name: str, otherwise: float = float("nan")) -> float:
        return number_of(self.one(key), name, otherwise)

    def word(self, key: str, name: str) -> str:
        return word_of(self.one(key), name)

    def having(self, key: str, rows: Sequence[Row], answered: int) -> "Sheet":
        return replace(self, rows={**self.rows, key: tuple(rows)}, answered={**self.answered, key: answered})

    # --- what several questions need

    @property
    def display(self) -> Display:
        return Display(zone=self.word("zone", "zone") or "+00:00")

    @property
    def known_ship(self) -> Ship | None:
        """Return the ship of a file that is named, None where she is asked for."""
        return self.shelf.ships.get(self.word("ship", "name"))

    @property
    def known_berth(self) -> Berth | None:
        return self.shelf.berths.get(self.word("berth", "name"))

    @property
    def known_ropes(self) -> Mapping[str, Rope] | None:
        return self.shelf.ropes.get(self.word("ropes_file", "name"))

    @property
    def side(self) -> str:
        return self.word("side", "side") or "starboard"

    @property
    def ahead(self) -> float:
        """Return 1 where the bow points to berth +x, starboard side to, else -1."""
        return 1.0 if self.side == "starboard" else -1.0

    @property
    def lbp(self) -> float:
        ship = self.known_ship
        return self.number("hull", "lbp") if ship is None else ship.lbp

    @property
    def loa(self) -> float:
        ship = self.known_ship
        return self.number("hull", "loa") if ship is None else ship.loa

    @property
    def depth(self) -> float:
        ship = self.known_ship
        return self.number("hull", "depth") if ship is None else ship.depth

    @property
    def overhang_aft(self) -> float:
        """Return how far the stern lies aft of the aft perpendicular, m; the usual where it is not known."""
        known = self.known_overhang
        return usual_overhang(self.loa, self.lbp) if known is None else known

    @property
    def known_overhang(self) -> float | None:
        """Return how far the stern lies aft of the aft perpendicular where that is known, m."""
        ship = self.known_ship
        if ship is not None:
            return ship.overhang_aft
        given = self.number("measure", "overhang")
        return None if isnan(given) else given

    def measure(self, what: str) -> str:
        """Return how she is measured, `along` or in `height`, as was answered or as her file has it."""
        known = self.shelf.measures.get(self.word("ship", "name"), NOTHING)
        return word_of(known, what) if self.known_ship is not None else self.word("measure", what)

    @property
    def fairleads(self) -> tuple[str, ...]:
        """Return the names of fairleads, each once."""
        ship = self.known_ship
        if ship is not None:
            return tuple(ship.fairleads)
        return tuple(dict.fromkeys(word_of(row, "name") for row in self.all("fairleads")))

    @property
    def winches(self) -> tuple[str, ...]:
        ship = self.known_ship
        if ship is not None:
            return tuple(ship.winches)
        named = (word_of(row, "winch") for row in self.all("fairleads"))
        return tuple(dict.fromkeys(name for name in named if name))

    @property
    def bollards(self) -> tuple[str, ...]:
        berth = self.known_berth
        if berth is not None:
            return tuple(berth.bollards)
        return tuple(dict.fromkeys(word_of(row, "name") for row in self.all("bollards")))

    @property
    def rope_names(self) -> tuple[str, ...]:
        known = self.known_ropes
        if known is not None:
            return tuple(known)
        return tuple(dict.fromkeys(word_of(row, "name") for row in self.all("ropes")))

    def mbl_kn(self, rope: str) -> float:
        """Return the MBL of a rope, kN; NaN where it is not known."""
        known = self.known_ropes
        if known is not None:
            return known[rope].mbl_kn if rope in known else float("nan")
        for row in self.all("ropes"):
            if word_of(row, "name") == rope:
                return number_of(row, "mbl")
        return float("nan")


def expected_name(names: Sequence[str], given: str) -> str:
    """Return which name was expected, the nearest or all."""
    return one_of(names, given)


def value(number: float, text: str = "") -> Value:
    """Return a figure that was worked out."""
    return Value(number, text or f"{number:.6g}")
