"""Section `ropes:`, the kinds of rope in use, and the example curves that ship with the program."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final, Literal

from alongside.errors import Fault, StayFaults
from alongside.stay.curves import ROPE_CURVE, end_slope
from alongside.stay.document import read_document
from alongside.stay.fields import TEXT, Field, by_shape, choice, known, named, number
from alongside.stay.model import CurveRows, Rope, RopeKind
from alongside.stay.model.lines import STIFFNESS_BAND
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required

WLL_FRACTION: Final[dict[RopeKind, float]] = {"synthetic": 0.50, "wire": 0.55}
"""Working load limit over MBL by default: a flag state's circular on SOLAS II-1/3-8."""

WET_NYLON: Final = 0.85
"""Strength of wet nylon, of that of dry nylon: UFC 4-159-03 "Design: Moorings" (3 Oct 2005), Table 3-7."""

MATERIALS: Final = ("nylon", "polyester", "polypropylene", "mixed", "hmpe", "aramid", "steel")

SHARE_LEFT: Final = number(above=0, most=1)

EXAMPLES: Final = Path(__file__).parent / "data" / "ropes.yaml"

KIND: Final = choice("synthetic", "wire")

Condition = Literal["worked_in", "new"]
CONDITION: Final = choice("worked_in", "new")
NEW_IS_SOFTER: Final = 1.2
"""A new rope stretches so many times as much as a worked-in one: Coastal Engineering Manual II-7 has 10.7 %
against 8.85 % at one load."""


@dataclass(frozen=True, slots=True)
class ExampleCurve:
    """A curve that ships with the program, and how far to trust it."""

    kind: RopeKind
    curve: CurveRows
    source: str
    grade: str


EXAMPLE: Final = record(
    ExampleCurve,
    kind=required(KIND),
    source=required(TEXT),
    grade=required(choice("read", "practice", "memory")),
    curve=required(ROPE_CURVE),
)


@cache
def example_curves() -> Mapping[str, ExampleCurve]:
    """The example curves by name."""
    faults: list[Fault] = []
    examples = named(EXAMPLE, least=1).read(read_document(EXAMPLES, faults))
    if faults:
        raise StayFaults(faults)
    return examples


def _example(node: Node) -> ExampleCurve:
    examples = example_curves()
    name = known(examples, "example curve").read(node)
    return examples.get(name, ExampleCurve("synthetic", (), "", ""))


def _own(rows: CurveRows) -> ExampleCurve:
    return ExampleCurve("synthetic", rows, "", "")


def _rope(
    kind: RopeKind,
    mbl_kn: float,
    curve: ExampleCurve,
    wll_fraction: float | None = None,
    allowance_percent: float | None = None,
    source: str | None = None,
    grade: str | None = None,
    certificate: str = "",
    condition: Condition = "worked_in",
    stiffness_band: float = STIFFNESS_BAND,
    residual_strength: float = 1.0,
    material: str = "",
    mbl_tested: str = "",
    wet_strength: float | None = None,
    weight_kg_per_m: float = 0.0,
) -> Rope:
    is_dry_nylon = material == "nylon" and mbl_tested == "dry"
    wet = (WET_NYLON if is_dry_nylon else 1.0) if wet_strength is None else wet_strength
    return Rope(
        name="",
        kind=kind,
        mbl_kn=mbl_kn,
        curve=curve.curve if condition == "worked_in" else _as_new(curve.curve),
        wll_fraction=WLL_FRACTION.get(kind, 0.5) if wll_fraction is None else wll_fraction,
        allowance_percent=allowance_percent,
        source=curve.source if source is None else source,
        grade=curve.grade if grade is None else grade,
        certificate=certificate,
        stiffness_band=stiffness_band,
        residual_strength=residual_strength,
        material=material,
        mbl_tested=mbl_tested,
        weight_kg_per_m=weight_kg_per_m,
        wet_strength=1.0 if mbl_tested == "wet" else wet,
    )


def _as_new(curve: CurveRows) -> CurveRows:
    return tuple((elongation * NEW_IS_SOFTER, load) for elongation, load in curve)


def _with_names(ropes: Mapping[str, Rope]) -> Mapping[str, Rope]:
    return {name: replace(rope, name=name) for name, rope in ropes.items()} or ropes


CURVE: Final = by_shape(Field("the name of an example curve", _example), ROPE_CURVE.then(_own))


def _reaches_its_limit(node: Node, rope: Rope) -> None:
    """Refuse a curve that ends level below the working load limit: what it is continued with says nothing of
    the stretch there."""
    short = len(rope.curve) > 2 and rope.curve[-1][1] < rope.wll_fraction and end_slope(rope.curve) <= 0.0
    if short and rope.allowance_percent is None:
        node["curve"].fault(
            f"ends level at {rope.curve[-1][1]:g} of MBL, below the working load limit",
            f"rows up to {rope.wll_fraction:g}, or allowance_percent",
        )


ROPE: Final = record(
    _rope,
    _reaches_its_limit,
    kind=required(KIND),
    mbl_kn=required(number("kN", above=0)),
    curve=required(CURVE),
    wll_fraction=optional(number(above=0, most=1)),
    allowance_percent=optional(number("%", above=0, most=100)),
    source=optional(TEXT),
    grade=optional(TEXT),
    certificate=optional(TEXT),
    condition=optional(CONDITION),
    stiffness_band=optional(number(least=0, most=0.8)),
    residual_strength=optional(SHARE_LEFT),
    material=optional(choice(*MATERIALS)),
    mbl_tested=optional(choice("wet", "dry")),
    wet_strength=optional(SHARE_LEFT),
    weight_kg_per_m=optional(number("kg/m", above=0, most=60)),
)

ROPES: Final = named(ROPE, least=1).then(_with_names)
