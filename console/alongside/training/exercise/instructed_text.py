"""What an instructor did, in words and for other programs."""

from collections.abc import Iterator
from typing import Any, Final

from alongside.stay.model import Display, GaugeFault
from alongside.training.exercise.model import (
    BrakeRendering,
    CargoRate,
    Exercise,
    ForgottenLine,
    Freeze,
    Gust,
    Injection,
    Mark,
    Message,
    PartedLine,
    TideSurge,
)
from alongside.training.exercise.staging import message_words
from alongside.units import iso_time
from alongside.wording.figures import bearing, force_text, metres, speed_text
from alongside.wording.names import channel
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

FAULTS: Final = {
    "silent": "silent",
    "frozen": "does not move",
    "spike": "has spikes",
    "false_zero": "shows zero",
    "offset": "is off",
    "drift": "goes off",
    "wrong_unit": "shows another unit",
}


def injection_words(injection: Injection, display: Display) -> str:
    """Return what happens, without when: `gust of 35 kn from 210° for 10 min`."""
    match injection:
        case Gust():
            way = "" if injection.from_deg is None else f" from {bearing(injection.from_deg)}"
            return f"gust of {speed_text(injection.speed_ms, display)}{way} for {span(injection.seconds)}"
        case GaugeFault():
            by = "" if injection.by is None else f" by {injection.by:g}"
            what = FAULTS.get(injection.kind, injection.kind)
            return f"{channel(injection.channel)} {what}{by} for {span(injection.seconds)}"
        case TideSurge():
            way = "higher" if injection.metres >= 0.0 else "lower"
            return f"water {metres(abs(injection.metres))} {way} for {span(injection.seconds)}"
        case PartedLine():
            return f"line {safe(injection.line)} parts"
        case BrakeRendering():
            return f"brake of line {safe(injection.line)} holds {force_text(injection.brake_kn, display)}"
        case CargoRate():
            how = "stops" if injection.times == 0.0 else f"goes at {injection.times:g} times its rate"
            return f"cargo {safe(injection.operation)} {how}"
        case Message():
            return f"message, {safe(message_words(injection))}"
        case ForgottenLine():
            return f"line {safe(injection.line)} is forgotten"


def done_words(did: Injection | Mark | Freeze, display: Display) -> str:
    """Return one thing that an instructor did, without when."""
    match did:
        case Mark():
            return f"marked: {safe(did.text)}"
        case Freeze():
            return f"time stood for {span(did.seconds)}"
        case _:
            return injection_words(did, display)


def in_order(exercise: Exercise) -> list[tuple[float, Injection | Mark | Freeze]]:
    """Return all that an instructor did, each with its time in the stay (UNIX s), in order of that."""
    live = exercise.instructed
    did = [*live.injections, *live.marks, *live.freezes]
    return sorted(((_at(each), each) for each in did), key=lambda each: each[0])


def instructor_rows(exercise: Exercise) -> Iterator[str]:
    """Return rows for a debrief; none where no instructor did anything."""
    for number, row in enumerate(instructor_deeds(exercise)):
        if number == 0:
            yield "Instructor"
        yield f"  {row}"


def instructor_deeds(exercise: Exercise) -> Iterator[str]:
    """Return what an instructor did, each with its time."""
    display = exercise.stay.display
    for at, did in in_order(exercise):
        yield f"{clock(at, display, '%a %H:%M:%S')}  {done_words(did, display)}"


def instructed_json(exercise: Exercise) -> dict[str, Any]:
    """Return what an instructor did as plain objects: times ISO 8601, spans in s of the clock on the wall."""
    live, display = exercise.instructed, exercise.stay.display
    return {
        "injections": [
            {"at": iso_time(_at(each)), "what": injection_words(each, display)} for each in live.injections
        ],
        "marks": [{"at": iso_time(each.at), "text": each.text} for each in live.marks],
        "freezes": [{"at": iso_time(each.at), "seconds": round(each.seconds, 1)} for each in live.freezes],
        "frozen_s": round(sum(each.seconds for each in live.freezes), 1),
    }


def _at(did: Injection | Mark | Freeze) -> float:
    """Return when it begins; a line that was forgotten was so from the beginning."""
    return float(getattr(did, "at", float("-inf")))
