"""Templates of pages that print: one HTML file that needs nothing else, on screen and on paper.

The template escapes all text; besides, the page's own content security policy lets a browser run no script
and fetch nothing, whatever a ship may be called.
"""

from math import isnan
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import figure, force_text, lead, percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import page_clock, span

SHARED: Final = Path(__file__).parent / "templates"
MINUTE: Final = "%d %b %H:%M"
SECOND: Final = "%d %b %H:%M:%S"
DAY: Final = "%d %B %Y %H:%M"


def page_template(file: Path, begin: float, end: float, display: Display) -> Template:
    """Return the template of a page about the time between two, with the style of all pages and its own,
    which lies beside it under the same name, and with a vocabulary: all text escaped and made safe, all
    figures as `wording` has them."""
    clock = page_clock(begin, end, display)
    environment = Environment(
        loader=FileSystemLoader([file.parent, SHARED]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda value: safe(value) if type(value) is str else value,
    )
    styles = SHARED / "house.css", file.with_name(f"{file.name.partition('.')[0]}.css")
    environment.globals.update(
        css=Markup("".join(each.read_text(encoding="utf-8") for each in styles)),
        force=lambda kn: force_text(kn, display),
        day=lambda time: clock(time, DAY),
        minute=lambda time: clock(time, MINUTE),
        second=lambda time: clock(time, SECOND),
        figure=figure,
        percent=percent,
        lead=lead,
        span=span,
        stages=tuple(Stage),
        mark=MARKS,
        not_known=NOT_KNOWN,
        stage_word=lambda stage: "" if stage is None else stage.word,
        unknown=isnan,
    )
    return environment.get_template(file.name)
