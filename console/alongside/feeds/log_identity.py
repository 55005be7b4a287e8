"""By what a log is known again: one that is moved or copied is the same, one that was changed is another."""

import os
from hashlib import sha256
from typing import BinaryIO, Final

ENDS: Final = 1 << 16


def identity(file: BinaryIO, *more: object) -> str:
    """Return a digest of a log's size, of when it was changed, and of its first and last bytes, which in a
    gzip file hold the sum of all of it; and of what else counts. Leaves the file anywhere."""
    state = os.fstat(file.fileno())
    digest = sha256(repr((state.st_size, state.st_mtime_ns, *more)).encode())
    for at in (0, max(state.st_size - ENDS, 0)):
        file.seek(at)
        digest.update(file.read(ENDS))
    return digest.hexdigest()[:40]
