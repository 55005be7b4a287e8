"""Answers -> texts of ship, berth and ropes, as YAML with comments; each may stand in a file of its own."""

from collections.abc import Iterator
from typing import Final

from alongside.reports.new_stay.asked_ropes import POINTS
from alongside.reports.new_stay.booklet_rows import whole_rows
from alongside.reports.new_stay.on_board import along_of, x_of
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.typed_bollards import bollard_x
from alongside.reports.new_stay.typed_fenders import fender_stiffness_of, fender_words
from alongside.reports.new_stay.values import Row, Value, as_key, number_of, quoted, word_of
from alongside.stay.bollard_places import below_rail, draught_at, station_abreast
from alongside.stay.fender_kinds import KINDS
from alongside.stay.heading import bearing_of_x
from alongside.stay.model import Marks, Place

ALONG_KEYS: Final = {"ap": "x", "stem": "from_stem", "stern": "from_stern"}
STATION_KEYS: Final = {**ALONG_KEYS, "ap": "ship_x"}
HEIGHT_KEYS: Final = {"keel": "z", "deck": "above_deck"}


def given(row: Row, name: str) -> str:
    """Return a figure as the file has it; "" where it is not given."""
    value = row.get(name)
    return "" if value is None else value.in_file() if isinstance(value, Value) else as_key(value)


def table(*pairs: tuple[str, str]) -> str:
    """Return a table on one line, without what is not given."""
    return "{" + ", ".join(f"{key}: {text}" for key, text in pairs if text) + "}"


# --- the ship


def ship_rows(sheet: Sheet) -> Iterator[str]:
    """Yield the section of the ship, one that is asked for."""
    hull, marks = sheet.one("hull"), sheet.one("marks")
    yield "# m: x forward of the aft perpendicular, y to port, z above the keel; kN where no unit stands."
    yield f"name: {quoted(sheet.word('ship', 'name'))}"
    for key, words in (("loa", "over all"), ("lbp", "between perpendiculars"), ("breadth", "moulded")):
        yield f"{key}: {given(hull, key)}    # {words}"
    yield f"depth: {given(hull, 'depth')}    # keel to deck"
    yield f"marks: {table(('fwd', given(marks, 'fwd')), ('aft', given(marks, 'aft')))}    # draught marks"
    if overhang := given(sheet.one("measure"), "overhang"):
        yield f"overhang_aft: {overhang}    # from the aft perpendicular aft to the stern"
    strength = sheet.one("strength")
    if design := given(strength, "design_mbl"):
        yield f"design_mbl_kn: {design}    # ship design MBL, from the towing and mooring plan"
    if gm := given(strength, "gm"):
        yield f"gm: {gm}    # metacentric height, the least of the stay"
    yield from _fitting_rows(sheet)
    yield from _wind_rows(sheet)
    yield "current: {coefficients: rule}    # acts where a current is known"
    yield from _hydrostatic_rows(sheet)


def _measure(sheet: Sheet) -> tuple[str, str]:
    measure = sheet.one("measure")
    return ALONG_KEYS[word_of(measure, "along") or "ap"], HEIGHT_KEYS[word_of(measure, "height") or "keel"]


def _fitting_rows(sheet: Sheet) -> Iterator[str]:
    along, height = _measure(sheet)
    rows = sheet.all("fairleads")
    yield "fairleads:    # where each line leaves the ship, from the mooring plan"
    for row in rows:
        if "along" in row:
            place = (along, given(row, "along")), ("y", given(row, "off")), (height, given(row, "height"))
            yield f"  {as_key(word_of(row, 'name'))}: {table(*place, ('swl_kn', given(row, 'swl')))}"
    winches = [row for row in rows if "winch_along" in row]
    if winches:
        yield "winches:    # brake_kn: holding as set, from the brake test sheet; without it not watched"
    for row in winches:
        at = (given(row, f"winch_{key}") for key in ("along", "off", "height"))
        there = zip((along, "y", height), at, strict=True)
        yield f"  {as_key(word_of(row, 'winch'))}: {table(*there, ('brake_kn', given(row, 'brake')))}"


def _wind_rows(sheet: Sheet) -> Iterator[str]:
    areas = sheet.one("windage")
    yield "wind:"
    yield f"  at_draught: {given(areas, 'draught')}    # mean draught that the areas belong to"
    for name, key in (("front", "front_m2"), ("side", "side_m2"), ("centroid", "side_centroid_x")):
        if name in areas:
            yield f"  {key}: {given(areas, name)}"
    if sheet.all("on_deck"):
        yield "  on_deck:    # areas that are not given are guessed from freeboard and these"
    for row in sheet.all("on_deck"):
        yield f"    - {table(*((key, given(row, key)) for key in ('x', 'length', 'height')))}"
    yield f"  coefficients: {sheet.word('form', 'set') or 'rule'}"


def _hydrostatic_rows(sheet: Sheet) -> Iterator[str]:
    rows = sheet.all("booklet")
    if len(rows) > 1:
        yield "hydrostatics:    # from the stability booklet; lcf forward of AP, or from midships with F or A"
        for row in whole_rows(rows, sheet.lbp, sheet.number("hull", "breadth")):
            keys = ("draught", "displacement", "tpc", "mctc", "lcf")
            yield f"  - {table(*((key, given(row, key)) for key in keys))}"
        return
    if rows:
        row = rows[0]
        parts = ("at_draught", given(row, "draught")), ("displacement", given(row, "displacement"))
        yield f"hydrostatics: {table(*parts, ('lcf', given(row, 'lcf')))}    # rows are estimated from it"
        return
    form = sheet.one("hull_form")
    parts = ("at_draught", given(form, "draught")), ("ship_type", given(form, "type"))
    yield f"hydrostatics: {table(*parts)}    # estimated; replace by rows of the booklet"


# --- the berth


def place_of(sheet: Sheet) -> Place:
    """Return which station of the ship lies abreast of which of the berth, in the frames of the file."""
    return Place(x_of(sheet, sheet.number("place", "station")), sheet.number("place", "berth"))


def place_text(sheet: Sheet) -> str:
    """Return the place as the file has it: measured as she is, a guess as one."""
    row = sheet.one("place")
    return table((STATION_KEYS[along_of(sheet)], given(row, "station")), ("berth_x", given(row, "berth")))


def berth_rows(sheet: Sheet) -> Iterator[str]:
    """Yield the section of the berth, one that is asked for."""
    heads = sheet.one("heading")
    yield "# m: x to the right as one looks at the water, y out to the water, z above chart datum."
    yield f"name: {quoted(sheet.word('berth', 'name'))}"
    bearing = bearing_of_x(number_of(heads, "heads"), sheet.side)
    yield f"bearing_of_x: {bearing:g}    # true; her heading alongside was {number_of(heads, 'heads'):g}"
    if depth := given(sheet.one("water"), "depth"):
        yield f"charted_depth: {depth}    # below chart datum"
    quay = sheet.one("quay")
    if edge := given(quay, "edge"):
        yield f"edge_to_fenders: {edge}    # from the edge of the quay out to the fender face"
    if pace := given(quay, "pace"):
        yield f"pace: {pace}"
    if sheet.word("heights", "way") == "pontoon":
        yield "floats: on    # a pontoon: bollards ride with the water"
    yield "bollards:"
    for row in sheet.all("bollards"):
        yield f"  {as_key(word_of(row, 'name'))}: {_bollard(sheet, row)}"
    fenders = [row for row in sheet.all("fenders") if word_of(row, "kind") != "none"]
    if fenders:
        yield "fenders:"
    for row in fenders:
        yield from _fender_rows(row)


def _bollard(sheet: Sheet, row: Row) -> str:
    name = word_of(row, "name")
    if "from" in row:
        along = [("from", as_key(word_of(row, "from"))), ("along", given(row, "along"))]
    else:
        along = [("x", given(row, "along"))]
    edge = "edge" in sheet.one("quay")
    back = ("set_back", given(row, "back")) if edge else ("y", _negative(row, "back"))
    return table(*along, back, *_height(sheet, row, name), ("swl_kn", given(row, "swl")))


def _negative(row: Row, name: str) -> str:
    """Return a distance behind the fender face as y."""
    value = row.get(name)
    if not isinstance(value, Value):
        return ""
    text = value.text[1:] if value.text.startswith("-") else f"-{value.text}"
    return Value(
        -value.number, text.replace("-0.0", "0.0") if value.number else "0", value.spread, value.source
    ).in_file()


def _height(sheet: Sheet, row: Row, name: str) -> tuple[tuple[str, str], ...]:
    """Return the height of a bollard; below her rail is worked out, for a berth serves other ships too."""
    heights = sheet.one("heights")
    way = word_of(heights, "way") or "cd"
    if way == "cd":
        return (("z", given(row, "height")),)
    if way == "pontoon":
        return (("over_water", given(row, "height")),)
    if way == "water":
        return ("over_water", given(row, "height")), ("tide", given(heights, "tide"))
    place = place_of(sheet)
    name = word_of(row, "height_of") or name
    station = station_abreast(bollard_x(sheet)[name], place, sheet.side)
    station = min(max(station, 0.0), sheet.lbp)
    ship = sheet.known_ship
    marks = ship.marks if ship else Marks(sheet.number("marks", "fwd"), sheet.number("marks", "aft"))
    fwd, aft = (number_of(heights, f"draught_{end}") for end in ("fwd", "aft"))
    draught = draught_at(station, marks, fwd, aft)
    z = below_rail(
        number_of(row, "height"), number_of(heights, "rail_z"), draught, number_of(heights, "tide")
    )
    value = row["height"]
    spread = abs(number_of(row, "height") * value.spread) if isinstance(value, Value) else 0.0
    guess = f"{{guess: {z:.2f}, source: below the rail by eye, spread: {max(spread, 0.3):g}}}"
    return (("z", guess),)


def _fender_rows(row: Row) -> Iterator[str]:
    words, stiffness = fender_words(row), fender_stiffness_of(row)
    for x in str(row["at"]).split():
        if word_of(row, "kind") in KINDS:
            kind = table(("x", x), ("kind", word_of(row, "kind")), ("size", given(row, "size")))
            yield f"  - {kind}    # {words}"
        else:
            text = given(row, "stiffness") or f"{stiffness:g}"
            yield f"  - {table(('x', x), ('stiffness_kn_per_m', text))}"


# --- the ropes


def rope_rows(sheet: Sheet) -> Iterator[str]:
    """Yield the section of the ropes, those that are asked for."""
    yield "# Elongations in %, from the certificates; without them a guess by the material."
    for row in sheet.all("ropes"):
        yield f"{as_key(word_of(row, 'name'))}:"
        yield f"  material: {word_of(row, 'material')}"
        if construction := given(row, "construction"):
            yield f"  construction: {construction}"
        yield f"  mbl_kn: {given(row, 'mbl')}    # of the new rope"
        if POINTS["five"][0] in row:
            yield f"  stretch: {{at_10_to_50: [{', '.join(given(row, each) for each in POINTS['five'])}]}}"
        elif points := [(each, given(row, each)) for each in ("at_half", "at_break") if each in row]:
            yield f"  stretch: {table(*points)}"
        else:
            yield "  # stretch: not known, a guess by the material; replace by the certificate's"
