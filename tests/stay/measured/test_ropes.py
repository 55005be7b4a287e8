"""Ropes by material, construction and the points that are known; fenders by kind. Worked by hand."""

from pathlib import Path

import pytest

from alongside.reports.remarks.all import remarks_of
from alongside.stay.example_curves import example_curves
from alongside.stay.model import Rope, Stay
from alongside.stay.rope_stretch import at_half
from alongside.units import G
from tests.stay.measured.sheet import faults_with, guess_of, stay_with

ROPE = "{kind: synthetic, mbl_kn: 200, curve: [[0, 0], [4, 0.15], [8, 0.4], [14, 1.0]]}"
FENDER = "{x: 30.0, stiffness_kn_per_m: 1000}"


def with_rope(folder: Path, entry: str) -> Stay:
    return stay_with(folder, (ROPE, f"{{{entry}}}"))


def rope(folder: Path, entry: str) -> Rope:
    return with_rope(folder, entry).lines[0].rope


def test_the_shape_of_the_material_through_half_strength(tmp_path: Path) -> None:
    """Example polyester has 9.6 % at half: 12 % is 1.25 times as much, 3.75 at a tenth, 21.25 at break."""
    made = rope(tmp_path, "mbl_kn: 200, material: polyester, stretch: {at_half: 12}")
    assert made.kind == "synthetic"
    assert made.curve[1] == pytest.approx((3.75, 0.10))
    assert made.curve[-1] == pytest.approx((21.25, 1.00))
    assert made.stiffness_band == 0.25


def test_both_points_give_the_power_between_them(tmp_path: Path) -> None:
    """p = ln 0.5 / ln(9/17) = 1.0899: at a tenth of the load 17 x 0.1^(1/1.0899) = 2.055 %."""
    made = rope(tmp_path, "kind: synthetic, mbl_kn: 200, stretch: {at_half: 9, at_break: 17}")
    assert at_half(made.curve) == pytest.approx(9.0)
    assert made.curve[-1] == (17.0, 1.0)
    assert made.curve[1] == pytest.approx((2.055, 0.10), abs=2e-3)


@pytest.mark.parametrize(
    ("material", "whole", "half"), [("polyester", 20.0, 11.0), ("steel", 1.8, 0.9), ("hmpe", 3.4, 1.7)]
)
def test_elongation_at_break_alone(material: str, whole: float, half: float, tmp_path: Path) -> None:
    """0.55 of it at half strength, 0.5 of wire and HMPE; band 30 %: common practice, no source."""
    stay = with_rope(tmp_path, f"mbl_kn: 200, material: {material}, stretch: {{at_break: {whole}}}")
    made = stay.lines[0].rope
    assert at_half(made.curve) == pytest.approx(half)
    assert made.stiffness_band == 0.30
    guess = guess_of(stay, "ropes.polyester.stretch.at_break")
    assert (guess.value, guess.spread) == pytest.approx((half, 0.3 * half))


def test_the_five_points_of_a_certificate(tmp_path: Path) -> None:
    five = "[3.0, 5.0, 6.7, 8.2, 9.6]"
    made = rope(tmp_path, f"kind: synthetic, ldbf_kn: 20 t, stretch: {{at_10_to_50: {five}}}")
    assert made.curve == ((0, 0), (3.0, 0.1), (5.0, 0.2), (6.7, 0.3), (8.2, 0.4), (9.6, 0.5))
    assert made.mbl_kn == pytest.approx(20 * G)


@pytest.mark.parametrize(
    ("entry", "example", "factor"),
    [
        ("material: polyester, construction: eight_strand", "polyester_8", 1.0),
        ("material: polyester, construction: three_strand", "polyester_8", 35 / 45),
        ("material: polyester, construction: double_braid", "polyester_8", 30 / 45),
        ("material: nylon, construction: three_strand", "nylon_tail", 55 / 65),
        ("material: steel", "wire_6x36", 1.0),
        ("material: hmpe, construction: twelve_strand", "hmpe_12", 1.0),
    ],
)
def test_material_and_construction_alone_are_a_guess(
    entry: str, example: str, factor: float, tmp_path: Path
) -> None:
    """Ratios of elongations at break: US Navy training table, read."""
    stay = with_rope(tmp_path, f"mbl_kn: 200, {entry}")
    made = stay.lines[0].rope
    assert at_half(made.curve) == pytest.approx(factor * at_half(example_curves()[example].curve))
    assert made.kind == ("wire" if "steel" in entry else "synthetic")
    assert made.stiffness_band == 0.40
    assert guess_of(stay, "ropes.polyester.stretch").share == pytest.approx(0.40)


def test_a_line_design_break_force_of_nylon_is_of_wet_rope(tmp_path: Path) -> None:
    assert rope(tmp_path, "material: nylon, ldbf_kn: 200").mbl_tested == "wet"
    assert rope(tmp_path, "material: nylon, mbl_kn: 200").mbl_tested == ""


# fmt: off
WRONG = [
    ("kind: wire, mbl_kn: 9, stretch: 12", "stretch: 12 at which load, expected at_half, at_break"),
    ("kind: wire, mbl_kn: 9, stretch: {}", "stretch: no point given"),
    ("kind: wire, mbl_kn: 9, stretch: {at_hlf: 9}", "stretch.at_hlf: unknown key, expected perhaps"),
    ("kind: wire, mbl_kn: 9, stretch: {at_half: 9}", "at_half: the shape of the curve is not known"),
    ("kind: wire, mbl_kn: 9, stretch: {at_half: 1, at_break: 20}", "expected 10 to 15.2 %: per cent or a"),
    ("kind: wire, mbl_kn: 9, stretch: {at_half: 19, at_break: 20}", "19 % at half strength beside 20 %"),
    ("kind: wire, mbl_kn: 9, stretch: {at_10_to_50: [3, 5, 5, 8, 9]}", "at_10_to_50[2]: elongation does not"),
    ("kind: wire, mbl_kn: 9, stretch: {at_10_to_50: [3, 5, 6, 8]}", "at_10_to_50: 4 values"),
    ("kind: wire, mbl_kn: 9", "curve: missing, expected curve or stretch, or at least a material"),
    ("mbl_kn: 200, curve: polyester_8", "kind: missing, expected synthetic or wire"),
    ("kind: wire, mbl_kn: 9, ldbf_kn: 200, curve: polyester_8", "mbl_kn and ldbf_kn together"),
    ("kind: wire, mbl_kn: 9, curve: polyester_8, stretch: {at_break: 9}", "curve and stretch together"),
    ("material: polyester, construction: eightstrand, mbl_kn: 200", "'eightstrand' is not known here"),
]
# fmt: on


@pytest.mark.parametrize(("entry", "words"), WRONG)
def test_what_gives_no_curve_is_refused(entry: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, (ROPE, f"{{{entry}}}"))


def test_a_stretch_that_is_rather_one_at_break_is_remarked(tmp_path: Path) -> None:
    for half, odd in ((9.0, False), (21.0, True), (2.0, True)):
        stay = with_rope(tmp_path, f"mbl_kn: 200, material: polyester, stretch: {{at_half: {half}}}")
        texts = [each.text for each in remarks_of(stay) if each.path == "ropes.polyester.curve"]
        assert any("at break, or another material?" in text for text in texts) is odd


@pytest.mark.parametrize(
    ("entry", "stiffness"),
    [
        ("kind: tyre", 350.0),
        ("kind: cylinder, size: 1.2", 960.0),
        ("kind: cone, size: 1.0", 2800.0 / 1.2),
        ("kind: foam", 600.0),
    ],
)
def test_a_fender_by_kind_and_size(entry: str, stiffness: float, tmp_path: Path) -> None:
    """Common practice, no source, to a factor of two; as stiff as large for one shape."""
    stay = stay_with(tmp_path, (FENDER, f"{{x: 30.0, {entry}}}"))
    fender = stay.berth.fenders[0]
    assert fender.stiffness_kn_per_m == pytest.approx(stiffness)
    assert fender.stiffness_band == 0.50
    assert guess_of(stay, "berth.fenders[0].kind").spread == pytest.approx(stiffness / 2)


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("kind: tire", "'tire' is not known here, expected tyre, cylinder"),
        ("size: 1.0, stiffness_kn_per_m: 900", "size: a size without its kind"),
        ("kind: cone, stiffness_kn_per_m: 900", "stiffness_kn_per_m and kind together"),
        ("kind: cone, size: 12", "'12' is out of bounds"),
    ],
)
def test_what_is_no_kind_of_fender_is_refused(entry: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, (FENDER, f"{{x: 30.0, {entry}}}"))
