"""Elastic stretch of wire: per cent against load by diameter and construction (a nautical study page), and
a 42 mm wire by its metal area (our arithmetic on a table read)."""

import math

import pytest

from alongside.mechanics.geometry import leads_of
from alongside.mechanics.rope import elongation_pct, rope_curve
from alongside.mechanics.series import pull
from alongside.units import G
from tests.mechanics.published import rows
from tests.mechanics.stays import afloat, arranged, inclined, straight


@pytest.mark.parametrize(
    "row", rows("wire_stretch"), ids=lambda r: f"{r['diameter_mm']} mm {r['construction']}"
)
def test_stretch_in_per_cent_is_load_by_the_table(row: dict[str, str]) -> None:
    """R18: 1 % of stretch takes `tf_per_percent` tonnes-force."""
    tonnes, ea = float(row["tf_per_percent"]), float(row["ea_kn"])
    arrangement = arranged(inclined(40.0, 0.0, straight("wire", 150.0, ea)))
    path = leads_of(arrangement, afloat()).path
    found = pull(arrangement.series, path, path / 1.01)
    assert found.tension[0, 0] / G == pytest.approx(tonnes, abs=1e-5)  # tf
    assert found.stiffness[0, 0] * path[0, 0] / 1.01 == pytest.approx(ea, abs=0.01)  # kN


def test_42_mm_6x36_wire_at_its_working_limit() -> None:
    """R20: metal area factor 0.58, 82.74 GPa: EA 66.5 MN, 0.918 % at 610.5 kN."""
    area_mm2 = 0.58 * math.pi / 4.0 * 42.0**2
    ea_kn = area_mm2 * 82.74
    assert ea_kn / 1e3 == pytest.approx(66.5, abs=0.05)  # MN
    curve = rope_curve(straight("wire", 1110.0, ea_kn).curve)
    assert elongation_pct(curve, 610.5 / 1110.0) == pytest.approx(0.918, abs=5e-4)  # %
