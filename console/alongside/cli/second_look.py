"""How far readings from the command line are off what stands on record; who looks again, and who read."""

import getpass
import math
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.actions import ReadByHand
from alongside.cli.standard_output import print_aside
from alongside.cli.terminal import has_terminal
from alongside.errors import WrongInput
from alongside.wording.safe import safe

if TYPE_CHECKING:
    from alongside.stay.model import Display

OLDEST_S: Final = 900.0
"""What stood so long before the reading is not compared with it."""
MOST_INITIALS: Final = 8


@dataclass(frozen=True, slots=True)
class Apart:
    """How far one reading is off what stood on record when it was read, in words; `far`: look again."""

    channel: str
    words: str
    far: bool


def apart(record: Path, action: ReadByHand, display: "Display") -> list[Apart]:
    """Return how far each reading is off what stands; nothing where nothing stands or it cannot be read."""
    from alongside.cycle.plausibility.second_look import LEAST, is_far
    from alongside.record.faults import WrongRecord
    from alongside.record.reader import RecordReader
    from alongside.wording.by_hand import apart_words, hand_value
    from alongside.wording.times import clock

    try:
        with RecordReader(record) as reader:
            state = reader.state_at(action.at)
    except (OSError, sqlite3.Error, WrongRecord):
        return []
    if state is None or action.at - state.time[0] > OLDEST_S:
        return []
    found = []
    for channel, value in action.values:
        stands, sigma = (float(state.numbers(f"{what}.{channel}")[0]) for what in ("value", "spread"))
        if channel not in LEAST or not math.isfinite(stands):
            continue
        other = f"what stood at {clock(state.time[0], display)}, {hand_value(channel, stands, display)}"
        far = is_far(channel, value - stands, action.way, action.waves_m, sigma)
        found.append(Apart(channel, apart_words(channel, value - stands, other, display), far))
    return found


def look_again(rows: list[Apart], seen: frozenset[str]) -> None:
    """Print how far readings are off what stands. Raise WrongInput for one that is far off and that nobody
    looked at again: at a terminal that is asked, else `seen` has the channels."""
    for row in rows:
        is_open = row.far and row.channel not in seen
        if is_open and not has_terminal():
            raise WrongInput(f"{row.words}, expected a second look: add yes={row.channel} if it is so")
        print_aside(row.words)
        if not is_open:
            continue
        if not _asked("Look again. Is it so? y or n: ").lower().startswith("y"):
            raise WrongInput(f"{row.channel}: not confirmed; nothing was left for the watch")


def asked_initials() -> str:
    """Return the initials of who sits at the terminal. Raise WrongInput where none are given."""
    by = safe(_asked("Initials of who read: ")).strip()[:MOST_INITIALS]
    if not by:
        raise WrongInput("by: no initials, expected those of who read: by=TK")
    return by


def name_of_user() -> str:
    """Return the name of the user. Raise WrongInput where the machine knows none."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        raise WrongInput("no initials, expected those of who read: by=TK") from None


def _asked(question: str) -> str:
    try:
        return input(question)
    except EOFError:
        return ""
