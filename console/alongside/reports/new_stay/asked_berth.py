"""Questions about the berth: drawing of the port, chart, tape and paces."""

import re
from typing import Final

from alongside.reports.new_stay.on_board import MEASURED, along_of, check_on_board, far_of
from alongside.reports.new_stay.question import Default, Figure, Question, Typed
from alongside.reports.new_stay.sheet import Sheet, expected_name
from alongside.reports.new_stay.typed_bollards import (
    ALONG,
    BOLLARD_ASKS,
    HEIGHTS,
    bollard_row,
    bollard_words,
    bollard_x,
    heights_of,
)
from alongside.reports.new_stay.typed_fenders import SIZE, STIFFNESS, fender_row
from alongside.reports.new_stay.typed_figures import FREE_TEXT, ONE_WORD, with_unit
from alongside.reports.new_stay.values import Refused, Row, Value, read_number
from alongside.stay.fender_kinds import KINDS
from alongside.stay.fields import choice, force, number
from alongside.wording.safe import safe


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
        reader=heights_of,
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
        reader=bollard_row,
        worded=bollard_words,
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
        reader=fender_row,
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
