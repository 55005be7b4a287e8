"""An exercise played with given actions, without a screen: from the same log, by the same way in."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.actions import Done
from alongside.alerts.model import Alert, Event
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.runtime.log_player import Player
from alongside.training.exercise.answers import as_met, as_read, deeds_of, met_by, without_effect
from alongside.training.exercise.asked_for import Called
from alongside.training.exercise.course import Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.effects import Uncounted, effects, outside, undone
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.staging import log_source_of
from alongside.training.exercise.totals import Totals
from alongside.units import iso_time

PART_S: Final = 1800.0
"""A multiple of how often a play looks ahead, at which it is cut anyway."""


Seen = Callable[[float], None]
"""Told from time to time which part, 0 to 1, has been played."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """What came of an exercise, from its start to its end. `lines` are those of the stay file, in its order;
    so are columns.

    `seconds` (lines, 4) at each stage, and of nothing known `unknown_s`; highest stretch and load share with
    their times, NaN where never known. `times` (m,), `paths` and `levels`, their level parts outboard (m,
    lines), and `lengths` (lines,) at the start are what rounds are planned from.

    `works` is what became of each order; `done` what took effect, each at the cycle at which it did;
    `uncounted` what did not, and why; `undone` how many acts were run back by going back. `standing` are the
    alerts that stood when it began, at `start`; `called` is what alerts `decide` called for.
    """

    lines: tuple[str, ...]
    start: float
    end: float
    works: tuple[Work, ...]
    done: tuple[Done, ...]
    uncounted: tuple[Uncounted, ...]
    undone: int
    standing: tuple[Alert, ...]
    events: tuple[Event, ...]
    seconds: Floats
    unknown_s: Floats
    stretch: Floats
    stretch_at: Floats
    load: Floats
    load_at: Floats
    lengths: Floats
    times: Floats
    paths: Floats
    levels: Floats
    course: Course
    called: tuple[Called, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Reached:
    """An exercise as it was played up to a multiple of `PART_S`, `time` its last cycle: another with the same
    deeds up to there goes on from it."""

    time: float
    memory: Memory
    lines: tuple[str, ...]
    standing: tuple[Alert, ...]
    totals: Totals
    deeds: tuple[Done, ...]
    took_effect: tuple[Done, ...]
    refused: tuple[Uncounted, ...]


class Played:
    """How far an exercise was played with other orders, so that what is the same of it is played once. What
    goes on from there comes out the same but for the last bit of means: so the runs of a yardstick share it,
    which are always the same, and no run of a trainee."""

    def __init__(self, exercise: Exercise) -> None:
        self.exercise = exercise
        self._reached: list[Reached] = []

    def keep(self, reached: Reached) -> None:
        self._reached.append(reached)

    def farthest(self, deeds: Sequence[Done]) -> Reached | None:
        """Return the farthest that was reached with just these deeds."""
        alike = [
            each for each in self._reached if list(each.deeds) == [d for d in deeds if d.time <= each.time]
        ]
        return max(alike, key=lambda each: each.time, default=None)


@dataclass(frozen=True, slots=True, eq=False)
class Beginning:
    """How things stand as an exercise begins: the memory after the last cycle before it, at `time`; None
    where its log begins with it."""

    time: float | None
    memory: Memory


def unseen(part: float) -> None:
    """Show nothing."""


def beginning_of(exercise: Exercise, seen: Seen = unseen) -> Beginning:
    """Play what comes before an exercise; return how things stand then. Raises WrongInput where its log
    begins too late."""
    player = log_source_of(exercise).rewound()
    play_to_start(exercise, player, seen)
    return Beginning(player.time, player.memory)


def player_of(exercise: Exercise, beginning: Beginning | None = None) -> Player:
    """Return a player of an exercise, where its beginning is known one that goes on from there."""
    source = log_source_of(exercise)
    if beginning is None or beginning.time is None:
        return source.rewound()
    return source.resumed(beginning.memory, beginning.time)


def run_exercise(
    exercise: Exercise,
    done: Sequence[Done],
    beginning: Beginning | None = None,
    seen: Seen = unseen,
    played: Played | None = None,
) -> Run:
    """Return what came of an exercise played with these orders, from its beginning where that is known, or
    from where it was `played` already with the same: the same, sooner. Raises WrongInput where its log is too
    short."""
    return Playing(exercise, beginning, played).run(done, seen)


class Playing:
    """An exercise as far as it was played. It is played in parts, each up to a multiple of `PART_S`: left and
    gone on with between two of them it comes out the same."""

    def __init__(
        self, exercise: Exercise, beginning: Beginning | None = None, played: Played | None = None
    ) -> None:
        self._exercise, self._beginning = exercise, beginning
        self._others = played if played is not None and played.exercise == exercise else None
        self._start_anew(exercise)

    def _start_anew(self, world: Exercise) -> None:
        self._world, self._player = world, player_of(world, self._beginning)
        self._lines: tuple[str, ...] = ()
        self._standing: tuple[Alert, ...] = ()
        self._totals: Totals | None = None
        self._whole = True
        self._deeds: list[Done] = []
        self._took_effect: list[Done] = []
        self._refused: list[Uncounted] = []

    def of_another(self, exercise: Exercise) -> "Playing":
        """Return one of an exercise with other injections, from the same beginning."""
        return Playing(exercise, self._beginning)

    @property
    def reached(self) -> float:
        """Return the last cycle that was played, UNIX s; minus infinite before the exercise."""
        here = self._player.time
        return -np.inf if here is None or self._totals is None else here

    def play(
        self,
        done: Sequence[Done],
        until: float,
        seen: Seen = unseen,
        stopping: Callable[[], bool] = lambda: False,
    ) -> None:
        """Play on with all orders that were given up to a UNIX time, whole parts up to it, or to the end of
        the exercise; no further once `stopping` says so. What was played with other orders is played anew."""
        works = met_by(self._exercise, done)
        world = as_met(self._exercise, works)
        deeds = [as_read(world, each) for each in deeds_of(works, self._exercise.end)]
        self._go_on_in(world, deeds)
        if self._totals is None:
            self._take_up(deeds)
        if self._totals is None:
            play_to_start(world, self._player)
            self._lines = self._player.basis.arrangement.ids
            self._standing = tuple(self._player.memory.watchlist.alerts.values())
            self._totals = Totals(self._lines, self._exercise)
        for end in self._parts(until):
            if stopping():
                return
            self._whole = False
            self._play_part(deeds, end, seen)
            self._whole = True
            self._hand_on(end)

    def _take_up(self, deeds: Sequence[Done]) -> None:
        """Go on from where another was played to with the same deeds."""
        reached = None if self._others is None else self._others.farthest(deeds)
        if reached is None:
            return
        self._player = log_source_of(self._world).resumed(reached.memory, reached.time)
        self._lines, self._standing = reached.lines, reached.standing
        self._totals = reached.totals.copied()
        self._deeds = list(reached.deeds)
        self._took_effect, self._refused = list(reached.took_effect), list(reached.refused)

    def _hand_on(self, end: float) -> None:
        """Keep how far it was played for others, unless that is the end of all."""
        if self._others is None or end >= self._exercise.end or self._player.time != end:
            return
        assert self._totals is not None, "just played"
        self._others.keep(
            Reached(
                end,
                self._player.memory,
                self._lines,
                self._standing,
                self._totals.copied(),
                tuple(self._deeds),
                tuple(self._took_effect),
                tuple(self._refused),
            )
        )

    def run(self, done: Sequence[Done], seen: Seen = unseen) -> Run:
        """Play the rest; return what came of all of it."""
        self.play(done, self._exercise.end, seen)
        _check_reached(self._exercise, self._player)
        assert self._totals is not None, "just played"
        works, totals, end = met_by(self._exercise, done), self._totals, self._exercise.end
        uncounted = outside(self._exercise, done) + without_effect(works, end) + self._refused
        return Run(
            self._lines,
            self._exercise.start,
            totals.end,
            works,
            tuple(self._took_effect),
            tuple(uncounted),
            len(undone(done)),
            self._standing,
            tuple(totals.events),
            totals.seconds,
            totals.unknown_s,
            totals.stretch,
            totals.stretch_at,
            totals.load,
            totals.load_at,
            totals.lengths,
            np.concatenate(totals.times),
            np.concatenate(totals.paths),
            np.concatenate(totals.levels),
            replace(totals.course.course(), agreed_cost=totals.limits.cost(self._exercise, works)),
            totals.orders.called,
        )

    def _go_on_in(self, world: Exercise, deeds: Sequence[Done]) -> None:
        """Go on in the exercise as these deeds make it; anew where others were done up to here, or a part was
        broken off."""
        here = self._player.time
        if self._totals is not None and here is not None:
            if not self._whole or self._deeds != [each for each in deeds if each.time <= here]:
                self._start_anew(world)
            elif world != self._world:
                self._world = world
                self._player = log_source_of(world).resumed(self._player.memory, here)
        elif world != self._world:
            self._start_anew(world)

    def _parts(self, until: float) -> list[float]:
        """Return the last cycle of each part from here up to a time."""
        here, last = self._player.next_time, self._exercise.end
        ends = np.arange(np.floor(here / PART_S) + 1.0, np.ceil(last / PART_S) + 1.0) * PART_S - 1.0
        return [end for end in np.minimum(ends, last).tolist() if end <= until]

    def _play_part(self, deeds: Sequence[Done], end: float, seen: Seen) -> None:
        assert self._totals is not None, "its start has been played"
        begin, last = self._exercise.start, self._exercise.end
        for acts, block in _played(self._player, deeds[len(self._deeds) :], end):
            self._totals.add(block)
            self._totals.orders.add(block, self._player.memory, self._player.basis.stay)
            self._deeds += acts
            if acts:
                took, refused = effects(acts, block)
                self._took_effect += took
                self._refused += refused
            seen((self._totals.end - begin) / (last - begin))


def blocks(exercise: Exercise, player: Player, done: Sequence[Done]) -> Iterator[Block]:
    """Return blocks from the start of the exercise to its end; orders are carried out as they would have been
    at the console, without what was undone there. What comes before is played, and not returned. `player` is
    of the exercise as it was met."""
    deeds = [as_read(exercise, each) for each in deeds_of(met_by(exercise, done), exercise.end)]
    play_to_start(exercise, player)
    for _, block in _played(player, deeds, exercise.end):
        yield block
    _check_reached(exercise, player)


def play_to_start(exercise: Exercise, player: Player, seen: Seen = unseen) -> None:
    """Play what comes before the exercise, where it has not been played yet."""
    first = player.starts_at if player.time is None else player.time
    if first != first or first > exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to begin before {iso_time(exercise.start)}")
    for block in player.play_to(exercise.start - 1.0):
        seen((float(block.readings.time[-1]) - first) / (exercise.start - first))


def _played(player: Player, deeds: Sequence[Done], until: float) -> Iterator[tuple[tuple[Done, ...], Block]]:
    """Return blocks up to a time, each with what was done at its first cycle."""
    for at in sorted({each.time for each in deeds if each.time <= until}):
        for block in player.play_to(np.ceil(at) - 1.0):
            yield (), block
        acts = tuple(each for each in deeds if each.time == at)
        for block in player.play_to(player.next_time, [each.action for each in acts]):
            yield acts, block
            acts = ()
    for block in player.play_to(until):
        yield (), block


def _check_reached(exercise: Exercise, player: Player) -> None:
    """Raise WrongInput where the log has nothing of the exercise."""
    if player.time is None or player.time < exercise.start:
        raise WrongInput(f"{exercise.log}: expected it to go on to {iso_time(exercise.end)}")
