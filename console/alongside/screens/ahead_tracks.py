"""Time lines of the hours ahead: for each line and for the ship one mark a cell, and what gives it."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.alerts.assess import stages_of
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.forecast.model import Forecast, Spread
from alongside.readings import Codes, Floats
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS, NOT_KNOWN

MAYBE: Final = {Stage.CAUTION: "□", Stage.WARNING: "○", Stage.ALARM: "△"}
"""Marks of a stage that one member in twenty reaches, while none is expected."""
CALM: Final = "·"
_SHIP: Final[dict[str, str]] = {"under_keel": "UKC", "holding": "wind"}
"""Names of the tracks of the ship."""
CAUSE_LETTERS: Final[dict[str, str]] = {
    "steep": "p",
    "stretch": "s",
    "load": "l",
    "slack": "k",
    "brake": "b",
    "bollard": "o",
    "under_keel": "u",
    "holding": "h",
}
"""A letter out of the name of each cause, second in its band."""


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """One time line: (m,) stage expected, stage that 95 % of the members stay within, cause by name."""

    name: str
    stage: Codes
    worst: Codes
    cause: tuple[str, ...]
    line: str | None = None
    why: str = ""
    """Why nothing is known of the line; "" where something is."""

    @property
    def is_quiet(self) -> bool:
        """Return whether it stays normal in nearly every member; what is not known does not."""
        return not self.worst.any()

    def first(self, least: Stage) -> int:
        """Return the index of the first instant at which this stage is possible; beyond the end for never."""
        at = np.flatnonzero(self.worst >= least)
        return int(at[0]) if at.size else self.worst.size


@dataclass(frozen=True, slots=True)
class Cell:
    mark: str
    stage: Stage
    letter: bool = False


def tracks_of(forecast: Forecast, stay: Stay) -> list[Track]:
    """Return the tracks of the ship that are not quiet, then the lines, the soonest and worst first."""
    spreads = {"under_keel": forecast.under_keel, "holding": forecast.holding_share}
    ship = [_ship_track(rule, spreads[rule.cause]) for rule in rules_of(stay) if rule.cause in spreads]
    lines = [_line_track(forecast, k) for k in range(len(forecast.lines))]
    ranked = sorted(
        lines, key=lambda track: (not track.why, track.first(Stage.WARNING), track.first(Stage.CAUTION))
    )
    return [track for track in ship if not track.is_quiet] + ranked


def _line_track(forecast: Forecast, k: int) -> Track:
    cause = tuple(forecast.causes[int(code)] if code >= 0 else "" for code in forecast.cause[:, k])
    return Track(
        forecast.lines[k],
        forecast.stage[:, k],
        forecast.stage_worst[:, k],
        cause,
        forecast.lines[k],
        dict(forecast.without).get(forecast.lines[k], ""),
    )


def _ship_track(rule: Rule, spread: Spread) -> Track:
    worst = stages_of(rule, spread.low if rule.sense < 0 else spread.high)
    stage = stages_of(rule, spread.expected)
    return Track(_SHIP[rule.cause], stage, worst, tuple(rule.cause if code else "" for code in stage))


def cells_of(track: Track, times: Floats, start: float, end: float, columns: int) -> list[Cell]:
    """Return the track in so many cells from `start` to `end`: the worst within each, a letter of the cause
    second in each band that is long enough."""
    edges = start + (end - start) * np.arange(columns + 1) / columns
    first = np.clip(np.searchsorted(times, edges[:-1], side="right") - 1, 0, times.size - 1)
    last = np.maximum(np.searchsorted(times, edges[1:], side="left"), first + 1)
    cells: list[Cell] = []
    causes: list[str] = []
    for begin, stop in zip(first.tolist(), last.tolist(), strict=True):
        at = begin + int(track.stage[begin:stop].argmax())
        if track.stage[begin:stop].min() < 0:
            cells.append(Cell(NOT_KNOWN, Stage.NORMAL))
            causes.append("")
            continue
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
            lettered[at] = Cell(CAUSE_LETTERS[cause], cell.stage, letter=True)
    return lettered
