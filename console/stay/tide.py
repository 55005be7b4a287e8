"""Section `tide:`, what is known of the tide beforehand."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Final

import yaml

from console.stay.document import read_text
from console.stay.fields import (
    NAME,
    TEXT,
    TIME,
    Field,
    Key,
    by_shape,
    distinct,
    exactly_one,
    listed,
    number,
    optional,
    record,
    required,
    rising,
    row,
)
from console.stay.model import Constituent, TidePlan
from console.stay.nodes import Node, one_of, shown

_TERM: Final = re.compile(r"([-+]?)(?:(\d{1,2})\*|(\d?))([A-Z]{1,4}\d{0,2}[A-Z]?|\d[A-Z]{1,2}\d)", re.ASCII)


def _read_compound(node: Node) -> tuple[tuple[str, int], ...]:
    """`2M2-S2` or `2*M2 - 1*S2`; a constituent whose name begins with a digit needs its factor: `1*2N2`."""
    text = (node.text(COMPOUND.expected) or "").replace(" ", "")
    terms = []
    while text:
        term = _TERM.match(text)
        if term is None:
            node.fault(f"{shown(node.word)} is no such sum", COMPOUND.expected)
            return ()
        sign, starred, digit, name = term.groups()
        times = int(starred or digit or 1)
        terms.append((name, -times if sign == "-" else times))
        text = text[term.end() :]
        if text and text[0] not in "+-":
            node.fault(f"{shown(node.word)} is no such sum", COMPOUND.expected)
            return ()
    return tuple(terms)


COMPOUND: Final = Field("a sum of constituents such as 2M2-S2", _read_compound)

CONSTITUENT: Final[dict[str, Key]] = {
    "name": required(NAME),
    "amplitude": required(number("m", least=0, most=20)),
    "lag_deg": required(number("deg", least=-360, most=360)),
    "compound": optional(COMPOUND),
}

CONSTITUENTS: Final = listed(record(Constituent, **CONSTITUENT), distinct("name"), least=1)


# --- constituents in a file of their own


def _read_table(node: Node) -> tuple[Constituent, ...]:
    """Constituents from comma-separated values under the keys of a constituent."""
    name = TEXT.read(node)
    path = Path(node.file).parent / name
    try:
        text = read_text(path, node.faults) if name else None
    except OSError as error:
        node.fault(f"{shown(str(path))} cannot be read ({error.strerror})", "a file beside this one")
        text = None
    lines = [] if text is None else _cells_by_line(text)
    if not lines or not _heads_known(lines[0], Node(None, str(path), node.path, node.faults)):
        return ()
    return CONSTITUENTS.read(Node(_as_yaml(lines), str(path), node.path, node.faults))


def _cells_by_line(text: str) -> list[list[yaml.ScalarNode]]:
    """The cells of every line as YAML would have them, each at its own line and column, so that the same
    fields read both. Blank lines and those that begin with `#` are left out."""
    lines = []
    for line, content in enumerate(text.splitlines()):
        if content.strip() and not content.lstrip().startswith("#"):
            cells, column = [], 0
            for cell in content.split(","):
                lead = len(cell) - len(cell.lstrip())
                mark = yaml.Mark("", 0, line, column + lead, None, 0)
                cells.append(yaml.ScalarNode("", cell.strip(), mark, mark))
                column += len(cell) + 1
            lines.append(cells)
    return lines


def _heads_known(heads: list[yaml.ScalarNode], table: Node) -> bool:
    """Whether the first line names keys of a constituent, all that are needed among them."""
    before = len(table.faults)
    for head in heads:
        if head.value not in CONSTITUENT:
            replace(table, raw=head).fault(
                f"unknown column {shown(head.value)}", one_of(CONSTITUENT, head.value)
            )
    for name, key in CONSTITUENT.items():
        if key.needed and name not in {head.value for head in heads}:
            replace(table, raw=heads[0]).fault(f"no column {name}", "name,amplitude,lag_deg[,compound]")
    return len(table.faults) == before


def _as_yaml(lines: list[list[yaml.ScalarNode]]) -> yaml.Node:
    """A list of tables, one for each line after the first; an empty cell is a key left out, one beyond
    the last head a key nobody knows."""
    heads, rows = lines[0], []
    for cells in lines[1:]:
        pairs = [(head, cell) for head, cell in zip(heads, cells, strict=False) if cell.value]
        pairs += [(cell, cell) for cell in cells[len(heads) :]]
        rows.append(yaml.MappingNode("", pairs, cells[0].start_mark, cells[-1].end_mark))
    return yaml.SequenceNode("", rows, heads[0].start_mark, heads[0].end_mark)


TIDE: Final = record(
    TidePlan,
    exactly_one("high_low", "constituents"),
    high_low=optional(
        listed(
            row(time=TIME, height=number("m", least=-20, most=30)),
            rising(lambda row: row[0], "time"),
            least=2,
        )
    ),
    constituents=optional(by_shape(Field("the name of a file of constituents", _read_table), CONSTITUENTS)),
    mean_level=optional(number("m", least=-50, most=50)),
    to_chart_datum=optional(number("m", least=-50, most=50)),
    datum=optional(TEXT),
    source=optional(TEXT),
)
