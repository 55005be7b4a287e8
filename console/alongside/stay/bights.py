"""Bights: which lines of the file are parts of one rope."""

from alongside.stay.model import Line
from alongside.stay.nodes import Node, one_of, shown


def parts_of_one_rope(node: Node, lines: tuple[Line, ...]) -> None:
    """Put on the list parts of a bight that cannot be of one rope, or not have one tension."""
    index = {line.id: at for at, line in enumerate(lines)}
    taken: dict[str, str] = {}
    for place, line in enumerate(lines):
        if not line.bight_with:
            continue
        at = node[place]["bight_with"]
        if line.bight_with not in index or line.bight_with == line.id:
            others = [name for name in index if name != line.id]
            at.fault(f"there is no other line {shown(line.bight_with)}", one_of(others, line.bight_with))
            continue
        other = lines[index[line.bight_with]]
        back = taken.get(line.id) == other.id
        if not back and (line.id in taken or other.id in taken):
            at.fault("a third part of a bight", "two lines, one of which names the other")
            continue
        taken |= {line.id: other.id, other.id: line.id}
        _one_rope(node[place], line, other)


def _one_rope(node: Node, line: Line, other: Line) -> None:
    if line.rope != other.rope:
        node["rope"].fault(f"not the rope of line {other.id}", "one rope in both parts of a bight")
    for part, where in ((line, node["tail"]), (other, node["bight_with"])):
        if part.tail is not None:
            where.fault(f"line {part.id} has a tail", "no tail in a bight: rope alone goes round")
    ours, theirs = line.made_fast, other.made_fast
    if (ours.at, ours.tension_kn) != (theirs.at, theirs.tension_kn):
        node["made_fast"].fault(
            f"not made fast as line {other.id}", "one time and one tension: it is one rope"
        )
