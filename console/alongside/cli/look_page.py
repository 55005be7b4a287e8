"""`alongside watch STAY --look-only --web`: a page for browsers, without a terminal.

Glues what looks, what serves and what is shown."""

import sys
from pathlib import Path
from typing import NoReturn

from alongside.cli.interrupts import Interrupted
from alongside.cli.standard_output import print_rows
from alongside.cycle.guard import Guard
from alongside.cycle.picture import Picture
from alongside.record.faultlog import keep_text
from alongside.reports.look_page.figures import page_parts
from alongside.reports.look_page.files import page_files
from alongside.runtime.look_only import LookDesk
from alongside.runtime.page_desk import serve_page
from alongside.runtime.page_door import TOKEN, Door
from alongside.runtime.page_place import opened, place_of, reached_at
from alongside.stay.model import Stay
from alongside.wording.look_page import NO_ALARM, OPEN, SERVED, UNSAFE_LINE


def look_at_a_page(stay: Stay, folder: Path, where: str) -> NoReturn:
    """Serve the page at `[ADDRESS:]PORT` until a signal ends it, then raise Interrupted. Raise WrongInput
    where it cannot be served there."""
    listening, place = opened(place_of(where))
    door = Door(place)
    address = f"http://{reached_at(place).shown()}/"
    if place.is_open:
        print_rows(f"{SERVED} {address}", NO_ALARM)
    else:
        print_rows(f"{OPEN} {address}?{TOKEN}={door.token}", UNSAFE_LINE, NO_ALARM)
    sys.stdout.flush()  # whoever reads it in a file or a pipe is to see it now
    serve_page(LookDesk(folder, stay, SERVED), listening, door, page_files(), Shown().parts_of)
    raise Interrupted("")


class Shown:
    """Puts Pictures into the parts of the page; each part that fails is written to the fault log once."""

    def __init__(self) -> None:
        self._failed: set[str] = set()

    def parts_of(self, picture: Picture) -> dict[str, str]:
        """Return the parts as JSON texts by name."""
        guard = Guard()
        parts = page_parts(picture, guard)
        if new := set(guard.failed) - self._failed:
            self._failed |= new
            keep_text(guard.trace)
        return parts
