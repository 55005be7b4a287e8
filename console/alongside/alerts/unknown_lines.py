"""Lines that nothing is known of: not made fast, without any length that fits, parted.

A gauge that is lost, or a balance that is not found, leaves every line unknown; that is one alert of its own.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Rule
from alongside.mechanics.reasons import NoAnswer, NoLength
from alongside.readings import Codes, Floats
from alongside.stay.making_fast import first_lines_fast
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

NAN: Final = float("nan")
LEVELS: Final = {
    NoLength.NOT_FAST: Stage.CAUTION,
    NoLength.WAITING: Stage.CAUTION,
    NoLength.IMPOSSIBLE: Stage.WARNING,
}
"""Of the alert `not_known`. A line that parted has an alarm of its own; one that was let go asks for nothing:
the watch itself said so."""


def unknown_line_rules(stay: Stay) -> tuple[Rule, ...]:
    return tuple(Rule("not_known", line.id, (NAN, NAN, NAN), line=line.id) for line in stay.lines)


def parted_rules(stay: Stay) -> tuple[Rule, ...]:
    """An alarm: its load has gone to the others."""
    return tuple(Rule("parted", line.id, (NAN, NAN, 1.0), line=line.id, slow=False) for line in stay.lines)


def no_length(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the `NoLength` of each line; NaN where nothing can be said of it: the calculation failed, or
    making fast waits for a reading whose gauge has an alert of its own."""
    codes = _codes(rules, findings)
    value = codes.astype(np.float64)
    if findings.answered is not None:
        answered = findings.answered[:, np.newaxis]
        value[np.broadcast_to(answered == NoAnswer.FAILED, value.shape)] = np.nan
        value[(answered != NoAnswer.ANSWERED) & (codes == NoLength.WAITING)] = np.nan
    return value


def unknown_line_levels(rules: Sequence[Rule], findings: Findings) -> Codes:
    """Return the Stage that the `NoLength` of each line calls for; one that is put out with the first ones is
    still on its way."""
    value = no_length(rules, findings)
    level = np.zeros(value.shape, dtype=np.int8)
    for code, stage in LEVELS.items():
        level[value == code] = stage
    coming = findings.situation.time < first_lines_fast(findings.stay)
    level[coming[:, np.newaxis] & (value == NoLength.NOT_FAST)] = Stage.NORMAL
    return level


def parted(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return 1 for a line that has parted, else 0."""
    has_parted: Floats = (_codes(rules, findings) == NoLength.PARTED).astype(np.float64)
    return has_parted


def _codes(rules: Sequence[Rule], findings: Findings) -> Codes:
    if findings.no_length is None:
        return np.zeros((len(findings), len(rules)), dtype=np.int8)
    codes: Codes = findings.no_length[:, findings.columns(rules)]
    return codes
