"""What is remembered of brakes whose lines were over their holding."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final, Literal

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.readings import Floats

PROVED: Final = 1.05
"""Times the load that a brake is known to have held: only above it is asked again. Common practice, no
source: an accepted alert too counts as worse from 5 % on."""

State = Literal["", "held", "slipped"]


@dataclass(frozen=True, slots=True)
class BrakeQuestion:
    """One line that was over its brake, while nobody has answered yet: since when, UNIX seconds; the highest
    load that its brake has borne since, kN, if it held; the metres that have run out if it slipped."""

    line: str
    since: float
    most_kn: float
    ran_out_m: float = 0.0
    agrees: State = ""
    """The one state that its load cell has agreed with, at every instant, since `agrees_since`."""
    agrees_since: float = nan


@dataclass(frozen=True, slots=True)
class BrakeAnswer:
    """What was answered last of a brake: it slipped by so many metres, 0 where it held; `expected_m` are
    those that the figures had run out by then. `proved_kn` is a load that it is known to hold since, NaN
    until that load is calculated."""

    line: str
    slipped_m: float
    expected_m: float = nan
    most_kn: float = nan
    proved_kn: float = nan


@dataclass(frozen=True, slots=True)
class Brakes:
    """Open questions in the order of the lines; `slipped` (lines,) the main rope of every line, m, if all of
    them slipped, None where none is open; and the answers that may still be corrected."""

    questions: tuple[BrakeQuestion, ...] = ()
    slipped: Floats | None = None
    answers: tuple[BrakeAnswer, ...] = ()

    @property
    def asked(self) -> tuple[str, ...]:
        """Return the lines whose brakes are in question."""
        return tuple(each.line for each in self.questions)

    def question(self, line: str) -> BrakeQuestion | None:
        """Return the open question of a line; None where there is none."""
        return next((each for each in self.questions if each.line == line), None)

    def answer(self, line: str) -> BrakeAnswer | None:
        """Return the last answer of a line that may still be corrected; None where there is none."""
        return next((each for each in self.answers if each.line == line), None)

    def holding_kn(self, arrangement: Arrangement) -> Floats:
        """Return what each line's brake is taken to hold, kN (lines,), NaN where nothing is known of it: what
        the stay file says, or more where it is known to have held more."""
        proved = [_proved(self.answer(line)) for line in arrangement.ids]
        holding: Floats = np.where(proved > arrangement.brake_kn, proved, arrangement.brake_kn)
        return holding

    def without(self, lines: Collection[str]) -> "Brakes":
        """Return the same with nothing asked and nothing answered of some lines: their lengths are known
        otherwise."""
        questions = tuple(each for each in self.questions if each.line not in lines)
        answers = tuple(each for each in self.answers if each.line not in lines)
        return Brakes(questions, self.slipped if questions else None, answers)

    def set_anew(self, lines: Collection[str]) -> "Brakes":
        """Return the same once the brakes of some lines were opened and set again: what they held before
        proves nothing."""
        answers = tuple(replace(each, proved_kn=0.0) if each.line in lines else each for each in self.answers)
        return replace(self, answers=answers)

    def with_questions(self, questions: Sequence[BrakeQuestion], slipped: Floats | None) -> "Brakes":
        """Return the same with these questions open; an answer to an earlier one can be corrected no more."""
        asked = {each.line for each in questions}
        answers = tuple(each for each in self.answers if each.line not in asked)
        return Brakes(tuple(questions), slipped if questions else None, answers)


NO_BRAKES: Final = Brakes()


def _proved(answer: BrakeAnswer | None) -> float:
    return nan if answer is None or isnan(answer.proved_kn) else answer.proved_kn * PROVED
