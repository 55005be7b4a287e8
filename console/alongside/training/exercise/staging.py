"""What an exercise changes of lines, gear and stay file while its log is played."""

from dataclasses import replace
from math import inf
from pathlib import Path

from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.feeds.intake import Spoil
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import LogSource, with_forecast
from alongside.stay.model import Line, Stay
from alongside.training.exercise.model import (
    BrakeRendering,
    Exercise,
    ForgottenLine,
    LineStood,
    Message,
    PartedLine,
)
from alongside.training.exercise.spoilt_gauges import Spoiler, hears_from
from alongside.training.other_weather import AS_RECORDED, with_other_water, with_other_wind

SAME_S = 0.5


def log_source_of(exercise: Exercise, former: LogSource | None = None) -> LogSource:
    """The exercise's log with all that is staged on it, from its beginning to the end of the exercise; where
    the exercise shows the hours ahead, it looks ahead as it goes. `former` is of the same exercise with
    other injections: what is the same of its plan is the very same, and nothing is worked out anew for it."""
    staging = ExerciseStaging(exercise, _staging_of(former))
    source = LogSource(staging.basis_at(-inf), Path(exercise.log), staging, exercise.end)
    return with_forecast(source) if exercise.shows.ahead else source


def _staging_of(source: LogSource | None) -> "ExerciseStaging | None":
    staging = None if source is None else source.staging
    return staging if isinstance(staging, ExerciseStaging) else None


def _of_the_plan(exercise: Exercise) -> tuple[object, ...]:
    forgotten = tuple(each for each in exercise.injections if isinstance(each, ForgottenLine))
    own = (exercise.start, exercise.tending, exercise.shows, exercise.weather, forgotten)
    return id(exercise.stay), *own


def message_words(message: Message) -> str:
    """Return `Terminal: …`."""
    sender = "Engine room" if message.sender == "engine" else message.sender.capitalize()
    return f"{sender}: {message.text}"


def stay_of(exercise: Exercise) -> Stay:
    """The stay as the exercise has it: without forgotten tendings, without those left to the trainee, lines
    made fast too tight or on other water; forecast as the other wind blows; and without load cells, since
    their loads are those of a stay that went otherwise."""
    feeds = tuple(
        replace(feed, channels=tuple(s for s in feed.channels if not s.channel.startswith("tension.")))
        for feed in exercise.stay.feeds
    )
    afloat, weather = exercise.stay, exercise.weather
    if weather != AS_RECORDED:
        afloat = with_other_wind(with_other_water(afloat, weather), weather)
    lines = tuple(_line(exercise, line) for line in afloat.lines)
    return replace(afloat, lines=lines, feeds=feeds)


def _line(exercise: Exercise, line: Line) -> Line:
    own = [each for each in exercise.injections if isinstance(each, ForgottenLine) and each.line == line.id]
    left_out = [each.tend_at for each in own if each.tend_at is not None]
    last = exercise.start if exercise.tending == "trainee" else inf
    tended = tuple(
        tend
        for tend in line.tended
        if tend.at < last and not any(abs(tend.at - at) < SAME_S for at in left_out)
    )
    made_fast = line.made_fast
    for each in own:
        if each.tension_kn is not None:
            made_fast = replace(made_fast, tension_kn=each.tension_kn)
    return replace(line, tended=tended, made_fast=made_fast)


class ExerciseStaging:
    """Staging of one exercise, see `alongside.runtime.log_player.Staging`."""

    def __init__(self, exercise: Exercise, former: "ExerciseStaging | None" = None) -> None:
        self._exercise = exercise
        self._turns = sorted(
            (each for each in exercise.injections if isinstance(each, PartedLine | BrakeRendering | Message)),
            key=lambda turn: turn.at,
        )
        known = former is not None and former._is_alike(exercise)
        self._bases: dict[tuple[BrakeRendering, ...], Basis] = former._bases if former and known else {}

    def _is_alike(self, other: Exercise) -> bool:
        """Return whether another exercise has the same plan, but for its brakes."""
        own, theirs = (_of_the_plan(each) for each in (self._exercise, other))
        return own == theirs

    @property
    def edges(self) -> tuple[float, ...]:
        story = [self._exercise.start] if self._exercise.story else []
        stood = {each.at for each in self._exercise.stood}
        return tuple(sorted([*story, *stood, *(turn.at for turn in self._turns)]))

    def basis_at(self, time: float) -> Basis:
        """The plan in force; one object for each of them."""
        turns = (turn for turn in self._turns if isinstance(turn, BrakeRendering) and turn.at <= time)
        brakes = tuple(turns)
        if brakes not in self._bases:
            stay = stay_of(self._exercise)
            for turn in brakes:
                stay = _weaker(stay, turn)
            self._bases[brakes] = Basis.of(stay, ahead=self._exercise.shows.ahead)
        return self._bases[brakes]

    def turned(self, after: float, upto: float, memory: Memory) -> tuple[Memory, tuple[Event, ...]]:
        events: list[Event] = []
        start, story = self._exercise.start, self._exercise.story
        if story and after < start <= upto:
            events.append(Event(start, "note", text=story))
        for stood in self._exercise.stood:
            if after < stood.at <= upto:
                memory = self._stood(memory, stood)
        for turn in self._turns:
            if isinstance(turn, PartedLine) and after < turn.at <= upto:
                memory = self._parted(memory, turn.line, turn.at)
                text = f"Line {turn.line} has parted"
                events.append(Event(turn.at, "parted", line=turn.line, text=text))
            elif isinstance(turn, Message) and after < turn.at <= upto:
                events.append(Event(turn.at, "note", text=message_words(turn)))
        return memory, tuple(events)

    def spoiler(self) -> Spoil:
        return Spoiler(self._exercise)

    def hears_from(self, time: float) -> float:
        return hears_from(self._exercise.injections, time)

    def _stood(self, memory: Memory, stood: LineStood) -> Memory:
        place = [each.id for each in self._exercise.stay.lines].index(stood.line)
        lengths, tended = memory.lengths, memory.lengths.tended[place]
        if stood.out_m is not None:
            lengths = lengths.with_line_fast(place, stood.out_m, tended)
        elif stood.gone == "parted":
            lengths = lengths.with_line_parted(place, stood.at)
        else:
            lengths = lengths.with_line_let_go(place, stood.at)
        return replace(memory, lengths=lengths)

    def _parted(self, memory: Memory, line: str, at: float) -> Memory:
        place = [each.id for each in self._exercise.stay.lines].index(line)
        return replace(memory, lengths=memory.lengths.with_line_parted(place, at))


def _weaker(stay: Stay, brake: BrakeRendering) -> Stay:
    """The winch of the line holds less; so does it for every other line on it."""
    winch = next(line.winch for line in stay.lines if line.id == brake.line)
    assert winch is not None, "checked when the exercise was read"
    weaker = replace(stay.ship.winches[winch], brake_kn=brake.brake_kn, layer=None)
    winches = {**stay.ship.winches, winch: weaker}
    return replace(stay, ship=replace(stay.ship, winches=winches))
