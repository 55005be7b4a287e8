"""Where a record lies, and what its files are called."""

import hashlib
import os
from pathlib import Path
from typing import Final

JOURNAL: Final = "journal.sqlite"
LOCK: Final = "lock"
HOLDER: Final = "lock-holder"
NOW: Final = ("now-a", "now-b")


def default_folder(stay_file: str | Path) -> Path:
    """Return the record of a stay file where none is named: under the user's state directory (XDG base
    directory specification), by the file's name and a part of a hash of its path."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    path = Path(stay_file).resolve()
    mark = hashlib.sha256(os.fsencode(path)).hexdigest()[:8]
    return Path(state) / "alongside" / "records" / f"{path.stem}-{mark}"


def journal_of(folder: Path) -> Path:
    return folder / JOURNAL
