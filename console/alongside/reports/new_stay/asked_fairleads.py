"""Questions about fairleads and winches, and how places on board are measured: mooring plan, tape."""

from typing import Final

from alongside.reports.new_stay.asked_ship import FORCE, PLACE, new_ship
from alongside.reports.new_stay.on_board import MEASURED, along_of
from alongside.reports.new_stay.question import Default, Figure, Question, Typed, in_order
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.typed_figures import ONE_WORD, to_port, with_unit
from alongside.reports.new_stay.values import NONE, Refused, Row, word_of
from alongside.stay.fields import choice, number
from alongside.wording.safe import safe


def _fairlead(question: Question, typed: Typed) -> Row:
    """Return a fairlead, and the winch that its line comes from; one named before needs its name only."""
    row = in_order(question, typed)
    rows = (*typed.sheet.all("fairleads"), *typed.before)
    fairleads = {word_of(each, "name") for each in rows}
    winches = {word_of(each, "winch") for each in rows}
    name, winch = word_of(row, "name"), word_of(row, "winch")
    _placed(typed, row, ("along", "off", "height"), f"fairlead {name}", name in fairleads)
    if winch:
        _placed(typed, row, ("winch_along", "winch_off", "winch_height"), f"winch {winch}", winch in winches)
    elif "brake" in row:
        raise typed.refuse("a brake without its winch", "the winch before it")
    if name in fairleads and (not winch or winch in winches):
        raise typed.refuse(f"fairlead {safe(name)} stands in a row before", "another name for each fairlead")
    return row


def _fairlead_words(sheet: Sheet) -> dict[str, str]:
    """Return question and example in the measure that was answered."""
    along, height = along_of(sheet), sheet.measure("height") or "keel"
    far, winch = {"ap": ("140", "130"), "stem": ("2", "12"), "stern": ("142.5", "132.5")}[along]
    up, winch_up = {"keel": ("15.4", "16"), "deck": ("3.0", "3.6")}[height]
    over = {"keel": "m above the keel", "deck": "m above the main deck"}[height]
    return {
        "asks": f"Where is a fairlead in use ({MEASURED[along]}; {over}), and the winch that its line comes "
        "from; what does the brake hold as set?",
        "example": f"F1 {far} 1.5P {up} W1 {winch} 1.0S {winch_up} 29t",
    }


def _placed(typed: Typed, row: Row, keys: tuple[str, ...], what: str, is_known: bool) -> None:
    given = [key for key in keys if key in row]
    if is_known and given:
        raise typed.refuse(f"{safe(what)} stands in a row before", f"{NONE} for its place, or another name")
    if not is_known and len(given) < len(keys):
        raise typed.refuse(f"{safe(what)}: its place is not whole", "along, off the centreline and height")


def brake(text: str, what: str) -> str:
    """Return a brake's holding: a force with its unit. Raise Refused."""
    if text.endswith("%"):
        raise Refused(
            f"{what}: {safe(text)} of what, expected such as 26t or 255kN, from the brake test sheet"
        )
    return with_unit(text, what)


FAIRLEAD_QUESTIONS: Final = (
    Question(
        "measure",
        "ship",
        "How she is measured",
        "How do you measure along her, and heights?",
        "ap: forward of the aft perpendicular, as drawings; stem: aft of the stem; stern: forward of the "
        "stern, then the overhang of the stern matters. keel: above the keel; deck: above the main deck",
        (
            Figure("along", "along", choice("ap", "stem", "stern"), is_word=True),
            Figure("height", "heights", choice("keel", "deck"), is_word=True),
            Figure(
                "overhang",
                "stern aft of the aft perpendicular",
                number("m", least=-10, most=60),
                optional=True,
                swing=1.0,
            ),
        ),
        form="ap, stem or stern; keel or deck; [m from the aft perpendicular aft to the stern]",
        example="stem deck 3.5",
        asked=new_ship,
        default=lambda _sheet: Default("ap keel", "as drawings have it"),
        choices=lambda _sheet: ("ap keel", "ap deck", "stem deck", "stern deck"),
        paths=("ship.overhang_aft",),
    ),
    Question(
        "fairleads",
        "ship",
        "Fairleads and winches",
        "Where is a fairlead in use, and the winch that its line comes from; what does the brake hold as "
        "set?",
        "mooring plan; heights by tape from the deck; brake: the brake test sheet. Bitts beside the "
        "fairlead: "
        "no winch",
        (
            Figure("name", "fairlead", ONE_WORD, is_word=True),
            Figure("along", "along", PLACE, optional=True, swing=1.0),
            Figure("off", "off the centreline", PLACE, optional=True, swing=0.5, written=to_port),
            Figure("height", "height", PLACE, optional=True, swing=0.5),
            Figure("winch", "winch", ONE_WORD, is_word=True, optional=True),
            Figure("winch_along", "winch along", PLACE, optional=True, swing=1.0),
            Figure("winch_off", "winch off the centreline", PLACE, optional=True, swing=0.5, written=to_port),
            Figure("winch_height", "winch height", PLACE, optional=True),
            Figure("brake", "brake", FORCE, optional=True, swing=0.2, share=True, unit="kN", written=brake),
            Figure("swl", "SWL of the chock", FORCE, optional=True, unit="kN", written=with_unit),
        ),
        form="fairlead along off(P/S) height [winch along off(P/S) height [brake [SWL of the chock]]]",
        example="F1 140 1.5P 15.4 W1 130 1.0S 16 29t",
        worded=_fairlead_words,
        rows=True,
        least=1,
        asked=new_ship,
        reader=_fairlead,
        paths=("ship.fairleads", "ship.winches"),
    ),
)
