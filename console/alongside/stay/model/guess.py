"""A value that is an estimate."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Guess:
    """`path` names the value in the stay file, such as `ship.wind.side_m2`; `value` is what serves, in
    `unit`, and may be `spread` more or less; `source` says where it comes from."""

    path: str
    value: float
    spread: float
    unit: str
    source: str

    @property
    def share(self) -> float:
        """Return the spread as a part of the value; infinite for a value of 0."""
        return self.spread / abs(self.value) if self.value else float("inf")
