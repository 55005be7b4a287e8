"""A speed as it is typed: `6 kn`, `3,1 m/s`."""

import re

from alongside.errors import WrongInput
from alongside.units import KNOT
from alongside.wording.safe import safe
from alongside.wording.typed_tending import NUMBER, number


def typed_speed(text: str) -> float:
    """Return a speed, m/s. Raise WrongInput with what was expected."""
    match = re.fullmatch(rf"\s*({NUMBER})\s*(kn|m/s)\s*", text, re.IGNORECASE)
    if match is None or not number(match[1]) > 0.0:
        raise WrongInput(f"{safe(text)!r}: no speed, expected a figure above 0 with kn or m/s, such as 6 kn")
    return number(match[1]) * (KNOT if match[2].lower() == "kn" else 1.0)
