"""Coefficients of wind and current: the name of a set that ships with the program, or rows of one's own."""

from typing import Final

from alongside.stay.fields import by_shape, choice, listed, number, rising, row

WIND_SETS: Final = (
    "rule",
    "car_carrier",
    "cargo_loaded",
    "cargo_containers",
    "container_ship",
    "ferry",
    "lng",
    "offshore_supply",
    "passenger",
    "research",
    "tanker_loaded",
    "tanker_ballast",
    "meg2_tanker_loaded",
    "meg2_tanker_ballast",
    "isherwood",
)
"""`rule` is the rule of thumb beam on; then the ship types of Blendermann 1994; the large tankers of OCIMF
MEG2; Isherwood's regression of 1972, which needs more of the ship."""

CURRENT_SETS: Final = ("rule", "meg2_tanker_loaded")
"""`rule` is the form of UFC 4-159-03; the tanker curves are those for a depth of 1.1 draughts."""

ROWS: Final = listed(
    row(angle=number("deg", least=0, most=360), cx=number(), cy=number(), cn=number()),
    rising(lambda row: row[0], "angle of attack"),
    least=2,
)

WIND_COEFFICIENTS: Final = by_shape(choice(*WIND_SETS), ROWS)
CURRENT_COEFFICIENTS: Final = by_shape(choice(*CURRENT_SETS), ROWS)
