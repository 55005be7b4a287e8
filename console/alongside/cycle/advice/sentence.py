"""An advice that can be shortened by whole pieces."""

from dataclasses import dataclass
from typing import Final

from alongside.cycle.picture import Advice
from alongside.stay.stage import Stage
from alongside.wording.figures import counted

WIDTH: Final = 110
SHORT: Final = 70


@dataclass(frozen=True, slots=True)
class Sentence:
    """`do` (the deed and its reason) always stands; `why` (what moves it), `then` (what else to do) and
    `more` (how many others) bear their own punctuation and go, the help first, where room is short."""

    stage: Stage
    do: str
    why: str = ""
    then: str = ""
    more: str = ""
    large: str = ""
    """From the closed list of `headlines`."""
    by: str = ""
    """Metres to slack or heave, to stand beside the headline: `0.80 m`."""

    def within(self, width: int) -> str:
        """Return the longest form of at most so many characters."""
        forms = (
            (self.why, self.then, self.more),
            (self.why, self.then, ""),
            (self.why, "", self.more),
            (self.why, "", ""),
            ("", "", self.more),
            ("", "", ""),
        )
        texts = ("".join((self.do, *form)) for form in forms)
        return next((text for text in texts if len(text) <= width), _cut(self.do, width))

    def advice(self) -> Advice:
        return Advice(self.within(WIDTH), self.stage, self.within(SHORT), self.large, self.by)


def _cut(text: str, width: int) -> str:
    """Cut after a whole word; only a name longer than the room is cut within."""
    if len(text) <= width:
        return text
    kept = text[: width - 1].rsplit(" ", 1)[0]
    return f"{kept}…"


def more_text(others: int) -> str:
    """Return how many others there are: `; 2 more alerts`; "" for none."""
    return f"; {counted(others, 'more alert')}" if others > 0 else ""
