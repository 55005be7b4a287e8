"""`--vary SEED` of `exercise` and `debrief`: the drawn variation of an exercise."""

import argparse
from pathlib import Path

from alongside.cli.progress import Progress
from alongside.errors import WrongInput
from alongside.training.exercise.as_hard import drawn_exercise
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.kept_yardstick import kept_yardstick
from alongside.training.exercise.model import Exercise

MOST_SEED = 2**31


def add_vary(parser: argparse.ArgumentParser, whose: str) -> None:
    parser.add_argument("--vary", type=seed, metavar="SEED", help=f"the drawn variation of this seed{whose}")


def seed(text: str) -> int:
    """Return a seed."""
    if not (text.isascii() and text.isdecimal() and int(text) <= MOST_SEED):
        raise argparse.ArgumentTypeError(f"{text!r}: expected a whole number from 0 to {MOST_SEED}")
    return int(text)


def as_drawn(exercise: Exercise, asked: int | None, attempt: Attempt | None = None) -> Exercise:
    """Return the exercise in the variation that is asked for, or that somebody went through. Raises
    WrongInput where the two are not the same, or there is no such variation."""
    gone_through = None if attempt is None else attempt.vary
    if attempt is not None and asked is not None and asked != gone_through:
        was = "no variation" if gone_through is None else f"variation {gone_through}"
        raise WrongInput(f"--vary {asked}: it was gone through in {was}, expected to leave it out")
    chosen = gone_through if asked is None else asked
    if chosen is None:
        return exercise
    with Progress() as progress:
        return drawn_exercise(exercise, chosen, kept_yardstick, progress.show)


def attempt_in(path: Path | None) -> Attempt | None:
    """Return who went through the exercise whose actions a file has; None for the folder of a record."""
    from alongside.training.exercise.actions_file import read_attempt

    return None if path is None or path.is_dir() else read_attempt(path)
