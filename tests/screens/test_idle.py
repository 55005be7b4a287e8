"""When the screen goes home by itself: the rule alone, without a screen."""

from collections.abc import Callable
from dataclasses import replace
from math import nan

import pytest

from alongside.alerts.model import Alert, Standing
from alongside.screens.idle import AT_IT_S, HOME_AFTER_S, Idle
from alongside.screens.palettes import PALETTES
from alongside.screens.view import View
from alongside.stay.stage import Stage
from tests.screens import invented

LATER = AT_IT_S + 1.0
"""Nobody is at the screen any more, and it is not yet left for long."""


def view_of(*alerts: Alert, **changes: object) -> View:
    picture = replace(invented.one_warning(), alerts=alerts)
    picture = replace(picture, **changes)  # type: ignore[arg-type]
    return View(picture.stay, PALETTES["day"], picture, picture, part="log")


def alarm(**changes: object) -> Alert:
    warning, *_others = invented.one_warning().alerts
    return replace(warning, stage=Stage.ALARM, standing=Standing.UNACKNOWLEDGED, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("before", "after", "home"),
    [
        ((), (alarm(),), True),
        ((alarm(),), (alarm(),), False),
        ((alarm(),), (alarm(), alarm(subject="other")), True),
        ((), (replace(alarm(), stage=Stage.WARNING),), False),
        ((), (replace(alarm(), standing=Standing.ACKNOWLEDGED),), False),
        ((), (replace(alarm(), suspended=True),), False),
        # Answered before, and worse again: it rings anew.
        ((replace(alarm(), standing=Standing.ACKNOWLEDGED),), (alarm(),), True),
        ((replace(alarm(), stage=Stage.WARNING),), (alarm(),), True),
    ],
)
def test_only_an_alarm_that_begins_to_ring_calls_home(
    before: tuple[Alert, ...], after: tuple[Alert, ...], home: bool
) -> None:
    idle = Idle(0.0)
    assert not idle.goes_home(view_of(*before), "", 0.0)
    assert idle.goes_home(view_of(*after), "", LATER) == home


def test_an_alarm_that_came_to_an_end_calls_home_when_it_comes_again() -> None:
    idle = Idle(0.0)
    for alerts, home in (((alarm(),), True), ((), False), ((alarm(),), True)):
        assert idle.goes_home(view_of(*alerts), "", LATER) == home


def test_an_alarm_that_came_while_somebody_was_at_it_calls_nobody_later() -> None:
    idle = Idle(0.0)
    assert not idle.goes_home(view_of(alarm()), "", AT_IT_S - 1.0)
    assert not idle.goes_home(view_of(alarm()), "", LATER)


@pytest.mark.parametrize(
    "stays",
    [
        lambda: replace(view_of(), part="lines"),
        lambda: view_of(time=nan),
        lambda: view_of(replay=True, paused=True),
        lambda: view_of(exercise=True),
    ],
    ids=["home already", "before the first figures", "stopped replay", "exercise"],
)
def test_what_keeps_the_part_in_sight(stays: Callable[[], View]) -> None:
    assert not Idle(0.0).goes_home(stays(), "", 10.0 * HOME_AFTER_S)


@pytest.mark.parametrize("stays", [{"replay": True}, {"paused": True}, {}])
def test_a_replay_that_runs_and_a_watch_do_not(stays: dict[str, bool]) -> None:
    assert Idle(0.0).goes_home(view_of(**stays), "", HOME_AFTER_S)
    assert not Idle(0.0).goes_home(view_of(**stays), "note_form", HOME_AFTER_S)
