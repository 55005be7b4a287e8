"""What measured loads show of lines, accepted at the form on deck: of one line, or of all at once; and taken
back so."""

from collections.abc import Sequence
from typing import Final

from alongside.actions import AcceptLearnt, Correct
from alongside.cycle.deck.learning import is_accepted
from alongside.cycle.deck.trial import tried_learnt
from alongside.errors import WrongInput
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.learning_words import finding_words, rivals_words
from alongside.screens.deck_then import NOT_KNOWN, carries_then
from alongside.screens.outcomes import Several
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.figures import listed
from alongside.wording.safe import safe
from alongside.wording.typed_tending import line_of

TOGETHER: Final = "found together, the lines share one ship"


def one_accepted(view: View, line_text: str, by: str) -> tuple[AcceptLearnt, str]:
    """Return the acceptance of what loads show of a line. Raise Refused where nothing is offered."""
    try:
        line = line_of(view.watch.stay, line_text.strip())
    except WrongInput as error:
        raise Refused(str(error)) from None
    found = next((each for each in view.watch.learnt if each.line == line.id), None)
    deed = None if found is None else _deed(found, by)
    if found is None or deed is None:
        why = "no load of it was measured" if found is None else (found.why or "its loads are as computed")
        raise Refused(f"line {safe(line.id)}: nothing to accept: {why}")
    rivals = rivals_words(found, view.stay.display)
    also = f"; {rivals}" if rivals else ""
    return deed, f"line {safe(line.id)} accepted: {finding_words(found)}{also}"


def all_accepted(learnt: Sequence[LineFound], by: str) -> tuple[Several, str]:
    """Return the acceptance of all that is offered, each line by itself. Raise Refused where nothing is."""
    known = [(each, deed) for each in learnt if (deed := _deed(each, by)) is not None]
    if not known:
        raise Refused("nothing to accept: of no line anything is offered")
    words = "; ".join(f"line {safe(each.line)} {_short(each)}" for each, _ in known)
    return Several(tuple(deed for _, deed in known)), f"accepted of all: {words}"


def all_taken_back(view: View, by: str) -> tuple[Several, str]:
    """Return that what was accepted is taken back of each line of which that was entered last. Raise Refused
    where there is none."""
    rows = [row for row in view.watch.lines if row.last_deed is not None and is_accepted(row.last_deed.words)]
    if not rows:
        raise Refused("nothing to take back: of no line an acceptance was entered last")
    deeds = tuple(Correct(line=row.id, by=by) for row in rows)
    return Several(deeds), f"what was accepted is taken back of line {listed([safe(row.id) for row in rows])}"


def accepted_then(view: View, deeds: Sequence[AcceptLearnt]) -> str:
    """Return what each of these lines carries then, and of one alone the others it was found with. Raise
    Refused where a line would part: then it is not so."""
    present = view.watch.present
    if present is None:
        return NOT_KNOWN
    trial = tried_learnt(view.watch.stay, present, deeds)
    names = [each.line for each in deeds]
    others = [safe(each.line) for each in view.watch.learnt if each.learnt and each.line not in names]
    which = f"LINE{'S' if len(others) > 1 else ''} {', '.join(others)}"
    left = f"● {which}: {TOGETHER}: accept all, or none. " if others else ""
    return f"{left}{carries_then(trial, names, view)}"


def _short(found: LineFound) -> str:
    """Return `12 % softer, 0.10 m less out`: many lines stand in a few rows."""
    return finding_words(found).replace(" than its curve", "").replace(" than computed", "")


def _deed(found: LineFound, by: str) -> AcceptLearnt | None:
    learnt = found.learnt
    if learnt is None:
        return None
    return AcceptLearnt(
        found.line,
        learnt.stiffness,
        learnt.stiffness_band,
        found.longer_m,
        learnt.at_kn,
        learnt.load_band,
        learnt.source,
        by,
    )
