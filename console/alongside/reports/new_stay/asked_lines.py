"""Questions about the lines: from which fairlead to which bollard, and how they were made fast."""

from dataclasses import replace
from typing import Final

from alongside.reports.new_stay.asked_ropes import TAILS_QUESTION
from alongside.reports.new_stay.question import Default, Figure, Question, Typed, in_order, read_figures
from alongside.reports.new_stay.sheet import KnownStay, Sheet, expected_name
from alongside.reports.new_stay.typed_figures import ONE_WORD, meant_of, with_unit
from alongside.reports.new_stay.typed_times import latest_before, time_value
from alongside.reports.new_stay.values import Row, Value, word_of
from alongside.stay.fields import choice, force
from alongside.stay.lines import DRAUGHT, TIDE
from alongside.wording.safe import safe

HAND_TIGHT: Final = "hand"
HAND_TIGHT_SHARE: Final = 0.10
HAND_TIGHT_SPREAD: Final = 0.40
"""Of the MBL: what a line carries that was hove hand-tight on a winch, 3 to 5 t, tankers 5 to 10 t, and how
far that may be off. Common practice, no source."""
ROLES: Final = ("head", "breast", "spring", "stern")
NO_WINCH: Final = "none"


def _fast(question: Question, typed: Typed) -> Row:
    words = typed.text.split()
    at, _day, taken = latest_before(words, "time", typed.sheet.display, typed.sheet.now)
    rest = read_figures(question.figures[1:], typed, words[taken:])
    return {"at": time_value(at), **rest}


def stays_alike(sheet: Sheet) -> dict[str, KnownStay]:
    """Return the known stays of this ship at this berth with these ropes, on this side."""
    named = sheet.word("ship", "name"), sheet.word("berth", "name"), sheet.word("ropes_file", "name")
    return {
        name: stay
        for name, stay in sheet.shelf.stays.items()
        if (stay.ship, stay.berth, stay.ropes) == named and stay.side == sheet.side
    }


def _like(_question: Question, typed: Typed) -> Row:
    files = tuple(stays_alike(typed.sheet))
    if typed.text not in (*files, "none"):
        raise typed.refuse(f"there is no such stay {safe(typed.text)}", f"none, or {', '.join(files)}")
    return {"file": typed.text}


def copied_lines(sheet: Sheet) -> tuple[Row, ...]:
    """Return the lines of the stay that this one is like, hove as hard as was answered; () for none."""
    known = stays_alike(sheet).get(sheet.word("like", "file"))
    tension = sheet.one("tension").get("tension", HAND_TIGHT)
    return () if known is None else tuple({**line, "tension": tension} for line in known.lines)


def winch_of(sheet: Sheet, fairlead: str) -> str:
    """Return the winch that the line of a fairlead comes from, as the fairlead's row has it, or as in a stay
    that is known; "" where there is none."""
    for row in sheet.all("fairleads"):
        if word_of(row, "name") == fairlead and word_of(row, "winch"):
            return word_of(row, "winch")
    for stay in sheet.shelf.stays.values():
        if stay.ship == sheet.word("ship", "name"):
            for line in stay.lines:
                if word_of(line, "fairlead") == fairlead:
                    return word_of(line, "winch")
    return ""


def _line(question: Question, typed: Typed) -> Row:
    """Return a line; the winch is that of its fairlead where it is not typed."""
    row = dict(in_order(question, typed))
    sheet = typed.sheet
    if word_of(row, "id") in [word_of(each, "id") for each in typed.before]:
        raise typed.refuse(f"line {safe(word_of(row, 'id'))} stands in a row before", "another name for each")
    if "rope" not in row:
        if len(sheet.rope_names) != 1:
            raise typed.refuse("rope: nothing given", ", ".join(sheet.rope_names))
        row["rope"] = sheet.rope_names[0]
    for key, names in (
        ("fairlead", sheet.fairleads),
        ("bollard", sheet.bollards),
        ("rope", sheet.rope_names),
    ):
        if word_of(row, key) not in names:
            raise typed.refuse(
                f"there is no {key} {safe(word_of(row, key))}", expected_name(names, word_of(row, key))
            )
    row.setdefault("tension", _tension(HAND_TIGHT, ""))
    winch = word_of(row, "winch") or winch_of(sheet, word_of(row, "fairlead"))
    if not winch and sheet.known_ship is not None and sheet.winches:
        raise typed.refuse(
            "which winch: nothing given", f"{NO_WINCH}, or one of {', '.join(sheet.winches)}, last in the row"
        )
    if winch not in ("", NO_WINCH, *sheet.winches):
        raise typed.refuse(f"there is no winch {safe(winch)}", expected_name(sheet.winches, winch))
    row["winch"] = "" if winch == NO_WINCH else winch
    return row


def _tension(text: str, words: str) -> str:
    return text if text == HAND_TIGHT else with_unit(text, words)


class _Tension(Figure):
    """A tension with its unit, or `hand` for hand-tight: a share of the rope's MBL."""

    def read(self, text: str, source: str) -> Value | str:
        return HAND_TIGHT if text == HAND_TIGHT else super().read(text, source)


LINE_QUESTIONS: Final = (
    Question(
        "fast",
        "lines",
        "Made fast",
        "When were the lines made fast (time of the place), at which tide and draughts at the marks?",
        "deck log; tide board and draughts read then, or the tide table and the departure draughts of "
        "the last "
        "port. Later lines: enter them as tended in the file",
        (
            Figure("at", "time", ONE_WORD, is_word=True),
            Figure("tide", "tide", TIDE, swing=0.2),
            Figure("draught_fwd", "draught forward", DRAUGHT, swing=0.1),
            Figure("draught_aft", "draught aft", DRAUGHT, swing=0.1),
        ),
        form="[date] time tide draught-fwd draught-aft",
        example="2026-09-12 06:30 0.72 8.20 8.70",
        reader=_fast,
        paths=("lines[0].made_fast.tide", "lines[0].made_fast.draught", "lines[0].made_fast.at"),
    ),
    Question(
        "like",
        "lines",
        "Lines as before",
        "Are the lines as in a stay that is known here?",
        "stay files beside this one, of this ship at this berth",
        (Figure("file", "file", ONE_WORD, is_word=True),),
        form="the name of the stay file, or none",
        example="none",
        asked=lambda sheet: bool(stays_alike(sheet)),
        choices=lambda sheet: ("none", *stays_alike(sheet)),
        default=lambda sheet: Default(tuple(stays_alike(sheet))[-1], "the last stay here"),
        reader=_like,
        paths=(),
    ),
    replace(TAILS_QUESTION, asked=lambda sheet: not copied_lines(sheet)),
    Question(
        "tension",
        "lines",
        "Tension",
        "How hard were the lines hove: one tension for all, or hand for hand-tight?",
        "load cell, winch gauge; hand is a guess of a tenth of MBL. Other tensions: change them in the file",
        (
            _Tension(
                "tension", "tension", force(above=0), unit="kN", swing=0.3, share=True, written=with_unit
            ),
        ),
        form="such as 5t or 50kN, or hand",
        example="5t",
        asked=lambda sheet: bool(copied_lines(sheet)),
        default=lambda _sheet: Default(HAND_TIGHT, "hand-tight"),
        choices=lambda _sheet: (HAND_TIGHT,),
        paths=("lines",),
    ),
    Question(
        "lines",
        "lines",
        "Lines",
        "Which lines are out: name, role, fairlead, bollard, rope, tension, and winch if not that of the "
        "fairlead?",
        "mooring plan, and a walk along the deck. Tension: load cell, winch gauge, or hand for hand-tight, a "
        "guess of a tenth of MBL",
        (
            Figure("id", "line", ONE_WORD, is_word=True),
            Figure("role", "role", choice(*ROLES), is_word=True, written=meant_of(*ROLES)),
            Figure("fairlead", "fairlead", ONE_WORD, is_word=True),
            Figure("bollard", "bollard", ONE_WORD, is_word=True),
            Figure("rope", "rope", ONE_WORD, is_word=True, optional=True, as_before=True),
            _Tension(
                "tension",
                "tension",
                force(above=0),
                optional=True,
                as_before=True,
                unit="kN",
                swing=0.3,
                share=True,
                written=with_unit,
            ),
            Figure("winch", "winch", ONE_WORD, is_word=True, optional=True),
        ),
        form="line role fairlead bollard [rope tension, else as the row before] [winch, or none]",
        example="1 head F1 B1 wire_28 5t",
        rows=True,
        least=1,
        asked=lambda sheet: not copied_lines(sheet),
        choices=lambda _sheet: ROLES,
        reader=_line,
        paths=("lines",),
    ),
)
