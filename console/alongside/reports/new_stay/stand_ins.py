"""What stands in for answers that are not given yet: a usual ship of her length at a usual berth. With it
every stage of the sheet is a whole stay, so that an answer can be tried for its faults and for how much it
matters. Nothing of it is written."""

from collections.abc import Callable, Iterator
from typing import Final

from alongside.reports.new_stay.asked_lines import NO_WINCH
from alongside.reports.new_stay.asked_ship import LADEN
from alongside.reports.new_stay.on_board import far_of, x_of
from alongside.reports.new_stay.part_texts import place_of
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.typed_bollards import bollard_x
from alongside.reports.new_stay.values import number_of, word_of
from alongside.units import iso_time

FAIRLEADS: Final = (
    (0.99, 0.05),
    (0.93, 0.30),
    (0.88, 0.42),
    (0.79, 0.49),
    (0.16, 0.49),
    (0.10, 0.45),
    (0.05, 0.36),
    (-0.01, 0.2),
)
"""(x of LBP, y of breadth) along the side that lies alongside."""
BOLLARDS: Final = (-0.75, -0.5, -0.35, -0.1, 0.1, 0.35, 0.5, 0.75)
"""Of LBP from what lies abreast of midships."""
FENDERS: Final = (-0.3, -0.1, 0.1, 0.3)
BESIDE: Final = {"head": 0.25, "breast": 0.02, "fore spring": -0.3, "aft spring": 0.3, "stern": -0.25}
"""Of LBP: how far ahead of its fairlead the bollard of a line is sought."""


def stand_in(key: str, sheet: Sheet) -> tuple[str, ...] | None:
    """Return answers for a question; None where its default serves."""
    makers: dict[str, Callable[[], tuple[str, ...]]] = {
        "ship": lambda: ("Ship",),
        "side": lambda: ("starboard",),
        "hull": lambda: ("180 172 30 15.5",),
        "booklet": lambda: (),
        "fairleads": lambda: tuple(_fairleads(sheet)),
        "berth": lambda: ("Berth",),
        "heading": lambda: ("90",),
        "water": lambda: ("-",),
        "bollards": lambda: tuple(_bollards(sheet)),
        "fenders": lambda: (_fenders(sheet),),
        "place": lambda: (_place(sheet),),
        "ropes": lambda: ("rope polyester eight_strand 600kN half 11.5",),
        "fast": lambda: (f"{iso_time(sheet.now - 600.0)} 2.0 {_draughts(sheet)}",),
        "lines": lambda: tuple(_lines(sheet)),
        "tide": lambda: (_tide(sheet),),
        "cargo": lambda: (),
    }
    return makers[key]() if key in makers else None


def _draughts(sheet: Sheet) -> str:
    draught = 0.6 * LADEN * sheet.depth / 0.7
    return f"{draught:.2f} {draught:.2f}"


def _fairleads(sheet: Sheet) -> Iterator[str]:
    height = sheet.measure("height")
    side = "S" if sheet.side == "starboard" else "P"
    z = 1.0 if height == "deck" else sheet.depth + 1.0
    breadth = sheet.number("hull", "breadth")
    for number, (x, y) in enumerate(FAIRLEADS, start=1):
        at, inboard = far_of(sheet, x * sheet.lbp), far_of(sheet, (x * 0.9 + 0.05) * sheet.lbp)
        yield (
            f"F{number} {at:.1f} {y * breadth:.1f}{side} {z:.1f} "
            f"W{number} {inboard:.1f} {y * breadth / 3:.1f}{side} {z + 0.5:.1f} 360kN"
        )


def _bollards(sheet: Sheet) -> Iterator[str]:
    way = sheet.word("heights", "way") or "cd"
    height = {"cd": 4.0, "water": 2.5, "rail": 2.0, "pontoon": 1.0}[way]
    for number, x in enumerate(BOLLARDS, start=1):
        yield f"B{number} {x * sheet.lbp:.1f} 2.0 {height:g} 600kN"


def _middle(sheet: Sheet) -> float:
    places = bollard_x(sheet).values()
    return (min(places) + max(places)) / 2.0 if places else 0.0


def _fenders(sheet: Sheet) -> str:
    at = " ".join(f"{_middle(sheet) + x * sheet.lbp:.1f}" for x in FENDERS)
    return f"cylinder 1.0 {at}"


def _place(sheet: Sheet) -> str:
    return f"{far_of(sheet, sheet.lbp / 2.0):.1f} {_middle(sheet):.1f}"


def _tide(sheet: Sheet) -> str:
    begin = sheet.number("fast", "at", sheet.now) - 3.0 * 3600.0
    level = sheet.number("fast", "tide", 2.0)
    heights = (level + 2.0, level - 2.0)
    times = (iso_time(begin + 6.2 * 3600.0 * each) for each in range(6))
    return " ".join(f"{at} {heights[number % 2]:.2f}" for number, at in enumerate(times))


def fairlead_places(sheet: Sheet) -> dict[str, float]:
    """Return x of each fairlead."""
    ship = sheet.known_ship
    if ship is not None:
        return {name: point.x for name, point in ship.fairleads.items()}
    rows = (row for row in sheet.all("fairleads") if "along" in row)
    return {word_of(row, "name"): x_of(sheet, number_of(row, "along")) for row in rows}


def role_at(share: float) -> str:
    """Return what a line from so far along her usually is."""
    for least, role in (
        (0.95, "head"),
        (0.84, "breast"),
        (0.5, "fore spring"),
        (0.14, "aft spring"),
        (0.04, "breast"),
    ):
        if share >= least:
            return role
    return "stern"


def _lines(sheet: Sheet) -> Iterator[str]:
    """Yield a line from each fairlead to the bollard where such a line usually goes."""
    place, bollards = place_of(sheet), bollard_x(sheet)
    ropes = sheet.rope_names
    for number, (name, x) in enumerate(fairlead_places(sheet).items(), start=1):
        role = role_at(x / sheet.lbp)
        abreast = place.berth_x + sheet.ahead * (x - place.ship_x)
        wanted = abreast + sheet.ahead * BESIDE[role] * sheet.lbp
        bollard = min(bollards, key=lambda each: abs(bollards[each] - wanted))
        tension = "hand" if number == 1 else ""
        last = f"{NO_WINCH}" if sheet.known_ship is not None else ""
        rest = f"{ropes[0]} {tension or 'hand'} {last}".rstrip()
        yield f"from-{name[:30]} {role.split()[-1]} {name} {bollard} {rest}"
