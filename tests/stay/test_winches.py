"""What a brake holds by layer and drum, by its test and by design. Published: a test sheet of a split drum of
450 mm with rope of 60 mm, 344 kN on layer 1, radii 255, 315, 375, 435 mm."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.mechanics.arrangement import arrangement_of
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.all import remarks_of
from alongside.reports.remarks.watched import not_watched
from alongside.stay.model import Stay
from alongside.stay.model.winch import layer_radius_mm
from tests.berth import STAY_TEXT, a_stay

SHEET = "brake_kn: 344, drum_mm: 450, rope_mm: 60"
BEFORE = "    W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}\n"


def stay_with(folder: Path, winch: str, ship: str = "") -> Stay:
    row = f"    W1: {{x: 74.0, y: 0.0, z: 9.5{f', {winch}' if winch else ''}}}\n"
    assert BEFORE in STAY_TEXT
    text = STAY_TEXT.replace(BEFORE, row).replace("  depth: 8.0\n", f"  depth: 8.0\n{ship}")
    return a_stay(folder, text)


def holding(stay: Stay) -> float:
    return float(arrangement_of(stay).brake_kn[0])


@pytest.mark.parametrize(("layer", "radius"), [(1, 255.0), (2, 315.0), (3, 375.0), (4, 435.0)])
def test_a_published_sheet(layer: int, radius: float, tmp_path: Path) -> None:
    assert layer_radius_mm(450.0, 60.0, layer) == radius
    stay = stay_with(tmp_path, f"{SHEET}, layer: {layer}")
    assert holding(stay) == pytest.approx(344.0 * 255.0 / radius)


def test_an_undivided_drum_is_stated_on_the_third_layer(tmp_path: Path) -> None:
    assert holding(stay_with(tmp_path, f"{SHEET}, drum: undivided")) == pytest.approx(344.0)
    bare = holding(stay_with(tmp_path, f"{SHEET}, drum: undivided, layer: 1"))
    assert bare == pytest.approx(344.0 * 375.0 / 255.0)


def test_without_a_layer_it_holds_what_is_stated(tmp_path: Path) -> None:
    assert holding(stay_with(tmp_path, SHEET)) == 344.0


def test_a_brake_set_to_a_share_of_the_design(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, "brake_set: 0.60", "  design_mbl_kn: 500\n")
    assert holding(stay) == pytest.approx(300.0)


@pytest.mark.parametrize(
    ("winch", "fault"),
    [
        ("brake_kn: 344, layer: 2", "drum_mm and rope_mm beside it"),
        ("brake_kn: 344, drum_mm: 450", "drum_mm without rope_mm"),
        ("brake_set: 0.6", "ship.design_mbl_kn"),
        ("brake_kn: 344, brake_set: 0.6", "one of them"),
        ("brake_kn: 344, tested: {load_kn: 300}", "at"),
        ("brake_kn: 344, drum: round", "split"),
    ],
)
def test_what_makes_no_brake_is_refused(winch: str, fault: str, tmp_path: Path) -> None:
    with pytest.raises(StayFaults) as refused:
        stay_with(tmp_path, winch)
    assert fault in str(refused.value)


@pytest.mark.parametrize(
    ("winch", "path", "words"),
    [
        ("brake_kn: 344, tested: {at: 2025-02-20T00:00:00Z}", "tested.at", "tested yearly"),
        ("brake_kn: 344, tested: {at: 2027-02-20T00:00:00Z}", "tested.at", "the year?"),
        (f"{SHEET}, tested: {{at: 2026-02-01T00:00:00Z, load_kn: 300}}", "tested.load_kn", "300 kN"),
        (
            f"{SHEET}, tested: {{at: 2026-02-01T00:00:00Z, load_kn: 230, layer: 3}}",
            "tested.load_kn",
            "338 kN",
        ),
    ],
)
def test_remarks_on_tests_of_brakes(winch: str, path: str, words: str, tmp_path: Path) -> None:
    found = [each for each in remarks_of(stay_with(tmp_path, winch)) if "ship.winches" in each.path]
    if words == "338 kN":  # 230 kN on layer 3 are 338 on layer 1: near enough to 344
        assert not [each for each in found if each.path.endswith("load_kn")]
        return
    assert any(each.path == f"ship.winches.W1.{path}" and words in each.text for each in found)


def test_a_brake_without_a_test_is_remarked_where_another_has_one(tmp_path: Path) -> None:
    tested = "brake_kn: 120, tested: {at: 2026-02-01T00:00:00Z}"
    winches = f"{tested}}}\n    W2: {{x: 70.0, y: 0.0, z: 9.5, brake_kn: 120"
    found = [each for each in remarks_of(stay_with(tmp_path, winches)) if each.path == "ship.winches.W2"]
    assert len(found) == 1
    assert "no test" in found[0].text


def test_without_any_test_that_is_not_watched(tmp_path: Path) -> None:
    rows = list(not_watched(Afloat(stay_with(tmp_path, "brake_kn: 120"))))
    assert "age of the brake test of W1: no tested" in rows
