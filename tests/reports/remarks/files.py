"""The example stays as plain data, to be changed by one mistake and written again."""

from collections.abc import Callable
from copy import deepcopy
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from alongside.stay.model import Stay
from alongside.stay.read import read_stay

CONFIGS = Path(__file__).parents[3] / "configs"

Data = dict[str, Any]
Change = Callable[[Data], None]


@cache
def _example(name: str) -> Data:
    text = (CONFIGS / f"{name}.yaml").read_text(encoding="utf-8")
    # Every value as its text, as the stay file itself is read; aliases become values of their own.
    data: Data = deepcopy(yaml.load(text, Loader=yaml.BaseLoader))
    return data


def written(folder: Path, name: str, *changes: Change) -> Stay:
    """An example with changes, written to a file and read from it."""
    data: Data = yaml.load(yaml.dump(_example(name), Dumper=_Plain), Loader=yaml.BaseLoader)
    for change in changes:
        change(data)
    path = folder / "stay.yaml"
    path.write_text(yaml.dump(data, Dumper=_Plain, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return read_stay(path)


class _Plain(yaml.SafeDumper):
    def ignore_aliases(self, data: Any) -> bool:
        return True


def times(factor: float, *path: str | int) -> Change:
    """Multiply the number at a path; `*` stands for all of a list or table."""
    return put_by(lambda text: f"{float(text) * factor:g}", *path)


def put(value: str, *path: str | int) -> Change:
    """Put a value at a path, where there was none too."""
    return lambda data: _walk(data, path, lambda _text: value, adds=True)


def put_by(new: Callable[[str], str], *path: str | int) -> Change:
    """Put what `new` makes of the text at a path; where there is none, nothing."""
    return lambda data: _walk(data, path, new, adds=False)


def _walk(at: Any, path: tuple[str | int, ...], new: Callable[[str], str], adds: bool) -> None:
    key, rest = path[0], path[1:]
    keys = (list(at) if isinstance(at, dict) else list(range(len(at)))) if key == "*" else [key]
    for each in keys:
        if rest:
            if isinstance(at, dict) and each not in at:
                continue
            _walk(at[each], rest, new, adds)
        else:
            given = isinstance(at, list) or each in at
            if given or adds:
                at[each] = new(at[each] if given else "")


def drop(*path: str | int) -> Change:
    """Take away the value at a path."""

    def change(data: Data) -> None:
        at: Any = data
        for key in path[:-1]:
            at = at[key]
        at.pop(path[-1], None)

    return change


def later(days: float, *path: str | int) -> Change:
    """Move a time by so many days."""

    def moved(text: str) -> str:
        then = datetime.fromisoformat(text) + timedelta(days=days)
        return then.isoformat().replace("+00:00", "Z")

    return put_by(moved, *path)


def swapped(one: str, other: str, *path: str | int) -> Change:
    """Exchange two keys of every table at a path."""

    def change(data: Data) -> None:
        def swap(at: Any) -> None:
            at[one], at[other] = at[other], at[one]

        _each(data, path, swap)

    return change


def _each(at: Any, path: tuple[str | int, ...], do: Callable[[Any], None]) -> None:
    if not path:
        do(at)
        return
    keys = (list(at) if isinstance(at, dict) else list(range(len(at)))) if path[0] == "*" else [path[0]]
    for key in keys:
        if not isinstance(at, dict) or key in at:
            _each(at[key], path[1:], do)
