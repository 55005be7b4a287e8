"""States and events as JSON lines, for other programs. Not known is null, never 0."""

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import line_stages
from alongside.alerts.bars import line_bars
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.cycle.cell_figures import cell_figures
from alongside.cycle.line_known import NO_LIMITS, why_not_known
from alongside.cycle.picture_rows import LINE_NUMBERS, slipped_figures
from alongside.cycle.plausibility.believed import tide_residual
from alongside.cycle.plausibility.carried_on import spreads_of
from alongside.forecast.basis import Basis
from alongside.forecast.rope_ranges import RopeRanges, rope_ranges, unknown_ranges
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.reports.event_units import unit_of
from alongside.reports.output_files import json_text
from alongside.stay.causes import worst_cause
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.names import reason as reason_words

DECIMALS = 6
RANGES = tuple(each.name for each in fields(RopeRanges))
LINE_COLUMNS = (*LINE_NUMBERS, "main_m", *RANGES)
CELLS = ("measured_kn", "peak_kn", "by_cell")
LINE_KEYS = ("id", "role", *LINE_COLUMNS, *CELLS, "stage", "because", "stages", "why", "slipped")

# Looked up, not asked of an enumeration: there are a dozen words in each line of each state.
QUALITIES = tuple(quality.name.lower() for quality in sorted(Quality))
REASON_WORDS = tuple(reason_words(reason.name) for reason in sorted(Reason))
STAGE_WORDS = tuple(stage.word for stage in sorted(Stage))

Rows = NDArray[np.intp]


def state_lines(basis: Basis, block: Block, rows: Sequence[int], spread: bool = True) -> Iterator[str]:
    """One JSON object a line for each of the chosen rows of a block; without `spread` it is not worked out
    between what the load of each line is likely to lie."""
    picked = np.asarray(rows, dtype=np.intp)
    ship = _ship_numbers(block, picked)
    fenders = [_numbers(a[picked]) for a in (block.hold.fenders.deflection, block.hold.fenders.reaction_kn)]
    residual = _numbers(tide_residual(basis.witnesses, block.readings)[picked])
    lines, channels = _line_objects(basis, block, picked, spread), _channel_objects(block.readings, picked)
    for at, (row, of_lines, of_channels) in enumerate(zip(picked.tolist(), lines, channels, strict=True)):
        state: dict[str, object] = {"time": iso_time(float(block.readings.time[row]))}
        state.update({name: column[at] for name, column in ship.items()})
        state["tide_residual"] = residual[at]
        state["quality"] = QUALITIES[block.situation.quality[row]]
        state["channels"] = of_channels
        state["lines"] = of_lines
        state["fenders"] = [
            {"x": fender.x, "deflection": deflection, "reaction_kn": reaction}
            for fender, deflection, reaction in zip(
                basis.stay.berth.fenders, fenders[0][at], fenders[1][at], strict=True
            )
        ]
        yield json_text(state)


def _channel_objects(readings: Readings, picked: Rows) -> Iterator[dict[str, object]]:
    """Yield every fitted channel at each of some rows: value, quality, why it is not good, and one standard
    deviation of its value."""
    arrays = readings.value, spreads_of(readings), readings.quality, readings.reason
    rows = zip(*(array[picked].tolist() for array in arrays), strict=True)
    for row, columns in zip(picked.tolist(), rows, strict=True):
        doubts = readings.whys_at(row)
        yield {
            name: {
                "value": _number(value),
                "quality": QUALITIES[quality],
                "why": doubts.get(name) or REASON_WORDS[reason] or None,
                "spread": _number(spread),
            }
            for name, value, spread, quality, reason in zip(readings.channels, *columns, strict=True)
            if reason != Reason.NOT_FITTED
        }


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


def _ship_numbers(block: Block, picked: Rows) -> dict[str, list[float | None]]:
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


def _line_columns(basis: Basis, block: Block, picked: Rows, spread: bool) -> list[Floats]:
    """(rows, lines) in the order of `LINE_COLUMNS`. Told as unstretched is the whole line, tail and all, so
    that elongation follows from path and it; the main rope's own length stands beside it."""
    columns = {name: getattr(block.hold.lines, name)[picked] for name in LINE_NUMBERS}
    columns["main_m"] = columns["unstretched_m"]
    columns["unstretched_m"] = columns["main_m"] + basis.arrangement.tail_length
    held = block.hold.at(picked)
    if spread:
        ranges = rope_ranges(basis, block.situation.at(picked), held.lines, held.pose)
    else:
        ranges = unknown_ranges(held.lines)
    columns.update((name, getattr(ranges, name)) for name in RANGES)
    return [columns[name] for name in LINE_COLUMNS]


def _line_objects(
    basis: Basis, block: Block, picked: Rows, spread: bool
) -> Iterator[list[dict[str, object]]]:
    """Yield one object a line at each of some rows; `stage` is null and `why` says so where nothing is known
    of it."""
    numbers = [_numbers(column) for column in _line_columns(basis, block, picked, spread)]
    unknown = np.isnan(block.hold.lines.tension_kn[picked]).tolist()
    judged, cells = _judged(basis, block, picked), _cell_numbers(basis, block, picked)
    for at, (row, of_lines) in enumerate(zip(picked.tolist(), judged, strict=True)):
        figures = zip(*(column[at] for column in (*numbers, *cells)), strict=True)
        objects: list[dict[str, object]] = []
        for index, (line, values, by_cause) in enumerate(
            zip(basis.stay.lines, figures, of_lines, strict=True)
        ):
            why = why_not_known(block.hold, row, index) if unknown[at][index] else ""
            slipped = None if block.others.slipped is None else _slipped_object(block, row, index)
            last = why or (None if by_cause[-1] else NO_LIMITS), slipped
            objects.append(dict(zip(LINE_KEYS, (line.id, line.role, *values, *by_cause, *last), strict=True)))
        yield objects


def _judged(
    basis: Basis, block: Block, picked: Rows
) -> Iterator[list[tuple[str | None, str | None, dict[str, str]]]]:
    """Yield the stage of each line, its cause, and the stage of each cause, at each of some rows."""
    rows = picked.tolist()
    stages = list(line_stages(block.assessment, basis.arrangement.ids, rows))
    # Bars only tell apart causes of one stage: where all are normal nobody asks for them.
    odd = [at for at, of_lines in enumerate(stages) if any(any(each.values()) for each in of_lines)]
    bars = dict(zip(odd, line_bars(block.assessment, basis.stay, [rows[at] for at in odd]), strict=True))
    for at, of_lines in enumerate(stages):
        of_bars = bars.get(at)
        yield [
            (
                STAGE_WORDS[max(by_cause.values())] if by_cause else None,
                None if of_bars is None else worst_cause(by_cause, of_bars[line]) or None,
                {cause: STAGE_WORDS[stage] for cause, stage in by_cause.items()},
            )
            for line, by_cause in enumerate(of_lines)
        ]


def _cell_numbers(basis: Basis, block: Block, picked: Rows) -> list[list[list[object]]]:
    """Return, for each row and line, what its load cell says, its peak, and whether that load counts."""
    readings = block.readings
    some = replace(
        readings,
        time=readings.time[picked],
        value=readings.value[picked],
        quality=readings.quality[picked],
        reason=readings.reason[picked],
        age=readings.age[picked],
        spread=None,
        whys=(),
    )
    cells = cell_figures(some, block.hold.at(picked), basis.arrangement.ids)
    return [_numbers(cells.measured_kn), _numbers(cells.peak_kn), cells.by_cell.tolist()]


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
