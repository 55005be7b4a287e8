"""The instructor's side: the trainee's exercise played after him, and what is asked for of his console."""

import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import fields, replace
from typing import Any, Final

from alongside.actions import Action, Note
from alongside.actions.controls import Control, Inject, InSight, Pause
from alongside.cycle.picture import DeskActs, Instructing, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.record.attempt import Rows, Seat, is_running, now_of
from alongside.runtime.picture_maker import as_replay
from alongside.runtime.worker import Worker
from alongside.training.exercise.conduct import attempt_of
from alongside.training.exercise.desk import NO_ADVICE, at_work
from alongside.training.exercise.kept_yardstick import kept_beginning
from alongside.training.exercise.model import Exercise
from alongside.training.station import sections, story
from alongside.training.station.follower import Follower
from alongside.training.station.measure import Measure
from alongside.training.station.story import Story
from alongside.units import iso_time

TICK_S: Final = 0.5
SAID_S: Final = 12.0
"""So long it stands on the screen what became of what was asked for."""
GONE_S: Final = 2.0
GONE: Final = "THE TRAINEE'S CONSOLE IS GONE: it broke off; q ends, and writes what it had kept"
ENDED: Final = "The trainee has ended the exercise: q ends"
NOT_HERE: Final = "this console instructs, orders are the trainee's"


class InstructorDesk:
    """Follows an attempt in the folder of `seat`. What it asks for is done by the trainee's console, or not
    at all."""

    def __init__(
        self, exercise: Exercise, seat: Seat, monotonic: Callable[[], float] = time.monotonic
    ) -> None:
        self.stay = exercise.stay
        self._exercise = self._as_given = exercise
        self._seat, self._monotonic = seat, monotonic
        self._rows = Rows(seat.folder)
        self._story = Story()
        self._follower = Follower(exercise, kept_beginning(exercise))
        self._measure = Measure()
        self._now: dict[str, Any] = {}
        self._acts = DeskActs()
        self._asked = 0
        self._said, self._said_at = "", 0.0
        self._last: Picture | None = None
        self._seen_running = monotonic()
        self._advice = ""
        self._worker: Worker[Action | Control] = Worker("instruct", self._step, lambda: TICK_S)

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._measure.start()
        self._worker.start(deliver)

    def act(self, action: Action) -> None:
        self._worker.post(action)

    def control(self, control: Control) -> None:
        self._worker.post(control)

    def stop(self) -> None:
        self._worker.stop()
        self._measure.stop()
        if self._story.frozen_at is not None:
            self._ask({"do": "go_on"})
        self._seat.leave()

    def _step(self) -> None:
        for asked in self._worker.posted():
            self._heed(asked)
        self._take_rows()
        until = self._time_of_now()
        if until is None:
            self._worker.deliver(self._marked(blank_picture(self.stay)))
            return
        self._follower.know(self._as_given, self._story.orders)
        for behind in self._follower.play_to(until):
            if self._worker.stopping():
                return
            if behind.at < behind.to - 60.0:
                last = self._last or blank_picture(self.stay)
                self._worker.deliver(self._marked(replace(last, reading=(behind.at, behind.to))))
        picture = self._follower.picture(self._shown)
        if picture is not None:
            self._last = picture
            self._worker.deliver(self._marked(picture))

    def _take_rows(self) -> None:
        """Take what was kept since. The present instant is read first: no row that it rests on is missed."""
        self._now = now_of(self._seat.folder) or self._now
        before = self._story.given
        for row in self._rows.new():
            self._story.take([row])
            if row.get("row") in ("refused", "marked", "injected"):
                self._became(row)
        if self._story.given != before:
            self._as_given = story.with_given(self._exercise, self._story.given)

    def _became(self, row: Mapping[str, Any]) -> None:
        """Say what became of what was asked for."""
        match row.get("row"):
            case "refused":
                self._tell(f"Not done: {row.get('why', '')}")
            case "injected":
                self._tell("Put in")
            case "marked":
                self._acts = replace(self._acts, taken=min(self._acts.taken + 1, self._asked))

    def _time_of_now(self) -> float | None:
        at = self._now.get("time")
        return float(at) if isinstance(at, int | float) and at == at else None

    def _heed(self, asked: Action | Control) -> None:
        match asked:
            case Note(text):
                self._asked += 1
                shown = self._time_of_now()
                self._ask({"do": "mark", "text": text, "at": iso_time(shown or self._exercise.start)})
            case Pause():
                self._ask({"do": "freeze" if self._story.frozen_at is None else "go_on"})
            case Inject(injection, at):
                self._inject(dict(injection), at)
            case _ if isinstance(asked, Action):
                self._asked += 1
                refused = (*self._acts.refused, self._asked)
                self._acts = replace(self._acts, taken=self._asked, refused=refused)
                self._tell(f"Not done: {NOT_HERE}")

    def _inject(self, plain: dict[str, Any], at: float | None) -> None:
        """Ask for it, where the file of the exercise could have it."""
        soonest = (self._time_of_now() or self._exercise.start) + 1.0
        when = iso_time(soonest if at is None else at)
        injection, why_not = story.injection_of(self._as_given, {**plain, "at": when})
        if injection is None:
            self._tell(f"Not done: {why_not}")
            return
        self._ask({"do": "inject", "injection": plain, "at": None if at is None else when})

    def _ask(self, note: Mapping[str, Any]) -> None:
        try:
            self._seat.ask(note)
        except OSError as error:
            self._tell(f"Not done: {error.strerror or error}")

    def _tell(self, words: str) -> None:
        self._said, self._said_at = words, self._monotonic()

    def _shown(self, picture: Picture) -> Picture:
        """Return the Picture as the trainee has it."""
        self._advice = picture.advice.text
        advice = picture.advice if self._exercise.shows.advice else NO_ADVICE
        return replace(picture, advice=advice, at_work=at_work(self._follower.works, picture.time))

    def _marked(self, picture: Picture) -> Picture:
        """Return a Picture as this console shows it."""
        now = picture.time if picture.time == picture.time else self._exercise.start
        attempt = self._story.attempt
        with suppress(ValueError):
            attempt = attempt_of(self._now.get("attempt"))
        found: sections.Sections = ()
        if picture is self._last:
            measure = self._measure.of(self._as_given)
            found = sections.sections_of(self._as_given, now, self._follower, measure)
            if not self._exercise.shows.advice:
                found = (("Advice, which the trainee does not see", (self._advice,)), *found)
        instructing = Instructing(
            sections.trainee_words(attempt, self._exercise, now), self._in_sight(), found
        )
        over = self._over()
        shown = as_replay(
            picture, float(self._now.get("speed", 1.0)), bool(self._now.get("paused", False)) or bool(over)
        )
        return replace(
            shown, exercise=True, instructing=instructing, told=over or self._told(), acts=self._acts
        )

    def _told(self) -> str:
        lately = self._monotonic() - self._said_at < SAID_S
        frozen = "TIME STANDS: Space lets it go on" if self._story.frozen_at is not None else ""
        return "  ".join(filter(None, (self._said if lately else "", frozen)))

    def _over(self) -> str:
        """Return that the trainee's console is no more, in words; "" while it runs."""
        if self._story.ended:
            return ENDED
        now = self._monotonic()
        if is_running(self._seat.folder):
            self._seen_running = now
        return GONE if now - self._seen_running > GONE_S else ""

    def _in_sight(self) -> InSight | None:
        given = self._now.get("in_sight")
        names = {each.name for each in fields(InSight)}
        if not isinstance(given, dict) or not set(given) <= names or "part" not in given:
            return None
        return InSight(**{**given, "size": tuple(given.get("size", (0, 0)))})
