"""The list of what somebody does in an exercise, on the disk from its beginning on: whatever ends the
console, that it was begun, by whom, and what was ordered by then is there."""

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Final

MOST: Final = 1000
"""Names that are tried for one list: several consoles may begin in the same second."""


class OrdersFile:
    """A list whose place is taken at construction, and filled anew by each `write`. Raises OSError,
    FileExistsError where there is a file already."""

    def __init__(self, path: Path) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        self.path = path

    @classmethod
    def at_free_place(cls, path: Path) -> "OrdersFile":
        """Return a list at a path, or beside it under the next number that no file has. Raises OSError."""
        for number in range(1, MOST):
            with suppress(FileExistsError):
                return cls(path if number == 1 else path.with_stem(f"{path.stem}-{number}"))
        raise FileExistsError(f"{path}: {MOST} lists stand there already")

    def write(self, rows: Iterable[str]) -> None:
        """Put these rows in the place of those before; all of them are on the disk when this returns. Raises
        OSError, and leaves what stood there."""
        part = self.path.with_name(f".{self.path.name}.part")
        try:
            with part.open("w", encoding="utf-8", newline="\n") as file:
                file.writelines(f"{row}\n" for row in rows)
                file.flush()
                os.fsync(file.fileno())
            part.replace(self.path)
        except OSError:
            with suppress(OSError):
                part.unlink()
            raise
