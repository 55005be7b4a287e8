"""Who carries out what a trainee orders, and when it is done.

At the console a deed takes effect when it is entered: the watch enters what has been done. In an exercise the
trainee orders it, and somebody has to do it: hands walk, a line takes its minutes, orders wait for hands, and
tugs, linesmen, terminal and engineer come in their own time. All of it follows from the orders alone, each
from those before it and none from the ship, so the same orders give the same deeds.
"""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil, inf, isnan
from typing import Final

from alongside.actions import (
    Action,
    AddLine,
    CallOut,
    ChangeCargo,
    Correct,
    Done,
    LineGone,
    MakeFast,
    PutTug,
    ReadByHand,
    RenewLine,
    SayTransfer,
    SetBrake,
    ShiftLine,
    TendLine,
    Whom,
)
from alongside.forecast.transfer import operations_over_arms
from alongside.stay.model import LeadTimes, Stay
from alongside.training.exercise.model import Crew

NEW_LINE: Final = AddLine | MakeFast | ShiftLine | RenewLine | LineGone
"""Deeds at which somebody must be on the quay as well."""
BRAKE_HANDS: Final = 1
TUG_TURNS_S: Final = 60.0
"""A tug that is fast pulls otherwise within so long. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Work:
    """One order, and what became of it: so many `hands` went at `leave`, began at `begin` and were done at
    `end` (UNIX s), each infinite while that is not known. `end` is when it takes effect. `why_not` is why it
    never does, "" where it does."""

    order: Done
    hands: int = 0
    leave: float = inf
    begin: float = inf
    end: float = inf
    why_not: str = ""


@dataclass(slots=True)
class _Hand:
    """One man: when he is on deck, where he is and when he is free."""

    comes: float
    free: float
    x: float


@dataclass(slots=True)
class _Wanted:
    """Work of hands that was not begun."""

    number: int
    order: Done
    x: float
    hands: int
    seconds: float
    ready: float = field(default=-inf)
    """Not before."""


def works(stay: Stay, crew: Crew, orders: Sequence[Done]) -> tuple[Work, ...]:
    """Return what becomes of each order, in the order of their times; orders of the same time as they stand.
    Those that were undone are left out."""
    given = sorted((each for each in orders if not each.undone), key=lambda each: each.time)
    return _Day(stay, crew, given).lived()


class _Day:
    """Goes from one time at which something changes to the next."""

    def __init__(self, stay: Stay, crew: Crew, orders: Sequence[Done]) -> None:
        self._stay, self._crew, self._orders = stay, crew, orders
        self._works = [Work(order) for order in orders]
        self._amidships = stay.ship.lbp / 2.0
        self._hands = [_Hand(-inf, -inf, self._amidships) for _ in range(crew.hands or 0)]
        self._wanted: list[_Wanted] = []
        self._called: dict[Whom, float] = {}
        self._tugs: set[str] = set()
        self._cargo: list[tuple[ChangeCargo, float]] = []
        """What was ordered of cargo, and when it is so."""
        self._times: list[float] = []

    def lived(self) -> tuple[Work, ...]:
        following = 0
        self._times = [order.time for order in self._orders]
        heapq.heapify(self._times)
        while self._times:
            now = heapq.heappop(self._times)
            while following < len(self._orders) and self._orders[following].time <= now:
                self._order(following)
                following += 1
            self._begin_what_can(now)
        return tuple(self._works)

    def _order(self, number: int) -> None:
        order = self._orders[number]
        match order.action:
            case CallOut(whom):
                self._call(whom, order.time)
                self._done(number, order.time)
            case Correct(line=line) if line:
                self._take_back(number, line)
            case PutTug(tug):
                self._put_tug(number, tug)
            case ChangeCargo():
                self._done(number, order.time + 60.0 * self._crew.cargo_min)
                self._cargo.append((order.action, order.time + 60.0 * self._crew.cargo_min))
            case SayTransfer(connected=False) if self._stay.decide is not None:
                self._disconnect(number, self._stay.decide.lead)
            case LineGone(how="parted"):
                self._done(number, order.time)
            case _:
                wanted = self._work_of(number, order.action)
                if wanted is None:
                    self._done(number, order.time)
                elif self._crew.hands == 0:
                    self._refuse(number, "there are no hands")
                else:
                    self._wanted.append(wanted)

    def _work_of(self, number: int, action: Action) -> _Wanted | None:
        """Return what hands have to do; None for what the trainee does at the console."""
        crew, order, line_s = self._crew, self._orders[number], 60.0 * self._crew.minutes_per_line
        match action:
            case TendLine(line):
                return _Wanted(number, order, self._station(line), crew.hands_per_line, line_s)
            case SetBrake(line):
                return _Wanted(number, order, self._station(line), BRAKE_HANDS, line_s / 2.0)
            case ReadByHand():
                return _Wanted(number, order, self._amidships, 1, 60.0 * crew.reading_min)
            case AddLine() | MakeFast() | ShiftLine() | RenewLine() | LineGone():
                ready = self._call("linesmen", order.time) + 60.0 * crew.linesmen_min
                heapq.heappush(self._times, ready)
                x, seconds = self._station_of(action), 60.0 * crew.new_line_min
                return _Wanted(number, order, x, crew.hands_per_line, seconds, ready)
        return None

    def _call(self, whom: Whom, at: float) -> float:
        """Return when they were first called, which may be now."""
        first = whom not in self._called
        self._called.setdefault(whom, at)
        if whom == "master" and first and self._crew.hands is not None:
            come = at + 60.0 * self._crew.master_min
            self._hands += [_Hand(come, come, self._amidships) for _ in range(self._crew.more_hands)]
            heapq.heappush(self._times, come)
        return self._called[whom]

    def _put_tug(self, number: int, tug: str) -> None:
        now = self._orders[number].time
        if tug in self._tugs:
            self._done(number, now + TUG_TURNS_S)
        elif len(self._tugs) >= self._crew.tugs:
            there = f"only {self._crew.tugs}" if self._crew.tugs else "none"
            self._refuse(number, f"no more tugs to be had here: there are {there}")
        else:
            self._tugs.add(tug)
            self._done(number, max(now + TUG_TURNS_S, self._call("tugs", now) + 60.0 * self._crew.tug_min))

    def _disconnect(self, number: int, lead: LeadTimes) -> None:
        """Once cargo stands still and the gang is there, which this order calls where nobody has; where the
        stay file gives no time for a part of it, that takes none."""
        now = self._orders[number].time
        still = self._cargo_still(now)
        if still == inf:
            self._refuse(number, "cargo goes on: it is to be stopped first")
            return
        gang = now if isnan(lead.gang) else self._call("linesmen", now) + 60.0 * self._crew.linesmen_min
        begin = max(now, still, gang)
        self._works[number] = Work(
            self._orders[number],
            begin=begin,
            end=float(ceil(begin + (0.0 if isnan(lead.disconnect) else lead.disconnect))),
        )

    def _cargo_still(self, now: float) -> float:
        """Return when all that goes over arms or hoses at a time stands still by what was ordered; infinite
        where it goes on."""
        going = [each for each in operations_over_arms(self._stay) if each.start <= now < each.end]
        return max((self._stands_still(each.name) for each in going), default=now)

    def _stands_still(self, operation: str) -> float:
        own = [(action, at) for action, at in self._cargo if action.operation in ("", operation)]
        if not own:
            return inf
        action, at = own[-1]
        return at if action.what in ("stopped", "done") else inf

    def _take_back(self, number: int, line: str) -> None:
        """Take back an order that nobody has begun; what was done is done."""
        now = self._orders[number].time
        if line == "transfer" and self._take_back_transfer(number):
            return
        waiting = [each for each in self._wanted if getattr(each.order.action, "line", "") == line]
        if not waiting:
            self._refuse(number, "what was done stays done: order it back")
            return
        self._wanted.remove(waiting[-1])
        self._refuse(waiting[-1].number, "taken back before anybody began")
        self._works[number] = Work(
            self._orders[number], end=now, why_not="the order before it was taken back"
        )

    def _take_back_transfer(self, number: int) -> bool:
        """Take back what was ordered last of arms or hoses, where that is not done yet."""
        now = self._orders[number].time
        for at in reversed(range(number)):
            work = self._works[at]
            if isinstance(work.order.action, SayTransfer) and not work.why_not and work.end > now:
                self._refuse(at, "taken back before it was done")
                self._refuse(number, "the order before it was taken back")
                return True
        return False

    def _begin_what_can(self, now: float) -> None:
        """Send hands to what waits, first things first: work that waits for somebody else lets others by."""
        for wanted in list(self._wanted):
            if wanted.ready > now:
                continue
            if self._crew.hands is None:
                hands = [_Hand(now, now, wanted.x) for _ in range(wanted.hands)]
            else:
                free = [hand for hand in self._hands if hand.free <= now]
                on_deck = sum(hand.comes <= now for hand in self._hands)
                if len(free) < min(wanted.hands, max(on_deck, 1)):
                    return
                hands = sorted(free, key=lambda hand: abs(hand.x - wanted.x))[: wanted.hands]
            self._send(wanted, hands, now)

    def _send(self, wanted: _Wanted, hands: list[_Hand], now: float) -> None:
        walk = max(abs(hand.x - wanted.x) for hand in hands) / self._crew.walk_ms
        # Fewer than a line takes work longer: one man at a winch eases, stops and looks.
        seconds = wanted.seconds * wanted.hands / len(hands)
        begin, end = now + walk, float(ceil(now + walk + seconds))
        for hand in hands:
            hand.free, hand.x = end, wanted.x
        self._wanted.remove(wanted)
        self._works[wanted.number] = Work(wanted.order, len(hands), now, begin, end)
        heapq.heappush(self._times, end)

    def _done(self, number: int, end: float) -> None:
        self._works[number] = Work(self._orders[number], end=float(ceil(end)))

    def _refuse(self, number: int, why: str) -> None:
        self._works[number] = Work(self._orders[number], why_not=why)

    def _station_of(self, action: AddLine | MakeFast | ShiftLine | RenewLine | LineGone) -> float:
        fairlead = action.fairlead if isinstance(action, AddLine | ShiftLine) else None
        if fairlead is not None and fairlead in self._stay.ship.fairleads:
            return self._stay.ship.fairleads[fairlead].x
        like = action.like or action.bight_with if isinstance(action, AddLine) else action.line
        return self._station(like or "")

    def _station(self, line: str) -> float:
        """Return where the work of a line is, m forward of the aft perpendicular; amidships where the stay
        file does not say."""
        of_stay = {each.id: each.fairlead for each in self._stay.lines}
        fairlead = self._stay.ship.fairleads.get(of_stay.get(line, ""))
        return self._amidships if fairlead is None else fairlead.x
