"""Every set of coefficients that a stay file may name is one that the mechanics know, and the other way
round."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.coefficients.blendermann import SHIP_TYPES
from alongside.mechanics.current import TANKER, current_formula
from alongside.mechanics.wind import ISHERWOOD, TANKERS, wind_formula
from alongside.stay.coefficients import CURRENT_SETS, WIND_SETS
from alongside.stay.model import CurrentCoefficients, Marks, Ship, WindAreas

AREAS = WindAreas(700.0, 2600.0, 8.0, perimeter_m=230.0)
SHIP = Ship("Invented", 183.0, 176.0, 31.0, 17.0, Marks(172.0, 4.0), {}, {}, wind=AREAS)


def test_names_of_wind_sets() -> None:
    assert set(WIND_SETS) == {"rule", *SHIP_TYPES, *TANKERS, ISHERWOOD}


def test_names_of_current_sets() -> None:
    assert set(CURRENT_SETS) == {"rule", TANKER}


@pytest.mark.parametrize("name", WIND_SETS)
def test_a_beam_wind_pushes_a_ship_of_every_set_sideways(name: str) -> None:
    """By common practice the coefficient abeam lies between 0.6 and 1.1 of the side area."""
    formula = wind_formula(SHIP, replace(AREAS, coefficients=name))
    across = formula(np.radians([90.0]), np.ones(1), np.array([700.0]), np.array([2600.0]))[1]
    assert 0.6 < float(across[0]) / 2600.0 < 1.1


@pytest.mark.parametrize("name", CURRENT_SETS)
def test_a_beam_current_pushes_a_ship_of_every_set_sideways(name: str) -> None:
    formula = current_formula(SHIP, CurrentCoefficients(name))
    _, across, _ = formula(np.radians([90.0]), np.ones(1), np.array([8.0]), np.array([8.8]))
    assert 2.0 < float(across[0]) / (0.0005 * 1025.0 * 8.0 * 176.0) < 3.5


def test_isherwood_without_a_perimeter_is_refused() -> None:
    with pytest.raises(ValueError, match="perimeter"):
        wind_formula(SHIP, replace(AREAS, perimeter_m=None, coefficients="isherwood"))
