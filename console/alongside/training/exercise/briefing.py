"""What a trainee reads before an exercise begins."""

from collections.abc import Iterator
from math import isnan

from alongside.stay.model import LeadTimes
from alongside.training.exercise.model import Crew, Exercise
from alongside.wording.figures import counted, figure, listed
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

KEPT_BY_EXAM = "An exam: time goes on by itself and cannot be stopped, gone back or jumped."
KEPT_BY_PRACTICE = "Practice: pauses, jumps and looks at what comes are allowed, and counted."


def briefing(exercise: Exercise, exam: bool, pace: float) -> tuple[str, ...]:
    """Return the rows of the page: where she lies, what is asked, who is there to do it, and the rules."""
    return tuple(_rows(exercise, exam, pace))


def _rows(exercise: Exercise, exam: bool, pace: float) -> Iterator[str]:
    stay, display = exercise.stay, exercise.stay.display
    yield f"{safe(exercise.name)}"
    yield ""
    yield f"Ship   {safe(stay.ship.name)}, {counted(len(stay.lines), 'line')}"
    yield f"Berth  {safe(stay.berth.name)}"
    begin, end = (clock(at, display, "%a %d %b %H:%M") for at in (exercise.start, exercise.end))
    real = span((exercise.end - exercise.start) / pace)
    yield f"Time   {begin} to {end}, at {figure(pace, 0)} times its pace: {real} for you"
    yield ""
    if exercise.story:
        yield safe(exercise.story)
        yield ""
    yield "What you enter is an order; it counts once it is carried out."
    yield from _crew(exercise.crew)
    hidden = [
        word
        for shown, word in ((exercise.shows.ahead, "the hours ahead"), (exercise.shows.advice, "advice"))
        if not shown
    ]
    if exercise.stay.decide is not None:
        yield from _disconnecting(exercise.stay.decide.lead)
        yield "Limits of wind are agreed: page Ahead, part Decide by, says what to order by when."
    if hidden:
        yield f"Not shown: {listed(hidden)}."
    yield KEPT_BY_EXAM if exam else KEPT_BY_PRACTICE
    if exercise.pass_mark is not None:
        passed = f"Passed from {exercise.pass_mark} of 100 points on"
        yield f"{passed}; the manual, page exercises, has what counts."
    yield ""
    yield "Invented for training. On a real watch the ship's documents and the master stand above it."


def _disconnecting(lead: LeadTimes) -> Iterator[str]:
    if not isnan(lead.disconnect):
        gang = "" if isnan(lead.gang) else " and linesmen are there"
        yield f"  arms or hoses are off {_min(lead.disconnect / 60.0)} after cargo stands still{gang}"


def _crew(crew: Crew) -> Iterator[str]:
    hands = "as many hands as wanted" if crew.hands is None else counted(crew.hands, "hand")
    yield f"  {hands}; a line takes {crew.hands_per_line} of them {_min(crew.minutes_per_line)}, and the walk"
    yield f"  a line put out, shifted or let go: {_min(crew.new_line_min)}, once linesmen are there"
    yield f"  after a call: master {_min(crew.master_min)} (with {counted(crew.more_hands, 'more hand')}),"
    yield f"    linesmen {_min(crew.linesmen_min)}, engineer {_min(crew.engineer_min)} until a gauge works"
    tugs = f"{counted(crew.tugs, 'tug')} {_min(crew.tug_min)} after the order" if crew.tugs else "no tugs"
    yield f"  cargo stops {_min(crew.cargo_min)} after the order; {tugs}"
    yield f"  somebody who is sent to read is back in {_min(crew.reading_min)}"


def _min(minutes: float) -> str:
    return f"{figure(minutes, 0)} min"
