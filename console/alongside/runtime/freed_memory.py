"""Freed memory given back to the system: a look ahead needs for seconds what the watch then holds for weeks.

Only glibc keeps freed pieces to itself; under other C libraries both functions do nothing. Seen on the
example coal berth after a look ahead and after three questions what if: 187 and 256 MB without, 140 and 165.
"""

import ctypes
from contextlib import suppress
from typing import Any, Final

ARENAS: Final = -8
"""`M_ARENA_MAX` of glibc's malloc.h: how many heaps threads share out among themselves."""


def _c_library() -> Any:
    with suppress(OSError):
        return ctypes.CDLL(None)
    return None


def share_one_heap() -> None:
    """Let all threads share one heap, from before the first of them on."""
    with suppress(AttributeError):
        _c_library().mallopt(ARENAS, 1)


def give_back() -> None:
    """Give freed memory back to the system: some milliseconds, after large work."""
    with suppress(AttributeError):
        _c_library().malloc_trim(ctypes.c_size_t(0))
