"""Every type of field that a record may hold is one that the codec takes and gives back: found by walking the
type hints, so that a field of a new kind fails here and not at a restart on board."""

import json
import types
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from math import inf, nan
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np
import pytest

from alongside import actions
from alongside.cycle.memory import Memory
from alongside.cycle.picture import FeedRow
from alongside.mechanics.situation import Situation
from alongside.record.codec import from_plain, from_text, to_text
from alongside.record.entries import MEMORY_VERSION, _Versioned, pack_memory, same, unpack_memory
from alongside.record.reader import _ACTIONS
from alongside.record.states import Columns
from alongside.stay.model import Stay

ROOTS: Final = (_Versioned, Memory, Stay, Columns, FeedRow, *get_args(actions.Action))
FLOATS: Final = (0.1 + 0.2, -0.0, 1e-300, nan, inf, -inf)
TEXTS: Final = ("", "line 4", 'é "quoted" \\ \n\x1b', "☂")


def samples(kind: Any, at: str) -> list[Any]:
    """Some values of a type, each of its alternatives among them; a type nobody has thought of fails."""
    origin, args = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return arrays(kind.__metadata__[0])
    if origin in (Union, types.UnionType):
        return [value for one in args for value in samples(one, at)]
    if origin is Literal:
        return list(args)
    if origin is tuple and len(args) == 2 and args[1] is Ellipsis:
        return [(), tuple(samples(args[0], at))]
    if origin is tuple:
        return rows([samples(one, at) for one in args])
    if isinstance(origin, type) and issubclass(origin, Mapping):
        keys, values = samples(args[0], at), samples(args[1], at)
        return [{}, {key: values[n % len(values)] for n, key in enumerate(keys)}]
    if is_dataclass(kind):
        return objects(kind)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return list(kind)
    plain: dict[Any, list[Any]] = {
        float: list(FLOATS),
        int: [0, -1, 1 << 40],
        str: list(TEXTS),
        bool: [True, False],
        type(None): [None],
    }
    assert kind in plain, f"{at}: {kind!r} is no kind of field that a record is known to hold"
    return plain[kind]


def arrays(dtype: Any) -> list[Any]:
    kind = np.dtype(dtype)
    numbers = FLOATS if kind.kind == "f" else (0, 1) * 3 if kind.kind == "b" else (0, -1, 100) * 2
    return [np.array([], dtype=kind), np.array(numbers, dtype=kind)]


def rows(columns: list[list[Any]]) -> list[Any]:
    """As many tuples as the longest column, shorter ones begun anew, so that each sample stands in one."""
    most = max((len(column) for column in columns), default=0)
    return [tuple(column[n % len(column)] for column in columns) for n in range(most)]


def objects(kind: Any) -> list[Any]:
    hints = get_type_hints(kind, include_extras=True)
    names = [item.name for item in fields(kind)]
    columns = [samples(hints[name], f"{kind.__name__}.{name}") for name in names]
    return [built(kind, dict(zip(names, row, strict=True))) for row in rows(columns)] if names else [kind()]


def built(kind: Any, values: dict[str, Any]) -> Any:
    """An object with these fields, whatever its constructor would ask of them."""
    made = object.__new__(kind)
    for name, value in values.items():
        object.__setattr__(made, name, value)
    if kind is Situation:
        made.__post_init__()  # it takes a draught below zero out
    return made


def kinds_within(kind: Any) -> Iterator[Any]:
    """The type itself and all that its hints lead to."""
    if get_origin(kind) is Annotated:  # an array, of the type that stands beside numpy's hint
        return
    yield kind
    if is_dataclass(kind):
        for hint in get_type_hints(kind, include_extras=True).values():
            yield from kinds_within(hint)
    for argument in get_args(kind):
        if argument is not Ellipsis and get_origin(kind) is not Literal:
            yield from kinds_within(argument)


@pytest.mark.parametrize("root", ROOTS, ids=lambda root: root.__name__)
def test_each_sample_of_each_field_comes_back(root: Any) -> None:
    for value in objects(root):
        back = from_text(root, to_text(value))
        assert same(back, value)
        assert to_text(back) == to_text(value)
        for array, of in zip(all_arrays(back), all_arrays(value), strict=True):
            assert array.dtype == of.dtype


def all_arrays(value: Any) -> Iterator[Any]:
    if isinstance(value, np.ndarray):
        yield value
    elif is_dataclass(value):
        for item in fields(value):
            yield from all_arrays(getattr(value, item.name))
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from all_arrays(one)
    elif isinstance(value, tuple):
        for one in value:
            yield from all_arrays(one)


def test_a_whole_memory_comes_back() -> None:
    for memory in objects(Memory):
        assert same(unpack_memory(pack_memory(memory)), memory)


def test_an_array_is_named_by_ourselves() -> None:
    """What numpy's own hints are made of differs from version to version."""
    for root in ROOTS:
        for kind in kinds_within(root):
            assert getattr(kind, "__module__", "").split(".")[0] != "numpy", f"{root.__name__}: {kind!r}"


def test_every_action_can_be_read() -> None:
    assert set(_ACTIONS) == {kind.__name__ for kind in get_args(actions.Action)}


def test_every_kind_of_alternative_is_told_apart() -> None:
    """A value of a union is read as the first kind that takes it: no two may look alike on record."""
    for root in ROOTS:
        for kind in kinds_within(root):
            if get_origin(kind) not in (Union, types.UnionType):
                continue
            for one in get_args(kind):
                for value in samples(one, root.__name__):
                    text = to_text(value)
                    assert same(from_text_of(kind, text), value), (
                        f"{root.__name__}: {kind!r} reads {text} wrong"
                    )


def from_text_of(kind: Any, text: str) -> Any:

    return from_plain(kind, json.loads(text), "alternative")


def test_a_memory_without_what_came_later_reads_as_its_defaults() -> None:
    """Every field that a memory has gained since must have a default, or older records end the watch."""
    first = {"lengths", "watchlist", "hearing"}
    without = {
        item.name for item in fields(Memory) if item.default is MISSING and item.default_factory is MISSING
    }
    assert without <= first
    assert MEMORY_VERSION == 1
