"""What is read of registers, as a sentence of our own, and back: the figure, and behind it the registers as
they came, `$IIXDR,G,2.45,,tide,G,16412,,tide.0,G,52429,,tide.1*hh`.

Both live and in a replay the figure is worked out of the registers: what stands in front is for whoever reads
the record.
"""

from collections.abc import Callable, Sequence
from math import isfinite
from typing import Final

from alongside.feeds.flaws import Flaw
from alongside.feeds.inputs import of_current
from alongside.feeds.meanings import Fields
from alongside.feeds.raw_values import RawValues
from alongside.feeds.sentence import NAN, sentence, tag_name
from alongside.stay.model import Register
from alongside.stay.registers import MOST_ADDRESS, WORDS, number_of

TALKER: Final = "II"
"""Integrated instrumentation, by IEC 61162-1 (from memory)."""
ASKED: Final = b"modbus "
"""Begins a line that says why there is none."""
EXCEPTION: Final = b": exception "


def line_of_registers(channel: str, register: Register, values: Sequence[int]) -> bytes:
    """Return the sentence for the registers of one channel."""
    name = tag_name(channel).decode()
    number = number_of(values, register.type, register.order)
    shown = f"{number:.9g}" if isfinite(number) else ""
    quads = [f"G,{'' if 'e' in shown else shown},,{name}"]
    quads += [f"G,{value},,{name}.{at}" for at, value in enumerate(values)]
    return sentence(f"{TALKER}XDR,{','.join(quads)}")


def line_of_fault(channel: str, words: str) -> bytes:
    """Return the line that says why a channel has no registers this time."""
    return ASKED + tag_name(channel) + b": " + words.encode("ascii", "replace")


def said_of(channel: str, line: bytes) -> str | None:
    """Return what a line says of how a channel was asked for: "" for an answer, else why there was none; None
    where it is of another channel."""
    name = tag_name(channel)
    asked, _, words = line.partition(b": ")
    if asked == ASKED + name:
        return words.decode("ascii", "replace")
    return "" if line.startswith(b"$") and b",,%s," % name in line else None


def register_listener(all_samples: Sequence[RawValues]) -> Callable[[float, Fields], None] | None:
    """Return what hears such a sentence for all channels of a feed that are read of registers; None where
    none is."""
    wanted = {tag_name(samples.source.channel): samples for samples in all_samples if samples.source.register}
    if not wanted:
        return None

    def hear(time: float, fields: Fields) -> None:
        samples = wanted.get(fields[4]) if len(fields) > 4 else None
        if samples is None or samples.source.register is None:
            return
        register, source = samples.source.register, samples.source
        try:
            values = [_register(field) for field in fields[6::4]]
            if len(values) != WORDS[register.type]:
                raise ValueError(f"{len(values)} registers")
        except ValueError:
            samples.tally.count(Flaw.GARBLED)
            samples.take(time, NAN)
            return
        number = number_of(values, register.type, register.order)
        number = number * (source.unit_factor or 1.0) if isfinite(number) else NAN
        samples.take(time, of_current(number, source, samples.tally))

    return hear


def _register(field: bytes) -> int:
    value = int(field) if field.isdigit() and len(field) <= 5 else -1
    if not 0 <= value <= MOST_ADDRESS:
        raise ValueError(f"no register: {field!r}")
    return value
