"""The lines, worst first, each with a bar for the worst of its limits; quiet ones together."""

from collections.abc import Sequence
from math import isfinite
from typing import Any, Final

from alongside.alerts.bars import bar_percent
from alongside.alerts.limits_text import limits_text
from alongside.cycle.gauge_words import doubtful_figure, why_line_unknown
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Picture
from alongside.stay.causes import Cause
from alongside.wording import names
from alongside.wording.figures import figure, force_text, lead, listed, percent
from alongside.wording.look_page import NO_LINES
from alongside.wording.marks import BY_CELL, UNKNOWN_STAGES, stage_text, unknown_text
from alongside.wording.safe import safe

LEAST: Final = 4
"""Lines that are shown each by itself, however quiet."""
STEADY_PER_H: Final = 0.5
"""Change of a bar, per cent an hour, below which it counts as steady."""


def line_rows(picture: Picture) -> dict[str, Any]:
    """Return the lines that are not quiet, worst first, and what to say of the quiet ones in one row."""
    order = sorted(picture.lines, key=_severity, reverse=True)
    shown = [row for at, row in enumerate(order) if at < LEAST or not row.is_quiet]
    rows = [_known(picture, row) if row.stage is not None else _unknown(picture, row) for row in shown]
    known = {row.id for row in shown}
    quiet = [row for row in picture.lines if row.id not in known]
    return {"rows": rows, "quiet": _quiet(quiet), "why": "" if rows else NO_LINES}


def _severity(row: LineRow) -> tuple[float, float]:
    """Return by what lines stand in order: stage, then bar, rounded so that rows keep their places."""
    return row.severity, round(row.bar / 5.0) if isfinite(row.bar) else -1.0


def _known(picture: Picture, row: LineRow) -> dict[str, Any]:
    assert row.stage is not None
    cause: Cause | str = row.because or row.worst
    return {
        "id": safe(row.id),
        "role": safe(row.role),
        "stage": row.stage.word,
        "word": stage_text(row.stage),
        "bar": round(row.bar, 1) if isfinite(row.bar) else None,
        "of": f"{bar_percent(row.bar).removesuffix(' %')} of 100" if isfinite(row.bar) else "",
        "because": names.cause(cause) if cause else "",
        "figure": _doubted(picture, _figure(picture, row, cause)),
        "limits": limits_text(picture.stay.limits, cause),
        "load": _doubted(picture, _load(picture, row)),
        "rate": _rate(row.bar_per_h),
        "note": _slipped(picture, row),
    }


def _doubted(picture: Picture, text: str) -> str:
    return doubtful_figure(picture, text) if text else ""


def _unknown(picture: Picture, row: LineRow) -> dict[str, Any]:
    stage = UNKNOWN_STAGES.get(row.no_length.name)
    load = f"load cell {force_text(row.measured_kn, picture.stay.display)}"
    return {
        "id": safe(row.id),
        "role": safe(row.role),
        "stage": stage.word if stage is not None else "unknown",
        "word": unknown_text(row.no_length.name),
        "bar": None,
        "of": "",
        "because": "",
        "figure": "",
        "limits": "",
        "load": load if isfinite(row.measured_kn) else "",
        "rate": "",
        "note": safe(why_line_unknown(picture, row)),
    }


def _figure(picture: Picture, row: LineRow, cause: str) -> str:
    """Return the figure of a line that a cause goes by, where it is another one than its load."""
    line = next((each for each in picture.stay.lines if each.id == row.id), None)
    match cause:
        case "steep":
            return lead(row.vertical_deg)
        case "stretch":
            return percent(row.stretch_share)
        case "load" | "slack" if line is not None:
            return f"{percent(row.counted_share(line.smallest_wll_kn))} of WLL"
    return ""


def _load(picture: Picture, row: LineRow) -> str:
    text = force_text(row.counted_kn, picture.stay.display)
    return f"{text} {BY_CELL}" if row.by_cell else text


def _rate(per_h: float) -> str:
    """Return `↑ 6 an hour`, per cent of the bar; "" where it is steady or not known."""
    if not abs(per_h) >= STEADY_PER_H:
        return ""
    return f"{'↑' if per_h > 0.0 else '↓'} {figure(abs(per_h))} an hour"


def _slipped(picture: Picture, row: LineRow) -> str:
    """Return the load if its brake slipped, while that is in question."""
    if row.asked is None:
        return ""
    return f"or {force_text(row.asked.tension_kn, picture.stay.display)} if its brake slipped"


def _quiet(rows: Sequence[LineRow]) -> str:
    """Return `Quiet: 1, 3 and 5, at most 42`, a number of the bar; "" for none."""
    if not rows:
        return ""
    highest = max((row.bar for row in rows if isfinite(row.bar)), default=float("nan"))
    most = f", at most {bar_percent(highest).removesuffix(' %')}" if isfinite(highest) else ""
    return f"Quiet: {listed([safe(row.id) for row in rows])}{most}"
