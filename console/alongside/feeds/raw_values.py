"""Raw values of one channel as they come, and the units that they may come in."""

from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.inputs import of_current
from alongside.feeds.meanings import Fields, number
from alongside.feeds.senders import ChannelSenders
from alongside.readings import Floats
from alongside.stay.channels import xdr_units
from alongside.stay.model import Source
from alongside.stay.unit_words import FOLLOWING_FIELD, MILLIAMPERE


@dataclass(slots=True)
class RawValues:
    """Raw values of one channel as they come, not judged yet; NaN where the gauge gives none, infinite where
    it gives one in a unit that cannot be used: `wrong_unit` is the last such."""

    source: Source
    feed: str
    off_the_bow: bool
    tally: Tally
    senders: ChannelSenders
    units: Mapping[bytes, float] | None = None
    wrong_unit: str = ""
    newest: float = -inf
    """Time of the last value of a pattern or a field."""
    time: "array[float]" = field(default_factory=lambda: array("d"))
    value: "array[float]" = field(default_factory=lambda: array("d"))

    def number_at(self, fields: Fields, at: int) -> float:
        """Return the number of a transducer in the channel's unit, or as it is where the scale says what it
        is; infinite in a unit that is not expected. Raises ValueError."""
        if self.units is None:
            return of_current(number(fields[at]), self.source, self.tally)
        factor = self.units.get(fields[at + 1])
        if factor is None:
            self.wrong_unit = fields[at + 1].decode("ascii", "replace")
            return inf
        return of_current(number(fields[at]) * factor, self.source, self.tally)

    def take(self, time: float, value: float, measured: float | None = None) -> None:
        """Take a value of the line at hand, NaN for none, infinite for one in a wrong unit; `measured` is
        when, where the line says so. One that is older than the last is not taken."""
        if self.refuses(time):
            return
        at = time if measured is None else measured
        if at < self.newest:
            self.tally.count(Flaw.TIME_BACK)
            return
        if value != value:
            self.tally.count(Flaw.NO_VALUE)
        elif value == inf:
            self.tally.count(Flaw.UNIT)
        self.newest = at
        self.time.append(at)
        self.value.append(value)

    def take_all(self, times: Floats, values: Floats) -> None:
        """Take values (k,) at times (k,), none of them older than the last; the line of each is counted."""
        self.time.frombytes(times.tobytes())
        self.value.frombytes(values.tobytes())

    def refuses(self, time: float) -> bool:
        """Return whether the line at hand comes from a sender of which this channel is not taken."""
        if not self.senders.hearing.sender or self.senders.admits(time):
            return False
        self.tally.count(Flaw.OTHER_SENDER)
        return True


def unit_factors(source: Source) -> Mapping[bytes, float] | None:
    """Return the unit fields that an XDR may bear for a channel, and what brings its value to the channel's
    unit; None where the stay file leaves it to its scale."""
    letters = xdr_units(source.channel) if source.loop is None else FOLLOWING_FIELD[MILLIAMPERE]
    if source.unit is not None:
        stated = letters.get(source.unit, 1.0) if source.scale == 1.0 else 1.0
        return {source.unit.encode(): stated if source.unit_factor is None else source.unit_factor}
    return {b"": 1.0} | {unit.encode(): by for unit, by in letters.items()} if source.checks_unit else None
