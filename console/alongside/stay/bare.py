"""A stay that is nothing but one feed, to listen to a port that is in no stay file yet."""

from alongside.stay.model import Berth, Feed, Marks, Place, Ship, Stay

NAME = "gauge"
"""Of the feed, and of whatever else must have one."""


def bare_stay(port: str) -> Stay:
    """Return a stay with a feed on a port, without channels; nothing else in it means anything."""
    ship = Ship(NAME, 1.0, 1.0, 1.0, 1.0, Marks(1.0, 0.0), {}, {})
    berth = Berth(NAME, 0.0, None, {})
    return Stay(NAME, "", "starboard", Place(0.0, 0.0), ship, berth, {}, (), (Feed(NAME, port, ()),))
