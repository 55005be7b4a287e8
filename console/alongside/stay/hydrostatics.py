"""Key `hydrostatics:` of the ship, the rows of her booklet, or an estimate from her block coefficient."""

import re
from itertools import pairwise
from math import isnan, nan
from typing import Any, Final

from alongside.stay.fields import Check, Field, choice, listed, number, rising
from alongside.stay.hull_estimates import (
    BLOCK_BY_TYPE,
    LCF_SPREAD,
    TPC_SPREAD,
    block_coefficient,
    estimated_rows,
    tpc_of,
    waterplane_coefficient,
)
from alongside.stay.model import HydrostaticRow
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node, shown
from alongside.stay.records import exactly_one, optional, record, required

DISAGREEMENT: Final = 0.02
"""How far displacement may rise off what TPC makes of it between two rows."""
BLOCK: Final = (0.35, 0.99)
FROM_MIDSHIPS: Final = re.compile(r"(\d+(?:\.\d+)?) ?([FA])", re.ASCII)

Rows = tuple[HydrostaticRow, ...]


def _agrees_with_itself(node: Node, rows: Rows) -> None:
    """Refuses a table whose displacement and TPC contradict each other: one of them was copied wrongly."""
    for place, (low, high) in enumerate(pairwise(rows), start=1):
        rise = high.displacement - low.displacement
        by_tpc = (high.draught - low.draught) * 100.0 * (low.tpc + high.tpc) / 2.0
        if by_tpc > 0.0 and abs(rise - by_tpc) > DISAGREEMENT * by_tpc:
            between = f"from {low.draught:g} to {high.draught:g} m"
            node[place]["displacement"].fault(
                f"rises by {rise:.0f} t {between}, TPC makes it {by_tpc:.0f} t",
                "displacement and TPC within 2 % of each other",
            )


def lcf_from_midships(distance: float, side: str, lbp: float) -> float:
    """Return m forward of the aft perpendicular of what lies so far forward (`F`) or aft (`A`) of
    midships."""
    return lbp / 2.0 + (distance if side == "F" else -distance)


def lcf_of(lbp: float) -> Field[float]:
    """Return the field of an LCF: m forward of AP, or from midships with its letter, `1.20 F`, `0.85 A`."""
    plain = number("m")
    expected = f"{plain.expected} forward of AP, or from midships with F or A behind it"

    def read(node: Node) -> float:
        lettered = FROM_MIDSHIPS.fullmatch(node.word)
        if lettered is None and re.search(r"[^-+.,\deE]", node.word):
            node.fault(f"{shown(node.word)} is no LCF", expected)
            return nan
        if lettered is None:
            return plain.read(node)
        return lcf_from_midships(float(lettered.group(1)), lettered.group(2), lbp)

    return Field(expected, read)


def hydrostatics_of(lbp: float, breadth: float) -> Field[Rows]:
    """Return the field of a table of rows, or of an estimate, for a hull of this length and breadth."""
    rows = listed(
        record(
            HydrostaticRow,
            draught=required(DRAUGHT),
            displacement=required(number("t", above=0)),
            tpc=required(number("t/cm", above=0)),
            mctc=required(number("t m/cm", above=0)),
            lcf=required(lcf_of(lbp)),
        ),
        rising(lambda row: row.draught, "draught"),
        _agrees_with_itself,
        least=2,
    )

    def read(node: Node) -> Rows:
        return _estimate(node, lbp, breadth) if node.is_table else rows.read(node)

    return Field(f"{rows.expected}, or a table with at_draught and block_coefficient", read)


DRAUGHT: Final = number("m", above=0, most=40)


def _estimate(node: Node, lbp: float, breadth: float) -> Rows:
    """Return estimated rows; nothing, with faults, where the block coefficient is not known."""
    block_check = _block_possible(lbp, breadth)
    given: dict[str, Any] = record(
        dict,
        exactly_one("block_coefficient", "displacement", "ship_type"),
        block_check,
        at_draught=required(DRAUGHT),
        block_coefficient=optional(number(least=BLOCK[0], most=BLOCK[1])),
        displacement=optional(number("t", above=0)),
        ship_type=optional(choice(*BLOCK_BY_TYPE)),
        lcf=optional(lcf_of(lbp)),
    ).read(node)
    draught, block = given["at_draught"], _block(node, given, lbp, breadth)
    if isnan(block) or isnan(draught) or isnan(lbp) or isnan(breadth):
        return ()
    tpc = tpc_of(lbp, breadth, waterplane_coefficient(block))
    source = f"TPC at {draught:g} m, and MCTC, from length, breadth and block coefficient {block:.2f}"
    by_tpc = node.estimates.note(Guess(node.path, tpc, TPC_SPREAD * tpc, "t/cm", source)) / tpc
    lcf = given.get("lcf")
    if lcf is None:
        where = node.beside("lcf").path
        lcf = node.estimates.note(Guess(where, lbp / 2.0, LCF_SPREAD * lbp, "m", "LCF taken at midships"))
    return estimated_rows(lbp, breadth, draught, block, lcf, by_tpc)


def _block(node: Node, given: dict[str, Any], lbp: float, breadth: float) -> float:
    if "ship_type" in given:
        mean, deviation = BLOCK_BY_TYPE.get(given["ship_type"], (nan, nan))
        if isnan(mean):
            return nan
        source = f"block coefficient of a {given['ship_type'].replace('_', ' ')} ship, NILIM note 309"
        return node.estimates.note(Guess(node["ship_type"].path, mean, deviation, "", source))
    if "displacement" in given:
        return block_coefficient(given["displacement"], lbp, breadth, given["at_draught"])
    return float(given.get("block_coefficient", nan))


def _block_possible(lbp: float, breadth: float) -> Check:
    """Return the check that a displacement is one of such a hull."""

    def check(node: Node, given: dict[str, Any]) -> None:
        if "displacement" not in given:
            return
        block = block_coefficient(given["displacement"], lbp, breadth, given["at_draught"])
        if block < BLOCK[0] or block > BLOCK[1]:
            node["displacement"].fault(
                f"gives a block coefficient of {block:.2f}",
                f"{BLOCK[0]:g} to {BLOCK[1]:g}: deadweight, or another draught?",
            )

    return check
