"""Where attempts with an instructor's station are kept, which of them run, and what is made of one that has
ended or broken off."""

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.errors import WrongInput
from alongside.record.attempt import Rows, is_ours, is_running, now_of
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.conduct import Attempt, attempt_of
from alongside.training.exercise.given import write_given
from alongside.training.station.story import Story
from alongside.wording.safe import safe

FOLDER: Final = "stations"
MOST: Final = 200
"""Attempts that are looked through, the newest."""


@dataclass(frozen=True, slots=True)
class Place:
    """The folder of one attempt, and what its rows add up to."""

    folder: Path
    story: Story
    runs: bool

    @property
    def words(self) -> str:
        """Return its name with who goes through what."""
        attempt = self.story.attempt
        who = safe(attempt.trainee) if attempt is not None and attempt.trainee else "no name"
        state = "running" if self.runs else "ended" if self.story.ended else "broken off"
        return f"{self.folder.name}  {who}, {safe(Path(self.story.file).stem)}, {state}"


def kept_in() -> Path:
    """Return the folder of what is kept of exercises, under the user's state directory (XDG base directory
    specification)."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(state) / "alongside" / "exercises"


def new_place(exercise_file: str, started: str) -> Path:
    """Return the folder of a new attempt: by the exercise, when it was begun, and by which process."""
    return kept_in() / FOLDER / f"{Path(exercise_file).stem}-{started}-{os.getpid()}"


def place_of(folder: Path) -> Place:
    """Return an attempt by its folder. Raises WrongInput for a folder that holds none of this user's."""
    if not is_ours(folder):
        raise WrongInput(f"{folder}: no attempt of yours, expected the folder of one with --station")
    story = Story()
    story.take(Rows(folder).new())
    return Place(folder, story, is_running(folder))


def places() -> list[Place]:
    """Return the newest attempts of this user, oldest first."""
    try:
        folders = sorted((kept_in() / FOLDER).iterdir(), key=lambda each: each.stat().st_mtime)
    except OSError:
        return []
    return [place_of(folder) for folder in folders[-MOST:] if is_ours(folder)]


def attempt_at(place: Place) -> Attempt | None:
    """Return how an attempt was gone through: as it ended, or as it was when it broke off."""
    if place.story.ended:
        return place.story.attempt
    try:
        return attempt_of((now_of(place.folder) or {}).get("attempt"))
    except ValueError:
        return place.story.attempt


def write_what_was_kept(place: Place) -> tuple[Path, Path]:
    """Write the exercise as it was given and the actions of an attempt that is over, beside its folder;
    return both files. What is there already stays."""
    beside = place.folder.parent.parent / place.folder.name
    given, actions = beside.with_name(f"{beside.name}.yaml"), beside.with_name(f"{beside.name}.jsonl")
    if not given.exists():
        write_given(place.story.file, place.story.whole(attempt_at(place)), given)
    if not actions.exists():
        write_actions(actions, place.story.orders, attempt_at(place))
    return given, actions
