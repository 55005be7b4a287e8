"""A stay file with what was learnt of its lines: the text as it was, with a key `learnt` at each of them."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from alongside.errors import StayFaults, WrongInput
from alongside.stay.model import Learnt
from alongside.stay.read import read_stay_text

KEY = "learnt"


def with_learnt_keys(text: str, learnt: Mapping[str, Learnt], path: Path) -> str:
    """Return the text of a stay file that is to stand in `path`, with what was learnt of lines by their ids.
    Raises WrongInput where the text is no stay file there: of files that it names beside it, for instance."""
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    for start, end, new in sorted(_edits(root, learnt), reverse=True):
        text = text[:start] + new + text[end:]
    try:
        written = {line.id: line.learnt for line in read_stay_text(text, path).lines}
    except StayFaults as error:
        why = f"{path}: would be no stay file there ({error.faults[0]}), expected it beside the old one"
        raise WrongInput(why) from error
    missing = [line for line in learnt if written.get(line) is None]
    if missing:
        raise WrongInput(f"{path}: line {missing[0]} has no row of its own in the stay file, expected one")
    return text


def _edits(root: Any, learnt: Mapping[str, Learnt]) -> list[tuple[int, int, str]]:
    """Return what is put where: from, to, text."""
    lines = next((value for key, value in root.value if key.value == "lines"), None)
    edits: list[tuple[int, int, str]] = []
    for row in [] if lines is None else lines.value:
        keys = {key.value: (key, value) for key, value in row.value}
        of_line = learnt.get(keys["id"][1].value) if "id" in keys else None
        if of_line is None:
            continue
        table = learnt_table(of_line)
        if KEY in keys:
            value = keys[KEY][1]
            edits.append((value.start_mark.index, value.end_mark.index, table))
            continue
        first = row.value[0][0].start_mark
        gap = ", " if row.flow_style else "\n" + " " * first.column
        edits.append((first.index, first.index, f"{KEY}: {table}{gap}"))
    return edits


def learnt_table(learnt: Learnt) -> str:
    """Return what was learnt of a line as the stay file has it."""
    parts = [f"stiffness: {learnt.stiffness:.4f}", f"stiffness_band: {learnt.stiffness_band:.4f}"]
    parts.append(f"more_m: {learnt.more_m:.4f}")
    if learnt.at_kn is not None:
        parts += [f"at_kn: {learnt.at_kn:.2f}", f"load_band: {learnt.load_band:.4f}"]
    quoted = learnt.source.replace("\\", "").replace('"', "'")
    parts.append(f'source: "{quoted}"')
    return f"{{{', '.join(parts)}}}"
