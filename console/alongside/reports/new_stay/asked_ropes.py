"""Questions about the ropes: certificates, or material and construction."""

from typing import Final

from alongside.reports.new_stay.asked_berth import named_or_file
from alongside.reports.new_stay.question import Default, Figure, Question, Typed
from alongside.reports.new_stay.sheet import Sheet, expected_name
from alongside.reports.new_stay.typed_figures import ONE_WORD, with_unit
from alongside.reports.new_stay.values import NONE, Row, Value, read_number, word_of
from alongside.stay.fields import choice, force, number
from alongside.stay.rope_stretch import CONSTRUCTIONS
from alongside.stay.ropes import MATERIALS
from alongside.stay.stretch import PERCENT
from alongside.wording.safe import safe

NEW: Final = "new"
POINTS: Final = {
    "half": ("at_half",),
    "break": ("at_break",),
    "five": tuple(f"at_{at}" for at in range(10, 60, 10)),
}
"""Words before the elongations that a certificate gives, and the names of the figures behind each."""
TAIL_WORDS: Final = "rope, rope of the tail, length of the tail"


def new_ropes(sheet: Sheet) -> bool:
    return sheet.known_ropes is None


def _ropes_file(_question: Question, typed: Typed) -> Row:
    if typed.text == NEW:
        return {"name": NEW}
    files = tuple(typed.sheet.shelf.ropes)
    if typed.text not in files:
        raise typed.refuse(f"there is no ropes file {safe(typed.text)}", f"{NEW}, or {', '.join(files)}")
    return named_or_file(typed, "ropes", files)


def _rope(question: Question, typed: Typed) -> Row:
    """Return a rope: name, material, construction where given, MBL, and the points of its certificate."""
    words = typed.text.split()
    if len(words) < 3:
        raise typed.refuse(f"{len(words)} words", "name, material and MBL: polyester_60 polyester 640kN")
    named, material, construction, mbl = question.figures[:4]
    row: dict[str, Value | str] = {"name": str(named.read(words[0], ""))}
    if row["name"] in [word_of(each, "name") for each in typed.before]:
        raise typed.refuse(f"rope {safe(words[0])} stands in a row before", "another name for each")
    row["material"] = material.read(words[1], "")
    rest = words[2:]
    if rest[0] in CONSTRUCTIONS or (
        rest[0] not in (NONE,) and not rest[0][0].isdigit() and rest[0][0] != "~"
    ):
        row["construction"] = construction.read(rest.pop(0), "")
    elif rest[0] == NONE:
        rest.pop(0)
    if not rest:
        raise typed.refuse("MBL: nothing given", "such as 640kN or 65t")
    row["mbl"] = mbl.read(rest[0], typed.source)
    return {**row, **_points(typed, rest[1:])}


def _points(typed: Typed, words: list[str]) -> Row:
    """Return the elongations that are given, %, each with the load that it is at."""
    row: dict[str, Value | str] = {}
    while words:
        names = POINTS.get(words[0])
        if names is None:
            raise typed.refuse(
                f"{safe(words[0])!r} is not known here",
                "half 12.5 (% at half of MBL), break 21, or five 3.0 5.0 6.7 8.2 9.6 (at 10 to 50 %)",
            )
        if len(words) <= len(names):
            raise typed.refuse(f"{words[0]}: {len(words) - 1} figures", f"{len(names)}, in %")
        for name, word in zip(names, words[1:], strict=False):
            row[name] = read_number(PERCENT, word, f"elongation {name.replace('_', ' ')}", typed.source)
        words = words[1 + len(names) :]
    return row


def _tail(question: Question, typed: Typed) -> Row:
    """Return which rope has which tail; `none` for no tails."""
    words = typed.text.split()
    if words == ["none"]:
        return {"rope": "none"}
    if len(words) != 3:
        raise typed.refuse(f"{len(words)} words", f"{TAIL_WORDS}; or none")
    ropes = typed.sheet.rope_names
    for word in words[:2]:
        if word not in ropes:
            raise typed.refuse(f"there is no rope {safe(word)}", expected_name(ropes, word))
    return {"rope": words[0], "tail": words[1], "length": question.figures[2].read(words[2], typed.source)}


def tail_of(sheet: Sheet, rope: str) -> Row:
    """Return the tail that lines of a rope have; an empty row for none."""
    return next((row for row in sheet.all("tails") if word_of(row, "rope") == rope), {})


ROPE_QUESTIONS: Final = (
    Question(
        "ropes_file",
        "ropes",
        "Ropes",
        "Are the ropes those of a file that is known here, or new?",
        "files beside the stay file",
        (Figure("name", "file", ONE_WORD, is_word=True),),
        form="new, or the name of the file",
        example="new",
        asked=lambda sheet: bool(sheet.shelf.ropes),
        choices=lambda sheet: (NEW, *sheet.shelf.ropes),
        default=lambda _sheet: Default(NEW, "new ropes"),
        reader=_ropes_file,
        paths=(),
    ),
    Question(
        "ropes",
        "ropes",
        "Ropes and tails",
        "Which ropes are in use, those of tails too: name, material, construction, MBL, and what it "
        "stretches?",
        "the rope's certificate: half (elongation at half of MBL), break, or five points (10 to 50 %). "
        "Without "
        f"it, material alone. {', '.join(MATERIALS)}; {', '.join(CONSTRUCTIONS)}",
        (
            Figure("name", "rope", ONE_WORD, is_word=True),
            Figure("material", "material", choice(*MATERIALS), is_word=True),
            Figure("construction", "construction", choice(*CONSTRUCTIONS), is_word=True, optional=True),
            Figure("mbl", "MBL", force(above=0), unit="kN", swing=0.05, share=True, written=with_unit),
            Figure(
                "at_half",
                "stretch at half of MBL",
                number("%"),
                optional=True,
                swing=0.25,
                share=True,
                unit="%",
            ),
        ),
        form="rope material [construction] MBL [half % | break % | five % % % % %]",
        example="polyester_60 polyester eight_strand 640kN half 11.5",
        rows=True,
        least=1,
        asked=new_ropes,
        reader=_rope,
        paths=("ropes",),
    ),
)

TAILS_QUESTION: Final = Question(
    "tails",
    "ropes",
    "Tails",
    "Which lines have tails: which rope, which rope is its tail, and how long is that?",
    "certificate of the tail; 11 or 22 m are usual",
    (
        Figure("rope", "rope", ONE_WORD, is_word=True),
        Figure("tail", "rope of the tail", ONE_WORD, is_word=True),
        Figure("length", "length of the tail", number("m", above=0, most=100), swing=0.5),
    ),
    form=f"{TAIL_WORDS}; several parted by ;",
    example="wire_28 nylon_tail 11",
    default=lambda _sheet: Default("none", "no tails"),
    reader=_tail,
    paths=(),
)
