"""How the watch is kept: the master's standing orders, who handed it over and took it over, its self-test."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from alongside.actions import Action, GiveOrder, HandOver, SelfTest, TakeOver, WithdrawOrder
from alongside.alerts.model import Event
from alongside.stay.model import StandingOrder, Stay
from alongside.wording.actions import self_test_words
from alongside.wording.figures import counted

HAND_OVER: Final = "hand_over"
"""Subject of the event that the watch was taken over."""
RECORD_TRIED: Final = "record_tried"
"""Subject of the note by which the record is tried."""
SELF_TEST_AFTER_S: Final = 1800.0
"""So long after taking over a watch without a self-test is reminded of it; common practice, no source."""


@dataclass(frozen=True, slots=True)
class WithdrawnOrder:
    """An order that holds no longer, since when (UNIX seconds) and by whom."""

    text: str
    at: float
    by: str = ""


@dataclass(frozen=True, slots=True)
class LastHandOver:
    """The watch was taken over by `by`, `at` UNIX seconds. `from_by` is who kept it before, "" where nobody
    had taken it over; `handed_by` who handed it over, "" while those initials are outstanding."""

    by: str
    at: float
    from_by: str = ""
    handed_by: str = ""
    handed_at: float | None = None


@dataclass(frozen=True, slots=True)
class LastSelfTest:
    """The self-test made last, in words, with its time, UNIX seconds, and initials."""

    words: str
    at: float
    by: str = ""


@dataclass(frozen=True, slots=True)
class Watchkeeping:
    """What is remembered of it over a restart. `given` are the orders entered at the console, `withdrawn`
    those that hold no longer, of the file or of the console."""

    given: tuple[StandingOrder, ...] = ()
    withdrawn: tuple[WithdrawnOrder, ...] = ()
    hand_over: LastHandOver | None = None
    self_test: LastSelfTest | None = None

    def orders(self, stay: Stay) -> tuple[StandingOrder, ...]:
        """Return the orders that hold, those of the stay file first."""
        gone = {order.text for order in self.withdrawn}
        of_file = tuple(order for order in stay.standing_orders if order.text not in gone)
        texts = {order.text for order in of_file}
        return (*of_file, *(order for order in self.given if order.text not in texts))

    @property
    def outstanding(self) -> str:
        """Return `initials of AB` while those of who handed over are to come; "" else."""
        last = self.hand_over
        if last is None or last.handed_by:
            return ""
        return f"initials of {last.from_by or 'who handed over'}"

    def is_self_test_due(self, now: float) -> bool:
        """Return whether this watch has made no self-test half an hour after it was taken over."""
        if self.hand_over is None or now < self.hand_over.at + SELF_TEST_AFTER_S:
            return False
        return self.self_test is None or self.self_test.at < self.hand_over.at


NOTHING_KEPT: Final = Watchkeeping()


def watchkeeping_after(
    before: Watchkeeping, stay: Stay, now: float, actions: Sequence[Action]
) -> tuple[Watchkeeping, tuple[Event, ...]]:
    """Return what is remembered after some actions, and the events of them."""
    keeping, events = before, list[Event]()
    for action in actions:
        match action:
            case TakeOver():
                keeping, new = _taken_over(keeping, stay, now, action)
            case HandOver():
                keeping, new = _handed_over(keeping, now, action)
            case GiveOrder():
                keeping, new = _given(keeping, stay, now, action)
            case WithdrawOrder():
                keeping, new = _withdrawn(keeping, stay, now, action)
            case SelfTest():
                words = self_test_words(action)
                keeping = replace(keeping, self_test=LastSelfTest(words, now, action.by))
                new = [Event(now, "self_test", text=f"Self-test{_by(action.by)}: {words}")]
            case _:
                new = []
        events += new
    return keeping, tuple(events)


def _by(initials: str) -> str:
    return f" by {initials}" if initials else ""


def _taken_over(
    keeping: Watchkeeping, stay: Stay, now: float, action: TakeOver
) -> tuple[Watchkeeping, list[Event]]:
    """Whoever takes over has read the standing orders: the initials stand for that too."""
    events = [Event(now, "watch_taken", subject=HAND_OVER, text=f"Watch taken over{_by(action.by)}")]
    if action.handed_by:
        events.append(Event(now, "watch_handed", text=f"Watch handed over by {action.handed_by}"))
    if orders := keeping.orders(stay):
        count = counted(len(orders), "standing order")
        events.append(Event(now, "orders_read", text=f"{count} read{_by(action.by)}"))
    former = "" if keeping.hand_over is None else keeping.hand_over.by
    handed_at = now if action.handed_by else None
    last = LastHandOver(action.by, now, former, action.handed_by, handed_at)
    return replace(keeping, hand_over=last), events


def _handed_over(keeping: Watchkeeping, now: float, action: HandOver) -> tuple[Watchkeeping, list[Event]]:
    """Only initials that are outstanding are taken."""
    if not (keeping.outstanding and keeping.hand_over and action.by):
        return keeping, []
    last = replace(keeping.hand_over, handed_by=action.by, handed_at=now)
    return replace(keeping, hand_over=last), [
        Event(now, "watch_handed", text=f"Watch handed over by {action.by}")
    ]


def _given(
    keeping: Watchkeeping, stay: Stay, now: float, action: GiveOrder
) -> tuple[Watchkeeping, list[Event]]:
    """An order that holds already is not given twice; one that was withdrawn holds anew."""
    text = action.text.strip()
    if not text or text in {order.text for order in keeping.orders(stay)}:
        return keeping, []
    withdrawn = tuple(order for order in keeping.withdrawn if order.text != text)
    given = (*keeping.given, StandingOrder(text, action.by, now))
    if text in {order.text for order in stay.standing_orders}:
        given = keeping.given
    event = Event(now, "order_given", text=f"Standing order{_by(action.by)}: {text}")
    return replace(keeping, given=given, withdrawn=withdrawn), [event]


def _withdrawn(
    keeping: Watchkeeping, stay: Stay, now: float, action: WithdrawOrder
) -> tuple[Watchkeeping, list[Event]]:
    if action.text not in {order.text for order in keeping.orders(stay)}:
        return keeping, []
    given = tuple(order for order in keeping.given if order.text != action.text)
    withdrawn = (*keeping.withdrawn, WithdrawnOrder(action.text, now, action.by))
    event = Event(now, "order_withdrawn", text=f"Standing order withdrawn{_by(action.by)}: {action.text}")
    return replace(keeping, given=given, withdrawn=withdrawn), [event]
