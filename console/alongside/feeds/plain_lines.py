"""Lines read by the pattern of a feed: those that are no sentences, and sentences that it admits."""

import re
from collections.abc import Callable, Mapping, Sequence
from math import inf
from typing import Final

from alongside.feeds.export_rows import ROW_REFUSED
from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.inputs import Inputs, of_current
from alongside.feeds.plain_numbers import feet_and_inches, is_cut_out, plain_number
from alongside.feeds.raw_values import RawValues
from alongside.feeds.registers import ASKED, EXCEPTION
from alongside.feeds.row_times import own_time
from alongside.feeds.sentence import NAN
from alongside.feeds.units_beside import NONE_BESIDE, beside
from alongside.stay.model import Feed
from alongside.stay.pattern_cuts import Cuts, cuts_of
from alongside.stay.pattern_steps import LONGEST_SEARCHED
from alongside.stay.unit_words import field_factor, raw_unit

NO_ANSWER = b"no answer"
"""Ends a line of a converter that was asked and said nothing."""


def fault_said(line: bytes) -> Flaw | None:
    """Return the fault that a plain line of our own readers says; None for any other line."""
    if line.endswith(NO_ANSWER):
        return Flaw.NO_ANSWER
    if line.startswith(ASKED) and EXCEPTION in line:
        return Flaw.EXCEPTION
    return Flaw.ROW if line.startswith(ROW_REFUSED) else None


PatternListener = Callable[[float, bytes], bool]
Match = re.Match[bytes]

FEET: Final = frozenset({"ft", "'"})


def pattern_listener(feed: Feed, all_samples: Sequence[RawValues]) -> PatternListener | None:
    """Return what hears a line by the pattern of a feed, and says whether it matched; None for a feed without
    one."""
    if feed.pattern is None:
        return None
    cuts = cuts_of(feed.pattern)
    wanted = [
        PatternChannel(samples, feed.decimal, cuts) for samples in all_samples if samples.source.groups_read
    ]
    if not wanted:
        return None
    search = re.compile(feed.pattern.encode()).search
    tally = wanted[0].samples.tally

    def hear(time: float, line: bytes) -> bool:
        if len(line) > LONGEST_SEARCHED:
            raise Flawed(Flaw.OVERLONG)
        match = search(line)
        if match is None:
            return False
        measured = time
        if feed.time is not None:
            try:
                measured = own_time(feed.time, match, time)
            except Flawed as flawed:
                tally.count(flawed.flaw)
                return True
        for channel in wanted:
            channel.hear(time, match, measured)
        return True

    return hear


class PatternChannel:
    """One channel that is read by groups of a pattern."""

    def __init__(self, samples: RawValues, decimal: str, cuts: Mapping[str, Cuts]) -> None:
        self.samples = samples
        source = samples.source
        self._groups = source.groups_read
        self._decimal = decimal
        self._unit = raw_unit(source.channel, source.loop is not None)
        self._inputs = Inputs(source, len(self._groups))
        self._named_factor = 1.0 if source.unit_factor is None else source.unit_factor
        self._minus = [(group, text.encode()) for group, text in source.minus]
        self._cuts = cuts

    def hear(self, time: float, match: Match, measured: float) -> None:
        """Take what a match says of this channel."""
        values = [self._value(match, group) for group in self._groups]
        if all(value is None for value in values):
            return
        value = self._inputs.complete(time, values)
        if value is None:
            return
        self.samples.take(time, self._signed(value, match), measured)

    def _signed(self, value: float, match: Match) -> float:
        away = any((match[group] or b"").strip() == text for group, text in self._minus)
        return -value if away and value != inf else value

    def _value(self, match: Match, group: str) -> float | None:
        """Return the value of one group in the raw unit: NaN for none, infinite in a wrong unit, None where
        it is not in this line at all."""
        text = match[group]
        if text is None:
            return None
        tally, source = self.samples.tally, self.samples.source
        try:
            if self.is_piece(match, group):
                raise ValueError(f"a piece of a number: {text!r}")
            metres = feet_and_inches(text)
            if metres is not None:
                return self._of_feet(metres)
            value = plain_number(text, self._decimal)
        except ValueError:
            tally.count(Flaw.GARBLED)
            return NAN
        by = self.factor_of(match, group)
        if by is None:
            self.samples.wrong_unit = self._unit_words(match, group)
            return inf
        return of_current(value * by, source, tally)

    def is_piece(self, match: Match, group: str) -> bool:
        """Return whether the number of a group is a piece of another one; the pattern itself may have taken
        digits of it, where it was free to. One that begins with its sign is whole in front."""
        cuts, (start, end), line = self._cuts[group], match.span(group), match.string
        if is_cut_out(match, group, self._decimal):
            return True
        signed = line[start : start + 1] in (b"-", b"+")
        before = cuts.before and not signed and line[start - 1 : start].isdigit()
        return before or (cuts.behind and line[end : end + 1].isdigit())

    def _of_feet(self, metres: float) -> float:
        """Return a text in feet and inches in the raw unit; infinite where no metres are meant."""
        source = self.samples.source
        if self._unit == "m" and (source.checks_unit or source.unit in FEET):
            return metres
        self.samples.wrong_unit = "ft"
        return inf

    def factor_of(self, match: Match, group: str) -> float | None:
        """Return what brings a number to the raw unit; None in a unit that is not expected."""
        source = self.samples.source
        if source.unit_in is not None:
            word = (match[source.unit_in] or b"").decode("latin-1").strip()
            if source.unit is not None and word != source.unit:
                return None
            return field_factor(self._unit, word) if source.unit is None else self._named_factor
        if source.unit is None and not source.checks_unit:
            return 1.0
        stated = beside(match.string, *match.span(group), self._unit)
        if source.unit is None:
            return 1.0 if stated == NONE_BESIDE else stated
        if stated == NONE_BESIDE or stated == self._named_factor:
            return self._named_factor
        word = match.string[match.end(group) :].lstrip()[: len(source.unit)].decode("latin-1")
        return self._named_factor if word == source.unit else None

    def _unit_words(self, match: Match, group: str) -> str:
        unit_in = self.samples.source.unit_in
        if unit_in is not None:
            return (match[unit_in] or b"").decode("ascii", "replace").strip()
        return match.string[match.end(group) :][:8].decode("ascii", "replace").strip()
