"""Which way the ship heads while she lies in place."""

from alongside.stay.model import Stay


def ship_heading(stay: Stay) -> float:
    """True heading, deg, of the ship lying in place: berth +x starboard side to, opposite port side to."""
    turn = 0.0 if stay.alongside == "starboard" else 180.0
    return (stay.berth.bearing_of_x + turn) % 360.0


def bearing_of_x(heads: float, alongside: str) -> float:
    """Return the true direction of berth +x, deg, from the heading of a ship that lies in place: the same
    starboard side to, opposite port side to."""
    return (heads + (0.0 if alongside == "starboard" else 180.0)) % 360.0
