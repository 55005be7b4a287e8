"""Why nothing is known of a line."""

from math import isnan

from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.mechanics.state import Hold
from alongside.stay.model import Line


def why_not_known(line: Line, hold: Hold, row: int, column: int, time: float) -> str:
    """Return why a line has no load: `not made fast`, `length not known`, `tide not known`; "" where it has
    one. `row` is the instant at `time` and `column` the line, in the arrays of `hold`."""
    if not isnan(hold.lines.tension_kn[row, column]):
        return ""
    reason = NoAnswer(int(hold.reason[row]))
    no_length = isnan(hold.lines.unstretched_m[row, column])
    if no_length and time < line.made_fast.at:
        return "not made fast"
    return REASONS[reason] or ("length not known" if no_length else "load not known")
