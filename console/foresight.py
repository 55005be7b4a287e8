"""What was looked ahead from last, and what was seen coming: handed on from block to block by a replay that
looks ahead as it goes, so that it sees the same however it is cut into blocks."""

from dataclasses import dataclass

from console.assessment.model import Soon


@dataclass(frozen=True, slots=True)
class Foresight:
    """`trail` holds rows of `console.trail`, the last of them from when it was looked ahead last in due time.
    `soon` is what was seen coming then, or once a length was changed since."""

    trail: tuple[tuple[float, ...], ...] = ()
    soon: tuple[Soon, ...] = ()

    def opens(self, time: float, every_s: float) -> bool:
        """Whether nothing was looked at since the last multiple of `every_s` before a time."""
        return not self.trail or time // every_s > self.trail[-1][0] // every_s
