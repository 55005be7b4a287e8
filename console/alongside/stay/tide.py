"""Section `tide:`, what is known of the tide beforehand."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import Any, Final

import yaml

from alongside.errors import WrongInput
from alongside.stay.differences import DIFFERENCES
from alongside.stay.document import LARGEST, MOST_VALUES, read_text
from alongside.stay.fields import NAME, TEXT, TIME, Field, by_shape, distinct, listed, number, rising, row
from alongside.stay.model import Constituent, TideDifferences, TidePlan
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.records import Key, exactly_one, optional, record, required
from alongside.stay.station import Station, plan_of
from alongside.stay.station_file import read_offsets, read_station
from alongside.stay.station_offsets import Offsets
from alongside.stay.still_water import LEVEL, LEVELS, steps_of
from alongside.units import iso_time

CHART_DATUM: Final = "CD"

_TERM: Final = re.compile(r"([-+]?)(?:(\d{1,2})\*|(\d?))([A-Z]{1,4}\d{0,2}[A-Z]?|\d[A-Z]{1,2}\d)", re.ASCII)


def _read_compound(node: Node) -> tuple[tuple[str, int], ...]:
    """`2M2-S2` or `2*M2 - 1*S2`; a constituent whose name begins with a digit needs its factor: `1*2N2`."""
    text = (node.text(COMPOUND.expected) or "").replace(" ", "")
    terms = []
    while text:
        term = _TERM.match(text)
        if term is None:
            node.fault(f"{shown(node.word)} is not a sum of constituents", COMPOUND.expected)
            return ()
        sign, starred, digit, name = term.groups()
        times = int(starred or digit or 1)
        terms.append((name, -times if sign == "-" else times))
        text = text[term.end() :]
        if text and text[0] not in "+-":
            node.fault(f"{shown(node.word)} is not a sum of constituents", COMPOUND.expected)
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
        node.fault(f"{shown(name)} cannot be read ({error.strerror})", "a file beside this one")
        text = None
    if text is not None and text.count(",") + text.count("\n") > MOST_VALUES:
        node.fault(f"{shown(name)} has more than {MOST_VALUES} values", "some hundred constituents")
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


# --- a tide station as open databases publish it


STATION_FILE: Final = Field("the name of a station file, .json or .csv", TEXT.read)

STATION: Final[Field[Mapping[str, str]]] = record(
    dict,
    file=required(STATION_FILE),
    name=optional(NAME),
    reference=optional(STATION_FILE),
    datums=optional(Field("the name of a table of datums", TEXT.read)),
    chart_datum=optional(NAME),
)


def _read_station(node: Node) -> Mapping[str, str]:
    return {"file": STATION_FILE.read(node)} if node.is_scalar else STATION.read(node)


def _read_file(node: Node) -> tuple[Constituent, ...] | Mapping[str, str]:
    """Constituents under our own keys, or a whole station, which the file's first lines tell."""
    name = node.word
    if name.lower().endswith(".json"):
        return {"file": name}
    path = Path(node.file).parent / name
    if name and path.is_file():
        with path.open("rb") as file:
            lines = file.read(LARGEST).decode("utf-8-sig", errors="replace").splitlines()
        head = next((line for line in lines if line.strip() and not line.startswith("#")), "")
        if not set(CONSTITUENT) & {cell.strip() for cell in head.split(",")} - {"name"}:
            return {"file": name}
    return _read_table(node)


def _plan_of_station(node: Node, given: Mapping[str, str], own: Mapping[str, Any]) -> TidePlan:
    """The plan that a station file gives; what is wrong with it is reported at the key that names it. A mean
    level or a way to chart datum in the stay file goes before the station's own."""
    folder = Path(node.file).parent
    try:
        datums = folder / given["datums"] if "datums" in given else None
        offsets = read_offsets(folder / given["file"])
        if offsets is None:
            station = read_station(folder / given["file"], given.get("name"), datums)
        else:
            station = _reference_of(offsets, folder, given, datums)
            own = {"differences": offsets.differences, **own}
        if "mean_level" in own:
            station = replace(station, mean_level=own["mean_level"])
        plan = plan_of(station, given.get("chart_datum"))
    except WrongInput as error:
        wrong, _, expected = str(error).partition("; expected ")
        node.fault(wrong, expected or "a station with constituents, mean level and datums")
        return TidePlan()
    if "chart_datum" not in given and "to_chart_datum" not in own and plan.datum not in ("", CHART_DATUM):
        node.fault(
            f"heights above {plan.datum} are not above chart datum",
            f"chart_datum, one of {', '.join(station.datums) or 'its datums'}, or to_chart_datum in m",
        )
    return replace(plan, **{key: value for key, value in own.items() if key != "mean_level"})


def _reference_of(offsets: Offsets, folder: Path, given: Mapping[str, str], datums: Path | None) -> Station:
    """Return the station that a subordinate one goes by. Raises WrongInput without it, and for another."""
    wanted = f"reference: the file of station {offsets.reference}"
    if "reference" not in given:
        raise WrongInput(f"{given['file']}: a subordinate station, by differences alone; expected {wanted}")
    station = read_station(folder / given["reference"], given.get("name"), datums)
    if station.id != offsets.reference:
        raise WrongInput(f"{given['reference']}: station {station.id or station.name}; expected {wanted}")
    return station


def _tide(
    station: Mapping[str, str] | None = None,
    high_low: tuple[tuple[float, float], ...] = (),
    constituents: tuple[Constituent, ...] | Mapping[str, str] = (),
    **own: Any,
) -> "_Given":
    still = steps_of(own)
    if still:
        return _Given(None, own, TidePlan(levels=still, **own))
    if len(high_low) > 1 and own.get("differences") is not None:
        return _Given(None, own, _by_differences(high_low, **own))
    if isinstance(constituents, Mapping):
        return _Given(constituents, own, TidePlan(high_low, **own))
    return _Given(station, own, TidePlan(high_low, constituents, **own))


def _by_differences(
    high_low: tuple[tuple[float, float], ...],
    differences: TideDifferences,
    to_chart_datum: float = 0.0,
    **own: Any,
) -> TidePlan:
    """The table here, from that of the standard port. Differences are on heights above chart datum."""
    standard = tuple((at, height + to_chart_datum) for at, height in high_low)
    return TidePlan(differences.table(standard), standard=standard, **own)


@dataclass(frozen=True, slots=True)
class _Given:
    """What the section says, before a station file is looked into."""

    station: Mapping[str, str] | None
    own: Mapping[str, Any]
    plan: TidePlan


def _above_chart_datum(node: Node, given: _Given) -> None:
    """Heights of unlike datum never mix: what is measured is above chart datum."""
    own = given.own
    if given.station is None and own.get("datum", CHART_DATUM) != CHART_DATUM and "to_chart_datum" not in own:
        node["datum"].fault(f"heights above {own['datum']} are not above chart datum", "to_chart_datum, m")


def _levels_above_chart_datum(node: Node, _given: _Given) -> None:
    """Levels of a dock stand above chart datum as they are."""
    for key in ("mean_level", "to_chart_datum", "datum"):
        if key in node and ("level" in node or "levels" in node):
            node[key].fault(f"{key} beside the level of a dock", "level or levels above chart datum")


def _on_a_tide(node: Node, given: _Given) -> None:
    """Differences are on a tide, and leave the waters in turn."""
    if "differences" not in node:
        return
    if "level" in node or "levels" in node:
        node["differences"].fault("differences beside the level of a dock", "high_low of the standard port")
    if given.plan.standard:
        rows = given.plan.high_low
        turned = any(
            later <= at or (height - before) * (here_after - here) <= 0.0
            for (at, here), (later, here_after), (_, before), (_, height) in zip(
                rows, rows[1:], given.plan.standard, given.plan.standard[1:], strict=False
            )
        )
        if turned:
            node["differences"].fault(
                "high and low waters here are no longer in turn", "minutes, and m, of this port"
            )


def _alternating(node: Node, rows: tuple[tuple[float, float], ...]) -> None:
    """High and low waters take turns; where two of a kind follow on each other one is missing, and a cosine
    drawn between them would keep the water up."""
    heights = [height for _, height in rows]
    for place in range(1, len(heights) - 1):
        before, here, after = heights[place - 1 : place + 2]
        if before == here == after:
            node[place].fault("waters of one height are no tide", "level: m above chart datum, of a dock")
            break
        if (here - before) * (after - here) >= 0.0:
            node[place].fault(
                f"{here:g} m lies between {before:g} and {after:g} m: a water is missing, or one too many",
                "high and low waters in turn",
            )


def _close(node: Node, rows: tuple[tuple[float, float], ...]) -> None:
    """Where the tide comes twice a day, two waters half a day apart have one missing between them."""
    spans = [after - before for (before, _), (after, _) in pairwise(rows)]
    twice_a_day = len(spans) > 1 and median(spans) < 9 * 3600.0
    for place, span in enumerate(spans, 1):
        if span > (9 if twice_a_day else 18) * 3600.0:
            node[place].fault(f"{span / 3600.0:.1f} h after the water before", "every high and low water")


_SECTION: Final = record(
    _tide,
    exactly_one("high_low", "constituents", "station", "level", "levels"),
    _above_chart_datum,
    _levels_above_chart_datum,
    _on_a_tide,
    high_low=optional(
        listed(
            row(time=TIME, height=number("m", least=-20, most=30)),
            rising(lambda row: row[0], "time", iso_time),
            _alternating,
            _close,
            least=2,
        )
    ),
    constituents=optional(by_shape(Field("the name of a file of constituents", _read_file), CONSTITUENTS)),
    station=optional(Field("a station file, or a table with file", _read_station)),
    level=optional(LEVEL),
    levels=optional(LEVELS),
    differences=optional(DIFFERENCES),
    mean_level=optional(number("m", least=-50, most=50)),
    to_chart_datum=optional(number("m", least=-50, most=50)),
    datum=optional(TEXT),
    source=optional(TEXT),
)


def _read_tide(node: Node) -> TidePlan:
    given = _SECTION.read(node)
    if given.station is None or not given.station.get("file"):
        return given.plan
    named = node["station" if "station" in node else "constituents"]
    return _plan_of_station(named, given.station, given.own)


TIDE: Final = Field(_SECTION.expected, _read_tide)
