"""Small disks that really run full or cannot be written: a tmpfs where we may mount one, else a limit on the
size of files, which the kernel enforces as well."""

import os
import resource
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class SmallDisk:
    """A tmpfs of a megabyte or two."""

    def __init__(self, place: Path, size: str) -> None:
        self.place = place
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", place], check=True)
        self._ballast = place / "ballast"

    def fill(self) -> None:
        """Take all that is left, to the last byte."""
        with self._ballast.open("ab", buffering=0) as ballast:
            for piece in (1 << 16, 1 << 12, 1 << 9, 1):
                try:
                    while ballast.write(b"x" * piece):
                        pass
                except OSError:
                    continue

    def free(self) -> None:
        self._ballast.unlink()

    @contextmanager
    def readable(self) -> Iterator[None]:
        """A full disk can be read as it is."""
        yield

    def read_only(self, on: bool) -> None:
        subprocess.run(["mount", "-o", f"remount,{'ro' if on else 'rw'}", self.place], check=True)

    def take_away(self) -> None:
        subprocess.run(["umount", "-l", self.place], check=True)


class LimitedFiles:
    """No file of this process may grow beyond a few bytes while the disk is `full`; read-only by the modes of
    files and folders, which bind everybody but root."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self._usual = resource.getrlimit(resource.RLIMIT_FSIZE)
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    def fill(self) -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (1, self._usual[1]))

    def free(self) -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, self._usual)

    @contextmanager
    def readable(self) -> Iterator[None]:
        """The limit binds readers too, whose database writes beside the one it reads: lifted meanwhile."""
        limit = resource.getrlimit(resource.RLIMIT_FSIZE)
        self.free()
        try:
            yield
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limit)

    def read_only(self, on: bool) -> None:
        for path in [*self.place.rglob("*"), self.place]:
            writable = 0o700 if path.is_dir() else 0o600
            path.chmod(writable & 0o500 if on else writable)

    def take_away(self) -> None:
        self.read_only(False)
        self.free()


def may_mount() -> bool:
    return os.geteuid() == 0 and subprocess.run(["unshare", "-m", "true"], check=False).returncode == 0


@contextmanager
def small_disk(place: Path, size: str = "2m") -> Iterator[SmallDisk | LimitedFiles]:
    place.mkdir()
    disk = SmallDisk(place, size) if may_mount() else LimitedFiles(place)
    try:
        yield disk
    finally:
        disk.take_away()
