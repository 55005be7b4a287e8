"""Frozen dataclasses to plain JSON and back, by their own type hints.

One rule for each kind of field: dataclasses become objects, enums their names, arrays nested lists, mappings
with other keys than text become lists of pairs, numbers that JSON has no word for the texts `nan`, `inf`
and `-inf`. Reading is strict: an unknown field, a missing one without a default, a value of another kind
raises `WrongRecord` with the place. A field that a later version added with a default reads as its default,
and a name of a cause that has another now as that.
"""

import json
import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import lru_cache
from math import isfinite
from typing import Annotated, Any, Final, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

import numpy as np

from alongside.record.faults import WrongRecord
from alongside.stay.causes import FORMER

T = TypeVar("T")

_WORDS: Final = {"nan": float("nan"), "inf": float("inf"), "-inf": float("-inf")}
_NOTHING: Final = type(None)


def to_text(value: object) -> str:
    """Return JSON of a dataclass, compact; the same value gives the same text."""
    return json.dumps(to_plain(value), ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def from_text(kind: type[T], text: str | bytes) -> T:
    """Return the value of a type that `to_text` wrote."""
    try:
        plain = json.loads(text)
    except ValueError as error:
        raise WrongRecord(f"{kind.__name__}: no JSON ({error})") from error
    value: T = from_plain(kind, plain, kind.__name__)
    return value


def to_plain(value: object) -> Any:
    """Return the value as objects, lists, texts, numbers, booleans and None only."""
    if isinstance(value, Enum):
        return value.name
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        return _number_out(value)
    if isinstance(value, np.ndarray | np.generic):
        return to_plain(value.tolist())
    if is_dataclass(value):
        return {item.name: to_plain(getattr(value, item.name)) for item in fields(value)}
    if isinstance(value, Mapping):
        if all(isinstance(key, str) for key in value):
            return {key: to_plain(item) for key, item in value.items()}
        return [[to_plain(key), to_plain(item)] for key, item in value.items()]
    if isinstance(value, tuple | list):
        return [to_plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} has no place in a record")


def from_plain(kind: Any, plain: Any, at: str) -> Any:
    """Return the value of type `kind` that `to_plain` gave; `at` is its place, for faults."""
    origin = get_origin(kind)
    if origin is Annotated:
        # What numpy's own hint is made of differs from version to version: the kind of array is the mark.
        return _array(kind.__metadata__[0], plain, at)
    if origin in (Union, types.UnionType):
        return _of_union(get_args(kind), plain, at)
    if origin is Literal:
        now = FORMER.get(plain, plain) if isinstance(plain, str) else plain
        return _expect(now in get_args(kind), now, at, f"one of {', '.join(map(str, get_args(kind)))}")
    if origin is tuple:
        return _tuple(get_args(kind), plain, at)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        key, value = get_args(kind)
        return _mapping(key, value, plain, at)
    if is_dataclass(kind):
        return _object(kind, plain, at)
    if isinstance(kind, type) and issubclass(kind, Enum):
        _expect(isinstance(plain, str) and plain in kind.__members__, plain, at, kind)
        return kind[plain]
    return _scalar(kind, plain, at)


def _number_out(value: float) -> float | str:
    return float(value) if isfinite(value) else repr(float(value))


def _scalar(kind: Any, plain: Any, at: str) -> Any:
    if kind is float:
        if isinstance(plain, str) and plain in _WORDS:
            return _WORDS[plain]
        _expect(isinstance(plain, int | float) and not isinstance(plain, bool), plain, at, kind)
        return float(plain)
    if kind is int:
        return _expect(isinstance(plain, int) and not isinstance(plain, bool), plain, at, kind)
    if kind in (str, bool, _NOTHING):
        return _expect(isinstance(plain, kind), plain, at, kind)
    raise TypeError(f"{at}: {kind!r} has no place in a record")


def _of_union(kinds: tuple[Any, ...], plain: Any, at: str) -> Any:
    """Return the first kind that takes it. Kinds of one union must differ in their JSON."""
    if plain is None and _NOTHING in kinds:
        return None
    wrong: WrongRecord | None = None
    for kind in kinds:
        if kind is _NOTHING:
            continue
        try:
            return from_plain(kind, plain, at)
        except WrongRecord as error:
            wrong = error
    raise wrong or WrongRecord(f"{at}: {plain!r}")


def _array(dtype: Any, plain: Any, at: str) -> Any:
    kind = np.dtype(dtype)
    _expect(isinstance(plain, list), plain, at, list)
    try:
        if kind.kind == "f":
            return np.array(plain, dtype=object).astype(kind) if plain else np.empty(0, dtype=kind)
        array = np.array(plain, dtype=kind)
        if kind.kind == "i" and not np.array_equal(array, np.array(plain, dtype=np.int64)):
            raise OverflowError(f"too large for {kind}")  # numpy before 2.0 wraps round
        return array
    except (TypeError, ValueError, OverflowError) as error:
        raise WrongRecord(f"{at}: no array of {kind} ({error})") from error


def _tuple(kinds: tuple[Any, ...], plain: Any, at: str) -> tuple[Any, ...]:
    _expect(isinstance(plain, list), plain, at, tuple)
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(from_plain(kinds[0], item, f"{at}[{index}]") for index, item in enumerate(plain))
    _expect(len(plain) == len(kinds), plain, at, f"{len(kinds)} values")
    pairs = enumerate(zip(kinds, plain, strict=True))
    return tuple(from_plain(kind, item, f"{at}[{index}]") for index, (kind, item) in pairs)


def _mapping(key: Any, value: Any, plain: Any, at: str) -> dict[Any, Any]:
    if isinstance(plain, dict):
        return {from_plain(key, k, at): from_plain(value, v, f"{at}.{k}") for k, v in plain.items()}
    pairs = _tuple((tuple[key, value], ...), plain, at)
    return dict(pairs)


def _object(kind: Any, plain: Any, at: str) -> Any:
    _expect(isinstance(plain, dict), plain, at, kind)
    known = _fields(kind)
    unknown = set(plain) - set(known)
    if unknown:
        raise WrongRecord(f"{at}: {sorted(unknown)} not known to {kind.__name__}")
    missing = [name for name, (_, needed) in known.items() if needed and name not in plain]
    if missing:
        raise WrongRecord(f"{at}: {missing} missing in {kind.__name__}")
    return kind(**{name: from_plain(known[name][0], plain[name], f"{at}.{name}") for name in plain})


@lru_cache(maxsize=256)
def _fields(kind: Any) -> dict[str, tuple[Any, bool]]:
    """Return the type of every field, and whether it must be there."""
    hints = get_type_hints(kind, include_extras=True)
    return {
        item.name: (hints[item.name], item.default is MISSING and item.default_factory is MISSING)
        for item in fields(kind)
    }


def _expect(right: bool, plain: Any, at: str, kind: object) -> Any:
    if not right:
        shown = repr(plain)
        raise WrongRecord(f"{at}: {shown[:60]}, expected {getattr(kind, '__name__', kind)}")
    return plain
