"""The page itself: one HTML file that needs nothing else, on screen and on paper.

The template escapes all text; besides, the page's own content security policy lets a browser run no script
and fetch nothing, whatever a ship may be called.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from alongside.record.entries import stay_hash
from alongside.reports.stay.alert_courses import alert_courses
from alongside.reports.stay.charts import Charts
from alongside.reports.stay.figures import LineFigures
from alongside.reports.stay.record_arrays import Gathered
from alongside.reports.stay.shown import Shown, number, percent, span
from alongside.reports.stay.summary import summary
from alongside.reports.stay.tendings import tendings
from alongside.reports.stay.wind_held import WindHeld
from alongside.stay.stage import Stage
from alongside.wording.acts import deed_words
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe

TEMPLATES: Final = Path(__file__).parent / "templates"
MOST_EVENTS: Final = 3000
"""Events told in the page; all are in the table for other programs."""


@dataclass(frozen=True, slots=True)
class StayFile:
    """A stay file as one or several runs read it."""

    name: str
    sha256: str
    since: float
    program: str


def page(told: Gathered, lines: Sequence[LineFigures], held: WindHeld | None) -> str:
    """The report as HTML. The same record gives the same page."""
    alerts = alert_courses(told.events, told.deeds)
    drawing = Charts(told)
    template = _environment(Shown(told.stay.display)).get_template("report.html.jinja")
    return template.render(
        told=told,
        stay=told.stay,
        css=Markup((TEMPLATES / "report.css").read_text(encoding="utf-8")),
        summary=summary(told, lines, alerts, held),
        files=stay_files(told),
        lines=lines,
        limits=told.stay.limits,
        water=Markup(drawing.water()),
        wind=Markup(drawing.wind(held)) if wind_known(told) else None,
        held=held,
        charts=[Markup(drawing.line(one, told.stay)) for one in lines],
        alerts=alerts,
        tendings=tendings(told),
        deeds=[(done.time, *deed_words(done.action)) for done in told.deeds],
        events=told.events[:MOST_EVENTS],
        left_out=max(0, len(told.events) - MOST_EVENTS),
        watched_s=float(told.stands.sum()),
    )


def stay_files(told: Gathered) -> tuple[StayFile, ...]:
    """Every stay file by which the watch was kept, from when on."""
    found: list[StayFile] = []
    for run in told.runs:
        file = StayFile(Path(run.stay.file).name, stay_hash(run.stay), run.started, run.program)
        if not found or (found[-1].sha256, found[-1].program) != (file.sha256, file.program):
            found.append(file)
    return tuple(found)


def wind_known(told: Gathered) -> bool:
    wind = told.number["wind_ms"]
    return bool((wind == wind).any())


def _environment(shown: Shown) -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda value: safe(value) if type(value) is str else value,
    )
    environment.globals.update(
        shown=shown,
        number=number,
        percent=percent,
        span=span,
        stages=tuple(Stage),
        mark=MARKS,
        stage_word=lambda stage: "" if stage is None else stage.word,
        unknown=_unknown,
    )
    return environment


def _unknown(value: float) -> bool:
    return value != value
