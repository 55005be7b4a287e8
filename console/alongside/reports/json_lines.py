"""States and events as JSON lines, for other programs. Not known is null, never 0."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from math import isfinite

import numpy as np

from alongside.alerts.assess import line_stages
from alongside.alerts.bars import line_bars
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.cycle.cell_figures import cell_figures
from alongside.cycle.line_known import NO_LIMITS, why_not_known
from alongside.cycle.picture_of import LINE_NUMBERS, slipped_figures
from alongside.cycle.plausibility.believed import tide_residual
from alongside.cycle.plausibility.carried_on import spread_of
from alongside.forecast.basis import Basis
from alongside.forecast.rope_ranges import RopeRanges, rope_ranges
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.reports.event_units import unit_of
from alongside.reports.output_files import json_text
from alongside.stay.causes import Cause, worst_cause
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.names import reason as reason_words

DECIMALS = 6
RANGES = tuple(each.name for each in fields(RopeRanges))
LINE_COLUMNS = (*LINE_NUMBERS, "main_m", *RANGES)


def state_lines(basis: Basis, block: Block, rows: Sequence[int]) -> Iterator[str]:
    """One JSON object a line for each of the chosen rows of a block."""
    picked = np.asarray(rows, dtype=np.intp)
    ship = _ship_numbers(block, picked)
    lines = [_numbers(column) for column in _line_columns(basis, block, picked)]
    fenders = [_numbers(a[picked]) for a in (block.hold.fenders.deflection, block.hold.fenders.reaction_kn)]
    residual = _numbers(tide_residual(basis.witnesses, block.readings)[picked])
    stages = line_stages(block.assessment, basis.arrangement.ids, rows)
    bars = line_bars(block.assessment, basis.stay, rows)
    cells = _cell_objects(basis, block, picked)
    for at, (row, judged) in enumerate(zip(picked.tolist(), map(_judged, stages, bars), strict=True)):
        state: dict[str, object] = {"time": iso_time(float(block.readings.time[row]))}
        state.update({name: column[at] for name, column in ship.items()})
        state["tide_residual"] = residual[at]
        state["quality"] = Quality(int(block.situation.quality[row])).name.lower()
        state["channels"] = _channel_objects(block.readings, row)
        figures = [column[at] for column in lines]
        state["lines"] = _line_objects(basis, block, row, figures, cells[at], judged)
        state["fenders"] = [
            {"x": fender.x, "deflection": deflection, "reaction_kn": reaction}
            for fender, deflection, reaction in zip(
                basis.stay.berth.fenders, fenders[0][at], fenders[1][at], strict=True
            )
        ]
        yield json_text(state)


def _channel_objects(readings: Readings, row: int) -> dict[str, object]:
    """Every fitted channel: value, quality, why it is not good, and one standard deviation of its value."""
    channels: dict[str, object] = {}
    for column, name in enumerate(readings.channels):
        reason = Reason(int(readings.reason[row, column]))
        if reason is Reason.NOT_FITTED:
            continue
        channels[name] = {
            "value": _number(float(readings.value[row, column])),
            "quality": Quality(int(readings.quality[row, column])).name.lower(),
            "why": readings.why(name, row) or reason_words(reason.name) or None,
            "spread": _number(spread_of(readings, row, column)),
        }
    return channels


def event_line(event: Event) -> str:
    """One event as a JSON object."""
    return json_text(
        {
            "time": iso_time(event.time),
            "event": event.event,
            "alert": event.alert,
            "subject": event.subject,
            "stage": None if event.stage is None else event.stage.word,
            "line": event.line,
            "value": _number(event.value),
            "limit": _number(event.limit),
            "unit": unit_of(event),
            "text": event.text,
        }
    )


def _ship_numbers(block: Block, picked: np.ndarray) -> dict[str, list[float | None]]:
    situation, pose = block.situation, block.hold.pose
    heel = situation.heel_deg if situation.heel_measured else np.full(len(situation), np.nan)
    ranges = np.full((len(situation), 3), np.nan) if block.ranges is None else block.ranges
    columns: dict[str, Floats] = {
        "tide": situation.tide,
        "draught_fwd": situation.draught_fwd,
        "draught_aft": situation.draught_aft,
        "heel_deg": heel,
        "trim": situation.draught_aft - situation.draught_fwd,
        "surge": pose.surge,
        "sway": pose.sway,
        "yaw_deg": np.degrees(pose.yaw),
        "surge_range": ranges[:, 0],
        "sway_range": ranges[:, 1],
        "yaw_range_deg": ranges[:, 2],
        "wind_ms": situation.wind_speed,
        "wind_from_deg": situation.wind_from,
    }
    return {name: _numbers(column[picked]) for name, column in columns.items()}


def _line_columns(basis: Basis, block: Block, picked: np.ndarray) -> list[Floats]:
    """(rows, lines) in the order of `LINE_COLUMNS`. Told as unstretched is the whole line, tail and all, so
    that elongation follows from path and it; the main rope's own length stands beside it."""
    columns = {name: getattr(block.hold.lines, name)[picked] for name in LINE_NUMBERS}
    columns["main_m"] = columns["unstretched_m"]
    columns["unstretched_m"] = columns["main_m"] + basis.arrangement.tail_length
    ranges = rope_ranges(basis, block.situation.at(picked), block.hold.at(picked).lines)
    columns.update((name, getattr(ranges, name)) for name in RANGES)
    return [columns[name] for name in LINE_COLUMNS]


def _line_objects(
    basis: Basis,
    block: Block,
    row: int,
    columns: list[list[float | None]],
    cells: list[dict[str, object]],
    judged: list[dict[str, object]],
) -> list[dict[str, object]]:
    """Return one object a line; `stage` is null and `why` says so where nothing is known of it."""
    objects: list[dict[str, object]] = []
    for index, line in enumerate(basis.stay.lines):
        numbers = {name: column[index] for name, column in zip(LINE_COLUMNS, columns, strict=True)}
        why = why_not_known(block.hold, row, index) or (None if judged[index]["stages"] else NO_LIMITS)
        slipped = _slipped_object(block, row, index)
        objects.append(
            {"id": line.id, "role": line.role, **numbers, **cells[index], **judged[index]}
            | {"why": why, "slipped": slipped}
        )
    return objects


def _judged(
    stages: Sequence[Mapping[Cause, Stage]], bars: Sequence[Mapping[Cause, float]]
) -> list[dict[str, object]]:
    """Return the stage of each line, its cause, and the stage of each cause."""
    objects: list[dict[str, object]] = []
    for by_cause, bar in zip(stages, bars, strict=True):
        worst = max(by_cause.values(), default=None)
        objects.append(
            {
                "stage": None if worst is None else worst.word,
                "because": worst_cause(by_cause, bar) or None,
                "stages": {cause: stage.word for cause, stage in by_cause.items()},
            }
        )
    return objects


def _cell_objects(basis: Basis, block: Block, picked: np.ndarray) -> list[list[dict[str, object]]]:
    """Return, for each row and line, what its load cell says and whether that load counts."""
    rows = (block.readings.rows(row, row + 1) for row in picked.tolist())
    holds = (block.hold.rows(row, row + 1) for row in picked.tolist())
    objects: list[list[dict[str, object]]] = []
    for readings, hold in zip(rows, holds, strict=True):
        cells = cell_figures(readings, hold, basis.arrangement.ids)
        measured, peak = _numbers(cells.measured_kn[0]), _numbers(cells.peak_kn[0])
        figures = zip(measured, peak, cells.by_cell[0].tolist(), strict=True)
        objects.append([{"measured_kn": m, "peak_kn": p, "by_cell": by} for m, p, by in figures])
    return objects


def _slipped_object(block: Block, row: int, column: int) -> dict[str, float | None] | None:
    """Return load and metres run out of one line if brakes in question slipped; None where none is."""
    figures = slipped_figures(block, row, column)
    if figures is None:
        return None
    ran_out = figures.ran_out_m if figures.is_asked else 0.0
    return {"tension_kn": _number(figures.tension_kn), "paid_out_m": _number(ran_out)}


def _numbers(values: Floats) -> list:  # type: ignore[type-arg]
    """Nested lists of rounded numbers, None where not known; -0.0 becomes 0.0."""
    rounded = np.round(values, DECIMALS) + 0.0
    unknown = ~np.isfinite(rounded)
    if not unknown.any():
        return rounded.tolist()  # type: ignore[no-any-return]
    cells = rounded.astype(object)
    cells[unknown] = None
    return cells.tolist()  # type: ignore[no-any-return]


def _number(value: float | None) -> float | None:
    if value is None or not isfinite(value):
        return None
    return round(value, DECIMALS) + 0.0
