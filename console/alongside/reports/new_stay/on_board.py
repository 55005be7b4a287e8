"""How places on board are measured, as the officer or the ship's file says, and whether they are on her."""

from typing import Final

from alongside.reports.new_stay.question import Question, Reader, Typed, in_order
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.values import Row, number_of
from alongside.stay.fittings import from_stem, from_stern

MEASURED: Final = {
    "ap": "m forward of the aft perpendicular",
    "stem": "m aft of the stem",
    "stern": "m forward of the stern",
}
BEYOND: Final = 0.5
"""m that a place may lie beyond her ends: tape and rounding."""


def along_of(sheet: Sheet) -> str:
    """Return from where places along her are measured: ap, stem or stern."""
    return sheet.measure("along") or "ap"


def x_of(sheet: Sheet, far: float) -> float:
    """Return x of what is measured so far along her."""
    aft = sheet.overhang_aft
    ways = {"ap": far, "stem": from_stem(far, sheet.loa, aft), "stern": from_stern(far, aft)}
    return ways[along_of(sheet)]


def far_of(sheet: Sheet, x: float) -> float:
    """Return how far along her, as she is measured, a place at x is."""
    return x + sheet.overhang_aft if along_of(sheet) == "stern" else x_of(sheet, x)


def ends(sheet: Sheet, along: str) -> tuple[float, float]:
    """Return the places of her ends; where the overhang of the stern is not known, the widest they may be."""
    if along != "ap":
        return 0.0, sheet.loa
    known = sheet.known_overhang
    both = max(sheet.loa - sheet.lbp, 0.0)
    return (-both, sheet.loa) if known is None else (-known, sheet.loa - known)


def check_on_board(typed: Typed, far: float, what: str, along: str = "ap") -> None:
    """Raise Refused for a place that no point of her can be at."""
    low, high = ends(typed.sheet, along)
    if far < low - BEYOND or far > high + BEYOND:
        raise typed.refuse(f"{what}: {far:g} is not on board", f"{low:g} to {high:g} {MEASURED[along]}")


def on_her(*names: str) -> Reader:
    """Return the reader of figures in their order, those named being places forward of the aft
    perpendicular."""

    def read(question: Question, typed: Typed) -> Row:
        row = in_order(question, typed)
        for figure in question.figures:
            if figure.name in names and figure.name in row:
                check_on_board(typed, number_of(row, figure.name), figure.words)
        return row

    return read
