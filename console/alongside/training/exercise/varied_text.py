"""What was drawn of a variation, for the trainer: beside the exercise as its file has it."""

from collections.abc import Iterator
from dataclasses import fields
from re import sub

from alongside.training.exercise.model import CargoRate, Exercise, Injection
from alongside.units import KNOT, iso_time
from alongside.wording.figures import figure
from alongside.wording.safe import safe

WORDS = {
    "tide_m": ("water higher by", "m", 1.0, 2),
    "tide_s": ("high and low water later by", "min", 60.0, 0),
    "tide_range": ("range of the tide times", "", 1.0, 3),
    "wind_factor": ("wind times", "", 1.0, 3),
    "wind_deg": ("wind from further to the right by", "deg", 1.0, 0),
}


def varied_rows(exercise: Exercise, drawn: Exercise) -> Iterator[str]:
    """Return rows of what is not as in the file."""
    for name, (words, unit, per, digits) in WORDS.items():
        yield f"{words} {figure(getattr(drawn.weather, name) / per, digits)} {unit}".rstrip()
    for before, after in zip(exercise.injections, drawn.injections, strict=False):
        yield f"{_what(before)}: {', '.join(_changes(before, after)) or 'as in the file'}"
    for more in drawn.injections[len(exercise.injections) :]:
        if isinstance(more, CargoRate):
            yield f"cargo {safe(more.operation)} from {iso_time(more.at)} on: times {figure(more.times, 3)}"
    for was, now in zip(exercise.expected, drawn.expected, strict=True):
        if changes := list(_changes(was, now)):
            yield f"expected {was.deed}: {', '.join(changes)}"


def _what(injection: Injection) -> str:
    kind = getattr(injection, "kind", "") or sub("(?<=[a-z])(?=[A-Z])", "_", type(injection).__name__).lower()
    thing = getattr(injection, "line", None) or getattr(injection, "channel", None) or ""
    return f"{kind} {safe(thing)}".strip()


def _changes(before: object, after: object) -> Iterator[str]:
    for item in fields(before):  # type: ignore[arg-type]
        was, now = getattr(before, item.name), getattr(after, item.name)
        if was != now:
            yield f"{item.name} {_shown(item.name, now)}"


def _shown(name: str, value: object) -> str:
    if isinstance(value, float):
        if name in ("at", "since", "by"):
            return iso_time(value)
        return f"{figure(value / KNOT, 1)} kn" if name == "speed_ms" else f"{value:g}"
    return safe(str(value))
