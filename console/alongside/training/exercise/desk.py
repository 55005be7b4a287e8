"""An exercise at the console."""

from dataclasses import replace
from pathlib import Path

from alongside.actions import Action, Done
from alongside.cycle.picture import Advice, Picture
from alongside.errors import WrongInput
from alongside.runtime.replay import ReplayDesk
from alongside.stay.stage import Stage
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.staging import log_source_of
from alongside.units import iso_time
from alongside.wording.times import clock

NO_ADVICE = Advice(
    "No advice in this exercise: judge for yourself", Stage.NORMAL, "No advice in this exercise"
)


class ExerciseDesk(ReplayDesk):
    """A replay of an exercise from its beginning on. What comes before can be looked at, but nothing can be
    done in it. Actions undone by going back are kept, and marked.

    Raises WrongInput where the log does not hold its beginning.
    """

    def __init__(self, exercise: Exercise, speed: float = 1.0) -> None:
        def shown(picture: Picture) -> Picture:
            advice = picture.advice if exercise.shows.advice else NO_ADVICE
            return replace(picture, advice=advice, exercise=True)

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
        self._begins = exercise.start
        self._undone: list[Done] = []

    @property
    def acts(self) -> tuple[Done, ...]:
        """Return all actions by time; those undone by going back are marked."""
        return tuple(sorted([*self.done, *self._undone], key=lambda each: each.time))

    def _do(self, actions: list[Action]) -> None:
        if self._player.next_time < self._begins:
            self._refuse(actions, f"the exercise begins at {clock(self._begins, self.stay.display)}")
            return
        super()._do(actions)

    def _seek(self, to: float) -> None:
        before = list(self.done)
        super()._seek(to)
        self._undone += [replace(done, undone=True) for done in before if done not in self.done]
