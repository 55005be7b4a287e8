"""The water under the keel: at the lowest of her four corners, either perpendicular, either bilge.

    T(x) = Ta + (x - xa) (Tf - Ta) / (xf - xa), at x = 0 (aft perpendicular) and x = Lbp (forward)
    under keel = charted depth + tide - (larger of both T + (B / 2) sin |heel|)

Plain geometry of a box of her length and breadth. The bilge is taken at half her breadth and at both ends,
where a ship is narrower and rounded: no more than this is lost, 0.27 m a degree at a breadth of 31 m. Squat,
swell and hog are not in it.
"""

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats
from alongside.stay.model import Ship


def under_keel_m(
    ship: Ship,
    charted_depth: float,
    tide: ArrayLike,
    draught_fwd: ArrayLike,
    draught_aft: ArrayLike,
    heel_deg: ArrayLike,
) -> Floats:
    """Return the water under the lowest corner of the keel, m; shapes broadcast. `draught_fwd`, `draught_aft`
    at the marks; NaN where any of them is not known."""
    marks, fwd, aft = ship.marks, np.asarray(draught_fwd), np.asarray(draught_aft)
    slope = (fwd - aft) / (marks.fwd - marks.aft)
    at_ap = aft - marks.aft * slope
    at_fp = aft + (ship.lbp - marks.aft) * slope
    bilge = 0.5 * ship.breadth * np.sin(np.radians(np.abs(heel_deg)))
    under: Floats = charted_depth + np.asarray(tide) - (np.maximum(at_ap, at_fp) + bilge)
    return under
