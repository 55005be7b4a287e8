"""Where traces of our own faults are kept, for whoever repairs them."""

import os
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, TypeVar

from alongside.record.access import OWNER_ONLY

KEEP_BYTES: Final = 1_000_000
T = TypeVar("T")


def fault_log() -> Path:
    """Return the log file, in the user's state directory (XDG base directory specification)."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(state) / "alongside" / "faults.log"


def keep_trace() -> Path:
    """Append the trace of the exception being handled; return where to."""
    return keep_text(traceback.format_exc())


def keep_text(trace: str) -> Path:
    """Append a trace; return where to. A file grown past its bound is begun anew, and a directory that
    cannot be written is passed over: a fault must not breed another."""
    path = fault_log()
    try:
        OWNER_ONLY.make_folder(path.parent)
        OWNER_ONLY.make_file(path)
        mode = "w" if path.exists() and path.stat().st_size > KEEP_BYTES else "a"
        with path.open(mode, encoding="utf-8") as log:
            log.write(f"--- {datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}\n{trace}\n")
    except OSError:
        return Path(os.devnull)
    return path


def guarded(
    part: str,
    act: Callable[[], T],
    otherwise: T,
    failed: list[str],
    passing: tuple[type[Exception], ...] = (),
) -> T:
    """Return what `act` gives; where it raises, `otherwise`, with the trace kept and `part (KeyError)` added
    to `failed`. Faults of the types `passing` go on to the caller."""
    try:
        return act()
    except passing:
        raise
    except Exception as error:  # guards the watch: what it can begin without must not keep it from starting
        keep_trace()
        failed.append(f"{part} ({type(error).__name__})")
        return otherwise
