"""What is put on record: plain data on its way to the journal."""

import hashlib
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace

import numpy as np

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.memory import Memory
from alongside.record.codec import from_text, to_text
from alongside.record.faults import WrongRecord
from alongside.record.states import Columns
from alongside.stay.model import Stay

MEMORY_VERSION = 1


@dataclass(frozen=True, slots=True)
class KeptState:
    """One state, packed. `dense`: kept only because an alert changed near it."""

    time: float
    packed: bytes
    dense: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """What is written together or not at all: one cycle's worth."""

    time: float
    events: tuple[Event, ...] = ()
    actions: tuple[Action, ...] = ()
    states: tuple[KeptState, ...] = ()
    memory: bytes | None = None
    """Packed; None where it is as it was."""
    log: str = ""
    """Name of a feed log that was begun."""
    run: "Run | None" = None
    """The run that begins with it: from here on the arrangement is another."""

    def __bool__(self) -> bool:
        happened = self.events or self.actions or self.states or self.log or self.run
        return bool(happened or self.memory is not None)


@dataclass(frozen=True, slots=True)
class Run:
    """One console from its start to its end, or to where something done on deck makes the stay another; the
    stay as it is in it."""

    started: float
    program: str
    """Version of the program."""
    stay: Stay
    stay_text: str
    """The stay file itself, without those it names; "" where it could not be read."""
    columns: Columns


@dataclass(frozen=True, slots=True)
class _Versioned:
    version: int
    memory: Memory


def stay_hash(stay: Stay) -> str:
    """Return SHA-256 of what a stay file says, with the files that it names; where it lies and how it is
    written do not count."""
    return hashlib.sha256(to_text(replace(stay, file="")).encode()).hexdigest()


def same(one: object, other: object) -> bool:
    """Return True if two frozen values hold the same; not known equals not known. Quick where parts are the
    very same objects, as those of a memory mostly are from one cycle to the next."""
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, np.ndarray) and isinstance(other, np.ndarray):
        return np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(same, one, other))
    if is_dataclass(one):
        return all(same(getattr(one, item.name), getattr(other, item.name)) for item in fields(one))
    return one == other or (one != one and other != other)


def pack_memory(memory: Memory) -> bytes:
    return zlib.compress(to_text(_Versioned(MEMORY_VERSION, memory)).encode())


def unpack_memory(packed: bytes) -> Memory:
    """Raises WrongRecord for what is no memory of this version."""
    try:
        text = zlib.decompress(packed)
    except zlib.error as error:
        raise WrongRecord(f"a memory is damaged ({error})") from error
    versioned = from_text(_Versioned, text)
    if versioned.version != MEMORY_VERSION:
        raise WrongRecord(f"a memory of version {versioned.version}, expected {MEMORY_VERSION}")
    return versioned.memory
