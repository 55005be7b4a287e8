"""How a stage looks: weight and colour beside the mark and word of `wording.marks`, so that no one of them
must carry it alone.

After IMO bridge alert presentation: alarm reverse and bold, warning bold.
"""

from collections.abc import Iterable
from typing import Final

from rich.style import Style

from alongside.alerts.model import Alert, Standing
from alongside.screens.palettes import Palette
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS

WIDEST: Final = len("● WARNING")
"""Cells of the widest mark and word."""


def stage_style(
    palette: Palette, stage: Stage, *, flash: bool = False, seen: bool = False, on: str | None = None
) -> Style:
    """Return the style of mark and word. `flash` turns reverse video over, for alerts nobody has answered; an
    alarm that is `seen`, acknowledged, is dimmed."""
    if stage == Stage.ALARM and seen:
        return palette.seen_style
    reverse = (stage == Stage.ALARM) != flash
    on = None if reverse else on  # the letters of reverse video are those of the dark background
    return palette.style(palette.stage(stage), on, bold=stage >= Stage.WARNING, reverse=reverse)


def is_seen(alerts: Iterable[Alert], stage: Stage = Stage.ALARM) -> bool:
    """Return whether all alerts of a stage are acknowledged or accepted, and there are any."""
    of_stage = [alert for alert in alerts if alert.stage == stage]
    return bool(of_stage) and all(alert.standing == Standing.ACKNOWLEDGED for alert in of_stage)


def value_style(palette: Palette, stage: Stage, on: str | None = None) -> Style:
    """Return the style of a figure in a stage: its colour from caution up, plain ink below."""
    if stage == Stage.NORMAL:
        return palette.style(palette.ink, on)
    return palette.style(palette.stage(stage), on, bold=stage >= Stage.WARNING)


def marked(text: str, stage: Stage) -> str:
    """Return a figure with the mark of its stage before it, none at normal: `● 88 %`."""
    return f"{MARKS[stage]} {text}" if stage > Stage.NORMAL else text
