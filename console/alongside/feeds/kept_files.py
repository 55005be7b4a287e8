"""Files that only save time: they lie in the user's cache folder (XDG base directory specification), for the
user alone, and may be deleted at any time."""

import os
import shutil
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Final

SPARE_BYTES: Final = 1 << 28
"""So much is left free on the disk."""
OLD_S: Final = 86400.0
"""What was begun so long ago and not ended was killed."""
_PART: Final = ".part"


class KeptFiles:
    """Files of one kind, each under a key, `most` bytes of them at most: those that were used longest ago go
    first. Processes that write the same one at once each write their own, and the last stays."""

    def __init__(self, kind: str, end: str, most: int) -> None:
        self._kind, self._end, self.most = kind, end, most

    def folder(self) -> Path:
        """Return where they are kept. Raises OSError for a user without a home."""
        try:
            home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
        except RuntimeError as error:
            raise FileNotFoundError(str(error)) from error
        return Path(home) / "alongside" / self._kind

    def opened(self, key: str) -> BinaryIO | None:
        """Return the file of a key, opened for reading; None for none. Raises OSError."""
        path = self.folder() / f"{key}{self._end}"
        try:
            file = path.open("rb")
        except FileNotFoundError:
            return None
        with suppress(OSError):
            os.utime(path)
        return file

    def begin(self, room: int) -> "Part":
        """Begin a file that will have about `room` bytes. Raises OSError where there is no place for it."""
        folder = self.folder()
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if shutil.disk_usage(folder).free < room + SPARE_BYTES:
            raise OSError("too little room")
        handle, name = tempfile.mkstemp(_PART, "", folder)  # for its owner only
        return Part(self, os.fdopen(handle, "wb"), Path(name))

    def put(self, part: Path, key: str) -> None:
        """Put a file that is whole in the place of its key, and make room. Raises OSError."""
        place = part.with_name(f"{key}{self._end}")
        part.replace(place)
        kept = []
        for path in place.parent.iterdir():
            with suppress(OSError):
                state = path.stat()
                if path.suffix == _PART and state.st_mtime < time.time() - OLD_S:
                    path.unlink()
                elif path.name.endswith(self._end):
                    kept.append((path != place, -state.st_mtime, state.st_size, path))
        total = 0
        for _, _, size, path in sorted(kept):
            total += size
            if total > self.most:
                with suppress(OSError):
                    path.unlink()


class Part:
    """A file that is being written; it goes at the end of the `with`, unless it was kept."""

    def __init__(self, files: KeptFiles, file: BinaryIO, path: Path) -> None:
        self._files, self._file, self._path = files, file, path
        self.size = 0

    def write(self, data: bytes) -> None:
        """Raises OSError, also where it would be larger than half of all of its kind."""
        self.size += len(data)
        if self.size > self._files.most // 2:
            raise OSError("too large")
        self._file.write(data)

    def keep(self, key: str) -> None:
        """Bring it onto the disk and into its place. Raises OSError."""
        with self._file:
            self._file.flush()
            os.fsync(self._file.fileno())
        self._files.put(self._path, key)

    def __enter__(self) -> "Part":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with suppress(OSError):
            self._file.close()
        with suppress(OSError):
            self._path.unlink(missing_ok=True)
