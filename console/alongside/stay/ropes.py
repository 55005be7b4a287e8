"""Section `ropes:`, the kinds of rope in use."""

from collections.abc import Mapping
from dataclasses import replace
from math import nan
from typing import Final, Literal

from alongside.stay.curves import end_slope
from alongside.stay.example_curves import CURVE, KIND, ExampleCurve
from alongside.stay.fields import TEXT, choice, force, named, number
from alongside.stay.model import Rope, RopeKind
from alongside.stay.model.lines import STIFFNESS_BAND
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record
from alongside.stay.rope_stretch import CONSTRUCTIONS, scaled
from alongside.stay.stretch import by_material, stretch_of

WLL_FRACTION: Final[dict[RopeKind, float]] = {"synthetic": 0.50, "wire": 0.55}
"""Working load limit over MBL by default: a flag state's circular on SOLAS II-1/3-8."""

WET_NYLON: Final = 0.85
"""Strength of wet nylon, of that of dry nylon: UFC 4-159-03 "Design: Moorings" (3 Oct 2005), Table 3-7."""

MATERIALS: Final = ("nylon", "polyester", "polypropylene", "mixed", "hmpe", "aramid", "steel")

SHARE_LEFT: Final = number(above=0, most=1)

Condition = Literal["worked_in", "new"]
CONDITION: Final = choice("worked_in", "new")
NEW_IS_SOFTER: Final = 1.2
"""A new rope stretches so many times as much as a worked-in one: Coastal Engineering Manual II-7 has 10.7 %
against 8.85 % at one load."""


def _rope(
    kind: RopeKind | None = None,
    mbl_kn: float = nan,
    ldbf_kn: float | None = None,
    curve: ExampleCurve | None = None,
    stretch: ExampleCurve | None = None,
    wll_fraction: float | None = None,
    allowance_percent: float | None = None,
    source: str | None = None,
    grade: str | None = None,
    certificate: str = "",
    condition: Condition = "worked_in",
    stiffness_band: float | None = None,
    residual_strength: float = 1.0,
    material: str = "",
    construction: str = "",
    mbl_tested: str = "",
    wet_strength: float | None = None,
    weight_kg_per_m: float = 0.0,
) -> Rope:
    known = curve or stretch or ExampleCurve("synthetic", (), "", "")
    of_kind: RopeKind = ("wire" if material == "steel" else "synthetic") if kind is None else kind
    if ldbf_kn is not None:
        mbl_kn, mbl_tested = ldbf_kn, mbl_tested or ("wet" if material == "nylon" else "")
    if stiffness_band is None:
        stiffness_band = STIFFNESS_BAND if known.band is None else known.band
    is_dry_nylon = material == "nylon" and mbl_tested == "dry"
    wet = (WET_NYLON if is_dry_nylon else 1.0) if wet_strength is None else wet_strength
    return Rope(
        name="",
        kind=of_kind,
        mbl_kn=mbl_kn,
        curve=known.curve if condition == "worked_in" else scaled(known.curve, NEW_IS_SOFTER),
        wll_fraction=WLL_FRACTION.get(of_kind, 0.5) if wll_fraction is None else wll_fraction,
        allowance_percent=allowance_percent,
        source=known.source if source is None else source,
        grade=known.grade if grade is None else grade,
        certificate=certificate,
        stiffness_band=stiffness_band,
        residual_strength=residual_strength,
        material=material,
        mbl_tested=mbl_tested,
        weight_kg_per_m=weight_kg_per_m,
        wet_strength=1.0 if mbl_tested == "wet" else wet,
    )


def _with_names(ropes: Mapping[str, Rope]) -> Mapping[str, Rope]:
    return {name: replace(rope, name=name) for name, rope in ropes.items()} or ropes


def _reaches_its_limit(node: Node, rope: Rope) -> None:
    """Refuse a curve that ends level below the working load limit: what it is continued with says nothing of
    the stretch there."""
    short = len(rope.curve) > 2 and rope.curve[-1][1] < rope.wll_fraction and end_slope(rope.curve) <= 0.0
    if short and rope.allowance_percent is None:
        node["curve" if "curve" in node else "stretch"].fault(
            f"ends level at {rope.curve[-1][1]:g} of MBL, below the working load limit",
            f"rows up to {rope.wll_fraction:g}, or allowance_percent",
        )


def _curve_given(node: Node, _rope: Rope) -> None:
    """A curve, or points of it, or a material: one of them says how it stretches; a kind or a material says
    what it works up to."""
    if "curve" in node and "stretch" in node:
        node["stretch"].fault("curve and stretch together", "one of them")
    elif not any(key in node for key in ("curve", "stretch", "material")):
        node.missing("curve", "curve or stretch, or at least a material")
    if "kind" not in node and "material" not in node:
        node.missing("kind", KIND.expected)


ROPE: Final = record(
    _rope,
    exactly_one("mbl_kn", "ldbf_kn"),
    _curve_given,
    _reaches_its_limit,
    kind=optional(KIND),
    material=optional(choice(*MATERIALS)),
    construction=optional(choice(*CONSTRUCTIONS)),
    mbl_kn=optional(force(above=0)),
    ldbf_kn=optional(force(above=0)),
    curve=optional(CURVE),
    stretch=optional(stretch_of, knowing=("material", "construction", "curve"), otherwise=by_material),
    wll_fraction=optional(number(above=0, most=1)),
    allowance_percent=optional(number("%", above=0, most=100)),
    source=optional(TEXT),
    grade=optional(TEXT),
    certificate=optional(TEXT),
    condition=optional(CONDITION),
    stiffness_band=optional(number(least=0, most=0.8)),
    residual_strength=optional(SHARE_LEFT),
    mbl_tested=optional(choice("wet", "dry")),
    wet_strength=optional(SHARE_LEFT),
    weight_kg_per_m=optional(number("kg/m", above=0, most=60)),
)

ROPES: Final = named(ROPE, least=1).then(_with_names)
