"""What a key pressed in a form comes to."""

from dataclasses import dataclass
from typing import Final

from alongside.actions import Accept, AcceptLearnt, Action, CallOut, Correct, ReadByHand, TendLine
from alongside.actions.controls import Inject, ReplayControl
from alongside.screens.commands import Command
from alongside.screens.question import Question
from alongside.wording.actions import OnDeck


@dataclass(frozen=True, slots=True)
class RoundDone:
    """A round was done as advised: what was tended, a line each."""

    tends: tuple[TendLine, ...]


@dataclass(frozen=True, slots=True)
class Several:
    """Deeds that are entered as one and go on record each by itself: the alerts of a row accepted, or what
    loads show of several lines."""

    deeds: tuple[Accept | AcceptLearnt | Correct, ...]


Entered = Action | RoundDone | Several | ReplayControl | Inject | Question | Command
"""What a form can be filled in with."""
_ORDERS: Final = TendLine | ReadByHand | CallOut | OnDeck | RoundDone


def will_words(entered: Entered | type[RoundDone], words: str, *, exercise: bool) -> str:
    """Return what another Enter does. The watch records what has been done; a trainee orders it."""
    one = entered.deeds[0] if isinstance(entered, Several) else entered
    orders = exercise and (one is RoundDone or isinstance(one, _ORDERS))
    verb, enter = ("order", "orders") if orders else ("record", "records")
    return f"Will {verb}: {words}.  Enter {enter} it, Esc leaves"


@dataclass(frozen=True, slots=True)
class FormDone:
    """The form was filled in and confirmed: what was entered, and the same in words."""

    entered: Entered
    words: str


@dataclass(frozen=True, slots=True)
class FormLeft:
    """The form was left without doing anything."""


@dataclass(frozen=True, slots=True)
class QuitConfirmed:
    """The watch is to be ended."""


@dataclass(frozen=True, slots=True)
class Taken:
    """The key was for the form alone."""


@dataclass(frozen=True, slots=True)
class Passed:
    """The form does nothing with it: whatever it is bound to follows."""


Outcome = FormDone | FormLeft | QuitConfirmed | Taken | Passed
