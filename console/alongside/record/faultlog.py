"""Where traces of our own faults are kept, for whoever repairs them."""

import os
import traceback
from datetime import UTC, datetime
from pathlib import Path

KEEP_BYTES = 1_000_000


def fault_log() -> Path:
    """The log file, in the user's state directory (XDG base directory specification)."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(state) / "alongside" / "faults.log"


def keep_trace() -> Path:
    """Append the trace of the exception being handled; returns where to."""
    return keep_text(traceback.format_exc())


def keep_text(trace: str) -> Path:
    """Append a trace; returns where to. A file grown past its bound is begun anew, and a directory that
    cannot be written is passed over: a fault must not breed another."""
    path = fault_log()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        mode = "w" if path.exists() and path.stat().st_size > KEEP_BYTES else "a"
        with path.open(mode, encoding="utf-8") as log:
            log.write(f"--- {datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}\n{trace}\n")
    except OSError:
        return Path(os.devnull)
    return path
