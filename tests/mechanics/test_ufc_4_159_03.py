"""Double-braid nylon of UFC 4-159-03 "Design: Moorings" (2005), Table 6-8, page 128."""

import numpy as np
import pytest

from alongside.mechanics.geometry import leads_of
from alongside.mechanics.series import pull
from tests.mechanics.published import rows
from tests.mechanics.stays import afloat, arranged, inclined, straight

KIP = 4.4482216152605
"""kN in a thousand pounds-force (exact)."""
TABLE = rows("ufc_4_159_03_table_6_8")
WHOLE = [row for row in TABLE if row["break_strength"]]


@pytest.mark.parametrize("row", WHOLE, ids=lambda row: f"{row['diameter']} in")
def test_ae_is_3_54_times_break(row: dict[str, str]) -> None:
    """R1: a line of that rope stretches as the table's AE says: AE / break = 3.54 in every row."""
    broken, ae = float(row["break_strength"]) * KIP, float(row["ae"]) * KIP
    arrangement = arranged(inclined(20.0, 0.0, straight("nylon", broken, ae)))
    path = leads_of(arrangement, afloat()).path
    found = pull(arrangement.series, path, path / 1.10)
    assert found.tension[0, 0] / broken == pytest.approx(0.10 * 3.54, abs=0.10 * 0.005)
    assert found.stiffness[0, 0] * path[0, 0] / 1.10 / broken == pytest.approx(3.54, abs=0.005)


def test_misprinted_row_is_read_from_its_si_column() -> None:
    """R4: 389.4 kips makes the break a whole number of kips, as the rows around it; the printed 417.0 does
    not (that it should is our reading)."""
    ae = float(next(row["ae"] for row in TABLE if row["diameter"] == "1.8"))
    assert ae / 3.54 == pytest.approx(110.0, abs=0.02)
    assert np.abs(417.0 / 3.54 - np.rint(417.0 / 3.54)) > 0.1
