"""The judge's notes while it hears one block, minute by minute; frozen again as `Plausibility`."""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isnan, nan

from alongside.cycle.plausibility.model import MINUTES, SLOW, TIDES, Doubt, Plausibility
from alongside.forecast.expected.witnesses import Witnesses
from alongside.readings import Reason

Row = tuple[float, ...]


@dataclass(slots=True)
class Bench:
    """`minutes` and `slow` hold (time, value of each channel) rows, oldest first; `expected` what the witness
    of a channel says at each of these times, in a dictionary of rows by time."""

    witnesses: Witnesses
    channels: tuple[str, ...]
    place: dict[str, int]
    """Column of each channel in a row, time at 0."""
    minutes: deque[Row]
    slow: deque[Row]
    tide: deque[tuple[float, float]]
    expected: dict[float, Row]
    doubts: dict[tuple[str, Reason], Doubt]
    shifts: dict[str, float]
    jumping: dict[str, float]
    heard: dict[str, tuple[float, float, float]]
    timers: dict[str, float]
    offsets: dict[str, float]
    set_aside: set[str]
    residual: float
    tide_heard: float
    smallest: float
    reference: tuple[float, ...]
    good: dict[str, tuple[float, float, float]]
    now: float = nan
    table: float = nan
    shape: float = nan
    by_hand: dict[str, tuple[float, float, float]] = field(default_factory=dict)
    """Value, one sigma now and one sigma when read of each channel that was read by hand."""

    @classmethod
    def of(
        cls, witnesses: Witnesses, channels: Sequence[str], memory: Plausibility, expected: dict[float, Row]
    ) -> "Bench":
        """Return the notes to go on with; rows of other channels than `channels` are brought into their
        order."""
        names = tuple(channels)
        return cls(
            witnesses=witnesses,
            channels=names,
            place={name: at + 1 for at, name in enumerate(names)},
            minutes=deque(in_order(memory.minutes, memory.channels, names), MINUTES),
            slow=deque(in_order(memory.slow, memory.channels, names), SLOW),
            tide=deque(memory.tide, TIDES),
            expected=expected,
            doubts={(doubt.channel, doubt.reason): doubt for doubt in memory.doubts},
            shifts=dict(memory.shifts),
            jumping=dict(memory.jumping),
            heard=dict(memory.heard),
            timers=dict(memory.timers),
            offsets=dict(memory.offsets),
            set_aside=set(memory.set_aside),
            residual=memory.residual,
            tide_heard=memory.tide_heard,
            smallest=memory.smallest,
            reference=memory.reference,
            good=dict(memory.good),
        )

    def frozen(self) -> Plausibility:
        """Return all that is to be remembered."""
        return Plausibility(
            channels=self.channels,
            minutes=tuple(self.minutes),
            slow=tuple(self.slow),
            tide=tuple(self.tide),
            doubts=tuple(self.doubts.values()),
            shifts=self.shifts,
            jumping=self.jumping,
            heard=self.heard,
            timers=self.timers,
            offsets=self.offsets,
            set_aside=tuple(sorted(self.set_aside)),
            residual=self.residual,
            tide_heard=self.tide_heard,
            smallest=self.smallest,
            reference=self.reference,
            good=self.good,
        )

    def value(self, channel: str) -> float:
        """Return the newest sample of a channel; NaN where it is not fitted or was not good."""
        at = self.place.get(channel)
        return nan if at is None else self.minutes[-1][at]

    def doubted(self, channel: str) -> bool:
        """Return whether anything is held against a channel."""
        return any(name == channel for name, _ in self.doubts)

    def lasts(self, test: str, wants: bool, seconds: float) -> bool:
        """Return whether a test has wanted to change its verdict for so long without a break."""
        if not wants:
            self.timers.pop(test, None)
            return False
        return self.now - self.timers.setdefault(test, self.now) >= seconds

    def hold(
        self,
        doubt: Doubt,
        fails: bool,
        passes: bool,
        on_s: float,
        off_s: float,
    ) -> None:
        """Raise the doubt once it `fails` for `on_s`, drop it once it `passes` for `off_s`; what was not
        heard is neither. While it stands its figure is that of now, its cause the first that was named."""
        key = doubt.channel, doubt.reason
        name = f"{doubt.channel} {doubt.reason.name} {doubt.against}"
        standing = self.doubts.get(key)
        if standing is None:
            if self.lasts(name, fails, on_s):
                self.timers.pop(name, None)
                self.doubts[key] = doubt
        elif standing.against == doubt.against:
            if self.lasts(name, passes, off_s):
                self.timers.pop(name, None)
                del self.doubts[key]
            elif not isnan(doubt.off) and doubt.off != standing.off:
                self.doubts[key] = Doubt(
                    doubt.channel,
                    doubt.reason,
                    standing.since,
                    doubt.off,
                    standing.against,
                    standing.likely or doubt.likely,
                    standing.hours,
                )


def in_order(rows: Sequence[Row], before: Sequence[str], now: Sequence[str]) -> list[Row]:
    """Return (time, values) rows with the columns of `now`, NaN for a channel that was not there before."""
    if tuple(before) == tuple(now):
        return list(rows)
    place = {name: at + 1 for at, name in enumerate(before)}
    columns = [place.get(name) for name in now]
    return [(row[0], *(nan if at is None else row[at] for at in columns)) for row in rows]
