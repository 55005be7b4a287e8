"""Plays an exercise after whoever lives through it: the same orders at the same cycles give the same picture.
Beside it the same without faults of gauges, which is how she really lies."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Final

import numpy as np

from alongside.actions import Action, Done
from alongside.cycle.advance import advance_guarded
from alongside.cycle.block import Block
from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.runtime.log_player import LogSource, Player
from alongside.runtime.picture_maker import PictureMaker, feed_rows
from alongside.stay.model import GaugeFault
from alongside.training.exercise.answers import as_met, as_read, deeds_of, met_by
from alongside.training.exercise.course import Course, CourseMaker
from alongside.training.exercise.crew import Work
from alongside.training.exercise.limits_passed import LimitsReached
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Beginning
from alongside.training.exercise.staging import log_source_of

CHUNK_S: Final = 1800.0
"""While it catches up it says how far it is after each so much of the stay."""


@dataclass(frozen=True, slots=True)
class Behind:
    """How far it has come while it catches up, and where to, UNIX s."""

    at: float
    to: float


class Follower:
    """Goes on only: whoever went back is followed from the beginning. `exercise` and `orders` are those of
    now; what of them lies behind must be as it was."""

    def __init__(self, exercise: Exercise, beginning: Beginning | None = None) -> None:
        self._exercise, self._beginning = exercise, beginning
        self._orders: tuple[Done, ...] = ()
        self._begin()

    def _begin(self) -> None:
        self.works: tuple[Work, ...] = met_by(self._exercise, self._orders)
        self._world = as_met(self._exercise, self.works)
        self._source: LogSource = log_source_of(self._world)
        self._player: Player = self._at_first()
        first = self._player.starts_at
        if first != first or first > self._exercise.start:
            raise WrongInput(f"{self._exercise.log}: no log that the exercise begins in")
        self._before = True
        self._truth: Player | None = None
        self._true_block: Block | None = None
        self._block: Block | None = None
        self._pictures = PictureMaker(
            self._source.basis, self._player.intake.channels, looks_ahead=self._exercise.shows.ahead
        )
        names = self._source.basis.arrangement.ids
        self._course = CourseMaker(names, self._exercise.start, self._exercise.end)
        self._limits = LimitsReached(self._exercise)

    def _at_first(self) -> Player:
        """Return a player at the beginning of the log. Where it is known how things stand as the exercise
        begins, what comes before is only played for the charts, and does not look ahead: that is most of
        what it takes."""
        if self._beginning is None or self._beginning.time is None:
            return self._source.rewound()
        return replace(self._source, cycle=advance_guarded, every=inf).rewound()

    @property
    def time(self) -> float | None:
        """Return the last cycle played."""
        return self._player.time

    @property
    def course(self) -> Course:
        """Return how the stay went from the start of the exercise on."""
        return replace(self._course.course(), agreed_cost=self._limits.cost(self._exercise, self.works))

    def know(self, exercise: Exercise, orders: Sequence[Done]) -> None:
        """Take the exercise and all orders of now. Where what lies behind is not as it was, all is played
        anew."""
        given = tuple(each for each in orders if not each.undone)
        if given == self._orders and exercise.injections == self._exercise.injections:
            return
        is_as_it_was = self._behind(exercise, given) == self._behind(self._exercise, self._orders)
        self._exercise, self._orders = exercise, given
        if not is_as_it_was:
            self._begin()
            return
        self.works = met_by(exercise, given)
        world = as_met(exercise, self.works)
        if world.injections == self._world.injections:
            return
        self._world, self._source = world, log_source_of(world, self._source)
        if self._player.time is None or self._before:
            self._begin()
        else:
            self._player = self._source.resumed(self._player.memory, self._player.time)
        if self._truth is not None and self._truth.time is not None:
            self._truth = self._true_source().resumed(self._truth.memory, self._truth.time)

    def _behind(self, exercise: Exercise, orders: Sequence[Done]) -> tuple[object, ...]:
        """Return what has had its effect on what was played."""
        here = -inf if self._player.time is None else self._player.time
        injected = [each for each in exercise.injections if getattr(each, "at", -inf) <= here]
        return [each for each in orders if each.time <= here], injected

    def play_to(self, until: float) -> Iterator[Behind]:
        """Play to a time, with what is carried out on the way; before the time of now, from the beginning.
        Yield how far it is from time to time."""
        if self._player.time is not None and until < self._player.time:
            self._begin()
        while True:
            here = self._player.time if self._player.time is not None else self._player.starts_at - 1.0
            if here >= until:
                return
            deeds = deeds_of(self.works, until)
            due = min((each.time for each in deeds if each.time > here), default=None)
            to = min(until, here + CHUNK_S, until if due is None else due - 1.0)
            if here < self._exercise.start - 1.0:
                to = min(to, self._exercise.start - 1.0)  # what comes before costs nothing
            if due is not None and to <= here:
                acts = [as_read(self._world, each).action for each in deeds if each.time == due]
                self._play(due, acts)
            else:
                self._play(to, ())
            now = self._player.time
            if now is None or now <= here:
                return  # the log is at its end
            if self._before and now >= self._exercise.start - 1.0:
                self._before = False
                known = self._beginning
                if known is not None and known.time is not None:
                    self._player = self._source.resumed(known.memory, known.time)
            yield Behind(now, until)

    def _play(self, until: float, acts: Sequence[Action]) -> None:
        self._begin_truth()
        if self._truth is not None:
            for block in self._truth.play_to(until, acts):
                self._true_block = block
        for block in self._player.play_to(until, acts):
            self._block = block
            self._pictures.use_basis(self._player.basis)
            self._pictures.add(block)
            if block.readings.time[0] >= self._exercise.start:
                self._course.add(block.assessment)
                self._limits.add(block.situation)

    def _begin_truth(self) -> None:
        """Let the other player begin where the first gauge fails."""
        faults = [each.at for each in self._world.injections if isinstance(each, GaugeFault)]
        here = self._player.time
        if self._truth is None and here is not None and faults and min(faults) <= here + CHUNK_S:
            self._truth = self._true_source().resumed(self._player.memory, here)

    def _true_source(self) -> LogSource:
        no_fault = tuple(each for each in self._world.injections if not isinstance(each, GaugeFault))
        return log_source_of(replace(self._world, injections=no_fault), self._source)

    def picture(self, shown: Callable[[Picture], Picture]) -> Picture | None:
        """Return the Picture at the last cycle; None before the first."""
        player = self._player
        note = f"the log {player.log.note}" if player.log.note else ""
        feeds = feed_rows(self._source.basis.stay, player.intake, {}, str(self._source.path), note)
        picture = self._pictures.picture(player.memory, feeds)
        return None if picture is None else shown(picture)

    def shown_and_true(self) -> Iterator[tuple[str, float, float]]:
        """Return each channel with what its gauge shows and what it really is, where these differ; NaN for
        nothing shown."""
        if self._true_block is None or self._block is None:
            return
        shows, really = self._block.readings, self._true_block.readings
        for channel in shows.channels:
            one, other = (float(each.column(channel)[-1]) for each in (shows, really))
            if not (np.isnan(other) or abs(one - other) <= 0.01 * max(abs(other), 1.0)):
                yield channel, one, other

    def loads(self) -> Iterator[tuple[str, float, float]]:
        """Return each line with its load share by the gauges and as it really is, where these differ by more
        than two hundredths; NaN for not known."""
        if self._true_block is None or self._block is None:
            return
        shows, really = (each.hold.lines.load_share[-1] for each in (self._block, self._true_block))
        names = self._source.basis.arrangement.ids
        for name, one, other in zip(names, shows.tolist(), really.tolist(), strict=False):
            if not (np.isnan(other) or abs(one - other) <= 0.02):
                yield name, one, other
