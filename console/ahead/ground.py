"""What a look ahead stands on."""

from dataclasses import dataclass

from console.assessment import Rule, rules_of
from console.mechanics.arrangement import Arrangement, arrangement_of
from console.mechanics.usage import Criteria, criteria_of
from console.stay.model import Stay


@dataclass(frozen=True, slots=True)
class Ground:
    """A stay made ready to look ahead with."""

    stay: Stay
    arrangement: Arrangement
    rules: tuple[Rule, ...]
    criteria: Criteria

    @classmethod
    def of(cls, stay: Stay) -> "Ground":
        return cls(stay, arrangement_of(stay), rules_of(stay), criteria_of(stay))
