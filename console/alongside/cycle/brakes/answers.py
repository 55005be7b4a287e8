"""The answer to whether a brake slipped or held: the one thing by which either becomes a length."""

from dataclasses import dataclass, replace
from math import isfinite, isnan, nan

from alongside.actions import AnswerBrake
from alongside.alerts.model import Event
from alongside.alerts.over_brake import LEAST_M, brake_answered, brake_not_answered, brake_not_asked
from alongside.cycle.brakes.model import BrakeAnswer, BrakeQuestion, Brakes
from alongside.mechanics.arrangement import Arrangement
from alongside.readings import Floats
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True, eq=False)
class Answered:
    """The lengths (lines,), m, and what is remembered of the brakes after an answer, and its event; nothing
    but the event, a note, where it answers nothing."""

    unstretched: Floats
    brakes: Brakes
    event: Event


def answered(
    stay: Stay,
    arrangement: Arrangement,
    unstretched: Floats,
    brakes: Brakes,
    action: AnswerBrake,
    now: float,
    by_cell_kn: float = nan,
) -> Answered:
    """Return what an answer makes of the lengths at one instant. An answer after the first corrects it; rope
    that somebody saw run out counts whether or not it was asked. `by_cell_kn` is the load by which a load
    cell answered, NaN where somebody did."""

    def nothing(why: str) -> Answered:
        return Answered(unstretched, brakes, Event(now, "note", line=action.line, text=why))

    if action.line not in arrangement.ids:
        return nothing(brake_not_answered(action.line, "no such line"))
    at = arrangement.ids.index(action.line)
    question, before = brakes.question(action.line), brakes.answer(action.line)
    if not isfinite(unstretched[at]):
        return nothing(brake_not_answered(action.line, "its length is not known"))
    if question is not None:
        before = BrakeAnswer(action.line, 0.0, question.ran_out_m, question.most_kn)
    slipped = action.did == "slipped"
    metres = (action.metres if action.metres is not None else _expected(before)) if slipped else 0.0
    if slipped and action.metres is None and question is not None and metres < LEAST_M and isnan(by_cell_kn):
        return nothing(brake_not_answered(action.line, "its metres are not known: expected those seen"))
    if before is None and (not slipped or not isfinite(metres)):
        return nothing(brake_not_answered(action.line, "nothing is asked of it"))
    before = before or BrakeAnswer(action.line, 0.0)
    longer = unstretched[at] + metres - before.slipped_m
    if not (isfinite(metres) and metres >= 0.0 and longer > 0.0):
        return nothing(brake_not_answered(action.line, "no such length"))
    after = unstretched.copy()
    after[at] = longer
    left = tuple(each for each in brakes.questions if each.line != action.line)
    others = tuple(each for each in brakes.answers if each.line != action.line)
    both = None if brakes.slipped is None or not left else brakes.slipped.copy()
    if both is not None:
        both[at] = longer
    mine = replace(before, slipped_m=metres, proved_kn=nan)
    event = Event(
        now,
        "brake_slipped" if slipped else "brake_held",
        line=action.line,
        value=metres if slipped else None,
        text=brake_answered(stay, action, metres, before.most_kn, by_cell_kn),
    )
    return Answered(after, Brakes(left, both, (*others, mine)), event)


def question_over(now: float, question: BrakeQuestion) -> Event:
    """Return the event that nothing is asked of a brake any more, since its line was set to a tension."""
    return Event(now, "note", line=question.line, text=brake_not_asked(question.line))


def _expected(before: BrakeAnswer | None) -> float:
    return nan if before is None else before.expected_m
