"""The stay file of an exercise that is cut from a stay: one file, without comments, as she was moored."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import yaml

from alongside.errors import Fault, StayFaults, WrongInput
from alongside.reports.learnt_file import learnt_table
from alongside.stay.document import read_text
from alongside.stay.model import ForecastInFile, Line, Stay
from alongside.units import iso_time

SECTIONS: Final = ("ship", "berth", "ropes")
"""What may stand in a file of its own."""
LEFT_OUT: Final = ("standing_orders",)
"""What people wrote to each other."""
OTHER_NAMES: Final = {"name": "Training stay", "ship": "Training ship", "berth": "Training berth"}
COLUMNS: Final = 110
_STR: Final = "tag:yaml.org,2002:str"


def stay_text(
    text: str,
    file: Path,
    written: Stay,
    stay: Stay,
    others: bool,
    forecast: Sequence[ForecastInFile] = (),
) -> tuple[str, tuple[str, ...]]:
    """Return the text of a stay file as she was moored in `stay`, and what was done on deck that it has not.
    `written` is the stay as that file has it; `others`: with other names of ship and berth; `forecast` of the
    wind stands in the place of that of the file. Raises WrongInput for a text that is none, StayFaults for
    one that it names."""
    root = _composed(text, file)
    for name in SECTIONS:
        value = _of(root, name)
        if isinstance(value, yaml.ScalarNode):
            _put(root, name, _named(file.parent / value.value))
    root.value = [(key, value) for key, value in root.value if key.value not in LEFT_OUT]
    for key, value in root.value:
        if key.value not in SECTIONS:
            _with_whole_paths(value, file.parent)
    if forecast:
        rows = [_forecast_row(each) for each in forecast]
        _put(root, "wind_forecast", yaml.SequenceNode("tag:yaml.org,2002:seq", rows, flow_style=False))
    missing = tuple(_as_moored(root, written, stay))
    if others:
        _put(root, "name", _text(OTHER_NAMES["name"]))
        for name in ("ship", "berth"):
            _put(_of(root, name), "name", _text(OTHER_NAMES[name]))
    return str(yaml.serialize(root, Dumper=yaml.SafeDumper, width=COLUMNS, allow_unicode=True)), missing


def _composed(text: str, file: Path) -> Any:
    try:
        root = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        raise WrongInput(f"{file}: no YAML ({error}), expected the stay file of the record") from error
    if not isinstance(root, yaml.MappingNode):
        raise WrongInput(f"{file}: the record has no text of its stay file, expected STAY LOG instead")
    return root


def _named(path: Path) -> Any:
    faults: list[Fault] = []
    try:
        text = read_text(path, faults)
    except OSError as error:
        raise WrongInput(f"{path}: cannot be read ({error.strerror}), the stay file names it") from error
    if text is None:
        raise StayFaults(faults)
    return _composed(text, path)


def _with_whole_paths(node: yaml.Node, folder: Path) -> None:
    """Let what names a file beside the stay file name it from anywhere."""
    stack = [node]
    while stack:
        each = stack.pop()
        if isinstance(each, yaml.MappingNode):
            stack += [value for _, value in each.value]
        elif isinstance(each, yaml.SequenceNode):
            stack += each.value
        elif "." in each.value and len(each.value) < 255 and (folder / each.value).is_file():
            each.value = str((folder / each.value).resolve())


def _as_moored(root: Any, written: Stay, stay: Stay) -> list[str]:
    """Lead lines as they were led, with the ropes that they had; set brakes as they were set; add lines that
    were put out. Return what else is otherwise."""
    rows = {_of(each, "id").value: each for each in _of(root, "lines").value}
    serials = {line.id: line.serial for line in written.lines}
    missing: list[str] = []
    for line in stay.lines:
        row = rows.get(line.id)
        if row is None:
            _of(root, "lines").value.append(_line_row(line))
            continue
        for key in ("fairlead", "bollard"):
            _put(row, key, _text(getattr(line, key)))
        if line.learnt is not None:
            _put(row, "learnt", _composed(learnt_table(line.learnt), Path(stay.file)))
        if line.serial != serials[line.id]:  # a new rope
            _put(row, "rope", _text(line.rope.name))
            _put(row, "serial", _text(line.serial))
            _put(row, "residual_strength", _number(line.rope.residual_strength))
    for name, winch in stay.ship.winches.items():
        if winch != written.ship.winches.get(name) and winch.brake_kn is not None:
            row = _of(_of(_of(root, "ship"), "winches"), name)
            row.value = [(key, value) for key, value in row.value if key.value != "brake_set"]
            _put(row, "brake_kn", _number(winch.brake_kn))
    if stay.tugs:
        missing.append("tugs that were fast")
    if stay.amended and stay.cargo_as_of > 0.0:
        missing.append("cargo that had changed its rate")
    return missing


def _line_row(line: Line) -> yaml.MappingNode:
    values: dict[str, Any] = {
        "id": line.id,
        "role": line.role,
        "fairlead": line.fairlead,
        "bollard": line.bollard,
        "rope": line.rope.name,
    }
    if line.winch is not None:
        values["winch"] = line.winch
    fast = line.made_fast
    made = _table([(_text("at"), _time(fast.at)), (_text("tension_kn"), _number(fast.tension_kn))])
    pairs: list[tuple[yaml.Node, yaml.Node]] = [(_text(key), _text(value)) for key, value in values.items()]
    if line.tail is not None:
        rope, length = _text(line.tail.rope.name), _number(line.tail.length)
        pairs.append((_text("tail"), _table([(_text("rope"), rope), (_text("length"), length)])))
    return _table([*pairs, (_text("made_fast"), made)])


def _forecast_row(each: ForecastInFile) -> yaml.MappingNode:
    pairs = [
        (_text("issued"), _time(each.issued)),
        (_text("at"), _time(each.at)),
        (_text("mean_ms"), _number(each.mean_ms)),
        (_text("over"), _text("30 s")),
        (_text("from_deg"), _number(each.from_deg)),
    ]
    pairs += [(_text("gust_ms"), _number(each.gust_ms))] if each.gust_ms else []
    return _table(pairs)


def _table(pairs: Sequence[tuple[yaml.Node, yaml.Node]]) -> yaml.MappingNode:
    return yaml.MappingNode("tag:yaml.org,2002:map", list(pairs), flow_style=True)


def _of(table: Any, name: str) -> Any:
    return next((value for key, value in table.value if key.value == name), None)


def _put(table: Any, name: str, value: yaml.Node) -> None:
    at = next((at for at, (key, _) in enumerate(table.value) if key.value == name), None)
    if at is None:
        table.value.append((_text(name), value))
    else:
        table.value[at] = (table.value[at][0], value)


def _text(value: str) -> yaml.ScalarNode:
    return yaml.ScalarNode(_STR, value, style=None if value.isidentifier() else '"')


def _number(value: float) -> yaml.ScalarNode:
    return yaml.ScalarNode("tag:yaml.org,2002:float", repr(float(value)))


def _time(value: float) -> yaml.ScalarNode:
    return yaml.ScalarNode("tag:yaml.org,2002:timestamp", iso_time(value))
