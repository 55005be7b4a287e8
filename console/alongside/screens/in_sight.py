"""What stands before whoever sits at a console, told to an instructor's; and that one's View after it."""

from dataclasses import replace

from alongside.actions.controls import InSight
from alongside.screens.parts import PARTS, Part
from alongside.screens.view import CHART_LINES, View


def in_sight(view: View, form: str, size: tuple[int, int]) -> InSight:
    """Return what is in sight, with the open form ("" for none) and the columns and rows of the terminal."""
    return InSight(
        view.part,
        view.behind,
        view.line,
        view.channel,
        view.by_position,
        view.scroll,
        view.hours,
        view.series,
        view.chart_lines,
        view.chart_at,
        form.removesuffix("_form").replace("_", " "),
        size,
    )


def followed(view: View) -> View:
    """Return the View of an instructor's console with what the trainee has in sight, where it follows him."""
    instructing = view.watch.instructing
    seen = None if instructing is None else instructing.in_sight
    if seen is None or not view.follows:
        return view
    parts: dict[str, Part] = {part: part for part in PARTS}
    lines = {str(word): word for word in CHART_LINES}
    if seen.part not in parts or seen.behind not in parts:
        return view
    return replace(
        view,
        part=parts[seen.part],
        behind=parts[seen.behind],
        line=seen.line,
        channel=seen.channel,
        by_position=seen.by_position,
        scroll=seen.scroll,
        hours=seen.hours,
        series=seen.series,
        chart_lines=lines.get(seen.chart_lines, view.chart_lines),
        chart_at=seen.chart_at,
    )
