"""Questions about the stay as a whole, and about what is planned: tide, cargo, limits."""

import re
from datetime import date, timedelta
from typing import Final

from alongside.reports.new_stay.asked_berth import named_or_file
from alongside.reports.new_stay.on_board import MEASURED, along_of, check_on_board
from alongside.reports.new_stay.question import Default, Figure, Question, Typed, in_order
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.typed_figures import FREE_TEXT, ONE_WORD, meant_of
from alongside.reports.new_stay.typed_times import day_of, time_at, time_value
from alongside.reports.new_stay.values import Row, Value, number_of, read_number
from alongside.stay.display import ZONE
from alongside.stay.fields import choice, number
from alongside.stay.gear import GEAR
from alongside.units import iso_time
from alongside.wording.times import local

HEIGHT: Final = number("m", least=-20, most=30)
NO_TIDE: Final = "none"
GEAR_USUAL: Final = "ship_gear"
LEVEL: Final = "level"
"""Typed before the height of the water in a dock."""


def _ship_name(_question: Question, typed: Typed) -> Row:
    return named_or_file(typed, "ship", tuple(typed.sheet.shelf.ships))


def _zone(question: Question, typed: Typed) -> Row:
    """Return the zone of the place; `+1`, `+01`, `+0100` and `1` are understood."""
    text = typed.text.strip()
    if re.fullmatch(r"\d\d?(:?\d\d)?", text):
        text = f"+{text}"  # hours from UTC without a sign are ahead of it
    if text[:1] in "+-" and text[1:].replace(":", "").isdigit():
        digits = text[1:].replace(":", "")
        digits = (digits.zfill(2) if len(digits) < 3 else digits.zfill(4)).ljust(4, "0")
        text = f"{text[0]}{digits[:2]}:{digits[2:]}"
    return {"zone": str(question.figures[0].read(text, ""))}


def _begin_day(sheet: Sheet) -> date:
    at = sheet.number("fast", "at", sheet.now)
    return local(at, sheet.display).date()


def _tide(_question: Question, typed: Typed) -> Row:
    """Return high and low waters in order: `[date] time height time height …`; where the time goes back, it
    is the next day."""
    words = typed.text.split()
    if words == [NO_TIDE]:
        return {"waters": NO_TIDE}
    if words[:1] == [LEVEL] and not typed.before:
        if len(words) != 2:
            raise typed.refuse("the level of a dock is one figure", "such as level 4.2")
        return {"waters": NO_TIDE, LEVEL: read_number(HEIGHT, words[1], "level", typed.source)}
    last = number_of(typed.before[-1], "last") if typed.before else float("-inf")
    display = typed.sheet.display
    day = _begin_day(typed.sheet) if not typed.before else local(last, display).date()
    waters: list[tuple[float, float]] = []
    while words:
        is_dated = day_of(words[0]) is not None or "T" in words[0]
        at, day, taken = time_at(words, "high or low water", display, day)
        if at <= last and not is_dated:
            at, day, taken = time_at(words, "high or low water", display, day + timedelta(days=1))
        if at <= last:
            raise typed.refuse(f"{iso_time(at)} is not after the water before it", "times that rise")
        if len(words) <= taken:
            raise typed.refuse("a time without its height", "time and height in turn: 05:20 0.70 11:30 6.00")
        waters.append((at, read_number(HEIGHT, words[taken], "height", typed.source).number))
        last, words = at, words[taken + 1 :]
    if not waters:
        raise typed.refuse("no high or low water given", "time and height in turn, or none")
    text = " ".join(f"{at:.0f} {height:g}" for at, height in waters)
    return {"waters": text, "last": Value(last, f"{last:.0f}")}


def waters_of(sheet: Sheet) -> list[tuple[float, float]]:
    """Return (UNIX time, height) of all high and low waters."""
    waters: list[tuple[float, float]] = []
    for row in sheet.all("tide"):
        words = str(row["waters"]).split()
        if words != [NO_TIDE]:
            numbers = [float(word) for word in words]
            waters += zip(numbers[::2], numbers[1::2], strict=True)
    return waters


def waters_moved(waters: str, by: float) -> str:
    """Return high and low waters of a row so much higher."""
    words = waters.split()
    if words == [NO_TIDE]:
        return waters
    heights = (f"{float(word) + by:g}" for word in words[1::2])
    return " ".join(f"{at} {height}" for at, height in zip(words[::2], heights, strict=True))


def _cargo(question: Question, typed: Typed) -> Row:
    """Return an operation: `[date] start tonnes rate x`; a time before that of the row before is of the next
    day."""
    words = typed.text.split()
    display = typed.sheet.display
    last = number_of(typed.before[-1], "start") if typed.before else float("-inf")
    day = local(last, display).date() if typed.before else _begin_day(typed.sheet)
    at, day, taken = time_at(words, "start", display, day)
    if at < last and day_of(words[0]) is None and "T" not in words[0]:
        at, day, taken = time_at(words, "start", display, day + timedelta(days=1))
    rest = words[taken:]
    if len(rest) != 3:
        raise typed.refuse(f"{len(rest)} figures after the time", "tonnes, rate and place along the ship")
    figures = [
        figure.read(word, typed.source) for figure, word in zip(question.figures[1:], rest, strict=True)
    ]
    row: dict[str, Value | str] = {"start": time_value(at)}
    row |= {figure.name: value for figure, value in zip(question.figures[1:], figures, strict=True)}
    check_on_board(typed, number_of(row, "x"), "place")
    if number_of(row, "tonnes") == 0.0:
        raise typed.refuse("tonnes: 0 t changes nothing", "tonnes loaded, or discharged with a minus")
    return row


def _cargo_words(sheet: Sheet) -> dict[str, str]:
    """Return where the places of cargo are measured from, said aloud where her fairleads are not."""
    along = along_of(sheet)
    if along == "ap":
        return {}
    where = f"cargo plan; place in m forward of the AFT PERPENDICULAR, not {MEASURED[along]} as fairleads"
    return {"where": f"{where}. Nothing planned: Enter"}


def _clearances(question: Question, typed: Typed) -> Row:
    row = in_order(question, typed)
    high, middle, low = (number_of(row, figure.name) for figure in question.figures)
    if not high > middle > low:
        raise typed.refuse(
            "under-keel clearances do not fall", "caution, warning and alarm such as 1.0 0.6 0.3"
        )
    return row


def _gear_before(sheet: Sheet) -> Default:
    """Return the gear of the last stay here of this ship."""
    named = sheet.word("ship", "name"), sheet.word("berth", "name")
    known = [each for each in sheet.shelf.stays.values() if (each.ship, each.berth) == named and each.gear]
    return (
        Default(known[-1].gear, "as in her last stay here") if known else Default(GEAR_USUAL, "the default")
    )


FIRST_QUESTIONS: Final = (
    Question(
        "zone",
        "stay",
        "Clock",
        "Which clock does the ship keep here: hours from UTC, or the name of the zone?",
        "the ship's clock against UTC of the GPS",
        (Figure("zone", "zone", ZONE, is_word=True),),
        form="+1, +05:30, or Europe/Lisbon",
        example="+1",
        default=lambda _sheet: Default("+00:00", "UTC"),
        reader=_zone,
        paths=("display",),
    ),
    Question(
        "ship",
        "stay",
        "Ship",
        "What is the ship called? Or the file of a ship that is known here.",
        "her papers",
        (Figure("name", "name", FREE_TEXT, is_word=True),),
        example="Orlin Petrel",
        choices=lambda sheet: tuple(sheet.shelf.ships),
        reader=_ship_name,
        paths=("ship.name",),
    ),
    Question(
        "side",
        "stay",
        "Side",
        "Which side lies alongside?",
        "",
        (
            Figure(
                "side",
                "side",
                choice("port", "starboard"),
                is_word=True,
                written=meant_of("port", "starboard"),
            ),
        ),
        example="port",
        choices=lambda _sheet: ("port", "starboard"),
        paths=("alongside",),
    ),
)

PLAN_QUESTIONS: Final = (
    Question(
        "tide",
        "plans",
        "Tide",
        "When are high and low waters of the stay (time of the place), and how high above chart datum?",
        "tide table of the port, from before making fast to after sailing; times in the clock of the ship",
        (
            Figure("time", "time", ONE_WORD, is_word=True),
            Figure("height", "height", HEIGHT, swing=0.3),
        ),
        form="[date] time height time height …, as many as stand in a row; level 4.2 in a dock; none",
        example="2026-09-12 06:20 0.70 12:30 6.00 18:45 0.60",
        rows=True,
        least=1,
        reader=_tide,
        paths=("tide",),
    ),
    Question(
        "cargo",
        "plans",
        "Cargo and ballast",
        "What is worked, from when: tonnes (a minus for discharged), tonnes an hour, and where along her?",
        "cargo plan; m forward of the aft perpendicular. Nothing planned: Enter",
        (
            Figure("start", "start", ONE_WORD, is_word=True),
            Figure("tonnes", "tonnes", number("t"), swing=0.1, share=True, unit="t"),
            Figure("rate", "rate", number("t/h", above=0), unit="t/h", swing=0.1, share=True),
            Figure("x", "place", number("m", least=-100, most=700), swing=2.0),
        ),
        form="[date] start tonnes rate place",
        example="2026-09-12 09:30 -3600 600 86",
        rows=True,
        reader=_cargo,
        worded=_cargo_words,
        paths=("cargo",),
    ),
    Question(
        "gear",
        "plans",
        "Gear",
        "What works the cargo?",
        "it says how far she may move; manual page stay-file, gear",
        (Figure("gear", "gear", choice(*GEAR), is_word=True),),
        example="loading_arms",
        default=_gear_before,
        choices=lambda _sheet: tuple(GEAR),
        paths=("gear",),
    ),
    Question(
        "clearance",
        "plans",
        "Under-keel clearance",
        "From which under-keel clearance on are caution, warning and alarm due?",
        "the company's and the port's rules",
        (
            Figure("caution", "caution", number("m", least=0, most=20)),
            Figure("warning", "warning", number("m", least=0, most=20)),
            Figure("alarm", "alarm", number("m", least=0, most=20)),
        ),
        example="1.0 0.6 0.3",
        default=lambda _sheet: Default("1.00 0.60 0.30", "the default limits"),
        reader=_clearances,
        paths=("limits",),
    ),
)
