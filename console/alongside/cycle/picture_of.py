"""From the last instant of a block to the Picture."""

from collections.abc import Sequence
from dataclasses import replace
from math import nan

import numpy as np

from alongside.alerts.assess import stages_at
from alongside.alerts.model import Alert, Event, Watchlist
from alongside.alerts.order import groups_of, worst_first
from alongside.alerts.step import sounding
from alongside.alerts.text import NO_ONSET, describe
from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.doubtful import BEARS_LINES
from alongside.cycle.advice.movers import Movers
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.standing_rounds import stood_by, without_rounds
from alongside.cycle.advice.trial import Trial, winds_to_meet
from alongside.cycle.block import Block
from alongside.cycle.brakes.by_load_cell import Cells
from alongside.cycle.chart_history import Past
from alongside.cycle.facts_now import facts_now, watchlist_now
from alongside.cycle.gauge_samples import present_at
from alongside.cycle.guard import Guard
from alongside.cycle.line_row import LineRow
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Advice, FeedRow, FenderRow, History, OtherFigures, Picture
from alongside.cycle.picture_rows import channel_rows, fender_rows, line_rows
from alongside.cycle.plausibility.believed import tide_residual
from alongside.cycle.readings_needed import only_at_an_end, unmeasured
from alongside.cycle.trends import (
    TIDE_RATE_S,
    TREND_S,
    channel_rate,
)
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import known_forecast
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.model import Forecast
from alongside.readings import Quality
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

NO_FIGURES = "no figures yet"


def blank_picture(stay: Stay) -> Picture:
    """The Picture before the first: nothing is known."""
    lines = tuple(
        LineRow(line.id, line.role, *(nan,) * 12, stage=None, trend_per_h=nan, why=NO_FIGURES)
        for line in stay.lines
    )
    return Picture(
        time=nan,
        stay=stay,
        tide=nan,
        tide_rate=nan,
        draught_fwd=nan,
        draught_aft=nan,
        heel_deg=nan,
        trim=nan,
        surge=nan,
        sway=nan,
        yaw_deg=nan,
        wind_ms=nan,
        wind_gust_ms=nan,
        wind_from_deg=nan,
        quality=Quality.LOST,
        lines=lines,
        fenders=tuple(FenderRow(fender.x, nan, nan) for fender in stay.berth.fenders),
        channels=(),
        feeds=(),
        alerts=(),
        groups=(),
        log=(),
        history=History(np.empty(0), {}),
        advice=Advice("Waiting for the first figures", Stage.CAUTION, large="CHECKING"),
        sound=Stage.NORMAL,
    )


def picture_of(
    basis: Basis,
    block: Block,
    memory: Memory,
    past: Past,
    feeds: Sequence[FeedRow],
    log: Sequence[Event],
    forecast: Forecast | None = None,
    guard: Guard | None = None,
    learnt: tuple[LineFound, ...] = (),
) -> Picture:
    """Return the Picture at the last instant of a block. Words and advice that fail are plain ones; without a
    `guard` their faults are raised."""
    guard = Guard(strict=True) if guard is None else guard
    row = len(block.readings) - 1
    watchlist = watchlist_now(basis, memory, block, guard)
    scene = _scene(basis, block, memory, past, watchlist, feeds, log, forecast, learnt, guard)
    advice = guard.run("advice", lambda: advise(scene), lambda: no_advice(scene.alerts))
    return replace(
        _figures(block, row, scene, advice),
        fenders=fender_rows(basis, block, row),
        groups=groups_of(watchlist, block.due),
        log=tuple(log),
        history=past.history(),
        sound=sounding(watchlist, scene.now),
        residual=float(tide_residual(basis.witnesses, block.readings.rows(row, row + 1))[0]),
        doubts=block.doubts,
        present=present_at(block, memory, stay=basis.stay),
        deck=memory.lengths.deck,
        other_deeds=memory.lengths.other_deeds,
        by_witnesses=_other_figures(block, row),
        by_hand=memory.by_hand,
        watchkeeping=memory.watchkeeping,
        decisions=block.decisions,
        due=block.due or (),
        decided=memory.decided,
        learnt=learnt,
    )


def _scene(
    basis: Basis,
    block: Block,
    memory: Memory,
    past: Past,
    watchlist: Watchlist,
    feeds: Sequence[FeedRow],
    log: Sequence[Event],
    forecast: Forecast | None,
    learnt: Sequence[LineFound],
    guard: Guard,
) -> Scene:
    """Return what advice looks at, at the last instant of a block."""
    row = len(block.readings) - 1
    trial = _trial(basis, block, memory, past)
    forecast = guard.run("advice", lambda: stood_by(forecast, trial), lambda: without_rounds(forecast))
    by_eye = unmeasured(basis, block)
    return Scene(
        stay=basis.stay,
        now=float(block.situation.time[row]),
        lines=line_rows(basis, block, memory, past, row, guard),
        alerts=worst_first(watchlist, block.due),
        channels=channel_rows(basis, block.readings, row),
        feeds=tuple(feeds),
        tide_rate=channel_rate(past, block.readings, "tide", TIDE_RATE_S),
        draught_rate=_draught_rate(past, block),
        surge=float(block.hold.pose.surge[row]),
        sway=float(block.hold.pose.sway[row]),
        forecast=forecast,
        due=block.due or (),
        stages=stages_at(block.assessment, row),
        unproved=memory.plausibility.unproved and _has_gauges(basis.stay),
        wind_text=guard.run("advice", lambda: _wind_text(basis, memory, block), lambda: ""),
        trial=trial,
        movers=Movers(basis, trial.situation, trial.lengths, past.history(), log),
        by_hand=memory.by_hand,
        offered=frozenset(each.line for each in learnt if each.learnt is not None),
        unmeasured=by_eye,
        only_at_an_end=guard.run("advice", lambda: only_at_an_end(basis, block), frozenset)
        if by_eye
        else frozenset(),
    )


def _has_gauges(stay: Stay) -> bool:
    """Whether any feed gives what lines rest on: without one nothing is to be judged by its witnesses."""
    return any(source.channel in BEARS_LINES for feed in stay.feeds for source in feed.channels)


def _wind_text(basis: Basis, memory: Memory, block: Block) -> str:
    """Return the wind against what is held in words, whatever it was before; "" where no rule asks."""
    words = describe(facts_now(basis, memory, block))
    at = next((at for at, rule in enumerate(basis.rules) if rule.cause == "holding"), None)
    return "" if at is None else words(at, Stage.WARNING, NO_ONSET)


def _trial(basis: Basis, block: Block, memory: Memory, past: Past) -> Trial:
    """Return what deeds are tried on: the last instant, and the winds to be met."""
    last = len(block.situation) - 1
    here = block.situation.rows(last, last + 1)
    cells = Cells.of(basis.stay, basis.arrangement, block.readings.rows(last, last + 1)).measured_kn[0]
    return Trial(
        basis,
        here,
        memory.lengths.unstretched,
        winds_to_meet(
            here, past.history(), known_forecast(basis.stay, memory.wind_forecast, float(here.time[0]))
        ),
        memory.lengths.brakes.slipped,
        None if np.isnan(cells).all() else cells,
    )


def _figures(block: Block, row: int, scene: Scene, advice: Advice) -> Picture:
    """Return a Picture with the figures of one instant, without past and fenders."""
    situation, pose = block.situation, block.hold.pose
    return replace(
        blank_picture(scene.stay),
        time=scene.now,
        tide=float(situation.tide[row]),
        tide_rate=scene.tide_rate,
        draught_fwd=float(situation.draught_fwd[row]),
        draught_aft=float(situation.draught_aft[row]),
        heel_deg=float(situation.heel_deg[row]) if situation.heel_measured else nan,
        trim=float(situation.draught_aft[row] - situation.draught_fwd[row]),
        surge=scene.surge,
        sway=scene.sway,
        yaw_deg=float(np.degrees(pose.yaw[row])),
        wind_ms=float(situation.wind_speed[row]),
        wind_gust_ms=float(situation.wind_gust[row]) if "wind_gust" in block.readings.channels else nan,
        wind_from_deg=float(situation.wind_from[row]),
        quality=Quality(int(situation.quality[row])),
        lines=tuple(scene.lines),
        channels=tuple(scene.channels),
        feeds=tuple(scene.feeds),
        alerts=tuple(scene.alerts),
        advice=advice,
        forecast=scene.forecast,
        stages=scene.stages,
    )


def _other_figures(block: Block, row: int) -> OtherFigures | None:
    other = block.others.by_witnesses
    if other is None or not block.doubts:
        return None
    states = other.hold
    pose, lines = states.pose, states.lines
    return OtherFigures(
        tide=float(pose.tide[row]),
        draught_fwd=float(pose.draught_fwd[row]),
        draught_aft=float(pose.draught_aft[row]),
        heel_deg=float(pose.heel_deg[row]),
        stretch_share=tuple(lines.stretch_share[row].tolist()),
        tension_kn=tuple(lines.tension_kn[row].tolist()),
    )


def no_advice(alerts: Sequence[Alert]) -> Advice:
    """Where advice failed: no deed is named, and the stage is that of the worst alert, a caution at least."""
    stage = max((alert.active_stage for alert in alerts), default=Stage.CAUTION)
    return Advice(
        "Check lines by eye, go by the alerts: no advice, it failed",
        max(stage, Stage.CAUTION),
        large="CHECK LINES",
    )


def _draught_rate(past: Past, block: Block) -> float:
    """Mean of the rates of the draughts, m/h, + deeper; NaN where not known."""
    draughts = ("draught_fwd", "draught_aft")
    rates = [channel_rate(past, block.readings, name, TREND_S) for name in draughts]
    return float(np.mean(rates))
