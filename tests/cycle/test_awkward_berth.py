"""What a cycle finds on a berth where all is the other way, and in a zone that this machine does not know."""

import numpy as np
import pytest

from alongside.stay.stage import Stage
from alongside.wording.times import clock
from tests.berth import START
from tests.worlds import LEADS_UP, NOT_FAST, SLACK_AND_STEEP, Watched, awkward_stay, readings, watched


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Watched:
    return watched(awkward_stay(tmp_path_factory.mktemp("awkward")))


def alerts_on(seen: Watched, line: str) -> dict[str, Stage]:
    return {
        alert.cause: alert.stage for alert in seen.memory.watchlist.alerts.values() if alert.subject == line
    }


def test_a_line_that_leads_up_steeply_is_an_alarm_that_says_up(seen: Watched) -> None:
    assert alerts_on(seen, LEADS_UP) == {"steep": Stage.ALARM}
    (text,) = [event.text for event in seen.block.events if event.alert == "steep"]
    assert " up " in text
    assert "down" not in text


def test_a_slack_line_is_slack_and_not_steep(seen: Watched) -> None:
    assert alerts_on(seen, SLACK_AND_STEEP) == {"slack": Stage.WARNING}


def test_a_line_that_is_not_made_fast_is_not_known(seen: Watched) -> None:
    assert alerts_on(seen, NOT_FAST) == {"not_known": Stage.CAUTION}
    (text,) = [event.text for event in seen.block.events if event.alert == "not_known"]
    assert text == f"Line {NOT_FAST} not made fast, planned 04 Mar 04:00"


def test_the_picture_has_every_line_and_what_the_set_holds(seen: Watched) -> None:
    picture = seen.picture()
    by_line = {row.id: row for row in picture.lines}
    assert by_line[LEADS_UP].stage == Stage.ALARM
    assert by_line[SLACK_AND_STEEP].stage == Stage.WARNING
    assert np.isnan(by_line[NOT_FAST].tension_kn)
    assert picture.holding is not None
    assert picture.holding.from_deg[picture.holding.weakest] == pytest.approx(340.0, abs=40.0)  # off the quay


def test_a_zone_that_is_not_known_here_is_shown_in_utc(seen: Watched) -> None:
    assert clock(START, seen.basis.stay.display) == "04:00"


def test_a_tide_that_is_lost_leaves_no_line_known(tmp_path_factory: pytest.TempPathFactory) -> None:
    lost = watched(awkward_stay(tmp_path_factory.mktemp("lost")), readings(tide=float("nan")))
    assert np.isnan(lost.block.hold.lines.tension_kn).all()
    assert lost.picture().holding_text
