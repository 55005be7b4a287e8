"""What of a batch is there already: whole, and of the same stay, log, options and version."""

import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Final

from alongside import __version__
from alongside.errors import WrongInput
from alongside.record.codec import to_plain
from alongside.reports.batch.outcome import Outcome, read_outcome
from alongside.stay.model import Stay
from alongside.training.batch.task import Task

OUTCOME: Final = "outcome.json"
EVENTS: Final = "events.jsonl"
STATES: Final = "states.jsonl"
REPORT: Final = "report.html"
RULES: Final = 1
"""Goes up when what is counted of a stay changes, so that older outcomes are not taken for new ones."""


def digest_of(task: Task, stay: Stay) -> str:
    """Return the digest of all that an outcome depends on: stay file and what it names, log, what is asked
    for, version. Raise WrongInput for a log that cannot be read."""
    parts = [
        RULES,
        __version__,
        task.name,
        str(task.stay),
        str(task.log),
        to_plain(task.wanted),
        [task.draw, task.seed],
        to_plain(replace(stay, file="")),
        _of_file(task.log),
    ]
    return sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def _of_file(path: Path) -> str:
    try:
        with path.open("rb") as file:
            digest = sha256()
            while part := file.read(1 << 20):
                digest.update(part)
    except OSError as error:
        raise WrongInput(f"{path}: {error.strerror or error}, expected a feed log, plain or .gz") from error
    return digest.hexdigest()


def kept_outcome(task: Task, digest: str) -> Outcome | None:
    """Return the outcome that an earlier batch left, where it is of the same digest and all that is asked for
    is there; else None."""
    outcome = read_outcome(task.folder / OUTCOME)
    files = [EVENTS, *([STATES] if task.wanted.every else []), *([REPORT] if task.wanted.report else [])]
    whole = outcome is not None and outcome.is_done and outcome.digest == digest
    return outcome if whole and all((task.folder / name).is_file() for name in files) else None
