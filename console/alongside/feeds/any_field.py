"""Sentences of any type, read by the number of a field."""

from collections.abc import Callable
from math import inf
from typing import Final

from alongside.feeds.flaws import Flaw
from alongside.feeds.inputs import Inputs, of_current
from alongside.feeds.meanings import Fields
from alongside.feeds.plain_numbers import feet_and_inches, plain_number
from alongside.feeds.raw_values import RawValues
from alongside.feeds.sentence import NAN
from alongside.stay.unit_words import field_factor, is_unit_word, raw_unit

_NOT_ALONE: Final = frozenset("ACVKSTNPE")
"""One letter in a field behind a number may be a status, a side or a mode; where it can be no unit of the
channel it says nothing."""
_ALWAYS_A_UNIT: Final = frozenset("fFM")
"""Feet, fathoms, metres; magnetic, of an angle."""


def field_listener(samples: RawValues) -> Callable[[float, Fields], None]:
    """Return what hears a sentence for one channel that is read by fields."""
    return FieldChannel(samples).hear


class FieldChannel:
    """One channel that is read by fields of a sentence, and what must hold of the sentence."""

    def __init__(self, samples: RawValues) -> None:
        source = samples.source
        self.samples = samples
        self._fields = source.fields
        self._unit = raw_unit(source.channel, source.loop is not None)
        self._unit_in = None if source.unit_in is None else int(source.unit_in)
        self._named_factor = 1.0 if source.unit_factor is None else source.unit_factor
        self._where = [(int(at), text.encode()) for at, text in source.where]
        self._minus = [(int(at), text.encode()) for at, text in source.minus]
        self._inputs = Inputs(source, len(self._fields))

    def hear(self, time: float, fields: Fields) -> None:
        """Take what a sentence says of this channel; nothing where its conditions do not hold."""
        try:
            if any(fields[at] != text for at, text in self._where):
                return
            values = [self._value(fields, at) for at in self._fields]
            away = any(fields[at] == text for at, text in self._minus)
        except (ValueError, IndexError):
            self.samples.tally.count(Flaw.GARBLED)
            self.samples.take(time, NAN)
            return
        value = self._inputs.complete(time, values)
        if value is not None:
            self.samples.take(time, -value if away and value != inf else value)

    def _value(self, fields: Fields, at: int) -> float:
        """Return the value of a field in the raw unit, NaN for none, infinite in a wrong unit. Raise
        ValueError or IndexError."""
        source = self.samples.source
        metres = feet_and_inches(fields[at])
        if metres is not None:
            meant = self._unit == "m" and (source.checks_unit or source.unit in ("ft", "'"))
            return metres if meant else self._wrong("ft")
        value = plain_number(fields[at], "point")
        by, word = self.factor_of(fields, at)
        if by is None:
            return self._wrong(word)
        return of_current(value * by, source, self.samples.tally)

    def _wrong(self, word: str) -> float:
        self.samples.wrong_unit = word
        return inf

    def factor_of(self, fields: Fields, at: int) -> tuple[float | None, str]:
        """Return what brings a number to the raw unit, None in a wrong one, and the unit it is in."""
        source = self.samples.source
        if self._unit_in is not None:
            word = fields[self._unit_in].decode("ascii", "replace").strip()
            if source.unit is None:
                return field_factor(self._unit, word), word
            return (self._named_factor if word == source.unit else None), word
        if source.unit is not None or not source.checks_unit:
            return self._named_factor, source.unit or ""
        word = fields[at + 1].decode("ascii", "replace").strip() if at + 1 < len(fields) else ""
        by = field_factor(self._unit, word)
        if by is not None:
            return by, word
        is_unit = (is_unit_word(word) and word not in _NOT_ALONE) or word in _ALWAYS_A_UNIT
        return (None if is_unit else 1.0), word
