"""Reading a small file whole: a plain one, and not larger than such a file can be."""

import stat
from collections.abc import Sequence
from pathlib import Path
from typing import Final

_KINDS: Final = (
    (stat.S_ISFIFO, "is a pipe"),
    (stat.S_ISSOCK, "is a socket"),
    (stat.S_ISCHR, "is a device"),
    (stat.S_ISBLK, "is a device"),
)


PEEK: Final = 65536
"""Characters at the beginning of a file that are looked at for its keys."""


class NotPlain(ValueError):
    """No plain file, or too large a one; the text says what it is and what was expected."""


def check_plain(path: Path, expected: str) -> None:
    """Raise NotPlain for a pipe or a device: one may never end, another never begin. Raises OSError where
    there is no such file."""
    mode = path.stat().st_mode
    for is_kind, what in _KINDS:
        if is_kind(mode):
            raise NotPlain(f"{what}, expected {expected}")


def read_plain(path: Path, largest: int, expected: str) -> bytes:
    """Return all bytes of a file. Raises NotPlain, or OSError where it cannot be read."""
    check_plain(path, expected)
    with path.open("rb") as file:
        content = file.read(largest + 1)
    if len(content) > largest:
        raise NotPlain(f"larger than {largest // 1_000_000} MB, expected {expected}")
    return content


def has_top_keys(path: Path, keys: Sequence[str]) -> bool:
    """Return whether each key, such as `ship:`, begins a row near the beginning of a file; no where it cannot
    be read."""
    try:
        if not path.is_file():
            return False
        with path.open(encoding="utf-8", errors="replace") as file:
            rows = file.read(PEEK).splitlines()
    except OSError:
        return False
    return all(any(row.startswith(key) for row in rows) for key in keys)
