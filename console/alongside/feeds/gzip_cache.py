"""Gzipped logs of others, packed anew once, in members of ours: a time in them is then found as in our own.

They lie in the user's cache folder (XDG base directory specification), under a name made of what the log is:
its size, when it was changed, its first and last bytes, which in a gzip file hold the sum of all of it. A log
that is moved or copied keeps it, one that is changed is another. All of it may be deleted at any time.
"""

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, Final

from alongside.feeds.gzip_text import TextInMembers, Unzipped

LEAST_BYTES: Final = 1 << 20
"""A smaller log is unzipped as fast from its beginning."""
MOST_BYTES: Final = 1 << 30
"""Of all logs kept; a single one has half of it at most."""
SPARE_BYTES: Final = 1 << 28
"""So much is left free on the disk."""
OLD_S: Final = 86400.0
"""What was begun so long ago and not ended was killed."""
RULES: Final = 1
"""Goes up when logs are packed otherwise."""
_ENDS: Final = 1 << 16
_LEVEL: Final = 1
"""Three times as fast as the usual one, a quarter larger."""
_END, _PART = ".log.gz", ".part"


def cache_folder() -> Path | None:
    """Return where logs are kept; None for a user without a home."""
    try:
        home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    except RuntimeError:
        return None
    return Path(home) / "alongside" / "logs"


def in_members(file: BinaryIO) -> BinaryIO | None:
    """Return what a gzipped log holds, opened, in members of ours: from the cache, into which it is put now
    if need be. None where it cannot be had so: a log that is small, not whole or still written, no room or no
    folder for it. Where `file` stands afterwards is undefined."""
    folder = cache_folder()
    try:
        state = _state(file)
        if folder is None or state[0] < LEAST_BYTES:
            return None
        path = folder / f"{_digest(file, state)}{_END}"
        if not path.exists() and not _keep(file, state, path):
            return None
        kept = path.open("rb")
        with suppress(OSError):
            os.utime(path)  # those that were used longest ago go first
        return kept
    except OSError:
        return None


def _state(file: BinaryIO) -> tuple[int, int]:
    now = os.fstat(file.fileno())
    return now.st_size, now.st_mtime_ns


def _digest(file: BinaryIO, state: tuple[int, int]) -> str:
    digest = sha256(repr((RULES, state)).encode())
    for at in (0, max(state[0] - _ENDS, 0)):
        file.seek(at)
        digest.update(file.read(_ENDS))
    return digest.hexdigest()[:40]


def _keep(file: BinaryIO, state: tuple[int, int], path: Path) -> bool:
    """Put a log into the cache; return whether that was done. Several processes may do so at once: each
    writes its own, and the last one stays. Raises OSError."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if shutil.disk_usage(path.parent).free < 2 * state[0] + SPARE_BYTES:
        return False
    with _part(path.parent) as part:
        with part.open("wb") as to:
            if not _pack(file, to) or _state(file) != state:
                return False
            to.flush()
            os.fsync(to.fileno())
        part.replace(path)
    _tidy(path)
    return True


def _pack(file: BinaryIO, to: BinaryIO) -> bool:
    """Pack a log anew; return False for one that is not whole, or too large."""
    file.seek(0)
    unzipped, packed = Unzipped(file), TextInMembers(_LEVEL)
    for text in unzipped:
        to.write(packed.compress(text))
        if to.tell() > MOST_BYTES // 2:
            return False
    to.write(packed.finish())
    return not unzipped.note


@contextmanager
def _part(folder: Path) -> Iterator[Path]:
    """Make a file for what is not whole yet; it goes at the end, if it was not moved."""
    handle, name = tempfile.mkstemp(_PART, "log-", folder)  # for its owner only
    os.close(handle)
    try:
        yield Path(name)
    finally:
        with suppress(OSError):
            Path(name).unlink(missing_ok=True)


def _tidy(newest: Path) -> None:
    """Take away what was used longest ago until the rest has room, and what was never finished."""
    kept = []
    for path in newest.parent.iterdir():
        with suppress(OSError):
            state = path.stat()
            if path.suffix == _PART and state.st_mtime < time.time() - OLD_S:
                path.unlink()
            elif path.name.endswith(_END):
                kept.append((path != newest, -state.st_mtime, state.st_size, path))
    total = 0
    for _, _, size, path in sorted(kept):
        total += size
        if total > MOST_BYTES:
            with suppress(OSError):
                path.unlink()
