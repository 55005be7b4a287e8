"""Answers on the disk: kept after each, so that whatever ends the command loses what is being typed at
most."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from alongside.errors import WrongInput
from alongside.reports.new_stay.entry import Answers, At, Entry
from alongside.reports.new_stay.questions import BY_KEY
from alongside.reports.new_stay.sheet import Shelf
from alongside.reports.output_files import FORMAT, write_json
from alongside.reports.replaceable import json_kind
from alongside.stay.plain_file import NotPlain, read_plain
from alongside.units import is_time

ANSWERS: Final = json_kind("answers of new", "answers_for", "begun")
LARGEST: Final = 2_000_000


def answers_file(stay: Path) -> Path:
    """Return where the answers for a stay file are kept, beside it."""
    return stay.with_name(f"{stay.stem}.answers.json")


def keep(entry: Entry, stay: Path) -> None:
    """Put the answers on the disk, in place of those before. Raises WrongInput or DiskFailed."""
    at = None if entry.at is None else [entry.at.key, entry.at.number]
    answers = {key: list(texts) for key, texts in entry.answers.items()}
    values = {"answers_for": stay.name, "begun": entry.now, "at": at, "answers": answers}
    write_json(values, answers_file(stay), ANSWERS, indent=1)


def kept(stay: Path, shelf: Shelf, now: float) -> Entry:
    """Return the entry as it was left; a new one, begun now, where there is none. Raises WrongInput for a
    file that holds no answers."""
    path = answers_file(stay)
    try:
        raw = read_plain(path, LARGEST, "answers of new")
    except FileNotFoundError:
        return Entry(shelf, now, {})
    except (OSError, NotPlain) as error:
        raise WrongInput(f"{path}: cannot be read ({error}), expected answers that new has kept") from error
    try:
        values = json.loads(raw.decode("utf-8"))
        answers, at = _answers(values["answers"]), values["at"]
        begun = float(values["begun"])
        if values["format"] != FORMAT or not is_time(begun):
            raise ValueError("another format")
        where = None if at is None else At(str(at[0]), int(at[1]))
        if where is not None and where.key not in BY_KEY:
            raise ValueError(f"no question {where.key!r}")
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError) as error:
        raise WrongInput(
            f"{path}: holds no answers of new ({error}), expected those; move it away to begin anew"
        ) from error
    return Entry(shelf, begun, answers, where)


def _answers(values: object) -> Answers:
    if not isinstance(values, dict):
        raise TypeError("answers are no table")
    unknown = [key for key in values if key not in BY_KEY]
    if unknown:
        raise ValueError(f"no question {unknown[0]!r}")
    if not all(isinstance(text, str) for texts in values.values() for text in texts):
        raise TypeError("an answer is no text")
    return {key: tuple(_each_row(key, texts)) for key, texts in values.items()}


def _each_row(key: str, texts: list[str]) -> Iterator[str]:
    """Yield answers, several rows of one each by itself."""
    for text in texts:
        parts = [part.strip() for part in text.split(";") if part.strip()]
        yield from parts if BY_KEY[key].rows and parts else [text]
