"""An exercise at the console."""

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf, nan
from pathlib import Path
from typing import Final

from alongside.actions import Action, Done
from alongside.actions.controls import Control, ReplayControl
from alongside.cycle.picture import Advice, AtWork, Picture
from alongside.errors import WrongInput
from alongside.record.faults import in_words
from alongside.runtime.replay import ReplayDesk
from alongside.runtime.worker import Worker
from alongside.stay.stage import Stage
from alongside.training.exercise.answers import as_met, as_read, deeds_of, met_by
from alongside.training.exercise.conduct import Attempt, counted, of_exercise
from alongside.training.exercise.crew import Work
from alongside.training.exercise.model import Exercise, Message
from alongside.training.exercise.run import PART_S, Playing
from alongside.training.exercise.staging import log_source_of, message_words
from alongside.units import iso_time
from alongside.wording.actions import order_words
from alongside.wording.names import IN_EXAM
from alongside.wording.times import clock

NO_ADVICE = Advice(
    "No advice in this exercise: judge for yourself", Stage.NORMAL, "No advice in this exercise"
)
ENDED: Final = "The exercise has ended: q gives the debrief"
TOLD_S: Final = 30.0
"""A message stands on the screen for so long, by the clock on the wall."""
LISTED_S: Final = 20.0
"""How far it has come is put on the disk no more often than that, unless something is ordered."""
Keep = Callable[[Sequence[Done], Attempt], None]
"""Puts all orders up to now, and how time was kept to, on the disk. May raise OSError."""


class ExerciseDesk(ReplayDesk):
    """A replay of an exercise from its beginning on. What comes before can be looked at, but nothing can be
    done in it. Actions undone by going back are kept, and marked.

    What is entered is an order: the crew carries it out, and it takes effect when that is done. `judging` is
    played on meanwhile, so that little is left for the debrief. Raises WrongInput where the log does not hold
    its beginning.
    """

    stationed = False
    """Whether an instructor may follow it."""

    def __init__(
        self,
        exercise: Exercise,
        speed: float = 1.0,
        *,
        trainee: str = "",
        exam: bool = False,
        judging: Playing | None = None,
        keep: Keep | None = None,
        now: Callable[[], float] = time.time,
    ) -> None:
        self._now = now
        self._keep_list, self._not_listed, self._listed_at = keep, "", -inf
        attempt = Attempt(trainee, exam, now(), nan, exercise.start, fastest=speed)
        self._attempt = of_exercise(attempt, exercise)
        self._paused_at: float | None = None
        self._ended: float | None = None
        """When it came to its end, by the clock on the wall."""
        self._exercise = self._world = exercise
        self._begins = exercise.start
        self._orders: list[Done] = []
        self._undone: list[Done] = []
        self._works: tuple[Work, ...] = ()
        self.judging = judging
        """What is judged; None where nothing is."""
        self._to_judge: tuple[tuple[Done, ...], float] = ((), exercise.start - PART_S)
        self._judge: Worker[None] = Worker("judging", self._judge_on, lambda: None)
        self._came: dict[Message, float] = {}
        """Messages that have come, each with the time of the clock at which it did."""

        def shown(picture: Picture) -> Picture:
            advice = picture.advice if exercise.shows.advice else NO_ADVICE
            picture = replace(picture, advice=advice, exercise=True, exam=exam, stationed=self.stationed)
            now = picture.time
            return replace(picture, at_work=at_work(self._works, now), told=self._told(now))

        source = log_source_of(exercise)
        first = source.rewound().starts_at
        if first != first or first > exercise.start:
            raise WrongInput(f"{exercise.log}: expected it to begin before {iso_time(exercise.start)}")
        super().__init__(
            source.basis.stay,
            Path(exercise.log),
            speed=speed,
            start=exercise.start,
            source=source,
            shown=shown,
            looks_ahead=exercise.shows.ahead,
        )

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._list()
        if self.judging is not None:
            self._judge.start()
        super().start(deliver)

    def stop(self) -> None:
        super().stop()
        self._judge.stop()

    def _step(self) -> None:
        super()._step()
        if self._monotonic() - self._listed_at >= LISTED_S:
            self._list()
        here = self._player.time
        if not self._is_over(here):
            self._ended = None
        elif self._ended is None:
            self._ended = self._now()
        if here is not None and here // PART_S > self._to_judge[1] // PART_S:
            self._to_judge = tuple(self._orders), here
            self._judge.wake()

    def _list(self) -> None:
        """Put on the disk what was ordered up to now. A disk that takes no more does not keep the trainee
        from going on: the screen says so."""
        self._listed_at = self._monotonic()
        if self._keep_list is None:
            return
        try:
            self._keep_list(self.acts, self.attempt)
            self._not_listed = ""
        except OSError as error:
            self._not_listed = in_words(error)

    def _judge_on(self) -> None:
        """Play on what is judged, to where the trainee has come, with what was ordered up to then."""
        orders, until = self._to_judge
        if self.judging is not None and until >= self._exercise.start:
            self.judging.play(orders, until, stopping=self._judge.stopping)

    @property
    def acts(self) -> tuple[Done, ...]:
        """Return all orders by time; those undone by going back are marked."""
        return tuple(sorted([*self._orders, *self._undone], key=lambda each: each.time))

    @property
    def attempt(self) -> Attempt:
        """Return how it was gone through up to now."""
        left_at = self._exercise.start if self._player.time is None else self._player.time
        paused = 0.0 if self._paused_at is None else self._monotonic() - self._paused_at
        paused_s = round(self._attempt.paused_s + paused, 1)
        ended = self._now() if self._ended is None else self._ended
        return replace(self._attempt, ended=ended, left_at=left_at, paused_s=paused_s)

    def _control(self, control: Control) -> None:
        if self._attempt.exam and isinstance(control, ReplayControl):
            self._attempt = replace(self._attempt, refused=self._attempt.refused + 1)
            self._tell(IN_EXAM)
            return
        self._attempt = counted(self._attempt, control, self._player.next_time)
        super()._control(control)
        self._count_pause()

    def _stands_still(self) -> bool:
        """Return whether the trainee stopped it."""
        return self._clock.paused

    def _count_pause(self) -> None:
        """Add up how long it stood still."""
        now, stands = self._monotonic(), self._stands_still()
        if stands and self._paused_at is None:
            self._paused_at = now
        elif not stands and self._paused_at is not None:
            more = now - self._paused_at
            self._attempt = replace(self._attempt, paused_s=self._attempt.paused_s + more)
            self._paused_at = None

    def _do(self, actions: list[Action]) -> None:
        at = self._player.next_time
        if at < self._begins or at > self._exercise.end:
            begins = f"the exercise begins at {clock(self._begins, self.stay.display)}"
            self._refuse(actions, begins if at < self._begins else "the exercise has ended")
            return
        for action in actions:
            self._orders.append(Done(at, action))
            why_not = met_by(self._exercise, self._orders)[-1].why_not
            if why_not:
                self._refuse([action], why_not)
            else:
                self._acts = replace(self._acts, taken=self._acts.taken + 1)
        self._list()
        now = self._follow_orders(at)
        if now:
            self._take_effect([as_read(self._world, each).action for each in now])
        else:
            self._play(at)  # to show that it was ordered

    def _play(self, until: float, actions: list[Action] | None = None) -> None:
        for at in self._due(until) if actions is None else ():
            super()._play(at - 1.0)
            due = [each for each in deeds_of(self._works, at) if each.time == at]
            self._take_effect([as_read(self._world, each).action for each in due])
        super()._play(until, actions)

    def _seek(self, to: float) -> None:
        stands = [order for order in self._orders if order.time <= to]
        self._undone += [replace(order, undone=True) for order in self._orders if order.time > to]
        if len(stands) < len(self._orders):
            self._orders = stands
            super()._seek(to)  # while the world is as it was
            self._follow_orders(to + 1.0)
            return
        for at in self._due(to):
            super()._seek(at - 1.0)
            self._play(at)
        super()._seek(to)

    def _due(self, until: float) -> list[float]:
        """Return when orders are carried out from here to a time, but for those that were already."""
        here = self._player.time if self._player.time is not None else -inf
        over = {each.time for each in self.done}
        return sorted({each.time for each in deeds_of(self._works, until) if each.time > here} - over)

    def _follow_orders(self, at: float) -> list[Done]:
        """Let the crew know all orders, and the exercise what they change of it. Return what takes effect at
        a time."""
        self._works = met_by(self._exercise, self._orders)
        world = as_met(self._exercise, self._works)
        if world != self._world:
            self._world, self._source = world, log_source_of(world, self._source)
            self._read_ahead.use(self._source)
            self._cache.cut(at)
            if self._player.time is not None:
                self._player = self._source.resumed(self._player.memory, self._player.time)
            self._read_ahead.wake()
        return [each for each in deeds_of(self._works, at) if each.time == at]

    def _told(self, now: float) -> str:
        """Return the message that came last, while it is new."""
        came = [each for each in self._world.injections if isinstance(each, Message) and each.at <= now]
        newest = max(came, key=lambda each: each.at, default=None)
        wall = self._monotonic()
        fresh = newest is not None and wall - self._came.setdefault(newest, wall) <= TOLD_S
        message = message_words(newest) if newest is not None and fresh else ""
        unkept = f"NOT ON RECORD: {self._not_listed}" if self._not_listed else ""
        over = ENDED if self._is_over(now) else ""
        return "  ".join(filter(None, (over, message, unkept)))

    def _is_over(self, at: float | None) -> bool:
        return at is not None and at >= self._exercise.end - 1.0


def at_work(works: Sequence[Work], now: float) -> tuple[AtWork, ...]:
    """Return orders that are given and not carried out yet at a time, UNIX s."""
    going_on = [work for work in works if not work.why_not and work.order.time <= now < work.end]
    return tuple(
        AtWork(
            order_words(work.order.action),
            work.end if work.leave <= now or not work.hands else inf,
            getattr(work.order.action, "line", ""),
        )
        for work in going_on
    )
