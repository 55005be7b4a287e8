"""From the last instant of a block to the Picture, and from blocks to the thinned past behind it."""

from collections.abc import Sequence
from dataclasses import replace
from math import nan

import numpy as np

from alongside.alerts.assess import line_stages, stages_at
from alongside.alerts.bars import line_bars
from alongside.alerts.model import Alert, Event
from alongside.alerts.order import groups_of, worst_first
from alongside.alerts.step import sounding
from alongside.alerts.text import NO_ONSET, describe
from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.doubtful import BEARS_LINES
from alongside.cycle.advice.movers import Movers
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.standing_rounds import stood_by, without_rounds
from alongside.cycle.advice.trial import Trial, winds_to_meet
from alongside.cycle.bar_trends import bar_trends
from alongside.cycle.block import Block
from alongside.cycle.brakes.by_load_cell import Cells
from alongside.cycle.cell_figures import cell_figures
from alongside.cycle.chart_history import Past
from alongside.cycle.deck.line_state import deed_to_take_back
from alongside.cycle.facts_now import facts_now, watchlist_now
from alongside.cycle.gauge_samples import present_at
from alongside.cycle.guard import Guard
from alongside.cycle.line_known import NO_LIMITS, no_length_at, why_not_known
from alongside.cycle.line_row import IfSlipped, LineRow
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Advice, ChannelRow, FeedRow, FenderRow, History, OtherFigures, Picture
from alongside.cycle.plausibility.believed import tide_residual
from alongside.cycle.plausibility.carried_on import spread_of
from alongside.cycle.readings_needed import only_at_an_end, unmeasured
from alongside.cycle.trends import (
    TIDE_RATE_S,
    TREND_S,
    channel_rate,
    line_trend,
    mark_names,
    marks,
)
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import known_forecast
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.model import Forecast
from alongside.forecast.rope_ranges import rope_ranges, unknown_ranges
from alongside.mechanics.state import LineStates
from alongside.readings import Floats, Quality, Readings, Reason, watched_channels
from alongside.stay.causes import worst_cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage

CHARTED = ("vertical_deg", "stretch_share", "load_share", "tension_kn")
"""Quantities of every line that charts can show."""
OF_SHIP = ("surge", "sway")
"""What is charted of the ship's place, m."""
NO_FIGURES = "no figures yet"
LINE_NUMBERS = tuple(name for name in LineStates.__dataclass_fields__)


def series_names(basis: Basis, channels: Sequence[str]) -> tuple[str, ...]:
    """Return the names of the series of the past: channels, quantities of each line, the ship's place, then
    marks of where trends begin anew."""
    lines = [f"{quantity}.{line}" for quantity in CHARTED for line in basis.arrangement.ids]
    return (*watched_channels(channels), *lines, *OF_SHIP, *mark_names(basis.arrangement.ids))


def series_values(basis: Basis, block: Block) -> Floats:
    """Return (n, k) values in the order of `series_names`."""
    lines = (getattr(block.hold.lines, name) for name in CHARTED)
    ids, hold = basis.arrangement.ids, block.hold
    of = marks(ids, block.readings, hold.lines.unstretched_m, hold.without, block.situation.quality)
    place = [getattr(hold.pose, name) for name in OF_SHIP]
    steps = [of[name] for name in mark_names(ids)]
    return np.hstack([block.readings.value, *lines, np.stack([*place, *steps], axis=1)])


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
    trial = _trial(basis, block, memory, past)
    forecast = guard.run("advice", lambda: stood_by(forecast, trial), lambda: without_rounds(forecast))
    by_eye = unmeasured(basis, block)
    scene = Scene(
        stay=basis.stay,
        now=float(block.situation.time[row]),
        lines=_line_rows(basis, block, memory, past, row, guard),
        alerts=worst_first(watchlist, block.due),
        channels=_channel_rows(basis, block.readings, row),
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
    advice = guard.run("advice", lambda: advise(scene), lambda: no_advice(scene.alerts))
    return replace(
        _figures(block, row, scene, advice),
        fenders=_fender_rows(basis, block, row),
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


def _line_rows(
    basis: Basis, block: Block, memory: Memory, past: Past, row: int, guard: Guard
) -> tuple[LineRow, ...]:
    numbers = {name: getattr(block.hold.lines, name)[row].tolist() for name in LINE_NUMBERS}
    stages = next(line_stages(block.assessment, basis.arrangement.ids, [row]))
    bars = next(line_bars(block.assessment, basis.stay, [row]))
    trends = [line_trend(basis, past, block, line.id) for line in basis.stay.lines]
    bar_rates = bar_trends(basis, past, block, bars, trends)
    here, held = block.situation.rows(row, row + 1), block.hold.rows(row, row + 1)
    cells = cell_figures(block.readings.rows(row, row + 1), held, basis.arrangement.ids)
    lines = held.lines
    ranges = guard.run(
        "ranges", lambda: rope_ranges(basis, here, lines, held.pose), lambda: unknown_ranges(lines)
    )
    return tuple(
        LineRow(
            id=line.id,
            role=line.role,
            stage=max(stages[index].values(), default=None),
            trend_per_h=trends[index],
            measured_kn=float(cells.measured_kn[0, index]),
            peak_kn=float(cells.peak_kn[0, index]),
            by_cell=bool(cells.by_cell[0, index]),
            stages=stages[index],
            because=worst_cause(stages[index], bars[index]),
            bars=bars[index],
            bar_per_h=bar_rates[index],
            why=why_not_known(block.hold, row, index) or ("" if stages[index] else NO_LIMITS),
            no_length=no_length_at(block.hold, row, index),
            if_slipped=slipped_figures(block, row, index),
            last_deed=deed_to_take_back(memory.lengths, index, line.id),
            **{name: values[index] for name, values in numbers.items()},
            **ranges.of_line(0, index),
        )
        for index, line in enumerate(basis.stay.lines)
    )


def slipped_figures(block: Block, row: int, column: int) -> IfSlipped | None:
    """Return one line as it is if brakes in question slipped; None where none is at that instant."""
    slipped = block.others.slipped
    if slipped is None or np.isnan(slipped.over.ran_out_m[row]).all():
        return None
    at = row, column
    return IfSlipped(
        tension_kn=float(slipped.hold.lines.tension_kn[at]),
        stretch_share=float(slipped.hold.lines.stretch_share[at]),
        ran_out_m=float(slipped.over.ran_out_m[at]),
        most_kn=float(slipped.over.most_kn[at]),
        or_more=slipped.over.is_or_more(row, column),
    )


def _fender_rows(basis: Basis, block: Block, row: int) -> tuple[FenderRow, ...]:
    fenders = block.hold.fenders
    return tuple(
        FenderRow(fender.x, float(fenders.deflection[row, index]), float(fenders.reaction_kn[row, index]))
        for index, fender in enumerate(basis.stay.berth.fenders)
    )


def _channel_rows(basis: Basis, readings: Readings, row: int) -> tuple[ChannelRow, ...]:
    feed_of = {source.channel: feed.name for feed in basis.stay.feeds for source in feed.channels}
    return tuple(
        ChannelRow(
            channel=channel,
            feed=feed_of.get(channel, ""),
            value=float(readings.value[row, column]),
            quality=Quality(int(readings.quality[row, column])),
            reason=Reason(int(readings.reason[row, column])),
            age=float(readings.age[row, column]),
            why=readings.why(channel, row),
            spread=spread_of(readings, row, column),
        )
        for column, channel in enumerate(readings.channels)
        if readings.reason[row, column] != Reason.NOT_FITTED
    )
