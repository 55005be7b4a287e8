"""When a new Picture comes on the screen: figures every 2 s at most, alerts at once."""

import math
from dataclasses import replace

from alongside.alerts.model import Alert
from alongside.cycle.picture import Picture
from alongside.screens.advice_band import without_digits
from alongside.screens.view import View

EVERY_S = 2.0
"""Digits change at most so often: a figure that flickers cannot be read."""


def refreshed(view: View, picture: Picture, due: bool) -> View:
    """Return the View after a Picture came; `due`: the figures on the screen have stood for `EVERY_S`."""
    due = due or math.isnan(view.watch.time)
    if due or _has_other_lines(view.watch, picture) or _has_news(view.watch, picture):
        due = due or picture.speed > 1.0  # figures of 2 s ago are of minutes ago then, and belie the news
        view = replace(view, stay=picture.stay, watch=picture)
    if (due or _has_other_lines(view.figures, picture)) and view.paused_at is None:
        view = replace(view, figures=picture)
    return view


def _has_other_lines(before: Picture, after: Picture) -> bool:
    """Return whether a line was put out, or is not there any more."""
    if before.stay is after.stay:
        return False
    return [line.id for line in before.stay.lines] != [line.id for line in after.stay.lines]


def _has_news(before: Picture, after: Picture) -> bool:
    """Return whether anything but figures changed in what the watch must know."""
    return (
        [_standing(alert) for alert in before.alerts] != [_standing(alert) for alert in after.alerts]
        or before.advice.stage != after.advice.stage
        or without_digits(before.advice.text) != without_digits(after.advice.text)
        or len(before.log) != len(after.log)
        or (before.replay, before.speed, before.paused) != (after.replay, after.speed, after.paused)
        or (before.reading, before.unrecorded, before.record_tried)
        != (after.reading, after.unrecorded, after.record_tried)
        or _kept_by(before) != _kept_by(after)
        or _of_an_exercise(before) != _of_an_exercise(after)
    )


def _kept_by(picture: Picture) -> tuple[object, ...]:
    return (picture.look_only, picture.unkept, picture.can_keep, picture.keeping)


def _of_an_exercise(picture: Picture) -> tuple[object, ...]:
    instructing = picture.instructing
    return picture.told, None if instructing is None else instructing.in_sight


def _standing(alert: Alert) -> tuple[object, ...]:
    return (alert.key, alert.stage, alert.standing, alert.suspended, alert.held)
