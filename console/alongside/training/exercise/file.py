"""The exercise file: read, or refused with all of its faults at once, as a stay file is."""

from dataclasses import replace
from functools import partial
from hashlib import sha256
from math import isnan
from pathlib import Path
from typing import Any, Final

from alongside.errors import Fault, StayFaults, WrongInput
from alongside.stay.document import read_document
from alongside.stay.fields import SWITCH, TEXT, TIME, Field, choice, number, whole
from alongside.stay.model import ForecastInFile, LeadTimes, Order, Stay
from alongside.stay.nodes import Node, shown
from alongside.stay.read import read_stay
from alongside.stay.records import optional, record, required
from alongside.stay.wind_forecast import WIND_FORECAST
from alongside.training.exercise.checks import within_bounds
from alongside.training.exercise.expected import expected_of
from alongside.training.exercise.injections import injections_of
from alongside.training.exercise.instructed import instructed_of
from alongside.training.exercise.model import Crew, Exercise, Injection, Instructed, Shows
from alongside.training.exercise.stood_section import stood_of
from alongside.training.exercise.vary_section import vary_of
from alongside.units import iso_time
from alongside.wording.figures import counted

OF_THE_STAY: Final = ("hands", "hands_per_line", "minutes_per_line")
OF_LEAD: Final[dict[str, Order]] = {"tug_min": "tugs", "linesmen_min": "gang", "cargo_min": "stop_cargo"}
"""Minutes of the crew that are lead times of the stay file as well."""
DIGEST: Final = 12
"""Letters of the digest of a file."""
SAME_MIN: Final = 0.01
MINUTES: Final = number("min", least=0, most=1440)
CREW: Final = record(
    dict[str, Any],
    hands=optional(whole(least=0, most=100)),
    hands_per_line=optional(whole(least=1, most=20)),
    minutes_per_line=optional(MINUTES),
    new_line_min=optional(MINUTES),
    reading_min=optional(MINUTES),
    walk_ms=optional(number("m/s", least=0.1, most=5)),
    master_min=optional(MINUTES),
    more_hands=optional(whole(least=0, most=100)),
    linesmen_min=optional(MINUTES),
    cargo_min=optional(MINUTES),
    tugs=optional(whole(least=0, most=10)),
    tug_min=optional(MINUTES),
    engineer_min=optional(MINUTES),
)


def read_exercise(path: str | Path) -> Exercise:
    """Return the exercise that a file describes, with its stay.

    Raises StayFaults with every fault, those of the stay file among them, or WrongInput when there is no such
    file.
    """
    faults: list[Fault] = []
    try:
        root = read_document(Path(path), faults)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected an exercise file") from error
    exercise = exercise_of(str(path)).read(root)
    if faults:
        raise StayFaults(faults)
    return replace(exercise, digest=_digest(Path(path)))


def _digest(path: Path) -> str:
    """Return a digest of a file; "" where it has gone meanwhile."""
    try:
        return sha256(path.read_bytes()).hexdigest()[:DIGEST]
    except OSError:
        return ""


def describe(exercise: Exercise) -> str:
    """Return in one line what an exercise file holds."""
    hours = (exercise.end - exercise.start) / 3600.0
    count = len(exercise.injections)
    what = counted(count, "injection") if count else "no injections"
    words = {"ahead": "the hours ahead", "advice": "advice"}
    hidden = [word for name, word in words.items() if not getattr(exercise.shows, name)]
    without = f"; without {' and '.join(hidden)}" if hidden else ""
    without += "; with times to decide by" if exercise.shows.decide else ""
    span = f"{hours:.1f} h from {iso_time(exercise.start)}"
    own = len(exercise.instructed.injections)
    live = f", {own} of them by the instructor" if own else ""
    return f"{exercise.name}: {exercise.stay.name}, {span}; {what}{live}{without}"


def _shows(*, ahead: bool = True, outlook: bool = True, advice: bool = True, decide: bool = False) -> Shows:
    """`outlook` is what older files call `ahead`."""
    return Shows(ahead and outlook, advice, decide)


def _of_the_hours_ahead(node: Node, shows: Shows) -> None:
    if shows.decide and not shows.ahead:
        node["decide"].fault("times to decide by without the hours ahead", "`ahead: yes`, or `decide: no`")


SHOWS: Final = record(
    _shows,
    _of_the_hours_ahead,
    ahead=optional(SWITCH),
    outlook=optional(SWITCH),
    advice=optional(SWITCH),
    decide=optional(SWITCH),
)


def _agreed(node: Node, exercise: Exercise) -> None:
    if exercise.stay is not None and exercise.shows.decide and exercise.stay.decide is None:
        node["shows"]["decide"].fault("nothing to decide by", "a section decide in the stay file")


def _forecast_shown(node: Node, exercise: Exercise) -> None:
    if exercise.shows is not None and not exercise.shows.decide and "wind_forecast" in node:
        node["wind_forecast"].fault("nothing shows it", "`shows: {decide: yes}`")


def _one_time(node: Node, exercise: Exercise) -> None:
    """Add what the crew takes another time for than the stay file has."""
    lead = agreed_minutes(exercise.stay) if exercise.stay is not None else {}
    for name, minutes in lead.items():
        if exercise.crew is not None and abs(getattr(exercise.crew, name) - minutes) > SAME_MIN:
            what = f"decide.lead_min of the stay file has {OF_LEAD[name]}: {minutes:g}"
            node["crew"][name].fault(what, f"{minutes:g}, or none")


def agreed_minutes(stay: Stay) -> dict[str, float]:
    """Return minutes of a crew, by their names in the file, that the stay file has as lead times."""
    lead = LeadTimes() if stay.decide is None else stay.decide.lead
    found = {name: getattr(lead, order) / 60.0 for name, order in OF_LEAD.items()}
    return {name: minutes for name, minutes in found.items() if not isnan(minutes)}


def exercise_of(file: str) -> Field[Exercise]:
    return record(
        partial(_exercise, file),
        within_bounds,
        _agreed,
        _one_time,
        _forecast_shown,
        format=required(choice("1")),
        name=required(TEXT),
        stay=required(Field("the name of a stay file", _read_stay)),
        log=required(Field("the name of a feed log", _read_log)),
        start=required(TIME),
        end=required(TIME),
        story=optional(TEXT),
        level=optional(whole(least=1, most=3)),
        aims=optional(TEXT),
        tending=optional(choice("trainee", "stay")),
        crew=optional(CREW),
        pace=optional(number("", least=1, most=600)),
        pass_mark=optional(whole(least=1, most=100)),
        shows=optional(SHOWS),
        injections=optional(injections_of, knowing=("stay",)),
        expected=optional(expected_of, knowing=("stay",)),
        instructor=optional(instructed_of, knowing=("stay",)),
        vary=optional(vary_of, knowing=("stay",)),
        stood=optional(stood_of, knowing=("stay",)),
        wind_forecast=optional(WIND_FORECAST),
    )


def _exercise(
    file: str,
    *,
    format: str,  # noqa: A002 - the file's own word
    stay: Stay,
    crew: dict[str, Any] | None = None,
    injections: tuple[Injection, ...] = (),
    instructor: Instructed | None = None,
    wind_forecast: tuple[ForecastInFile, ...] | None = None,
    **parts: Any,
) -> Exercise:
    """Hands, their minutes and lead times are those of the stay file where the exercise has none of its own.
    What is to be decided by, and the forecast of its file, are left out where it does not show them; a
    forecast of the exercise stands in the place of that."""
    if stay is not None and wind_forecast is not None:
        stay = replace(stay, wind_forecast=wind_forecast)
    if stay is not None and not parts.get("shows", Shows()).decide:
        stay = replace(stay, decide=None, wind_forecast=())
    of_stay: dict[str, Any] = {}
    if stay is not None:
        of_stay = {name: getattr(stay.outlook, name) for name in OF_THE_STAY} | agreed_minutes(stay)
    parts |= {"crew": Crew(**of_stay | (crew or {})), "instructed": instructor or Instructed()}
    injections += parts["instructed"].injections
    return Exercise(file=file, stay=stay, injections=injections, **parts)


def _beside(node: Node) -> Path | None:
    name = TEXT.read(node)
    return Path(node.file).parent / name if name else None


def _read_stay(node: Node) -> Stay | None:
    path = _beside(node)
    if path is None:
        return None
    try:
        return read_stay(path)
    except StayFaults as wrong:
        node.faults.extend(wrong.faults)
    except WrongInput:
        node.fault(f"{shown(node.word)} cannot be read", "a stay file, its path from this file on")
    return None


def _read_log(node: Node) -> str:
    path = _beside(node)
    if path is not None and not path.is_file():
        node.fault(f"there is no {shown(node.word)}", "a feed log, its path from this file on")
    return str(path or "")
