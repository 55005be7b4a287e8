"""Questions about the ship: general arrangement, stability booklet, mooring plan, certificates."""

from dataclasses import replace
from typing import Final

from alongside.reports.new_stay.on_board import on_her
from alongside.reports.new_stay.question import Default, Figure, Question, Typed, read_figures
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.typed_figures import with_unit
from alongside.reports.new_stay.values import Row, number_of
from alongside.stay.coefficients import WIND_SETS
from alongside.stay.fields import choice, force, number
from alongside.stay.hull_estimates import BLOCK_BY_TYPE
from alongside.stay.hydrostatics import lcf_of
from alongside.wording.safe import safe

LENGTH: Final = number("m", above=0, most=600)
PLACE: Final = number("m")
DRAUGHT: Final = number("m", above=0, most=40)
FORCE: Final = force(above=0)
MARKS_INSIDE: Final = 0.03
"""Of LBP: draught marks stand so far within the perpendiculars; common practice, no source."""
MARKS_SPREAD: Final = 0.5
LADEN: Final = 0.7
"""Of the depth: a summer draught; common practice, no source."""
HOUSE: Final = (0.10, 0.14, 0.08)
"""Of LBP: middle, length and height above the deck of a house aft; common practice, no source."""


def new_ship(sheet: Sheet) -> bool:
    return sheet.known_ship is None


def _marks(sheet: Sheet) -> Default | None:
    lbp = sheet.lbp
    inside = MARKS_INSIDE * lbp
    share = min(99.0, round(MARKS_SPREAD * 100))
    return Default(
        f"~{lbp - inside:.1f}/2% ~{inside:.1f}/{share:g}%", "3 % of LBP within the perpendiculars, practice"
    )


def _booklet_row(question: Question, typed: Typed) -> Row:
    """Return a row of the booklet: draught and displacement, or with TPC, MCTC and LCF all five."""
    words = typed.text.split()
    figures = (*question.figures[:-1], replace(question.figures[-1], field=lcf_of(typed.sheet.lbp)))
    if len(words) in (2, 5):
        row = read_figures(figures, typed, words)
        if number_of(row, "draught") in [number_of(each, "draught") for each in typed.before]:
            raise typed.refuse(f"draught {safe(words[0])} stands in a row before", "another draught for each")
        return row
    raise typed.refuse(
        f"{len(words)} figures", "draught and displacement, or draught, displacement, TPC, MCTC and LCF"
    )


def _no_booklet(sheet: Sheet) -> bool:
    return new_ship(sheet) and not sheet.all("booklet")


def _areas_default(sheet: Sheet) -> Default | None:
    draughts = [number_of(row, "draught") for row in sheet.all("booklet")]
    draught = draughts[0] if draughts else sheet.number("hull_form", "draught", LADEN * sheet.depth)
    draught = min(draught, 0.9 * sheet.depth)
    return Default(f"- - {draught:g}", "areas from freeboard and what stands on deck, in the next question")


def _area_missing(sheet: Sheet) -> bool:
    areas = sheet.one("windage")
    return new_ship(sheet) and not ("front" in areas and "side" in areas)


def _house(sheet: Sheet) -> Default | None:
    if sheet.all("on_deck"):
        return None
    x, length, height = (share * sheet.lbp for share in HOUSE)
    return Default(f"{x:.0f} {length:.0f} ~{height:.0f}/30%", "a house aft of usual size, practice")


SHIP_QUESTIONS: Final = (
    Question(
        "hull",
        "ship",
        "Hull",
        "What are her length over all, length between perpendiculars, breadth, and depth from keel to deck?",
        "general arrangement, or the particulars in the stability booklet",
        (
            Figure("loa", "length over all", LENGTH),
            Figure("lbp", "length between perpendiculars", LENGTH),
            Figure("breadth", "breadth", number("m", above=0, most=100), swing=0.5),
            Figure("depth", "depth to deck", number("m", above=0, most=60)),
        ),
        example="144.5 138 23 12.4",
        asked=new_ship,
        paths=("ship.loa", "ship.lbp", "ship.breadth", "ship.depth"),
    ),
    Question(
        "marks",
        "ship",
        "Draught marks",
        "Where are the forward and the aft draught marks, m forward of the aft perpendicular?",
        "stability booklet, page of the draught marks; or tape on the general arrangement",
        (
            Figure("fwd", "forward marks", PLACE, swing=1.0),
            Figure("aft", "aft marks", PLACE, swing=1.0),
        ),
        example="133 4",
        asked=new_ship,
        default=_marks,
        reader=on_her("fwd", "aft"),
        paths=("ship.marks",),
    ),
    Question(
        "booklet",
        "ship",
        "Hydrostatics",
        "What does the booklet say for a draught? One row each, from light to laden; two are enough, from "
        "one alone all others are estimated by its draught and displacement.",
        "stability booklet, hydrostatic table; the deadweight scale for draught and displacement",
        (
            Figure("draught", "draught", DRAUGHT),
            Figure("displacement", "displacement", number("t", above=0), swing=0.03, share=True, unit="t"),
            Figure("tpc", "TPC", number("t/cm", above=0), optional=True, unit="t/cm"),
            Figure("mctc", "MCTC", number("t m/cm", above=0), optional=True, unit="t m/cm"),
            Figure("lcf", "LCF", PLACE, optional=True, swing=1.0),
        ),
        form="draught displacement [TPC MCTC LCF from the aft perpendicular, or as 1.2F, 0.8A from midships]",
        example="8.0 21072 28.9 261 68.7",
        rows=True,
        asked=new_ship,
        reader=_booklet_row,
        paths=("ship.hydrostatics",),
    ),
    Question(
        "hull_form",
        "ship",
        "Hull form",
        "Without a booklet: what type of ship is she, and what is her summer draught?",
        "the load line certificate has the draught",
        (
            Figure("type", "type", choice(*BLOCK_BY_TYPE), is_word=True),
            Figure("draught", "summer draught", DRAUGHT),
        ),
        example="oil_tanker 8.9",
        asked=_no_booklet,
        default=lambda sheet: Default(
            f"general_cargo {LADEN * sheet.depth:.1f}",
            "block coefficient by type of ship, draught 0.7 of depth",
        ),
        choices=lambda _sheet: tuple(BLOCK_BY_TYPE),
        paths=("ship.hydrostatics",),
    ),
    Question(
        "windage",
        "ship",
        "Wind areas",
        "What are her wind areas from ahead and from the side, at which mean draught, and where is the "
        "middle "
        "of the side area?",
        "stability booklet, page of the weather criterion; - for what it does not have",
        (
            Figure(
                "front",
                "area from ahead",
                number("m2", above=0),
                optional=True,
                swing=0.2,
                share=True,
                unit="m2",
            ),
            Figure(
                "side",
                "area from the side",
                number("m2", above=0),
                optional=True,
                swing=0.2,
                share=True,
                unit="m2",
            ),
            Figure("draught", "mean draught", DRAUGHT),
            Figure(
                "centroid",
                "middle of the side area, m forward of the aft perpendicular",
                PLACE,
                optional=True,
                swing=4.0,
            ),
        ),
        form="from-ahead from-the-side at-draught [middle], m2, m2, m, m; - where not known",
        example="- 1260 8.5 58",
        asked=new_ship,
        default=_areas_default,
        reader=on_her("centroid"),
        paths=("ship.wind",),
    ),
    Question(
        "on_deck",
        "ship",
        "On deck",
        "What stands on deck and catches wind: its middle forward of the aft perpendicular, length, height?",
        "general arrangement; house, forecastle, containers, one row each",
        (
            Figure("x", "middle", PLACE),
            Figure("length", "length", LENGTH),
            Figure("height", "height above deck", number("m", above=0, most=80), swing=0.3, share=True),
        ),
        example="14 20 14",
        rows=True,
        least=1,
        asked=_area_missing,
        default=_house,
        reader=on_her("x"),
        paths=("ship.wind",),
    ),
    Question(
        "form",
        "ship",
        "Form for the wind",
        "Which of these is most like her, for how the wind takes her?",
        "manual page holding; rule is the rule of thumb for wind from abeam",
        (Figure("set", "form", choice(*(each for each in WIND_SETS if each != "isherwood")), is_word=True),),
        example="tanker_loaded",
        asked=new_ship,
        default=lambda _sheet: Default("rule", "rule of thumb"),
        choices=lambda _sheet: tuple(each for each in WIND_SETS if each != "isherwood"),
        paths=("ship.wind.coefficients",),
    ),
    Question(
        "strength",
        "ship",
        "Design MBL and GM",
        "What is the ship design MBL, and the least GM of the stay?",
        "towing and mooring plan has the ship design MBL, the loading computer GM; - for what is not known",
        (
            Figure(
                "design_mbl",
                "ship design MBL",
                FORCE,
                optional=True,
                unit="kN",
                swing=0.05,
                share=True,
                written=with_unit,
            ),
            Figure("gm", "GM", number("m", above=0, most=30), optional=True, swing=0.2, share=True),
        ),
        example="49t 2.4",
        asked=new_ship,
        default=lambda _sheet: Default("- -", "not known: working limits by the ropes, no list by wind"),
        paths=("ship.design_mbl_kn", "ship.gm"),
    ),
)
