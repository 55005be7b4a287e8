"""Many tasks over the workers of a scheduler that is there already, on this machine or on others.

The scheduler is one of Dask distributed. Its workers need this program in the same version, and the same
files under the same names. A worker that dies is no loss: its tasks go to another one.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import TimeoutError as TooLong
from typing import Any, Final, TypeVar

from alongside import __version__
from alongside.errors import WrongInput

Task = TypeVar("Task")
Answer = TypeVar("Answer")

ANSWERS_WITHIN: Final = "10s"


def on_scheduler(
    address: str,
    work: Callable[[Task], Answer],
    tasks: Sequence[Task],
    lost: Callable[[Task], Answer],
) -> Iterator[tuple[int, Answer]]:
    """Yield place and answer of each task as they come; `lost` answers for one with which several workers
    died. Raise WrongInput where no scheduler answers, or a worker has another version of the program."""
    from distributed import Client, KilledWorker, as_completed

    try:
        client = Client(address, timeout=ANSWERS_WITHIN)
    except (OSError, TooLong, ValueError) as error:
        raise WrongInput(
            f"{address}: no scheduler answers ({error}), expected such as tcp://host:8786"
        ) from error
    with client:
        _check_workers(address, client)
        futures = client.map(work, list(tasks), pure=False)
        places = {future.key: place for place, future in enumerate(futures)}
        coming = as_completed(futures)
        del futures
        try:
            for future in coming:
                place = places.pop(future.key)
                fault = future.exception()
                if isinstance(fault, KilledWorker):
                    yield place, lost(tasks[place])
                else:
                    yield place, future.result()
                future.release()
        finally:
            client.cancel([*coming.futures])


def _check_workers(address: str, client: Any) -> None:
    """Raise WrongInput where there is no worker, or one that has not this version."""
    try:
        versions = client.run(version_here)
    except Exception as error:  # a worker without this program cannot even be asked
        raise WrongInput(
            f"{address}: a worker has not this program ({error}), expected {__version__}"
        ) from error
    if not versions:
        raise WrongInput(f"{address}: no workers, expected some with alongside {__version__}")
    other = {where: version for where, version in versions.items() if version != __version__}
    if other:
        where, version = min(other.items())
        raise WrongInput(f"{address}: worker {where} has alongside {version}, expected {__version__}")


def version_here() -> str:
    """Return the version of the program where this is called."""
    return __version__
