"""Guards the parts of a cycle: a fault of ours in one leaves only what that part gives unknown."""

import traceback
from collections.abc import Callable
from typing import TypeVar

from alongside.alerts.event_text import Describe
from alongside.alerts.model import Onset
from alongside.alerts.phrases import anything
from alongside.alerts.text import NO_DETAIL, Facts, describe
from alongside.stay.stage import Stage

T = TypeVar("T")
WORDS = "words"
"""The part that makes texts: it fails text by text, and nothing but a text with it."""


class Guard:
    """Runs the parts of a cycle so that a fault of ours in one leaves only what that part gives unknown.

    `failed` names the parts that failed, `trace` is what is known of their faults. With `strict` nothing is
    guarded: the fault is raised, as a test or a run without a screen wants it.
    """

    def __init__(self, strict: bool = False) -> None:
        self._strict = strict
        self._traces: dict[str, str] = {}

    @property
    def failed(self) -> tuple[str, ...]:
        return tuple(self._traces)

    @property
    def calculation_failed(self) -> bool:
        """Whether anything but a text failed."""
        return any(part != WORDS for part in self._traces)

    @property
    def trace(self) -> str:
        return "".join(self._traces.values())

    def run(self, part: str, deed: Callable[[], T], otherwise: Callable[[], T]) -> T:
        """Return what `deed` gives; where it fails, what `otherwise` gives."""
        if self._strict:
            return deed()
        try:
            return deed()
        except (
            Exception
        ):  # guards the watch: any fault of ours in one part becomes an alert, the rest goes on
            self._traces.setdefault(part, traceback.format_exc())
        return otherwise()

    def say(self, text: Callable[[], str], plain: Callable[[], str]) -> str:
        """Return a text; where it fails, the plain one."""
        return self.run(WORDS, text, plain)

    def words(self, facts: Facts) -> Describe:
        """Return what words rule k at a stage; a text that fails is the plain one: cause, subject, value."""
        rules, value = facts.assessment.rules, facts.assessment.value[facts.row]

        def guarded(k: int, stage: Stage, onset: Onset) -> str:
            def plain() -> str:
                phrase = anything(facts.stay, rules[k], float(value[k]), NO_DETAIL)
                return phrase.sentence if stage else f"{phrase.head} within limits"

            return self.say(lambda: describe(facts)(k, stage, onset), plain)

        return guarded
