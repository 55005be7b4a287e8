"""Key `stretch:` of a rope, its curve by the points that are known of it, each with the load it is at; and
what serves where neither that nor a curve is given."""

from itertools import pairwise
from math import isnan
from typing import Final

from alongside.stay.example_curves import ExampleCurve, example_curves
from alongside.stay.fields import Field, number, row
from alongside.stay.model import CurveRows
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record
from alongside.stay.rope_stretch import (
    BREAK_BAND,
    LIKE_BAND,
    POWER,
    at_half,
    half_from_break,
    like,
    power_of,
    scaled,
    through_break,
    through_certificate,
    through_half,
)

PERCENT: Final = number("%", above=0, most=100)
WHICH: Final = "at_half, at_break or at_10_to_50: at which load the rope stretches so much"
SLIP: Final = "per cent or a fraction, at half or at break?"


def stretch_of(
    material: str | None, construction: str | None, _curve: ExampleCurve | None
) -> Field[ExampleCurve]:
    """Return the field of a rope's points, for one of a material and construction, None where not given."""

    def read(node: Node) -> ExampleCurve:
        if node.is_scalar:
            node.fault(f"{node.word} at which load", WHICH)
            return ExampleCurve("synthetic", (), "", "")
        points = _POINTS.read(node)
        return _curve_of(node, points, material, construction)

    return Field(f"a table with {WHICH}", read)


def by_material(
    material: str | None, construction: str | None, curve: ExampleCurve | None
) -> Field[ExampleCurve | None]:
    """Return the field that makes a curve of material and construction alone, where no curve is given."""

    def read(node: Node) -> ExampleCurve | None:
        if curve is not None or not material:
            return None
        example, source = _example_for(material, construction)
        half = at_half(example)
        served = _note(node, half, LIKE_BAND, f"stretch at half strength by material alone, {source}")
        return ExampleCurve("synthetic", through_half(example, served), source, "practice", LIKE_BAND)

    return Field(WHICH, read)


class _Points(dict[str, object]):
    """What is given of `at_half`, `at_break`, `at_10_to_50` and the band of a guess."""


_POINTS: Final = record(
    _Points,
    at_half=optional(PERCENT, band="band"),
    at_break=optional(PERCENT, band="band"),
    at_10_to_50=optional(row(at_10=PERCENT, at_20=PERCENT, at_30=PERCENT, at_40=PERCENT, at_50=PERCENT)),
)


def _curve_of(node: Node, points: _Points, material: str | None, construction: str | None) -> ExampleCurve:
    half, whole, five = (points.get(key) for key in ("at_half", "at_break", "at_10_to_50"))
    band = points.get("band")
    share = band if isinstance(band, float) else None
    rows: CurveRows = ()
    source = ""
    if isinstance(five, tuple):
        source = "certificate, 10 to 50 % of its break force"
        rows = _certificate(node, five)
        for other in ("at_half", "at_break"):
            node[other].fault(f"{other} and at_10_to_50 together", "one of them: the five points say more")
    elif isinstance(half, float) and isinstance(whole, float):
        source = "elongation at half strength and at break"
        rows = _two_points(node, half, whole)
    elif isinstance(half, float):
        source, rows = _by_half(node, half, material, construction)
    elif isinstance(whole, float):
        source = "elongation at break"
        rows = _by_break(node, whole, material)
        share = BREAK_BAND if share is None else max(share, BREAK_BAND)
    elif node.is_table and not any(key in node for key in ("at_half", "at_break", "at_10_to_50")):
        node.fault("no point given", WHICH)
    return ExampleCurve("synthetic", rows, source, "", share)


def _certificate(node: Node, five: tuple[float, ...]) -> CurveRows:
    if any(map(isnan, five)):
        return ()
    for place, (before, after) in enumerate(pairwise(five), start=1):
        if after <= before:
            node["at_10_to_50"][place].fault("elongation does not rise", f"more than {before:g}")
            return ()
    return through_certificate(five)


def _two_points(node: Node, half: float, whole: float) -> CurveRows:
    power = power_of(half, whole)
    low, high = POWER
    if isnan(half) or isnan(whole):
        return ()
    if not low - 1e-9 <= power <= high:
        least, most = whole * 0.5 ** (1.0 / low), whole * 0.5 ** (1.0 / high)
        node["at_half"].fault(
            f"{half:g} % at half strength beside {whole:g} % at break",
            f"{least:.3g} to {most:.3g} %: {SLIP}",
        )
        return ()
    return through_break(whole, power)


def _by_half(
    node: Node, half: float, material: str | None, construction: str | None
) -> tuple[str, CurveRows]:
    if not material:
        node["at_half"].fault(
            "the shape of the curve is not known", "material beside stretch, or at_break too"
        )
        return "", ()
    example, source = _example_for(material, construction)
    rows = () if isnan(half) else through_half(example, half)
    return f"elongation at half strength; shape: {source}", rows


def _by_break(node: Node, whole: float, material: str | None) -> CurveRows:
    if isnan(whole):
        return ()
    half = half_from_break(whole, material)
    served = _note(node["at_break"], half, BREAK_BAND, "stretch at half strength from that at break")
    return scaled(through_break(whole, power_of(half, whole)), served / half)


def _example_for(material: str, construction: str | None) -> tuple[CurveRows, str]:
    """Return the example curve of a material and construction, and its name in words."""
    found = like(material, construction)
    kind = f"{material} {construction.replace('_', ' ')}" if construction else material
    return scaled(example_curves()[found.example].curve, found.factor), f"example curve of {kind}"


def _note(node: Node, half: float, band: float, source: str) -> float:
    return node.estimates.note(Guess(node.path, half, band * half, "%", f"{source}, practice"))
