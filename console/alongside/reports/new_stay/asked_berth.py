"""Questions about the berth: drawing of the port, chart, tape and paces."""

import re
from typing import Final

from alongside.reports.new_stay.on_board import MEASURED, along_of, check_on_board, far_of
from alongside.reports.new_stay.question import Default, Figure, Question, Typed, read_figures
from alongside.reports.new_stay.sheet import Sheet, expected_name
from alongside.reports.new_stay.typed_figures import FREE_TEXT, ONE_WORD, meant_of, with_unit
from alongside.reports.new_stay.values import Refused, Row, Value, number_of, read_number, word_of
from alongside.stay.fender_kinds import KINDS, fender_stiffness, in_words
from alongside.stay.fields import choice, force, number
from alongside.wording.safe import safe

ALONG: Final = number("m", least=-5000, most=5000)
STIFFNESS: Final = number("kN/m", above=0)
SIZE: Final = number("m", least=0.2, most=6)
_ALONG: Final = re.compile(
    r"(?:(?P<origin>[^\s;,+-][^\s;,+]*)?(?P<sign>[+-]))?(?P<far>~?\d+(?:\.\d+)?)(?P<unit>p|m)?(?P<spread>/.*)?"
)
_GUESSED: Final = re.compile(r"^~([^\s;,+-]*[+-])(?!~)")
"""`~+30p`, which is the same as `+~30p`."""
ALONG_EXPECTED: Final = (
    "m from the first bollard such as -18.5, from the one before +24 or +30p in paces, from another B3-12"
)
MOST_FENDERS: Final = 200


def new_berth(sheet: Sheet) -> bool:
    return sheet.known_berth is None


def _berth_name(_question: Question, typed: Typed) -> Row:
    return named_or_file(typed, "berth", tuple(typed.sheet.shelf.berths))


def named_or_file(typed: Typed, what: str, files: tuple[str, ...]) -> Row:
    """Return a name, or the name of a file that is at hand, also where its ending is not typed. Raise Refused
    for a file that is not."""
    figure = Figure("name", f"the {what}'s name", FREE_TEXT, is_word=True)
    text = str(figure.read(typed.text, ""))
    text = next((name for name in files if name.rpartition(".")[0] == text), text)
    if text.endswith((".yaml", ".yml")) and text not in files:
        raise typed.refuse(
            f"there is no {what} file {safe(text)} that can be used here",
            f"the {what}'s name, or {expected_name(files, text) if files else 'a file beside the stay file'}",
        )
    return {"name": text}


HEIGHTS: Final = {
    "cd": (),
    "water": ("tide",),
    "rail": ("tide", "draught_fwd", "draught_aft", "rail_z"),
    "pontoon": (),
}
"""How heights of bollards are measured, and what is needed beside."""


def _heights(question: Question, typed: Typed) -> Row:
    words = typed.text.split()
    way = str(question.figures[0].read(words[0] if words else "", ""))
    needed = HEIGHTS[way]
    figures = [question.figures[0], *(each for each in question.figures if each.name in needed)]
    return read_figures(figures, typed, words)


def _bollard(question: Question, typed: Typed) -> Row:
    """Return a bollard: along the quay from the first, from the one before or from another."""
    words = typed.text.split()
    name = str(question.figures[0].read(words[0] if words else "", ""))
    known = [word_of(each, "name") for each in (*typed.sheet.all("bollards"), *typed.before)]
    if name in known:
        raise typed.refuse(f"bollard {safe(name)} stands in a row before", "another name for each")
    if len(words) < 2:
        raise typed.refuse("how far along: nothing given", ALONG_EXPECTED)
    along = _along(typed, words[1], known)
    rest = read_figures(question.figures[2:], typed, words[2:])
    return {"name": name, **along, **rest, **_height_of(typed, words)}


def _height_of(typed: Typed, words: list[str]) -> Row:
    """Return the bollard whose height serves where none is typed below her rail: the quay is level, her rail
    is not."""
    if len(words) > 3 or not typed.before or typed.sheet.word("heights", "way") != "rail":
        return {}
    last = typed.before[-1]
    return {"height_of": word_of(last, "height_of") or word_of(last, "name")}


def _bollard_words(sheet: Sheet) -> dict[str, str]:
    """Return what a height is, and which way it is more, as they are measured."""
    way = sheet.word("heights", "way") or "cd"
    return {"asks": f"{BOLLARD_ASKS} Height: {HEIGHT_WORDS[way]}."}


BOLLARD_ASKS: Final = (
    "Where is a bollard in use: how far along to the right as one looks at the water, how far behind the "
    "fender face (or the edge), how high, and what is its SWL?"
)
HEIGHT_WORDS: Final = {
    "cd": "m above chart datum",
    "water": "m over the water then",
    "rail": "m below her rail abreast of it, with a minus above it; not typed: the quay is as high as at the "
    "bollard before",
    "pontoon": "m over the water that it rides on",
}


def _along(typed: Typed, text: str, known: list[str]) -> Row:
    match = _ALONG.fullmatch(_GUESSED.sub(r"\1~", text))
    if match is None:
        raise typed.refuse(f"along: {safe(text)!r} is no place", ALONG_EXPECTED)
    origin = match["origin"] or ""
    sign = match["sign"] or ""
    if origin and origin not in known:
        raise typed.refuse(
            f"along: there is no bollard {safe(origin)} before it", expected_name(known, origin)
        )
    if sign and not origin and (sign == "+" or match["unit"] == "p") and not known:
        raise typed.refuse("along: this is the first bollard", "0, or m from a point that you count from")
    if sign == "+" and not origin:
        origin = known[-1]
    if match["unit"] == "p" and not origin:
        origin = known[-1] if known else ""
        if not origin:
            raise typed.refuse("along: paces from where", "0 for the first bollard")
    pace = typed.sheet.number("quay", "pace")
    if match["unit"] == "p" and not pace > 0.0:
        raise typed.refuse("along: paces of what length is not known", "m, or go back and give your pace")
    return _from(typed, match, origin, pace)


def _from(typed: Typed, match: "re.Match[str]", origin: str, pace: float) -> Row:
    minus = "-" if match["sign"] == "-" else ""
    far, paced = match["far"], match["unit"] == "p"
    text = (f"~{minus}{far[1:]}" if far.startswith("~") else f"{minus}{far}") + (match["spread"] or "")
    value = read_number(ALONG, text, "along", typed.source)
    if paced:
        metres = value.number * pace
        paces = f"{metres:.4g}" if value.spread else f"{value.text} paces"
        value = Value(metres, paces, value.spread, value.source)
    return {"along": value, **({"from": origin} if origin else {})}


def _fenders(question: Question, typed: Typed) -> Row:
    """Return fenders of one kind: `cone 1.2 -33 22`, `2600 -33 22`, `tyre 1.0 18 to 80 every 15.5`."""
    words = typed.text.split()
    if words == ["none"]:
        return {"kind": "none"}
    if len(words) < 2:
        raise typed.refuse(f"{safe(typed.text)!r} names no fenders", _FENDERS_EXPECTED)
    row: dict[str, Value | str] = {}
    kind = meant_of(*KINDS)(words[0], "kind")
    if kind in KINDS:
        row["kind"], row["size"] = kind, read_number(SIZE, words[1], f"size of a {kind}", typed.source)
        places = words[2:]
    elif re.fullmatch(r"~?[\d.]+(/.*)?", words[0]):
        row["stiffness"] = read_number(STIFFNESS, words[0], "stiffness", typed.source)
        places = words[1:]
    else:
        raise typed.refuse(f"there is no kind {safe(words[0])}", _FENDERS_EXPECTED)
    row["at"] = " ".join(f"{each:.7g}" for each in _places(typed, places))
    return row


_FENDERS_EXPECTED: Final = (
    f"a kind ({', '.join(KINDS)}) and its size, or kN/m, then m along from the first bollard; or none"
)


def _places(typed: Typed, words: list[str]) -> list[float]:
    if len(words) == 5 and words[1] == "to" and words[3] == "every":
        low, high, step = (read_number(ALONG, words[at], "fender", "").number for at in (0, 2, 4))
        if not 0.0 < step <= high - low or (high - low) / step > MOST_FENDERS:
            raise typed.refuse("fenders: the spacing does not fit", "such as 18 to 80 every 15.5")
        return [low + step * at for at in range(int((high - low) / step + 1e-6) + 1)]
    if not words:
        raise typed.refuse("where are the fenders: nothing given", "m along from the first bollard, each")
    return [read_number(ALONG, word, "fender", "").number for word in words]


def fender_words(row: Row) -> str:
    """Return what fenders of a row are, for the comment beside them."""
    kind = word_of(row, "kind")
    return in_words(kind, number_of(row, "size")) if kind in KINDS else ""


def fender_stiffness_of(row: Row) -> float:
    """Return kN/m of the fenders of a row."""
    kind = word_of(row, "kind")
    return fender_stiffness(kind, number_of(row, "size")) if kind in KINDS else number_of(row, "stiffness")


def bollard_x(sheet: Sheet) -> dict[str, float]:
    """Return m along the berth of each bollard, from the first one's count."""
    known = sheet.known_berth
    if known is not None:
        return {name: each.at.x for name, each in known.bollards.items()}
    places: dict[str, float] = {}
    for row in sheet.all("bollards"):
        places[word_of(row, "name")] = places.get(word_of(row, "from"), 0.0) + number_of(row, "along")
    return places


def _abreast(question: Question, typed: Typed) -> Row:
    """Return which station of the ship lies abreast of which bollard, or m beside it."""
    words = typed.text.split()
    if len(words) != 2:
        raise typed.refuse(
            f"{len(words)} words",
            "m along the ship, and the bollard abreast of it such as B3, B3+2.5 or 41.5",
        )
    places = bollard_x(typed.sheet)
    station = question.figures[0].read(words[0], typed.source)
    assert isinstance(station, Value)
    check_on_board(typed, station.number, "along the ship", along_of(typed.sheet))
    match = re.fullmatch(r"(?P<name>.+?)(?P<far>[+-]\d+(\.\d+)?)?", words[1])
    if match is not None and match["name"] in places:
        x = places[match["name"]] + float(match["far"] or 0.0)
        return {"station": station, "berth": Value(x, f"{x:.7g}"), "abreast": words[1]}
    try:
        return {"station": station, "berth": read_number(ALONG, words[1], "abreast of", typed.source)}
    except Refused as refusal:
        raise typed.refuse(
            f"there is no bollard {safe(words[1])}", expected_name(tuple(places), words[1])
        ) from refusal


BERTH_QUESTIONS: Final = (
    Question(
        "berth",
        "berth",
        "Berth",
        "What is the berth called? Or the file of a berth that is known here.",
        "port guide, chart",
        (Figure("name", "name", FREE_TEXT, is_word=True),),
        example="Skerrin jetty",
        choices=lambda sheet: tuple(sheet.shelf.berths),
        reader=_berth_name,
        paths=("berth.name",),
    ),
    Question(
        "heading",
        "berth",
        "Heading alongside",
        "What is her true heading alongside?",
        "gyro, alongside; the chart where she is not there yet",
        (Figure("heads", "true heading", number("deg", least=0, most=360), unit="°", swing=5.0),),
        example="008",
        asked=new_berth,
        paths=("berth.bearing_of_x", "heads"),
    ),
    Question(
        "water",
        "berth",
        "Depth",
        "What is the charted depth alongside, m below chart datum?",
        "chart, port guide; - where not known: under-keel clearance is then not watched",
        (Figure("depth", "charted depth", number("m", least=-20, most=200), optional=True),),
        example="9.4",
        asked=new_berth,
        paths=("berth.charted_depth",),
    ),
    Question(
        "quay",
        "berth",
        "Edge and pace",
        "How far do the fenders stand out from the edge of the quay, and how long is your pace?",
        "tape over the edge; 20 m by tape, paced. - for the first: bollards are measured from the fender "
        "face",
        (
            Figure("edge", "edge to fender face", number("m", least=0, most=10), optional=True, swing=0.3),
            Figure("pace", "pace", number("m", least=0.4, most=1.5), optional=True),
        ),
        example="0.8 0.75",
        asked=new_berth,
        default=lambda _sheet: Default("- -", "bollards from the fender face, nothing in paces"),
        paths=("berth.edge_to_fenders", "berth.pace"),
    ),
    Question(
        "heights",
        "berth",
        "Heights of bollards",
        "How are heights of bollards measured: above chart datum, over the water, or below her rail?",
        "cd: drawing of the port. water TIDE: tape down to the water, and the tide board then. "
        "rail TIDE FWD AFT RAIL: by eye from her rail, with draughts then and height of the rail above "
        "the keel. pontoon: over the water, with which they ride",
        (
            Figure("way", "way", choice(*HEIGHTS), is_word=True),
            Figure("tide", "tide then", number("m", least=-20, most=30), swing=0.2),
            Figure("draught_fwd", "draught forward then", number("m", above=0, most=40), swing=0.1),
            Figure("draught_aft", "draught aft then", number("m", above=0, most=40), swing=0.1),
            Figure("rail_z", "rail above the keel", number("m", above=0, most=80), swing=0.2),
        ),
        form="cd; or water TIDE; or rail TIDE FWD AFT RAIL-ABOVE-KEEL; or pontoon",
        example="water 0.72",
        asked=new_berth,
        default=lambda _sheet: Default("cd", "above chart datum, as drawings of the port have it"),
        choices=lambda _sheet: tuple(HEIGHTS),
        reader=_heights,
        paths=(),
    ),
    Question(
        "bollards",
        "berth",
        "Bollards",
        BOLLARD_ASKS,
        "drawing of the port; tape and paces; the SWL is painted on it or in the port guide. The first "
        "one at 0",
        (
            Figure("name", "bollard", ONE_WORD, is_word=True),
            Figure("along", "along", ALONG, swing=1.5),
            Figure("back", "behind", number("m", least=-50, most=500), as_before=True, swing=0.5),
            Figure("height", "height", number("m", least=-40, most=50), as_before=True, swing=0.3),
            Figure("swl", "SWL", force(above=0), as_before=True, optional=True, unit="kN", written=with_unit),
        ),
        form="bollard along(+24, +30p, B3-12) [behind height SWL, else as the row before; SWL - if not "
        "known]",
        example="B1 0 1.5 2.6 60t",
        rows=True,
        least=1,
        asked=new_berth,
        reader=_bollard,
        worded=_bollard_words,
        paths=("berth.bollards",),
    ),
    Question(
        "fenders",
        "berth",
        "Fenders",
        "Which fenders does she lie on: kind and size (or stiffness), and where along, from the first "
        "bollard?",
        f"by eye and tape: {', '.join(KINDS)}; size is diameter, of arch, cone and cell height. Drawing "
        "of the "
        "port for kN/m. none: she is held in place, and wind does not move her",
        (
            Figure("kind", "kind", choice(*KINDS), is_word=True),
            Figure("size", "size", SIZE),
            Figure("stiffness", "stiffness", STIFFNESS, swing=0.5, share=True, unit="kN/m"),
        ),
        form="kind size places, kN/m places, or none; places such as 18 34 50, or 18 to 80 every 15.5; "
        "kinds parted by ;",
        example="cone 1.2 -33 -22 22 33",
        asked=new_berth,
        reader=_fenders,
        paths=("berth.fenders",),
    ),
)


def _place_before(sheet: Sheet) -> Default | None:
    """Return the place of the last stay here of this ship."""
    named = sheet.word("ship", "name"), sheet.word("berth", "name"), sheet.side
    known = [each for each in sheet.shelf.stays.values() if (each.ship, each.berth, each.side) == named]
    if not known:
        return None
    (x, abreast), spread = known[-1].place, known[-1].place_spread
    station = far_of(sheet, x)
    share = min(90.0, 100.0 * spread / abs(station)) if station else 0.0
    text = f"~{station:.7g}/{share:.3g}%" if share else f"{station:.7g}"
    return Default(f"{text} {abreast:.7g}", "as in her last stay here")


def _place_words(sheet: Sheet) -> dict[str, str]:
    along = along_of(sheet)
    asks = f"Which point of the ship ({MEASURED[along]}) lies abreast of which bollard?"
    return {"asks": asks, "example": {"ap": "69 B3", "stem": "72.5 B3", "stern": "72 B3"}[along]}


PLACE_QUESTION: Final = Question(
    "place",
    "berth",
    "Place",
    "Which point of the ship (m along her) lies abreast of which bollard?",
    "look across from a bollard; manifold, a frame, the bridge front",
    (
        Figure("station", "along the ship", number("m", least=-20, most=600), swing=1.0),
        Figure("berth", "abreast of", ALONG),
    ),
    form="along-the-ship bollard(B3, B3+2.5) or m along the quay",
    example="69 B3",
    default=_place_before,
    reader=_abreast,
    worded=_place_words,
    paths=("place",),
)
