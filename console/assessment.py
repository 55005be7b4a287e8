"""Assessment: every cause on every subject held against its limits, at n instants. Stateless; deadband,
delays and all that remembers live in `console.alerts`."""

from dataclasses import dataclass
from enum import IntEnum

from console.readings import Codes, Floats


class Stage(IntEnum):
    """Priorities of IMO bridge alert management, MSC.302(87), without the emergency alarm."""

    NORMAL = 0
    CAUTION = 1
    WARNING = 2
    ALARM = 3

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Rule:
    """One cause on one subject. `subject` is a line id, bollard id, feed name or "" for the ship.

    `limits` are (caution, warning, alarm) in `unit`, NaN where a stage is not used; `sense` +1 when more is
    worse, -1 when less is. `slow` values get the long on-delay for every stage.
    """

    cause: str
    subject: str
    limits: tuple[float, float, float]
    sense: int = 1
    unit: str = ""
    line: str | None = None
    slow: bool = True

    @property
    def key(self) -> tuple[str, str]:
        return self.cause, self.subject


@dataclass(frozen=True, slots=True)
class Assessment:
    """n instants of k rules."""

    time: Floats
    """(n,)"""
    rules: tuple[Rule, ...]
    value: Floats
    """(n, k) in the rule's unit; NaN where not known."""
    level: Codes
    """(n, k) Stage by the limits as they stand."""
    keep: Codes
    """(n, k) Stage that may still be held: by limits eased by the deadband. `level <= keep`."""
