"""An exercise as it was really given: its file, and what an instructor did beside, as a file of its own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import yaml

from alongside.errors import Fault, StayFaults
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import EXERCISE
from alongside.stay.document import read_text
from alongside.stay.nodes import Node

Plain = Mapping[str, Any]
"""An injection, a mark or a freeze by the keys of the file: texts and numbers."""
SECTION: Final = "instructor"
PATHS: Final = ("stay", "log")
COLUMNS: Final = 110
_YAML: Final = "tag:yaml.org,2002:"


@dataclass(frozen=True, slots=True)
class Given:
    """What an instructor did beside the file, in the order in which it was done."""

    injections: tuple[Plain, ...] = ()
    marks: tuple[Plain, ...] = ()
    freezes: tuple[Plain, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.injections or self.marks or self.freezes)

    @property
    def lists(self) -> dict[str, tuple[Plain, ...]]:
        """Return what there is, by its key in the file."""
        lists = {"injections": self.injections, "marks": self.marks, "freezes": self.freezes}
        return {key: value for key, value in lists.items() if value}


def node_of(plain: Plain, faults: list[Fault]) -> Node:
    """Return an injection as a file would have it, to be read as one: what is wrong goes to `faults`. Raise
    ValueError for what no file could have."""
    try:
        text = yaml.serialize(_raw(plain), Dumper=yaml.SafeDumper, allow_unicode=True)
    except (TypeError, yaml.YAMLError) as wrong:
        raise ValueError(f"no keys and values: {wrong}") from wrong
    return Node(yaml.compose(text, Loader=yaml.SafeLoader), "", "", faults)


def write_given(file: str, given: Given, to: Path) -> None:
    """Write the exercise of `file` with what was given beside, to be read from any folder. Its comments are
    left out. Raises WrongInput where there is a file already, StayFaults where `file` is none any more."""
    with Outputs() as outputs:
        outputs.folder(to.parent)
        outputs.text(to, EXERCISE).write(given_text(Path(file), given))


def given_text(path: Path, given: Given) -> str:
    """Return the text of the exercise file at `path` with what was given beside it."""
    faults: list[Fault] = []
    text = read_text(path, faults)
    root = None if text is None else yaml.compose(text, Loader=yaml.SafeLoader)
    if faults or not isinstance(root, yaml.MappingNode):
        raise StayFaults(faults or [Fault(str(path), 1, 1, "", "expected an exercise file")])
    for key, value in root.value:
        if key.value in PATHS:
            value.value = str(Path(path.parent, value.value).resolve())
    if given:
        section = _in(root, SECTION, yaml.MappingNode(f"{_YAML}map", [], flow_style=False))
        for key, rows in given.lists.items():
            known = _in(section, key, yaml.SequenceNode(f"{_YAML}seq", [], flow_style=False))
            known.value += [_raw(each) for each in rows]
    return str(yaml.serialize(root, Dumper=yaml.SafeDumper, width=COLUMNS, allow_unicode=True))


def _in(table: yaml.MappingNode, name: str, otherwise: Any) -> Any:
    """Return what stands under a key of a table; where there is nothing, `otherwise`, which then does."""
    known = next((value for key, value in table.value if key.value == name), None)
    if known is not None:
        known.flow_style = False
        return known
    table.value.append((_raw(name), otherwise))
    return otherwise


def _raw(value: Any) -> yaml.Node:
    """Return a plain value as YAML has it. Each text stands quoted, but for names: `no` and `12:30` are
    texts."""
    if isinstance(value, Mapping):
        pairs = [(_raw(str(key)), _raw(each)) for key, each in value.items()]
        return yaml.MappingNode(f"{_YAML}map", pairs, flow_style=True)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return yaml.SequenceNode(f"{_YAML}seq", [_raw(each) for each in value])
    if isinstance(value, str):
        plain = value.isidentifier() and yaml.SafeLoader.yaml_implicit_resolvers.get(value[0]) is None
        return yaml.ScalarNode(f"{_YAML}str", value, style=None if plain else '"')
    return yaml.ScalarNode(f"{_YAML}float", f"{float(value)!r}")
