"""What befell lines in a record: parted, let go, slipped at their brakes, without what was taken back."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import inf
from typing import Final

from alongside.alerts.model import Event
from alongside.cycle.deck.notes import WAS_WRONG

DEEDS: Final = frozenset({"parted", "let_go", "made_fast", "tended", "brake_slipped"})
_WHEN_AND_WHO: Final = re.compile(r", (\d\d:\d\d( [+-]\d{4})?|—)( \(.*\))?$")
"""Behind the words of a deed that is taken back. Initials may be two, with a comma between."""


@dataclass(frozen=True, slots=True)
class OnDeck:
    """Times, UNIX s, by line, rising."""

    parted: Mapping[str, tuple[float, ...]]
    let_go: Mapping[str, tuple[float, ...]]
    slipped: Mapping[str, tuple[float, ...]]
    made_fast: Mapping[str, tuple[float, ...]]

    def left(self, line: str, since: float, until: float) -> float:
        """Return when a line parted or was let go between two times and was not made fast again; infinite
        where it stayed."""
        gone = [at for at in (*self.parted.get(line, ()), *self.let_go.get(line, ())) if since < at <= until]
        again = [at for at in self.made_fast.get(line, ()) if at < until]
        after = [at for at in gone if at > max(again, default=-inf)]
        return min(after, default=inf)


def on_deck(events: Iterable[Event]) -> OnDeck:
    """Return what befell lines by events in their order. An answer that a brake held corrects one that it
    slipped, unless its alert rose or worsened in between, which asks anew."""
    stand: list[Event] = []
    asked: dict[str, float] = {}
    for event in events:
        if event.line is None:
            continue
        if event.alert == "brake" and event.event in ("raised", "worsened"):
            asked[event.line] = event.time
        elif event.event == "brake_held":
            _correct(stand, event.line, asked.get(event.line, -inf))
        elif event.event in DEEDS:
            stand.append(event)
        elif WAS_WRONG in event.text:
            _take_back(stand, event)
    words = ("parted", "let_go", "brake_slipped", "made_fast")
    return OnDeck(*(_times(stand, word) for word in words))


def _correct(stand: list[Event], line: str, asked: float) -> None:
    """Take out the last slip of a line where nothing was asked of its brake since."""
    for at in range(len(stand) - 1, -1, -1):
        if stand[at].line == line and stand[at].event == "brake_slipped":
            if stand[at].time >= asked:
                del stand[at]
            return


def _take_back(stand: list[Event], event: Event) -> None:
    """Take out the last deed of a line whose words an event takes back."""
    words = _WHEN_AND_WHO.sub("", event.text.split(WAS_WRONG, 1)[1])
    for at in range(len(stand) - 1, -1, -1):
        if stand[at].line == event.line and words in stand[at].text:
            del stand[at]
            return


def _times(events: Iterable[Event], word: str) -> dict[str, tuple[float, ...]]:
    times: dict[str, tuple[float, ...]] = {}
    for event in events:
        if event.event == word and event.line is not None:
            times[event.line] = (*times.get(event.line, ()), event.time)
    return times
