"""Gzipped logs of others, packed anew once, in members of ours: a time is then found as in our own."""

from typing import BinaryIO, Final

from alongside.feeds.gzip_text import TextInMembers, Unzipped
from alongside.feeds.kept_files import KeptFiles
from alongside.feeds.log_identity import identity

LEAST_BYTES: Final = 1 << 20
"""A smaller log is unzipped as fast from its beginning."""
RULES: Final = 1
"""Goes up when logs are packed otherwise."""
KEPT: Final = KeptFiles("logs", ".log.gz", 1 << 30)
_LEVEL: Final = 1
"""Three times as fast as the usual one, a third larger."""


def in_members(file: BinaryIO) -> BinaryIO | None:
    """Return what a gzipped log holds, opened, in members of ours: from what is kept, into which it is put
    now if need be. None where it cannot be had so: a log that is small, not whole or still written, no room
    or no folder for it. Where `file` stands afterwards is undefined."""
    try:
        if file.seek(0, 2) < LEAST_BYTES:
            return None
        key = identity(file, RULES)
        kept = KEPT.opened(key)
        return KEPT.opened(key) if kept is None and _keep(file, key) else kept
    except OSError:
        return None


def _keep(file: BinaryIO, key: str) -> bool:
    """Pack a log anew and keep it; return False for one that is not whole or has changed. Raises OSError."""
    with KEPT.begin(2 * file.seek(0, 2)) as part:
        file.seek(0)
        unzipped, packed = Unzipped(file), TextInMembers(_LEVEL)
        for text in unzipped:
            part.write(packed.compress(text))
        part.write(packed.finish())
        if unzipped.note or identity(file, RULES) != key:
            return False
        part.keep(key)
    return True
