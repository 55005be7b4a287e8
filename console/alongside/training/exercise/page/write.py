"""Write the page of a debrief to disk."""

from pathlib import Path

from alongside.reports.extras import need
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import DEBRIEF_PAGE
from alongside.training.exercise.debrief import Debrief


def need_libraries(command: str) -> None:
    """Raise WrongInput where a library that a page takes is not installed."""
    need(command, "report", "jinja2", "matplotlib")


def write_page(debrief: Debrief, out: Path, *, all_lines: bool = False) -> None:
    """Write the page; with a curve of every line, not of those alone that mattered, for `all_lines`. Raises
    WrongInput for a place that cannot be written."""
    from alongside.training.exercise.page.page import page

    with Outputs() as outputs:
        outputs.text(out, DEBRIEF_PAGE).write(page(debrief, all_lines=all_lines))
