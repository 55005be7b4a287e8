"""What if: every line now and over the hours ahead, as things stand and with the change."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from rich.cells import cell_len

from alongside.forecast.model import Forecast
from alongside.forecast.what_if.answer import WhatIf
from alongside.screens.ahead_words import hour
from alongside.screens.rows import Piece, fill_to
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, force_figure, percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe

SAME: Final = 0.005
"""Change of a share of the allowance that is not worth a row."""
HEADING: Final = "  line    stretch now    highest ahead  worst   "
WARNING, LOADS = "first warning", "load now"


@dataclass(frozen=True, slots=True)
class Change:
    """One line before and with the changes: stretch now and at its most, load now in kN, the worst stage
    (None where not known) and the first warning, UNIX s, None for none; each (before, after)."""

    line: str
    now: tuple[float, float]
    most: tuple[float, float]
    load: tuple[float, float]
    worst: tuple[Stage | None, Stage | None]
    warning: tuple[float | None, float | None]

    @property
    def size(self) -> float:
        """Return how much it changes, as a share of the allowance; most where it is not known before or
        after."""
        changes = [abs(after - before) for before, after in (self.now, self.most)]
        known = [change for change in changes if math.isfinite(change)]
        return max(known) if len(known) == 2 else math.inf

    @property
    def is_none(self) -> bool:
        return self.size < SAME and self.worst[0] == self.worst[1]


def changes_of(result: WhatIf) -> list[Change]:
    """Return every line, what changes most first."""
    before, after = result.as_it_stands, result.changed
    changes = [
        Change(
            line=line.line,
            now=line.stretch_share,
            most=(_most(before, line.line), _most(after, line.line)),
            load=line.tension_kn,
            worst=(_worst(before, line.line), _worst(after, line.line)),
            warning=(_first_warning(before, line.line), _first_warning(after, line.line)),
        )
        for line in result.lines
    ]
    return sorted(changes, key=lambda change: (change.is_none, -(change.worst[1] or 0), -change.size))


def _column(forecast: Forecast | None, line: str) -> int | None:
    """Return the column of a line in a forecast that knows it."""
    known = forecast is not None and not forecast.reason and line in forecast.lines
    return forecast.lines.index(line) if known and forecast is not None else None


def _worst(forecast: Forecast | None, line: str) -> Stage | None:
    column = _column(forecast, line)
    if forecast is None or column is None:
        return None
    worst = int(forecast.stage[:, column].max())
    return None if worst < 0 else Stage(worst)


def _mark(stage: Stage | None) -> str:
    return NOT_KNOWN if stage is None else MARKS[stage]


def _most(forecast: Forecast | None, line: str) -> float:
    column = _column(forecast, line)
    if forecast is None or column is None:
        return math.nan
    shares = forecast.stretch_share[:, column]
    known = shares[np.isfinite(shares)]
    return float(known.max()) if known.size else math.nan


def _first_warning(forecast: Forecast | None, line: str) -> float | None:
    limits = [] if forecast is None else forecast.limits_of(line)
    warnings = [limit for limit in limits if limit.stage >= Stage.WARNING]
    return min((limit.expected for limit in warnings if limit.expected is not None), default=None)


def line_rows(view: View, result: WhatIf, width: int) -> list[list[Piece]]:
    """Return a row for each line that changes, the loads where there is room for them whole."""
    palette = view.palette
    changes = changes_of(result)
    moved = [change for change in changes if not change.is_none]
    times = [_warnings(view, change) for change in moved]
    loads = [_loads(view, change) for change in moved]
    across = max(map(cell_len, (*times, WARNING))) + 2
    has_loads = len(HEADING) + across + max(map(cell_len, (*loads, LOADS))) <= width
    rows: list[list[Piece]] = []
    if moved:
        heading = HEADING + fill_to(WARNING, across) + (LOADS if has_loads else "")
        rows.append([(heading, palette.label)])
    for change, time, load in zip(moved, times, loads, strict=True):
        rows.append([*_line(view, change), (fill_to(time, across), palette.text)])
        rows[-1] += [(load, palette.text)] if has_loads else []
    same = len(changes) - len(moved)
    return [*rows, [(f"  {counted(same, 'line')} without change", palette.label)]] if same else rows


def _line(view: View, change: Change) -> list[Piece]:
    gone = not math.isfinite(change.now[1])
    worst = f"{_mark(change.worst[0])} → {NOT_KNOWN if gone else _mark(change.worst[1])}"
    return [
        (f"  {fill_to(safe(change.line), 6)}  ", view.palette.strong),
        _shares(view, change.now),
        _shares(view, change.most),
        (fill_to(worst, 8), value_style(view.palette, change.worst[1] or Stage.NORMAL)),
    ]


def _warnings(view: View, change: Change) -> str:
    """Return when the first warning is expected, before and with the changes."""
    display, now = view.stay.display, view.figures.time
    first, then = (
        NOT_KNOWN if worst is None else hour(time, display, now) if time else "none"
        for worst, time in zip(change.worst, change.warning, strict=True)
    )
    return _both(first, then)


def _loads(view: View, change: Change) -> str:
    before, after = (force_figure(kn, view.stay.display) for kn in change.load)
    return f"{_both(before, after)} {view.stay.display.force}"


def _shares(view: View, shares: tuple[float, float]) -> Piece:
    """Return shares before and with the changes: `55 → 36 %`."""
    return fill_to(_both(percent(shares[0]), percent(shares[1])), 15), view.palette.text


def _both(before: str, after: str) -> str:
    """Return `55 → 36 %`, the unit once."""
    if before.endswith(" %") and after.endswith(" %"):
        before = before.removesuffix(" %")
    return f"{before} → {after}"
