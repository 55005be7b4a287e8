"""A record for as long as it is read, in the machine's folder for temporary files; removed afterwards."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from alongside.errors import OF_THE_DISK, DiskFailed, WrongInput


@contextmanager
def temporary_folder(name: str) -> Iterator[Path]:
    """Return the place for a record of this name, in a folder for its owner only that is removed at the end
    with all that is in it. Raise WrongInput or DiskFailed where there is no such place."""
    try:
        place = TemporaryDirectory(prefix="alongside-", ignore_cleanup_errors=True)
    except OSError as error:
        text = (
            f"no place for temporary files ({error.strerror}), expected one that can be written, see TMPDIR"
        )
        raise (DiskFailed if error.errno in OF_THE_DISK else WrongInput)(text) from error
    with place as folder:
        yield Path(folder) / name
