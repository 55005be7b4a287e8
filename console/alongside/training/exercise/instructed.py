"""Section `instructor:` of an exercise file: what an instructor did while it was lived through."""

from typing import Final

from alongside.stay.fields import TEXT, TIME, Field, listed, number
from alongside.stay.model import Stay
from alongside.stay.records import optional, record, required
from alongside.training.exercise.injections import injections_of
from alongside.training.exercise.model import Freeze, Instructed, Mark

ON_THE_WALL: Final = number("s", least=0, most=1_000_000)


def instructed_of(stay: Stay | None) -> Field[Instructed]:
    """Return the section. `stay` None: it could not be read, and no name is checked."""
    return record(
        Instructed,
        injections=optional(injections_of(stay)),
        marks=optional(listed(record(Mark, at=required(TIME), text=required(TEXT)))),
        freezes=optional(listed(record(Freeze, at=required(TIME), seconds=required(ON_THE_WALL)))),
    )
