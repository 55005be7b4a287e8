"""Section `berth:`, what the ship lies at. Berth frame throughout."""

from collections.abc import Mapping
from functools import partial
from math import isnan, nan
from typing import Any, Final

from alongside.stay.bollards import Around, bollards_of, on_known_dolphins
from alongside.stay.curves import FENDER_TABLE
from alongside.stay.fender_kinds import KINDS, SPREAD, fender_stiffness, in_words
from alongside.stay.fields import SWITCH, TEXT, Field, choice, force, listed, named, number, row
from alongside.stay.heading import bearing_of_x
from alongside.stay.model import Berth, Beside, Bollard, CurveRows, Fender, Place, Ship, TidePlan
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required

_SECONDS: Final = number("s", above=1, most=3600)
_SHORTEST_LONGEST: Final = row(shortest_s=_SECONDS, longest_s=_SECONDS)


def _periods(node: Node) -> tuple[float, float]:
    shortest, longest = _SHORTEST_LONGEST.read(node)
    if shortest > longest:
        node.fault(f"{shortest:g} s is more than {longest:g} s", "the shortest period first")
    return shortest, longest


PERIODS: Final = Field(_SHORTEST_LONGEST.expected, _periods)
BEARING: Final = number("deg", least=0, most=360)


def _fender(
    x: float,
    stiffness_kn_per_m: float | None = None,
    table: CurveRows = (),
    size: float | None = None,
    kind: float | None = None,
    stiffness_band: float = 0.0,
) -> Fender:
    """`kind` is the stiffness of a fender of that kind and size."""
    if kind is not None:
        return Fender(x, kind, (), SPREAD)
    return Fender(x, stiffness_kn_per_m, table, stiffness_band)


def _kind_of(size: float | None) -> Field[float]:
    """Return the field that reads a fender's kind as its stiffness, kN/m."""
    kind = choice(*KINDS)

    def read(node: Node) -> float:
        name = kind.read(node)
        if name not in KINDS or (size is not None and isnan(size)):
            return nan
        stiffness = fender_stiffness(name, size)
        source = f"{in_words(name, size)}, common practice"
        return node.estimates.note(Guess(node.path, stiffness, SPREAD * stiffness, "kN/m", source))

    return Field(kind.expected, read)


def _size_of_a_kind(node: Node, _fender: Fender) -> None:
    if "size" in node and "kind" not in node:
        node["size"].fault("a size without its kind", f"kind, one of {', '.join(KINDS)}")


FENDER: Final = record(
    _fender,
    exactly_one("stiffness_kn_per_m", "table", "kind"),
    _size_of_a_kind,
    x=required(number("m", least=-5000, most=5000)),
    stiffness_kn_per_m=optional(number("kN/m", above=0), band="stiffness_band"),
    table=optional(FENDER_TABLE),
    size=optional(number("m", least=0.2, most=6)),
    kind=optional(_kind_of, knowing=("size",)),
)

DOLPHIN: Final[Field[dict[str, float]]] = record(dict, swl_kn=required(force(above=0)))


def _berth(heads_of_stay: float | None, side: str, **values: Any) -> Berth:
    """Return the berth of the values read; its +x runs as the ship heads, where nothing else says so."""
    heads = values.get("heads")
    if heads is None:
        heads = heads_of_stay
    turned = nan if heads is None else bearing_of_x(heads, side)
    return Berth(
        values["name"],
        values.get("bearing_of_x", turned),
        values.get("charted_depth"),
        values["bollards"],
        values.get("fenders", ()),
        {name: each["swl_kn"] for name, each in values.get("dolphins", {}).items()},
        values.get("long_waves_s"),
        values.get("floats", False),
    )


def _one_direction(file: str, heads_of_stay: float | None, node: Node, _berth: Berth) -> None:
    """Check that one key says how the berth lies: `heads` only in the stay file itself."""
    if "heads" in node and node.file != file:
        node["heads"].fault(
            "depends on the side she lies on", "bearing_of_x here, or heads at the top of the stay file"
        )
    given = [key for key in ("heads", "bearing_of_x") if key in node]
    if heads_of_stay is not None and given:
        node[given[0]].fault(f"{given[0]} here, and heads at the top of the file", "one of them")
    elif len(given) > 1:
        node["bearing_of_x"].fault("heads and bearing_of_x together", "one of them")
    elif not given and heads_of_stay is None:
        node.missing("bearing_of_x", f"{BEARING.expected}, or heads at the top of the file")


def _dolphins_known(node: Node, berth: Berth) -> None:
    on_known_dolphins(berth.dolphins, berth.bollards, node)


def berth_of(
    file: str,
    alongside: str | None,
    place: Place | None,
    heads: float | None,
    ship: Ship | None,
    tide: TidePlan | None,
    beside: Mapping[str, Beside] | None,
) -> Field[Berth]:
    """Return the field of the berth of a ship that lies so; `heads` is her heading where the top of the stay
    file `file` gives it."""
    side = alongside or "starboard"

    def bollards(
        edge_to_fenders: float | None, pace: float | None, floats: bool | None
    ) -> Field[Mapping[str, Bollard]]:
        if ship is None or place is None:
            raise AssertionError("required keys are read before the berth")
        return bollards_of(Around(side, place, ship, tide, edge_to_fenders, pace, bool(floats), beside or {}))

    return record(
        partial(_berth, heads, side),
        partial(_one_direction, file, heads),
        _dolphins_known,
        name=required(TEXT),
        bearing_of_x=optional(BEARING),
        heads=optional(BEARING),
        charted_depth=optional(number("m", least=-20, most=200)),
        edge_to_fenders=optional(number("m", least=0, most=10)),
        pace=optional(number("m", least=0.4, most=1.5)),
        floats=optional(SWITCH),
        long_waves_s=optional(PERIODS),
        dolphins=optional(named(DOLPHIN)),
        bollards=required(bollards, knowing=("edge_to_fenders", "pace", "floats")),
        fenders=optional(listed(FENDER)),
    )
