"""Tables with named keys in a stay file: which must be there, which may be, and what is made of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from alongside.stay.fields import Check, Field
from alongside.stay.nodes import Node, one_of

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record: must it be there, and the field to read it by, given what was read before. `band`
    names the key that gets the spread of a guess, as a part of its value, where it is not given itself.
    `otherwise` makes a value where the key is not given; None leaves it to the default."""

    needed: bool
    field: Callable[[Mapping[str, Any]], Field[Any]]
    band: str = ""
    otherwise: Callable[[Mapping[str, Any]], Field[Any]] | None = None


Maker = Callable[..., Field[Any]]
"""What makes a field from keys that were read before."""


def _made_of(make: Maker, knowing: tuple[str, ...]) -> Callable[[Mapping[str, Any]], Field[Any]]:
    return lambda values: make(*(values.get(name) for name in knowing))


def _key(needed: bool, field: Field[Any] | Maker, knowing: tuple[str, ...], band: str) -> Key:
    if isinstance(field, Field):
        return Key(needed, lambda values: field, band)
    return Key(needed, _made_of(field, knowing), band)


def required(field: Field[Any] | Maker, *, knowing: tuple[str, ...] = (), band: str = "") -> Key:
    """A key that must be there. With `knowing`, `field` makes the field from keys read before (None for
    one that is not given)."""
    return _key(True, field, knowing, band)


def optional(
    field: Field[Any] | Maker,
    *,
    knowing: tuple[str, ...] = (),
    band: str = "",
    otherwise: Maker | None = None,
) -> Key:
    """A key that may be left out: then what is made has its own default, or what `otherwise` makes of the
    keys read before."""
    key = _key(False, field, knowing, band)
    return key if otherwise is None else replace(key, otherwise=_made_of(otherwise, knowing))


def record(make: Callable[..., T], /, *checks: Check, **keys: Key) -> Field[T]:
    """A table of just these keys, made into a `T` by naming each that was given."""
    needed = ", ".join(name for name, key in keys.items() if key.needed or len(keys) == 1)
    expected = f"a table with {needed}" if needed else "a table"

    def read(node: Node) -> T:
        given: dict[str, Node] = {}
        for label, value in node.entries(expected) or ():
            if label.word in keys:
                given[label.word] = value
            else:
                label.fault("unknown key", one_of(keys, label.word))
        readable = node if node.is_table else Node.blank_at(node.path)
        values: dict[str, Any] = {}
        for name, key in keys.items():
            field = key.field(values)
            if name in given:
                values[name] = field.read(given[name])
                _note_band(values, key.band, given[name])
            elif key.needed or not readable.is_table:
                values[name] = field.read(readable.missing(name, field.expected))
            elif key.otherwise is not None:
                value = key.otherwise(values).read(readable.beside(name))
                values |= {} if value is None else {name: value}
                _note_band(values, key.band, readable.beside(name))
        made = make(**values)
        for check in checks:
            check(readable, made)
        return made

    return Field(expected, read)


def _note_band(values: dict[str, Any], band: str, node: Node) -> None:
    """Put the spread of a guess at `node` into the band that goes with it, unless the file gives that."""
    share = node.estimates.share_at(node.path) if band else None
    if share is not None:
        values.setdefault(band, share)


def exactly_one(*names: str) -> Check:
    """A record must have one of these keys, and one only."""
    expected = " or ".join(names)

    def check(node: Node, value: object) -> None:
        given = [name for name in names if name in node]
        if len(given) > 1:
            node[given[1]].fault(f"{' and '.join(given)} together", expected)
        elif not given:
            node.fault("one key is missing", expected)

    return check
