"""Flaws of a line from a feed, and how often each was met."""

from enum import StrEnum


class Flaw(StrEnum):
    """The text is what the watch reads."""

    CHECKSUM = "wrong checksum"
    NO_CHECKSUM = "no checksum"
    GARBLED = "garbled"
    OVERLONG = "over-long"
    NO_TIME = "no time"
    WRONG_TIME = "time not of 1990 to 2099"
    TIME_BACK = "time runs back"
    LEAP = "time leaps"
    OTHER_SENDER = "of another sender"
    """Sound, but the channel is taken from somebody else."""
    NO_ANSWER = "no answer"
    """A converter was asked, and said nothing in time."""
    EXCEPTION = "Modbus exception"
    """The device answered that it cannot."""
    ROW = "row of other length than its header"
    """Of an export: nobody knows which of its cells is which."""
    UNIT = "wrong unit"
    LOOP = "current not of 3.8 to 20.5 mA"
    """A broken wire, a short, or a transmitter that reports a fault."""
    TIME_AHEAD = "own time ahead of ours"
    UNKNOWN = "not known"
    """Sound, but nothing that a channel is taken from. Not a fault."""
    NO_VALUE = "no value"
    """The gauge left its value empty or marked it as not valid. Not a fault of the line."""


NOT_FAULTS = frozenset({Flaw.UNKNOWN, Flaw.NO_VALUE})


class Flawed(ValueError):
    """A line that is not used."""

    def __init__(self, flaw: Flaw) -> None:
        self.flaw = flaw
        super().__init__(flaw.value)


class Tally(dict[Flaw, int]):
    """How many lines had each flaw; a flaw never met counts 0. `counted` is how often any was, `last` the
    newest."""

    counted = 0
    last: Flaw | None = None

    def __missing__(self, flaw: Flaw) -> int:
        return 0

    def count(self, flaw: Flaw, times: int = 1) -> None:
        self[flaw] = self[flaw] + times
        self.counted += times
        self.last = flaw

    def merge(self, other: "Tally") -> None:
        for flaw, times in other.items():
            self.count(flaw, times)

    @property
    def unused(self) -> int:
        """Return how many lines were of no use because something was wrong with them."""
        return sum(times for flaw, times in self.items() if flaw not in NOT_FAULTS)

    def __str__(self) -> str:
        return ", ".join(f"{times} {flaw.value}" for flaw, times in sorted(self.items()) if times)
