"""What is pasted, told apart from keys before anything takes it for them."""

import re
from typing import Final

BEGINS: Final = "\x1b[200~"
ENDS: Final = "\x1b[201~"
"""The marks of xterm's bracketed paste."""
LEAST: Final = 3
"""Characters of a mark from which on it is waited for its rest: fewer may be the key Escape."""
_CODES: Final = re.compile(r"\x1b\[[0-?]*[ -/]*[@-~]|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
"""Codes of terminals and control characters, but for ends of lines and tabs."""


class Pasted:
    """For the thread of the keys: cuts what a terminal sends into keys and pastes, over any pieces.

    Textual looks for codes of keys within a paste too, and hands on as keys what follows an Escape there: a
    line that was copied with its colours would then acknowledge and take over.
    """

    def __init__(self) -> None:
        self._rest = ""
        self.open = False
        """Whether a paste has begun and not ended."""

    def feed(self, text: str) -> list[tuple[str, bool]]:
        """Return what came, in order: text, and whether it is a paste."""
        self._rest += text
        pieces: list[tuple[str, bool]] = []
        while self._rest:
            mark = ENDS if self.open else BEGINS
            before, found, after = self._rest.partition(mark)
            if found:
                self._rest = after
                pieces += [(_plain(before), True)] if self.open else [(before, False)]
                self.open = not self.open
            elif self.open:
                break
            else:
                self._rest = _begun(before)
                pieces.append((before.removesuffix(self._rest) if self._rest else before, False))
                break
        return [piece for piece in pieces if piece[0]]

    def end(self) -> list[tuple[str, bool]]:
        """Return what waited for an end that did not come: as a paste where one was open."""
        rest, was_open, self._rest, self.open = self._rest, self.open, "", False
        return [(_plain(rest) if was_open else rest, was_open)] if rest else []


def _begun(text: str) -> str:
    """Return the part at the end of a text that may be the first characters of the mark of a paste."""
    starts = (BEGINS[:size] for size in range(len(BEGINS) - 1, LEAST - 1, -1))
    return next((start for start in starts if text.endswith(start)), "")


def _plain(text: str) -> str:
    return _CODES.sub("", text)
