"""An exercise cut from a stay, written as a folder of its own: tried first, and then whole or not at all."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from alongside.errors import StayFaults, WrongInput
from alongside.feeds.intake import memory_of_intake
from alongside.record.temporary import temporary_folder
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import EXERCISE, LOG, STAY
from alongside.runtime.log_on_record import need_new_folder
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.spoilt_gauges import Spoiler
from alongside.training.exercise.yardstick import between, yardstick_of
from alongside.training.from_stay.cut import cut_log
from alongside.training.from_stay.forecast_copy import issues_of
from alongside.training.from_stay.moment import Times, Went, went
from alongside.training.from_stay.proposals import proposals
from alongside.training.from_stay.source import Source, source_of
from alongside.training.from_stay.stay_copy import stay_text
from alongside.training.from_stay.text import EXERCISE as EXERCISE_FILE
from alongside.training.from_stay.text import LOG as LOG_FILE
from alongside.training.from_stay.text import STAY as STAY_FILE
from alongside.training.from_stay.text import Draft, Unfit, exercise_text, worth_knowing

WARM_S: Final = 1800.0
"""The cut log begins so long before the exercise, for means, checks and trends."""
SPARE_S: Final = 60.0
LEAST_S: Final = 5.0
"""Of a record that begins only then the cut log begins no later than so long before the exercise."""
FILES: Final = {STAY_FILE: STAY, LOG_FILE: LOG, EXERCISE_FILE: EXERCISE}
FIRST: Final = "first_{}_{}.yaml"
"""The exercise before it is known what its best plan does, with so many proposals and without so many."""
Show = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class Asked:
    """About which moment, UNIX s; how long before it the exercise begins, and after it ends, s; `others`:
    with other names of ship and berth."""

    at: float
    before_s: float = 3600.0
    after_s: float = 7200.0
    others: bool = False


def write_from_stay(folder: Path, given: list[Path], asked: Asked, show: Show) -> tuple[Exercise, Unfit]:
    """Write the exercise into a new folder; return it as it was tried, and what is not proposed. Raises
    WrongInput for a folder that is there, and for a stay that does not reach about the moment."""
    need_new_folder(folder)
    start, end = (float(round(each)) for each in (asked.at - asked.before_s, asked.at + asked.after_s))
    source, begin = _source(given, start, end)
    times = Times(begin, start, asked.at, end)
    with temporary_folder("exercise") as place:
        unfit = _tried(place, folder.name, source, times, asked, show)
        exercise = read_exercise(place / EXERCISE_FILE)
        with Outputs() as outputs:
            outputs.folder(folder)
            for name, kind in FILES.items():
                outputs.binary(folder / name, kind).write((place / name).read_bytes())
    return exercise, unfit


def _source(given: list[Path], start: float, end: float) -> tuple[Source, float]:
    """Return where to cut from, and when the cut log begins: later where a record begins later."""
    try:
        return source_of(given, start - WARM_S, end), start - WARM_S
    except WrongInput:
        source = source_of(given, start, end)
        return source, start - WARM_S if source.memory is None else min(source.since, start - LEAST_S)


def _tried(place: Path, name: str, source: Source, times: Times, asked: Asked, show: Show) -> Unfit:
    """Write all into a folder for it, and try it there. Return what is not proposed."""
    log = source.logs[0]
    if source.memory is not None:
        log = place / "whole.log.gz"
        begin = source.since - memory_of_intake(source.stay) - SPARE_S
        seen = between(show, 0.0, 0.2, "the log")
        _put(log, cut_log(source.logs, source.stay, begin, times.end + 1.0, seen))
    how = went(source, times, log, between(show, 0.2, 0.5, "how it went"))
    forecast = issues_of(source, times.end)
    text, missing = stay_text(source.text, source.file, source.stay, how.stay, asked.others, forecast)
    _put(place / STAY_FILE, text.encode())
    seen = between(show, 0.5, 0.6, "the log")
    _put(place / LOG_FILE, cut_log([log], source.stay, times.log, times.end + 1.0, seen))
    draft, exercise = _fitting(place, _draft(name, times, how, missing))
    measure = yardstick_of(exercise, lambda part, words: show(0.6 + 0.4 * part, words))
    _put(place / EXERCISE_FILE, exercise_text(draft, exercise, measure).encode())
    return draft.unfit


def _first(place: Path, draft: Draft) -> Exercise:
    """Return the exercise of a draft, read as it stands. Raises StayFaults or WrongInput for one that could
    not be played."""
    file = place / FIRST.format(len(draft.proposals), len(draft.unfit))
    _put(file, exercise_text(draft).encode())
    exercise = read_exercise(file)
    Spoiler(exercise)
    return exercise


def _fitting(place: Path, draft: Draft) -> tuple[Draft, Exercise]:
    """Return the draft with those of its proposals that it can be played with, each tried beside those before
    it, and its exercise. Raises as `_first` does where it could not be played with none of them."""
    kept = replace(draft, proposals=())
    exercise = _first(place, kept)
    for each in draft.proposals:
        tried = replace(kept, proposals=(*kept.proposals, each))
        try:
            exercise = _first(place, tried)
            kept = tried
        except StayFaults as wrong:
            reasons = "; ".join(f"{fault.path}: {fault.problem}" for fault in wrong.faults)
            kept = replace(kept, unfit=(*kept.unfit, (each, reasons)))
        except WrongInput as wrong:
            why = str(wrong).removeprefix(f"{place / STAY_FILE}: ")
            kept = replace(kept, unfit=(*kept.unfit, (each, why)))
    return kept, exercise


def _put(path: Path, data: bytes) -> None:
    with Outputs() as outputs:
        outputs.folder(path.parent)
        outputs.binary(path, FILES.get(path.name, EXERCISE)).write(data)


def _draft(name: str, times: Times, how: Went, missing: tuple[str, ...]) -> Draft:
    proposed = proposals(how.stay, how)
    return Draft(name, how.stay, times, how.stood, proposed, worth_knowing(how.events), missing)
