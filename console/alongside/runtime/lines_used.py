"""How much of a log was of use, once it has been played."""

from dataclasses import dataclass

from alongside.feeds.flaws import Tally
from alongside.runtime.log_player import Player


@dataclass(frozen=True, slots=True)
class LinesUsed:
    """Lines that came and how many of them were of no use, with why in words; `note` says that the log breaks
    off, "" where it does not."""

    lines: int
    not_used: int
    why: str
    note: str

    def __str__(self) -> str:
        note = f"; the log {self.note}" if self.note else ""
        return f"{self.lines} lines, {self.not_used} not used" + (f" ({self.why})" if self.why else "") + note


def lines_used(player: Player) -> LinesUsed:
    """Return what became of the lines that a player has heard so far."""
    flaws = Tally()
    for tally in (player.log.faults, *player.intake.tallies.values()):
        flaws.merge(tally)
    lines = sum(player.intake.heard.values()) + player.log.faults.unused
    return LinesUsed(lines, flaws.unused, str(flaws), player.log.note)
