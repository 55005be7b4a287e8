"""The desk of a watch on record: it keeps the watch, or looks only until it does."""

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from alongside.actions import Action
from alongside.actions.controls import Control
from alongside.cycle.picture import Picture
from alongside.errors import AlongsideError
from alongside.record.access import OWNER_ONLY, Access
from alongside.record.faults import RecordInUse
from alongside.record.lock import is_held
from alongside.runtime.live import LiveDesk
from alongside.runtime.look_only import SAID_S, START_S, LookDesk
from alongside.stay.model import Stay
from alongside.stay.read import read_stay

ASK_S: Final = 0.2
KEEPS: Final = "This console keeps the watch now; initials with k on Hand-over"
TAKEN: Final = "The watch goes on at a console that looked only"


class WatchDesk:
    """Keeps the watch on the record in `folder`; where another console keeps it, looks only, and keeps the
    watch when it is asked to and nobody does, or by itself where the other was just ending.

    Raises what `LiveDesk` raises. A console with a command to `call` never looks only, since nobody may
    believe that it calls: the other one has some seconds to end, then RecordInUse is raised.
    """

    def __init__(
        self, stay: Stay, folder: Path, access: Access = OWNER_ONLY, call: Sequence[str] = ()
    ) -> None:
        self.stay = stay
        self._folder, self._access, self._call = folder, access, call
        self._deliver: Callable[[Picture], None] = lambda _picture: None
        self._live: LiveDesk | None = None
        self._look: LookDesk | None = None
        self._kept_at = 0.0
        try:
            self._live = self._begun(stay)
        except RecordInUse as busy:
            if not call:
                self._look = LookDesk(busy.folder, stay, busy.holder, self._keep)
            elif self._waited_for_the_other():
                self._live = self._begun(stay)
            else:
                raise

    @property
    def looks_only(self) -> bool:
        """Return whether another console keeps the watch, or nobody does."""
        return self._live is None

    @property
    def lost(self) -> str:
        """Return, once stopped, what could not be put on record to the last, in words."""
        return "" if self._live is None else self._live.lost

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        desk = self._live or self._look
        assert desk is not None, "one of them there is"
        desk.start(deliver)

    def act(self, action: Action) -> None:
        (self._live or self._looking()).act(action)

    def control(self, control: Control) -> None:
        (self._live or self._looking()).control(control)

    def stop(self) -> None:
        if self._look is not None:
            self._look.stop()  # a watch that it is just beginning is begun when this returns
        if self._live is not None:
            self._live.stop()

    def _looking(self) -> LookDesk:
        assert self._look is not None, "without a watch of its own it looks"
        return self._look

    def _begun(self, stay: Stay, notes: Sequence[str] = ()) -> LiveDesk:
        return LiveDesk(stay, self._folder, access=self._access, call=self._call, first_notes=notes)

    def _waited_for_the_other(self) -> bool:
        """Return whether the console that keeps the record has let go of it."""
        until = time.monotonic() + START_S
        while is_held(self._folder):
            if time.monotonic() > until:
                return False
            time.sleep(ASK_S)
        return True

    def _keep(self) -> str:
        """Begin the watch at this console; return why that cannot be, "" where it has begun."""
        stay, notes = self._stay_now()
        try:
            live = self._begun(stay, [TAKEN, *notes])
        except RecordInUse as busy:
            return f"another console was first ({busy.holder})"
        except AlongsideError as error:
            return str(error).splitlines()[0]
        self._kept_at = time.monotonic()
        self._live = live
        live.start(self._deliver_kept)
        return ""

    def _stay_now(self) -> tuple[Stay, list[str]]:
        """Return the stay file as it is now; where it has faults, as it was read last, which is said."""
        try:
            return read_stay(Path(self.stay.file)), []
        except (AlongsideError, OSError) as error:
            first = str(error).splitlines()[0]
            return self.stay, [f"The stay file cannot be read any more, gone on with as it was: {first}"]

    def _deliver_kept(self, picture: Picture) -> None:
        lately = time.monotonic() - self._kept_at < SAID_S
        self._deliver(replace(picture, keeping=KEEPS) if lately else picture)
