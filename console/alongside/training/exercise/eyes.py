"""What somebody reads who is sent to look: water and draughts as they are, whatever the gauges show."""

from dataclasses import replace
from math import floor, isnan
from typing import Final

import numpy as np

from alongside.actions import ReadByHand
from alongside.feeds.intake import Intake, memory_of_intake
from alongside.feeds.log import FeedLog
from alongside.stay.model import GaugeFault, Stay
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.spoilt_gauges import Spoiler
from alongside.training.exercise.staging import stay_of

BOARD_M: Final = 0.05
"""Tide boards and draught marks are read to this. Common practice, no source."""
TO_A_BOARD: Final = ("tide", "draught", "depth", "freeboard")
"""How the names of channels begin that are read so; others to a tenth."""
OTHER_STEP: Final = 0.1
LOOKS_S: Final = 20.0


def really_read(exercise: Exercise, asked: ReadByHand, at: float) -> ReadByHand | None:
    """Return what is read at a time (UNIX s) of the channels asked for, whatever was typed of them; None
    where the recorded stay knows none of them."""
    no_trouble = tuple(each for each in exercise.injections if not isinstance(each, GaugeFault))
    really = replace(exercise, injections=no_trouble)
    stay, now = _looked_at(stay_of(really)), float(floor(at))
    intake = Intake(stay, Spoiler(really))
    for batch in FeedLog(exercise.log, now - memory_of_intake(stay)):
        intake.take_batch(batch)
        if len(batch) and batch.time[-1] > now:
            break
    readings = intake.readings(np.array([now]))
    figures = [
        (name, float(readings.column(name)[0])) for name, _ in asked.values if name in readings.channels
    ]
    values = tuple((name, _to_step(name, value)) for name, value in figures if not isnan(value))
    return replace(asked, values=values, at=now) if values else None


def _looked_at(stay: Stay) -> Stay:
    """Who looks takes the mean of some waves, not of minutes, as a gauge may."""
    feeds = tuple(
        replace(
            feed,
            channels=tuple(replace(each, smooth_s=min(each.smooth_s, LOOKS_S)) for each in feed.channels),
        )
        for feed in stay.feeds
    )
    return replace(stay, feeds=feeds)


def _to_step(channel: str, value: float) -> float:
    step = BOARD_M if channel.startswith(TO_A_BOARD) else OTHER_STEP
    return round(round(value / step) * step, 2)
