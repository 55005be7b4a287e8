"""What every computation of a stay rests on, compiled once."""

from dataclasses import dataclass, replace

from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Tide
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.usage import Criteria, criteria_of
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """A stay made ready to compute with, constant through the stay; `tide` None: nothing predicts it."""

    stay: Stay
    arrangement: Arrangement
    rules: tuple[Rule, ...]
    criteria: Criteria
    witnesses: Witnesses
    tide: Tide | None = None
    ahead: bool = False
    """Whether its rules include what the forecast says."""

    @classmethod
    def of(cls, stay: Stay, ahead: bool = False) -> "Basis":
        """Return the basis of a stay; with `ahead` its rules include what the forecast says."""
        tide = Tide.of(stay)
        rules, witnesses = rules_of(stay, ahead), Witnesses.of(stay, tide)
        return cls(stay, arrangement_of(stay), rules, criteria_of(stay), witnesses, tide, ahead)

    def seeking_balance(self) -> "Basis":
        """Return the same with her balance sought, also where the stay file keeps her in place."""
        return replace(self, arrangement=replace(self.arrangement, balanced=True))

    @property
    def watches_holding(self) -> bool:
        """Return whether any rule asks what the lines can hold."""
        return any(rule.cause == "holding" for rule in self.rules)
