"""What the watch handed in, until it is done and on record."""

from dataclasses import dataclass
from typing import Final

from alongside.cycle.picture import DeskActs
from alongside.wording.times import short_span

LATE_S: Final = 3.0
"""Without a word from the desk for so long the screen says that the act is not done yet."""


@dataclass(frozen=True, slots=True)
class _Act:
    number: int
    words: str
    since: float


class HandedIn:
    """Counts as the desk does, and says of each act what became of it."""

    def __init__(self) -> None:
        self._count = 0
        self._waiting: list[_Act] = []
        self._acts = DeskActs()

    def add(self, words: str, now: float) -> None:
        """Remember one more act, in words: `line 4 slacked 0.40 m`."""
        self._count += 1
        self._waiting.append(_Act(self._count, words, now))

    def heard(self, acts: DeskActs) -> str:
        """Take the desk's count; return what to reply to the acts settled since the last, "" for none."""
        self._acts = acts
        until = acts.taken if acts.kept is None else min(acts.taken, acts.kept)
        settled = [act for act in self._waiting if act.number <= until]
        self._waiting = self._waiting[len(settled) :]
        if not settled:
            return ""
        refused = [act.words for act in settled if act.number in acts.refused]
        if refused:
            return f"Not done: {', '.join(refused)}"
        last = settled[-1]
        if acts.kept is None:
            return _sentence(last.words)
        return f"Kept: {last.words}" if len(settled) == 1 else f"Kept, {len(settled)} acts: {last.words}"

    def pending(self, now: float) -> tuple[str, bool]:
        """Return what is to be said of the first act that waits, and whether loudly; "" where none does."""
        if not self._waiting:
            return "", False
        first = self._waiting[0]
        more = f" and {len(self._waiting) - 1} more" if len(self._waiting) > 1 else ""
        if first.number <= self._acts.taken:
            why = f" ({self._acts.why_not})" if self._acts.why_not else ""
            return f"NOT KEPT: {first.words}{more}{why}", True
        waited = now - first.since
        if waited >= LATE_S:
            return f"NOT DONE for {short_span(waited)}: {first.words}{more}", True
        return f"Being recorded: {first.words}{more}", False


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
