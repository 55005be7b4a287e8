"""The figures of one line, each beside its limits, the one that makes its stage marked."""

import math
from dataclasses import replace

from alongside.alerts.limits_text import limits_text
from alongside.alerts.model import Standing
from alongside.alerts.over_brake import drum_mark
from alongside.cycle.deck.learning import is_accepted
from alongside.cycle.gauge_words import doubtful_figure
from alongside.cycle.line_row import IfSlipped, LineRow
from alongside.forecast.learning_words import finding_words, rival_words, rivals_words, spread_words
from alongside.screens.figure_rows import Figure
from alongside.screens.tend_words import BY_CELL
from alongside.screens.view import View
from alongside.stay.causes import Cause
from alongside.stay.model import Line
from alongside.stay.stage import Stage
from alongside.wording.figures import force_range, force_text, lead, percent, percent_range
from alongside.wording.learnt import TO_ACCEPT, learnt_words
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe


def figures_of(view: View, row: LineRow, line: Line) -> list[Figure]:
    """Return all figures of a line that have limits, and what stands beside them."""
    display = view.stay.display

    def load(kn: float) -> str:
        return doubtful_figure(view.figures, force_text(kn, display))

    def share(value: float) -> str:
        return doubtful_figure(view.figures, percent(value))

    of_wll = percent(row.counted_share(line.smallest_wll_kn))
    by_cell = "by cell, " if row.by_cell else ""
    wll = force_text(line.smallest_wll_kn, display)
    mbl = force_text(line.smallest_mbl_kn, display)
    of_mbl = percent(row.counted_kn / line.smallest_mbl_kn)
    figures = [
        _judged(
            view,
            row,
            "stretch",
            share(row.stretch_share),
            "stretch",
            may_be(view, row, "stretch", row.stretch_share),
        ),
        _judged(
            view,
            row,
            "load",
            _both(load(row.counted_kn), of_wll),
            "load",
            f"{by_cell}of WLL {wll}; {of_mbl} of MBL {mbl}",
        ),
        *_brake(view, row, line),
        *_bollards(view, row, line),
        _judged(view, row, "steep", doubtful_figure(view.figures, lead(row.vertical_deg)), "steep"),
        _judged(view, row, "slack", share(row.load_share), "slack", "less is worse"),
        *_beside(view, row),
        *_learnt(view, row, line),
    ]
    return [figure for figure in figures if figure is not None]


def may_be(view: View, row: LineRow, cause: Cause, share: float) -> str:
    """Return the share that the alert of a cause has, where that is another than the figure: while a gauge is
    doubtful or expected the worst that may be counts. "" where it is the same."""
    alert = next((each for each in view.figures.alerts if each.key == (cause, row.id)), None)
    if alert is None or alert.standing == Standing.RECTIFIED or not math.isfinite(share + alert.value):
        return ""
    worst = percent(alert.value)
    return f"{worst} by the worst that may be" if alert.value > share and worst != percent(share) else ""


def _both(load: str, share: str) -> str:
    return load if share == NOT_KNOWN else f"{load} {share}"


def _judged(
    view: View,
    row: LineRow,
    label: str,
    text: str,
    cause: Cause,
    detail: str = "",
    *,
    subject: str = "",
    rank: int = 0,
) -> Figure:
    """Return a figure with the stage of its cause, and the limits and the bar where that cause is watched."""
    stage = view.figures.stages.get((cause, subject or row.id))
    if stage is None:
        stage = row.stages.get(cause) if not subject else None
    limits = "" if stage is None else limits_text(view.stay.limits, cause)
    bar = row.bars.get(cause, math.nan)
    because = row.because == cause
    return Figure(label, text, detail, cause, stage, limits, bar, because, rank)


def _brake(view: View, row: LineRow, line: Line) -> list[Figure]:
    winch = view.figures.stay.ship.winches.get(line.winch) if line.winch else None
    if winch is None or winch.holding_kn is None:
        return []
    display = view.stay.display
    share = percent(row.counted_kn / winch.holding_kn) if math.isfinite(row.counted_kn) else NOT_KNOWN
    detail = f"of {force_text(winch.holding_kn, display)} that the brake holds"
    if worst := may_be(view, row, "brake", row.counted_kn / winch.holding_kn):
        detail = f"{worst}; {detail}"
    return [
        _judged(view, row, "brake", doubtful_figure(view.figures, share), "brake", detail),
        *([] if row.asked is None else _if_slipped(view, row.asked)),
    ]


def _bollards(view: View, row: LineRow, line: Line) -> list[Figure]:
    """Return the bollard that bears the line, and the dolphin that bears that, with the other lines on it."""
    berth, figures = view.figures.stay.berth, []
    dolphin = berth.bollards[line.bollard].dolphin
    for name, what in ((line.bollard, "bollard"), *([(dolphin, "dolphin")] if dolphin else [])):
        swl = berth.swl_of(name)
        if swl is None:
            continue
        kn, display = on_bollard(view, name), view.stay.display
        share = percent(kn / swl) if math.isfinite(kn) else NOT_KNOWN
        text = _both(doubtful_figure(view.figures, force_text(kn, display)), share)
        detail = f"{safe(name)}, SWL {force_text(swl, display)}{shared_with(view, line, name)}"
        figures.append(_judged(view, row, what, text, "bollard", detail, subject=name))
    return figures


def _beside(view: View, row: LineRow) -> list[Figure]:
    """Return what stands beside the computed load: the load cell, and between what it is likely."""
    display, figures = view.stay.display, []
    if math.isfinite(row.measured_kn):
        off, detail = row.measured_kn - row.tension_kn, ""
        if math.isfinite(off):
            more = "more" if off > 0.0 else "less"
            detail = f"{force_text(abs(off), display)} {more} than computed"
        if math.isfinite(row.peak_kn):
            detail += f"{'; ' if detail else ''}highest of 10 min {force_text(row.peak_kn, display)}"
        cell = _judged(view, row, "cell", force_text(row.measured_kn, display), "tension", detail)
        if cell.stage is not None and cell.stage > Stage.NORMAL:
            offered = any(each.line == row.id and each.learnt is not None for each in view.figures.learnt)
            answer = f"accept what it shows: {TO_ACCEPT}" if offered else f"tend it by the cell: t, {BY_CELL}"
            cell = replace(cell, detail=f"{detail}; if it lasts, {answer}")
        figures.append(cell)
    load = force_range(row.tension_low_kn, row.tension_high_kn, display)
    if load:
        stretch = percent_range(row.stretch_low, row.stretch_high)
        figures.append(Figure("likely", load, f"stretch {stretch}" if stretch else "", rank=1))
    return figures


def _learnt(view: View, row: LineRow, line: Line) -> list[Figure]:
    """Return what measured loads show of a line, to be accepted, and what was accepted."""
    figures = []
    display = view.stay.display
    found = next((each for each in view.figures.learnt if each.line == line.id), None)
    if found is not None and found.learnt is not None:
        rivals = rivals_words(found, display)
        detail = f"likely {spread_words(found)}{'; ' + rivals if rivals else ''}"
        figures.append(Figure("accept?", f"{finding_words(found)} (x)", detail))
    elif found is not None and found.cell is not None:
        figures.append(Figure("learnt", rival_words(*found.cell, display), found.why, rank=1))
    elif found is not None and found.finding == "nothing" and math.isfinite(found.measured_kn):
        measured = force_text(found.measured_kn, display) if found.measured_kn > 0.0 else "slack"
        figures.append(Figure("measured", f"{measured}, nothing learnt", found.why))
    if line.learnt is not None:
        words = learnt_words(line.learnt.stiffness, line.learnt.more_m)
        # Where room is short it may go while the head of the page says it as what was done last.
        said = row.last_deed is not None and is_accepted(row.last_deed.words)
        figures.append(Figure("accepted", words, safe(line.learnt.source), rank=int(said)))
    return figures


def _if_slipped(view: View, asked: IfSlipped) -> list[Figure]:
    """Return what the line carries if its brake slipped, and what to look for at the winch."""
    load = force_text(asked.tension_kn, view.stay.display)
    mark = drum_mark(asked.ran_out_m, asked.or_more)
    return [
        Figure("or, slipped", f"{load}, stretch {percent(asked.stretch_share)}", stage=Stage.ALARM),
        Figure("drum mark", f"{mark}, or not", stage=Stage.ALARM),
        Figure("winch seen", "x: slipped or held", rank=1),
    ]


def on_bollard(view: View, bollard: str) -> float:
    """Return the load on a bollard or dolphin, kN: the vector sum of its lines, NaN where one of them is not
    known."""
    rows, bears = {row.id: row for row in view.figures.lines}, view.figures.stay.berth.bears
    pulls = [rows[line.id] for line in view.figures.stay.lines if bears(bollard, line.bollard)]
    return math.hypot(*(sum(way) for way in zip(*(row.counted_pull for row in pulls), strict=True)))


def shared_with(view: View, line: Line, bollard: str) -> str:
    """Return the other lines on a bollard or dolphin: `, with 5, 6`; "" for none."""
    stay = view.figures.stay
    on_it = [each.id for each in stay.lines if stay.berth.bears(bollard, each.bollard)]
    others = [name for name in on_it if name != line.id]
    return f", with {', '.join(safe(name) for name in others)}" if others else ""
