"""The examples that ship with the program: beside the package in a checkout, inside it in a wheel."""

from pathlib import Path

from alongside.errors import WrongInput

INSIDE = Path(__file__).parent.parent
BESIDE = INSIDE.parent.parent


def example_stay(name: str) -> Path:
    """Path of an example's stay file."""
    return _find("configs", f"{name}.yaml")


def example_log(name: str) -> Path:
    """Path of an example's recorded stay."""
    return _find("replay_logs", f"{name}.log.gz")


def example_folder(folder: str) -> Path:
    """Path of a folder of examples."""
    for root in (INSIDE, BESIDE):
        path = root / folder
        if path.is_dir():
            return path
    raise WrongInput(f"{folder}: not installed; expected in {INSIDE} or {BESIDE}")


def _find(folder: str, file: str) -> Path:
    for root in (INSIDE, BESIDE):
        path = root / folder / file
        if path.is_file():
            return path
    raise WrongInput(f"{file}: not installed; expected in {INSIDE / folder} or {BESIDE / folder}")
