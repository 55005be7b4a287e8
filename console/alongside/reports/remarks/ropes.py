"""Remarks on ropes: strength, curve, allowance, working limit."""

from collections.abc import Iterator
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.example_curves import example_curves
from alongside.stay.model import Rope
from alongside.stay.rope_stretch import at_half, like
from alongside.wording.figures import figure, percent_short_of

MBL_KN: Final = (40.0, 3500.0)
HALF_PCT: Final = {"wire": (0.15, 3.0), "synthetic": (0.5, 40.0)}
"""Elongation at half the breaking load, %, by kind of rope."""
WLL_FRACTION: Final = (0.3, 0.6)
BY_MATERIAL: Final = (0.4, 1.8)
"""Elongation at half strength, of that of the example curve of the material."""


def rope_remarks(afloat: Afloat) -> Iterator[Remark]:
    lines = afloat.stay.lines
    mains, tails = {line.rope.name for line in lines}, {line.tail.rope.name for line in lines if line.tail}
    for name, rope in afloat.stay.ropes.items():
        if name in mains | tails:
            yield from _of_rope(f"ropes.{name}", rope)
            yield from _unlike_its_material(f"ropes.{name}", rope)
            yield from _of_strength(f"ropes.{name}", rope)
    for index, line in enumerate(lines):
        parts = [(f"lines[{index}]", line.rope)]
        parts += [(f"lines[{index}].tail", line.tail.rope)] if line.tail else []
        for path, rope in parts:
            kind = afloat.stay.ropes.get(rope.name)
            if kind is not None and rope.residual_strength != kind.residual_strength:
                yield from _retired(path, rope)


def elongation_at(rope: Rope, fraction: float) -> float:
    """Return the elongation in per cent at a fraction of MBL, straight between rows; beyond the last row on
    the line through it from the start."""
    for (e0, f0), (e1, f1) in zip(rope.curve, rope.curve[1:], strict=False):
        if f0 <= fraction <= f1:
            return e0 + (e1 - e0) * (fraction - f0) / (f1 - f0)
    last_e, last_f = rope.curve[-1]
    return last_e * fraction / last_f


def _of_rope(path: str, rope: Rope) -> Iterator[Remark]:
    if outside(rope.mbl_kn, MBL_KN):
        text = f"{figure(rope.mbl_kn, 1)} kN is no usual breaking load of a mooring rope"
        yield Remark(f"{path}.mbl_kn", f"{text}: tonnes, kilograms or newtons?")
    half, whole = elongation_at(rope, 0.5), elongation_at(rope, 1.0)
    low, high = HALF_PCT[rope.kind]
    if half < low:
        text = f"{figure(half, 3)} % at half the breaking load is very little for a {rope.kind} rope"
        yield Remark(f"{path}.curve", f"{text}: fractions instead of per cent?")
    elif half > high:
        text = f"{figure(half, 1)} % at half the breaking load is very much for a {rope.kind} rope"
        yield Remark(f"{path}.curve", f"{text}: elongation at break, or another rope?")
    if rope.curve[-1][1] < 0.3:
        yield Remark(
            f"{path}.curve", f"ends at {figure(rope.curve[-1][1], 2)} of MBL: loads are fractions of MBL"
        )
    if rope.allowance_percent is not None and not 0.2 * half <= rope.allowance_percent <= whole:
        text = f"{figure(rope.allowance_percent, 2)} % beside {figure(half, 1)} % at half the breaking load"
        wrong = "a fraction instead of per cent?" if rope.allowance_percent < half else "beyond the break"
        yield Remark(f"{path}.allowance_percent", f"{text}: {wrong}")
    if outside(rope.wll_fraction, WLL_FRACTION):
        text = f"{figure(rope.wll_fraction, 2)} of the breaking load; usual 0.50, wire 0.55"
        yield Remark(f"{path}.wll_fraction", text)


def _unlike_its_material(path: str, rope: Rope) -> Iterator[Remark]:
    """Elongation at half strength and at break, or another rope's, are easily exchanged."""
    if not rope.material:
        return
    usual, half = half_by_material(rope.material), elongation_at(rope, 0.5)
    if outside(half / usual, BY_MATERIAL):
        beside = f"{rope.material} has some {figure(usual, 1)} %"
        text = f"{figure(half, 1)} % at half the breaking load, where {beside}"
        yield Remark(f"{path}.curve", f"{text}: at break, or another material?")


def half_by_material(material: str) -> float:
    """Return the elongation, %, at half strength of the example curve of a material."""
    known = like(material)
    return at_half(example_curves()[known.example].curve) * known.factor


def _of_strength(path: str, rope: Rope) -> Iterator[Remark]:
    if rope.material == "nylon" and not rope.mbl_tested:
        text = "nylon is weaker wet than dry: was mbl_kn tested wet or dry? Wet is taken"
        yield Remark(f"{path}.mbl_kn", text)
    yield from _retired(path, rope)


def _retired(path: str, rope: Rope) -> Iterator[Remark]:
    if rope.is_spent:
        of_what = "breaking load" if rope.design_mbl_kn is None else "ship design MBL"
        left = percent_short_of(100.0 * rope.of_design, (75.0,))
        text = f"{left} of the {of_what} is left: below 75 % a rope is retired"
        yield Remark(f"{path}.residual_strength", text)
