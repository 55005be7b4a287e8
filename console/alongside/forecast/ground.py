"""What a look ahead stands on."""

from dataclasses import dataclass

from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.usage import Criteria, criteria_of
from alongside.stay.model import Stay


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
