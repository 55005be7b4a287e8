"""Assessment: every cause on every subject held against its limits, at n instants.

Stateless: deadband as a second threshold is reckoned here, but delays and all that remembers live in
`console.alerts`. To add a cause: a `Cause` in `console.assessment.causes` and its place in `CAUSES`.
"""

from console.assessment.assess import assess, changed_rows, line_levels
from console.assessment.causes import CAUSES, Cause, rules_of
from console.assessment.findings import Findings
from console.assessment.model import Assessment, Foreseen, Rule, Soon, Stage

__all__ = [
    "CAUSES",
    "Assessment",
    "Cause",
    "Findings",
    "Foreseen",
    "Rule",
    "Soon",
    "Stage",
    "assess",
    "changed_rows",
    "line_levels",
    "rules_of",
]
