"""The trainee's side of an instructor's station: the exercise at the console, on which an instructor puts
trouble, stops time and marks moments."""

import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any, Final

from alongside.actions import Action
from alongside.actions.controls import Control, InSight, ReplayControl
from alongside.record.attempt import AttemptFolder
from alongside.record.faultlog import keep_trace
from alongside.record.faults import in_words
from alongside.training.exercise.desk import ExerciseDesk, Keep
from alongside.training.exercise.given import Given
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Playing
from alongside.training.station import story
from alongside.training.station.story import Story
from alongside.units import iso_time, unix_time

STANDS: Final = "the instructor has stopped time"
STANDS_WORDS: Final = "TIME STANDS: the instructor has stopped it, nothing can be done"
SAY_S: Final = 0.4
"""The present instant is said no more often than that, unless something else changed."""
MISSED_S: Final = 5.0
"""An instructor's console that is gone for so long lets time go on."""
MARK_MOST: Final = 200


class TraineeDesk(ExerciseDesk):
    """An exercise whose attempt is kept in a folder as it goes, and that does what notes in it ask for."""

    stationed = True

    def __init__(
        self,
        exercise: Exercise,
        folder: AttemptFolder,
        speed: float = 1.0,
        *,
        trainee: str = "",
        exam: bool = False,
        judging: Playing | None = None,
        keep: Keep | None = None,
        now: Callable[[], float] = time.time,
    ) -> None:
        self._folder, self._story = folder, Story()
        self._frozen_since: float | None = None
        self._halted_before = False
        self._last_met = 0.0
        self._in_sight: InSight | None = None
        self._said: tuple[float, object] = (0.0, None)
        self._not_kept = ""
        self._judged = exercise
        super().__init__(exercise, speed, trainee=trainee, exam=exam, judging=judging, keep=keep, now=now)
        self._keep(story.begun(str(Path(exercise.file).resolve()), self._attempt_to_keep()))

    @property
    def given(self) -> Given:
        """Return what the instructor did."""
        return self._story.given

    def stop(self) -> None:
        super().stop()
        if self._frozen_since is not None:
            self._go_on()
        self._keep(story.ended(self.attempt))
        self._folder.close()
        self._judge_as_given()

    def _judge_on(self) -> None:
        self._judge_as_given()
        super()._judge_on()

    def _judge_as_given(self) -> None:
        """Judge by the exercise as it was given up to now."""
        exercise = self._exercise
        if self.judging is not None and self._judged is not exercise:
            self.judging, self._judged = self.judging.of_another(exercise), exercise

    def _attempt_to_keep(self) -> Any:
        return replace(self._attempt, ended=self._now())

    def _step(self) -> None:
        if self._begun:
            self._hear()
        super()._step()

    def _hear(self) -> None:
        """Do what the instructor asks for. Where his console is gone, time does not stand for ever."""
        for name, note in self._folder.notes():
            try:
                self._heed(note)
            except Exception as wrong:  # guards the exercise: a note that fails must not come again
                keep_trace()
                self._refuse_note(f"not understood ({type(wrong).__name__})")
            self._folder.drop(name)
        if self._frozen_since is None:
            return
        now = self._monotonic()
        if self._folder.instructor_is_there():
            self._last_met = now
        elif now - self._last_met > MISSED_S:
            self._go_on()
            self._tell("The instructor's console is gone: time goes on")

    def _heed(self, note: Mapping[str, Any]) -> None:
        match note["do"]:
            case "inject":
                self._inject(note)
            case "mark":
                at = min(unix_time(note["at"]), self._player.next_time)
                self._keep(story.marked(self._within(at), str(note["text"])[:MARK_MOST]))
            case "freeze" if self._frozen_since is None:
                self._freeze()
            case "go_on" if self._frozen_since is not None:
                self._go_on()

    def _inject(self, note: Mapping[str, Any]) -> None:
        """Put in what is asked for, from the next cycle on, or from a later time. What was until then stays
        as it was."""
        soonest = max(self._player.next_time, self._begins)
        at = float(round(unix_time(note["at"]))) if note.get("at") else soonest
        if at < soonest:
            self._refuse_note(f"{iso_time(at)} is over")
            return
        plain = {**note["injection"], "at": iso_time(at)}
        injection, why_not = story.injection_of(self._exercise, plain)
        if injection is None:
            self._refuse_note(why_not)
            return
        self._keep(story.injected(plain))
        live = replace(
            self._exercise.instructed, injections=(*self._exercise.instructed.injections, injection)
        )
        more = (*self._exercise.injections, injection)
        self._exercise = replace(self._exercise, injections=more, instructed=live)
        self._follow_orders(at)

    def _refuse_note(self, why: str) -> None:
        self._keep(story.refused(why))

    def _freeze(self) -> None:
        self._keep(story.frozen(self._within(self._player.next_time - 1.0), self._now()))
        now = self._monotonic()
        self._frozen_since = self._last_met = now
        self._halted_before = self._clock.paused
        self._clock = self._clock.halted(True, now)
        self._count_pause()

    def _go_on(self) -> None:
        assert self._frozen_since is not None, "asked before"
        now = self._monotonic()
        at = self._within(self._player.next_time - 1.0)
        self._keep(story.went_on(at, now - self._frozen_since))
        self._frozen_since = None
        self._clock = self._clock.halted(self._halted_before, now)
        self._count_pause()

    def _within(self, at: float) -> float:
        return min(max(at, self._exercise.start), self._exercise.end)

    def _stands_still(self) -> bool:
        return super()._stands_still() and self._frozen_since is None

    def _control(self, control: Control) -> None:
        if isinstance(control, InSight):
            self._in_sight = control
        elif self._frozen_since is not None and isinstance(control, ReplayControl):
            self._tell(f"Not done: {STANDS}")
        else:
            super()._control(control)

    def _do(self, actions: list[Action]) -> None:
        if self._frozen_since is not None:
            self._refuse(actions, STANDS)
            return
        before = len(self._orders)
        super()._do(actions)
        for each in self._orders[before:]:
            self._keep(story.ordered(each))

    def _seek(self, to: float) -> None:
        if any(order.time > to for order in self._orders):
            self._keep(story.gone_back(to))
        super()._seek(to)

    def _told(self, now: float) -> str:
        unkept = f"NOT ON RECORD: {self._not_kept}" if self._not_kept else ""
        told = STANDS_WORDS if self._frozen_since is not None else super()._told(now)
        return "  ".join(filter(None, (told, unkept)))

    def _show(self) -> None:
        super()._show()
        self._say()

    def _say(self) -> None:
        """Say where the exercise is, for the instructor's console."""
        now, at = self._monotonic(), self._player.time
        state = (self._clock.speed, self._clock.paused, self._frozen_since, self._in_sight)
        if at is None or (now - self._said[0] < SAY_S and state == self._said[1]):
            return
        self._said = now, state
        try:
            self._folder.say(
                {
                    "time": at,
                    "speed": self._clock.speed,
                    "paused": self._clock.paused or self._over(),
                    "wall": self._now(),
                    "attempt": story.ended(self.attempt)["attempt"],
                    "in_sight": None if self._in_sight is None else asdict(self._in_sight),
                }
            )
        except OSError as error:
            self._not_kept = in_words(error)

    def _keep(self, row: Mapping[str, Any]) -> None:
        """Put a row on the disk, before what it says is shown. A disk that takes no more does not keep the
        trainee from going on: the screen says so."""
        self._story.take([row])
        try:
            self._folder.append(row)
        except (OSError, ValueError) as error:
            self._not_kept = in_words(error)
