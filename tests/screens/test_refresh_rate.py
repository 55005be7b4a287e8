"""Which changes of a Picture come on the screen at once, before the figures are due."""

from dataclasses import replace
from math import nan

import pytest

from alongside.alerts.model import Event, Standing
from alongside.cycle.picture import Advice, Picture, RecordTried
from alongside.screens.palettes import PALETTES
from alongside.screens.refresh_rate import refreshed
from alongside.screens.view import View
from alongside.stay.stage import Stage
from tests.screens import invented

SHOWN = invented.one_warning()
ALERT, *_OTHERS = SHOWN.alerts


def view_of(picture: Picture, **changes: object) -> View:
    return replace(View(picture.stay, PALETTES["day"], picture, picture), **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changes",
    [
        {"alerts": ()},
        {"alerts": (replace(ALERT, standing=Standing.ACKNOWLEDGED),)},
        {"alerts": (replace(ALERT, stage=Stage.ALARM),)},
        {"alerts": (replace(ALERT, suspended=True),)},
        {"alerts": (replace(ALERT, held=True),)},
        {"alerts": (ALERT, replace(ALERT, subject="other"))},
        {"advice": replace(SHOWN.advice, stage=Stage.ALARM)},
        {"advice": replace(SHOWN.advice, text="Heave B1 by 0.80 m")},
        {"log": (*SHOWN.log, Event(SHOWN.time, "note", text="seen"))},
        {"replay": True},
        {"speed": 60.0},
        {"paused": True},
        {"reading": (SHOWN.time, SHOWN.time + 60.0)},
        {"unrecorded": "disk full"},
        {"record_tried": RecordTried(1, 0.003)},
        {"look_only": True},
        {"unkept": True},
        {"can_keep": True},
        {"keeping": "Not done"},
    ],
    ids=lambda changes: "-".join(changes),
)
def test_news_come_at_once_and_figures_when_they_are_due(changes: dict[str, object]) -> None:
    after = replace(SHOWN, tide=9.99, **changes)  # type: ignore[arg-type]
    view = refreshed(view_of(SHOWN), after, due=False)
    assert view.watch is after
    is_fast = after.speed > 1.0
    assert view.figures is (after if is_fast else SHOWN), "no figure is in any of these"


def test_in_a_fast_replay_news_and_figures_are_of_one_moment() -> None:
    """2 s at 60 times the pace are two minutes: wind in the headline and in large digits differed."""
    fast = replace(SHOWN, replay=True, speed=60.0)
    after = replace(fast, tide=9.99, advice=replace(SHOWN.advice, stage=Stage.ALARM))
    assert refreshed(view_of(fast), after, due=False).figures is after
    assert refreshed(view_of(fast), replace(fast, tide=9.99), due=False).figures is fast


@pytest.mark.parametrize(
    "changes",
    [
        {"tide": 9.99},
        {"alerts": (replace(ALERT, value=0.89, text="Line B1 stretch 89 % (limit 85 %)"), *_OTHERS)},
        {"advice": Advice("Slack B1 by 0.85 m: stretch 89 % (limit 85 %)", Stage.WARNING)},
    ],
    ids=lambda changes: "-".join(changes),
)
def test_what_differs_in_figures_alone_waits(changes: dict[str, object]) -> None:
    advice = Advice("Slack B1 by 0.80 m: stretch 88 % (limit 85 %)", Stage.WARNING)
    shown = replace(SHOWN, advice=advice, record_tried=RecordTried(1, 0.003))
    after = replace(shown, **changes)  # type: ignore[arg-type]
    assert refreshed(view_of(shown), after, due=False).watch is shown
    assert refreshed(view_of(shown), after, due=True).figures is after


def test_paused_figures_stand_still_but_for_lines_that_come_or_go() -> None:
    view = view_of(SHOWN, paused_at=SHOWN.time)
    after = replace(SHOWN, tide=9.99)
    view = refreshed(view, after, due=True)
    assert view.watch is after
    assert view.figures is SHOWN


def test_a_line_that_came_is_there_at_once() -> None:
    stay = replace(SHOWN.stay, lines=SHOWN.stay.lines[:-1])
    after = replace(SHOWN, stay=stay, lines=SHOWN.lines[:-1])
    view = refreshed(view_of(SHOWN), after, due=False)
    assert view.stay is stay
    assert view.watch is view.figures is after


def test_the_first_figures_are_there_at_once() -> None:
    nothing = replace(SHOWN, time=nan)
    view = refreshed(view_of(nothing), SHOWN, due=False)
    assert view.watch is view.figures is SHOWN
