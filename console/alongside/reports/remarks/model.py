"""A remark on one value."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """`path` names the value, such as `ship.wind.side_m2`; `text` says what is odd, and what may be meant."""

    path: str
    text: str
