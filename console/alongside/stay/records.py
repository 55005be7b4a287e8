"""Tables with named keys in a stay file: which must be there, which may be, and what is made of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from alongside.stay.fields import Check, Field, number
from alongside.stay.model import Point
from alongside.stay.nodes import Node, one_of

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record: must it be there, and the field to read it by, given what was read before."""

    needed: bool
    field: Callable[[Mapping[str, Any]], Field[Any]]


def _key(needed: bool, field: Field[Any] | Callable[..., Field[Any]], knowing: tuple[str, ...]) -> Key:
    if isinstance(field, Field):
        return Key(needed, lambda values: field)
    return Key(needed, lambda values: field(*(values.get(name) for name in knowing)))


def required(field: Field[Any] | Callable[..., Field[Any]], *, knowing: tuple[str, ...] = ()) -> Key:
    """A key that must be there. With `knowing`, `field` makes the field from keys read before (None for
    one that is not given)."""
    return _key(True, field, knowing)


def optional(field: Field[Any] | Callable[..., Field[Any]], *, knowing: tuple[str, ...] = ()) -> Key:
    """A key that may be left out: then what is made has its own default."""
    return _key(False, field, knowing)


def record(make: Callable[..., T], /, *checks: Check, **keys: Key) -> Field[T]:
    """A table of just these keys, made into a `T` by naming each that was given."""
    expected = "a table with " + ", ".join(name for name, key in keys.items() if key.needed or len(keys) == 1)

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
            elif key.needed or not readable.is_table:
                values[name] = field.read(readable.missing(name, field.expected))
        made = make(**values)
        for check in checks:
            check(readable, made)
        return made

    return Field(expected, read)


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


POINT: Final = record(Point, x=required(number("m")), y=required(number("m")), z=required(number("m")))
