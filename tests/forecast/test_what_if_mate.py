"""What a chief mate expects of a what-if, on the recorded examples: hand-written cases (common practice)."""

from functools import cache

import pytest

from alongside.cli.examples import example_log, example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far
from alongside.forecast.present import Present
from alongside.forecast.what_if.answer import WhatIf, what_if
from alongside.forecast.what_if.losses import Effect
from alongside.forecast.what_if.sentences import rows_of, verdict_sentence
from alongside.forecast.what_if.typed import parse_changes
from alongside.forecast.what_if.verdict import Word
from alongside.runtime.log_moment import present_in_log
from alongside.stay.read import read_stay
from alongside.units import unix_time

QUIET = "coal_berth", "2026-03-20T03:30:00Z"
SQUALL = "coal_berth", "2026-03-20T03:56:00Z"
QUAY = "coaster_quay", "2026-06-16T16:00:00Z"
JETTY = "product_jetty", "2026-09-12T08:00:00Z"


@cache
def moment(name: str, at: str) -> tuple[Basis, Present]:
    basis = Basis.of(read_stay(example_stay(name)))
    return basis, present_in_log(basis, example_log(name), unix_time(at))


def answer(when: tuple[str, str], text: str) -> WhatIf:
    basis, present = moment(*when)
    return what_if(basis, present, parse_changes(text, basis.stay), Far(2.0, 900.0, 5))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("when", "text", "expected"),
    [
        (QUIET, "let go 4; let go 5; let go 10; let go 11", "DO NOT: no breast pulls"),
        (QUIET, "slack 4 3", "WORSE: ship off place from"),
        (QUIET, "slack 4 0.7", "EASES, OFF FENDERS EARLIER"),
        (QUIET, "add 15 like 4", "BETTER: lines hold"),
        (SQUALL, "tug 30 t pushing on", "BETTER, NOT ENOUGH: wind"),
        (SQUALL, "tug 30 on; tug 30 on at 150", "BETTER: lines hold"),
        (SQUALL, "tug 30 off", "WOULD NOT HOLD: wind"),
        (SQUALL, "slack 4 3", "DO NOT: "),
        (SQUALL, "let go 4; let go 10", "WOULD NOT HOLD: wind"),
        (SQUALL, "wind 30 from 150", "BETTER: wind"),
        (QUAY, "let go 2; let go 5", "DO NOT: no breast pulls"),
        (QUAY, "slack 2 3", "WORSE: lines hold"),
        (QUAY, "heave 2 1.5", "WOULD PART: line 2 would part"),
        (QUAY, "add 7 like 2", "BETTER: off fenders from"),
        (QUAY, "tide +2", "WOULD NOT HOLD: over a limit in calm"),
        (JETTY, "let go 3; let go 4; let go 9; let go 10", "DO NOT: no breast pulls"),
        (JETTY, "slack 4 3", "WORSE: lines hold"),
        (JETTY, "tug 20 on", "BETTER: lines hold"),
    ],
)
def test_the_verdict_is_what_a_mate_expects(when, text, expected) -> None:
    assert verdict_sentence(answer(when, text)).startswith(expected)


@pytest.mark.slow
def test_what_is_lost_is_marked_row_by_row() -> None:
    rows = {row.label: row for row in rows_of(answer(QUAY, "let go 2; let go 5"))}
    for label in ("Hold, square off", "Hold, weakest", "Off fenders from", "Breasts that pull"):
        assert rows[label].mark == "LOST", label
    assert (rows["Breasts that pull"].before, rows["Breasts that pull"].after) == ("2, 5", "none")
    assert {row.effect for row in rows.values()} <= {Effect.LOST, Effect.SAME}
    slack = {row.label: row for row in rows_of(answer(QUIET, "slack 4 3"))}["Hangs slack"]
    assert (slack.before, slack.after, slack.mark) == ("none", "4", "LOST")


CURES = (Word.BETTER, Word.NOT_ENOUGH, Word.EASES, Word.EARLIER, Word.NO_CHANGE)


@pytest.mark.slow
@pytest.mark.parametrize("when", [QUIET, SQUALL, QUAY, JETTY])
def test_letting_all_breasts_go_is_never_a_cure(when) -> None:
    breasts = [line.id for line in moment(*when)[0].stay.lines if line.role == "breast"]
    assert answer(when, "; ".join(f"let go {line}" for line in breasts)).verdict.word not in CURES


@pytest.mark.slow
@pytest.mark.parametrize("when", [QUIET, SQUALL, QUAY, JETTY])
def test_slacking_any_line_by_three_metres_is_never_a_cure(when) -> None:
    for line in moment(*when)[0].stay.lines:
        found = answer(when, f"slack {line.id} 3")
        assert found.verdict.word not in CURES, verdict_sentence(found)
