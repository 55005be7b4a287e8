"""Why nothing is known of a line: the one place that says whether all lines are known."""

from dataclasses import replace
from math import isnan
from typing import Final

import numpy as np

from alongside.cycle.lengths import Lengths
from alongside.mechanics.reasons import REASONS, NoAnswer, NoLength
from alongside.mechanics.state import Hold
from alongside.readings import Codes, Floats
from alongside.stay.making_fast import times_fast
from alongside.stay.model import Stay
from alongside.wording import names

NO_LIMITS: Final = "no limits in the stay file"
"""Why a line whose load is known has no stage."""


def why_no_length(stay: Stay, lengths: Lengths, unstretched: Floats, time: Floats) -> Codes:
    """Return (n, lines) `NoLength` at n instants through which no line is made fast, from the main rope out
    (n, lines), m, and what is remembered of the lines."""
    begins = np.array(times_fast(stay))
    codes = np.select(
        [
            ~np.isnan(unstretched),
            time[:, None] >= lengths.parted_at(),
            time[:, None] >= lengths.let_go_at(),
            np.broadcast_to(np.array(lengths.fast, dtype=bool), unstretched.shape),
            time[:, None] < begins,
        ],
        [NoLength.KNOWN, NoLength.PARTED, NoLength.LET_GO, NoLength.IMPOSSIBLE, NoLength.NOT_FAST],
        NoLength.WAITING,
    )
    return codes.astype(np.int8)


def with_reasons(stay: Stay, lengths: Lengths, hold: Hold, time: Floats) -> Hold:
    """Return how lines hold with why those without a length have none."""
    return replace(hold, no_length=why_no_length(stay, lengths, hold.lines.unstretched_m, time))


def no_length_after(hold: Hold, lengths: Lengths) -> Codes:
    """Return (lines,) `NoLength` at the last instant of `hold`, with a line that has parted or was let go
    since then."""
    codes = np.where(np.isfinite(lengths.let_go_at()), NoLength.LET_GO, hold.why_no_length()[-1])
    gone = np.isfinite(lengths.parted_at())
    return np.where(gone, NoLength.PARTED, codes).astype(np.int8)


def no_length_at(hold: Hold, row: int, column: int) -> NoLength:
    """Return why a line has no length at one instant. While the calculation fails nothing is said of it."""
    failed = hold.reason[row] == NoAnswer.FAILED
    return NoLength.KNOWN if failed else NoLength(int(hold.why_no_length()[row, column]))


def why_not_known(hold: Hold, row: int, column: int) -> str:
    """Return why a line has no load: `not made fast`, `length not known`, `tide not known`; "" where it has
    one. `row` is the instant and `column` the line, in the arrays of `hold`."""
    if not isnan(hold.lines.tension_kn[row, column]):
        return ""
    why = no_length_at(hold, row, column)
    reason = REASONS[NoAnswer(int(hold.reason[row]))]
    if why is NoLength.WAITING and reason:
        return reason
    return names.no_length(why.name) or reason or "load not known"
