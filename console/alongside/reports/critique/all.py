"""Every note on a plan of lines, at its place."""

from collections.abc import Callable, Iterator
from typing import Final

from alongside.errors import Fault
from alongside.reports.critique.ashore import ashore_notes
from alongside.reports.critique.chocks import chock_notes
from alongside.reports.critique.leads import lead_notes
from alongside.reports.critique.model import PlanNote
from alongside.reports.critique.on_board import on_board_notes
from alongside.reports.critique.planned import Planned
from alongside.reports.critique.services import service_notes
from alongside.reports.remarks.alike import alike_once
from alongside.stay.model import Stay
from alongside.stay.places import Places

SECTIONS: Final[tuple[Callable[[Planned], Iterator[PlanNote]], ...]] = (
    lead_notes,
    service_notes,
    ashore_notes,
    chock_notes,
    on_board_notes,
)


def plan_notes(stay: Stay) -> tuple[PlanNote, ...]:
    """Return every note with the names of its lines; what is the same of several lines stands once."""
    planned = Planned(stay)
    return alike_once([note for section in SECTIONS for note in section(planned)], stay)


def note_row(note: PlanNote) -> str:
    """Return a note with its source and grade."""
    return f"{note.text} ({note.source})"


def plan_rows(stay: Stay) -> tuple[Fault, ...]:
    """Return the notes at their places, in the order of the file. Raises OSError where the file cannot be
    read any more."""
    places = Places.of(stay.file)
    return tuple(
        sorted(
            Fault(*places.at(note.path), note.path, f"plan: {note_row(note)}") for note in plan_notes(stay)
        )
    )
