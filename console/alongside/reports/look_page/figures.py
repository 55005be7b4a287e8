"""All that the look-only page shows of a Picture, as plain values in JSON, part by part."""

import json
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, Final

from alongside.cycle.guard import Guard
from alongside.cycle.picture import Picture
from alongside.reports.look_page.alerts import alert_rows
from alongside.reports.look_page.lines import line_rows
from alongside.reports.look_page.now import headline, next_deeds, of_now
from alongside.reports.look_page.plan import plan_svg
from alongside.reports.look_page.water import gauges, water
from alongside.reports.output_files import FORMAT
from alongside.wording.safe import escaped

PARTS: Final[Mapping[str, Callable[[Picture], Any]]] = {
    "now": of_now,
    "headline": headline,
    "next": next_deeds,
    "water": water,
    "lines": line_rows,
    "alerts": alert_rows,
    "plan": plan_svg,
    "gauges": gauges,
}


def page_figures(picture: Picture, guard: Guard) -> dict[str, Any]:
    """Return the parts of the page by name, the format first; None for a part that fails, which `guard` has
    then. Not known is a dash or None, never 0."""
    return {name: json.loads(text) for name, text in page_parts(picture, guard).items()}


def page_parts(picture: Picture, guard: Guard) -> dict[str, str]:
    """Return the same as JSON texts of one row each, by name: what has not changed need not be sent again."""
    parts = {
        name: guard.run(name, partial(_written, part, picture), lambda: "null")
        for name, part in PARTS.items()
    }
    return {"format": str(FORMAT), **parts}


def _written(part: Callable[[Picture], Any], picture: Picture) -> str:
    return _json(part(picture))


def _json(value: Any) -> str:
    return escaped(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))
