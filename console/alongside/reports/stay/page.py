"""The page of the report itself."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from markupsafe import Markup

from alongside.alerts.limits_text import limits_used
from alongside.mechanics.holding_search import CAP_MS
from alongside.record.entries import stay_hash
from alongside.record.words import chain_rows
from alongside.reports.printed.page_template import page_template
from alongside.reports.ropes.in_stay import history_of_stay, printed_condition
from alongside.reports.stay.alert_history import alert_histories
from alongside.reports.stay.charts import Charts
from alongside.reports.stay.holding_history import HoldingHistory
from alongside.reports.stay.line_figures import LineFigures
from alongside.reports.stay.orders import orders_on_record
from alongside.reports.stay.plan import plan_of_stay
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.reports.stay.summary import summary
from alongside.reports.stay.tendings import tendings
from alongside.reports.stay.worst_first import lasted_words, worst_first
from alongside.stay.model import Stay
from alongside.units import utc_day
from alongside.wording.actions import action_words
from alongside.wording.figures import held_speed
from alongside.wording.times import zone_text

TEMPLATE: Final = Path(__file__).parent / "templates" / "report.html.jinja"
MOST_EVENTS: Final = 3000
"""Events shown on the page; all are in the table for other programs."""


@dataclass(frozen=True, slots=True)
class StayFile:
    """A stay file as one or several runs read it."""

    name: str
    sha256: str
    since: float
    program: str


def page(
    arrays: RecordArrays,
    lines: Sequence[LineFigures],
    holding: HoldingHistory | None,
    *,
    all_lines: bool = False,
    begin: Callable[[str], None] = lambda _words: None,
) -> str:
    """Return the report as HTML, with a chart of each line that mattered, or of all. The same record gives
    the same page. `begin` is told what is done from then on."""
    begin("Drawing the charts of water and wind")
    alerts = alert_histories(arrays.events, arrays.actions)
    history = history_of_stay(arrays.stay, utc_day(arrays.end), as_of=True)
    drawing = Charts(arrays)
    drawn = [one for one in lines if all_lines or mattered(one)]
    worst, more_worst = worst_first(arrays, alerts)
    template = page_template(TEMPLATE, arrays.begin, arrays.end, arrays.stay.display)
    return template.render(
        record=arrays,
        stay=arrays.stay,
        summary=summary(arrays, lines, alerts, holding),
        worst=worst,
        lasted=lasted_words,
        more_worst=more_worst,
        plan=Markup(plan_of_stay(arrays.stay, lines)),
        used=limits_used(arrays.stay.limits),
        files=stay_files(arrays),
        history=history,
        due=() if history is None else tuple(history.due()),
        condition=lambda line, what: printed_condition(history, line, what) if history else None,
        chain=chain_rows(arrays.chain, arrays.stay.display),
        lines=lines,
        water=Markup(drawing.water()),
        wind=Markup(drawing.wind(holding)) if wind_known(arrays) else None,
        holding=holding,
        zone=zone_text(arrays.end, arrays.stay.display),
        most_held=held_speed(CAP_MS, arrays.stay.display, CAP_MS),
        charts=[(one, Markup(_chart(drawing, arrays.stay, one, begin))) for one in drawn],
        quiet=[one.line.id for one in lines if one not in drawn],
        alerts=alerts,
        orders=orders_on_record(arrays.events, arrays.actions),
        tendings=tendings(arrays),
        actions=[(done.time, *action_words(done.action)) for done in arrays.actions],
        events=arrays.events[:MOST_EVENTS],
        left_out=max(0, len(arrays.events) - MOST_EVENTS),
        watched_s=float(arrays.stands.sum()),
    )


def _chart(drawing: Charts, stay: Stay, line: LineFigures, begin: Callable[[str], None]) -> str:
    begin(f"Drawing the chart of line {line.line.id}")
    return drawing.line(line, stay)


def mattered(line: LineFigures) -> bool:
    """Return whether a line came to any stage, was tended, or was not known for a while."""
    return bool(line.worst) or line.tendings > 0 or line.unknown_s > 0.0


def stay_files(arrays: RecordArrays) -> tuple[StayFile, ...]:
    """Return every stay file by which the watch was kept, with the time from which on it was."""
    files: list[StayFile] = []
    for run in arrays.runs:
        name = Path(run.stay.file).name + (" with what was done on deck" if run.stay.amended else "")
        file = StayFile(name, stay_hash(run.stay), run.started, run.program)
        if not files or (files[-1].sha256, files[-1].program) != (file.sha256, file.program):
            files.append(file)
    return tuple(files)


def wind_known(arrays: RecordArrays) -> bool:
    """Return whether any wind is on record."""
    return bool(np.isfinite(arrays.number["wind_ms"]).any())
