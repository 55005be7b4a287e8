"""Events of what was entered of the deck, in words."""

from typing import Final

from alongside.actions import Correct
from alongside.alerts.model import Event
from alongside.cycle.deck.model import LineDeed, OtherDeed
from alongside.stay.model import Display
from alongside.wording.safe import safe
from alongside.wording.times import clock

WAS_WRONG: Final = ": taken back, was wrong: "
"""In the words of an event, between the line and what is taken back."""


def by_whom(who: str) -> str:
    """Return ` (RV)`; "" where nobody is named."""
    return f" ({safe(who)})" if who else ""


def not_done(now: float, line: str, why: str) -> Event:
    """Return that something entered of a line was not done, and why."""
    return Event(now, "note", line=line, text=f"Line {safe(line)}: not done: {why}")


def taken_back_event(now: float, display: Display, deed: LineDeed | OtherDeed, action: Correct) -> Event:
    """Return that what was done last is taken back."""
    line = deed.line if isinstance(deed, LineDeed) else None
    name = f"Line {safe(deed.line)}" if isinstance(deed, LineDeed) else deed.subject.capitalize()
    words = f"{name}{WAS_WRONG}{deed.words}, {clock(deed.time, display)}{by_whom(action.by)}"
    return Event(now, "note", line=line, text=words)
