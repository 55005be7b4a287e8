"""What a row of a line says of itself: what counts, how near it is to a limit, where it stands in order."""

from dataclasses import replace
from math import isnan, nan

import pytest

from alongside.cycle.line_row import QUIET_BELOW, IfSlipped, LineRow
from alongside.mechanics.reasons import NoLength
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from tests.screens.invented import invented_stay, line_row

ROW = line_row(invented_stay(), 0)


def unknown(code: NoLength) -> LineRow:
    return replace(ROW, stage=None, stages={}, bars={}, no_length=code)


def test_while_a_brake_is_in_question_only_its_own_line_is_asked_about() -> None:
    """The others have figures if it slipped, and nothing that anybody could look at."""
    slipped = IfSlipped(tension_kn=180.0, stretch_share=0.4)
    assert replace(ROW, if_slipped=slipped).asked is None
    own = replace(slipped, ran_out_m=0.24, most_kn=310.0)
    assert replace(ROW, if_slipped=own).asked is own
    assert ROW.asked is None


def test_the_highest_bar_and_none() -> None:
    bars: dict[Cause, float] = {"stretch": 60.0, "steep": 72.0, "slack": nan}
    row = replace(ROW, bars=bars)
    assert (row.worst, row.bar) == ("steep", 72.0)
    nothing = replace(ROW, bars={"stretch": nan})
    assert nothing.worst == ""
    assert isnan(nothing.bar)


@pytest.mark.parametrize(
    ("stage", "bar", "quiet"),
    [
        (Stage.NORMAL, QUIET_BELOW - 0.1, True),
        (Stage.NORMAL, QUIET_BELOW, False),
        (Stage.NORMAL, nan, True),
        (Stage.CAUTION, 10.0, False),
    ],
)
def test_quiet_is_normal_and_far_from_every_limit(stage: Stage, bar: float, quiet: bool) -> None:
    assert replace(ROW, stage=stage, bars={"stretch": bar}).is_quiet == quiet


def test_a_line_of_which_nothing_is_known_is_never_quiet_and_stands_above_all_normal_ones() -> None:
    for code in NoLength:
        row = unknown(code)
        assert not row.is_quiet
        assert row.severity > replace(ROW, stage=Stage.NORMAL).severity or code is NoLength.LET_GO
    assert unknown(NoLength.WAITING).severity < replace(ROW, stage=Stage.CAUTION).severity
    assert unknown(NoLength.PARTED).severity >= Stage.WARNING
