"""Nothing unknown is normal, and what is accepted is not either."""

from dataclasses import replace

import pytest

from alongside.alerts.model import Acceptance
from alongside.cycle.calm_word import calm_word
from alongside.cycle.picture import Advice, Picture
from alongside.mechanics.reasons import NoLength
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.invented import NOW

CALM = replace(invented.normal(), alerts=(), advice=Advice("All normal", Stage.NORMAL))


def without_a_line(code: NoLength, picture: Picture = CALM) -> Picture:
    *known, last = picture.lines
    gone = replace(last, stage=None, stages={}, bars={}, because="", no_length=code)
    return replace(picture, lines=(*known, gone))


def accepted(picture: Picture = CALM) -> Picture:
    acceptance = Acceptance(Stage.CAUTION, 0.8, NOW + 600.0, "cargo", "AB", NOW)
    alert = invented.alert("steep", "B1", Stage.CAUTION, "Line B1 steep", acceptance=acceptance)
    return replace(picture, alerts=(alert,))


@pytest.mark.parametrize("code", [code for code in NoLength if code is not NoLength.LET_GO])
def test_a_line_of_which_nothing_is_known_takes_the_place_of_normal(code: NoLength) -> None:
    assert calm_word(without_a_line(code)) == "unknown"
    assert calm_word(accepted(without_a_line(code))) == "unknown"


def test_one_that_was_let_go_does_not() -> None:
    assert calm_word(CALM) == calm_word(without_a_line(NoLength.LET_GO)) == ""


def test_what_is_accepted_stands_in_its_place_unless_a_deed_is_next() -> None:
    assert calm_word(accepted()) == "accepted"
    deed = Advice("Stand by to slack 4", Stage.NORMAL, large="STAND BY 4")
    assert calm_word(accepted(replace(CALM, advice=deed))) == ""


def test_where_something_is_to_be_done_its_stage_stands() -> None:
    urgent = replace(CALM, advice=Advice("Slack 4", Stage.WARNING, large="SLACK 4"))
    assert calm_word(without_a_line(NoLength.WAITING, urgent)) == ""
