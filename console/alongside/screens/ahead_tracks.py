"""Time lines of the hours ahead: for each line and for the ship one mark a cell, and what gives it."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast, Spread
from alongside.readings import Codes, Floats
from alongside.stay.model import StageLimits, Stay
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS

MAYBE: Final = {Stage.CAUTION: "□", Stage.WARNING: "○", Stage.ALARM: "△"}
"""Marks of a stage that one member in twenty reaches, while none is expected."""
CALM: Final = "·"
CAUSE_LETTERS: Final = {
    "steep": ("d", "leads down"),
    "stretch": ("s", "stretch"),
    "load": ("w", "working limit"),
    "slack": ("k", "slack"),
    "brake": ("r", "brake renders"),
    "bollard": ("p", "bollard"),
    "under_keel": ("u", "under keel"),
    "holding": ("b", "wind she holds"),
}
"""A letter for each cause, second in its band, and what it stands for."""


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """One time line: (m,) stage expected, stage that 95 % of the members stay within, cause by name."""

    name: str
    stage: Codes
    worst: Codes
    cause: tuple[str, ...]
    line: str | None = None

    @property
    def is_quiet(self) -> bool:
        """Whether it stays normal in nearly every member."""
        return not self.worst.any()

    def first(self, least: Stage) -> int:
        """Index of the first instant at which this stage or worse may be; beyond the end for never."""
        at = np.flatnonzero(self.worst >= least)
        return int(at[0]) if at.size else self.worst.size


@dataclass(frozen=True, slots=True)
class Cell:
    mark: str
    stage: Stage
    letter: bool = False


def tracks_of(forecast: Forecast, stay: Stay) -> list[Track]:
    """The ship's own first where they say anything, then the lines, the soonest and worst first."""
    ship = [
        _ship_track("under keel", "under_keel", forecast.under_keel, stay.limits.under_keel_m, -1),
        _ship_track("holding", "holding", forecast.holding_share, stay.limits.holding_share, 1),
    ]
    lines = [_line_track(forecast, k) for k in range(len(forecast.lines))]
    ranked = sorted(lines, key=lambda track: (track.first(Stage.WARNING), track.first(Stage.CAUTION)))
    return [track for track in ship if not track.is_quiet] + ranked


def _line_track(forecast: Forecast, k: int) -> Track:
    names = (*forecast.causes, "")
    cause = tuple(names[int(code)] if code >= 0 else "" for code in forecast.cause[:, k])
    return Track(
        forecast.lines[k], forecast.stage[:, k], forecast.stage_worst[:, k], cause, forecast.lines[k]
    )


def _ship_track(name: str, cause: str, spread: Spread, limits: StageLimits, sense: int) -> Track:
    bad = spread.low if sense < 0 else spread.high
    stage, worst = _stages(spread.expected, limits, sense), _stages(bad, limits, sense)
    return Track(name, stage, worst, tuple(cause if code else "" for code in stage))


def _stages(values: Floats, limits: StageLimits, sense: int) -> Codes:
    """(m,) stage that each value lies in; normal where not known."""
    stages = np.zeros(values.size, dtype=np.int8)
    for stage, limit in zip((1, 2, 3), limits.as_tuple(), strict=True):
        stages[(values - limit) * sense >= 0.0] = stage
    return stages


def cells_of(track: Track, times: Floats, start: float, end: float, columns: int) -> list[Cell]:
    """The track in so many cells from `start` to `end`: the worst within each, a letter of the cause second
    in each band that is long enough."""
    edges = start + (end - start) * np.arange(columns + 1) / columns
    first = np.clip(np.searchsorted(times, edges[:-1], side="right") - 1, 0, times.size - 1)
    last = np.maximum(np.searchsorted(times, edges[1:], side="left"), first + 1)
    cells: list[Cell] = []
    causes: list[str] = []
    for begin, stop in zip(first.tolist(), last.tolist(), strict=True):
        at = begin + int(track.stage[begin:stop].argmax())
        stage, worst = Stage(int(track.stage[at])), Stage(int(track.worst[begin:stop].max()))
        causes.append(track.cause[at] if stage else "")
        if stage == Stage.NORMAL and worst > Stage.NORMAL:
            cells.append(Cell(MAYBE[worst], worst))
        else:
            cells.append(Cell(MARKS[stage] if stage else CALM, stage))
    return _lettered(cells, causes)


def _lettered(cells: list[Cell], causes: list[str]) -> list[Cell]:
    bands = list(zip(cells, causes, strict=True))
    lettered = list(cells)
    for at in range(1, len(bands)):
        (cell, cause), before = bands[at], bands[at - 1]
        begins = at == 1 or bands[at - 2] != before
        if cause in CAUSE_LETTERS and (cell, cause) == before and begins:
            lettered[at] = Cell(CAUSE_LETTERS[cause][0], cell.stage, letter=True)
    return lettered
