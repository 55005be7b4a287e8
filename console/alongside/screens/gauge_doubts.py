"""A gauge beside what doubts it: both values, how far they lie apart, the likely cause, in words."""

from dataclasses import dataclass
from math import isfinite, nan

from alongside.cycle.picture import ChannelRow, Picture
from alongside.cycle.plausibility.model import Doubt
from alongside.readings import Quality
from alongside.screens.chart_series import channel_unit
from alongside.screens.view import View
from alongside.stay.model import Display
from alongside.wording import names
from alongside.wording.doubts import LIKELY, WITNESSES
from alongside.wording.figures import figure
from alongside.wording.times import clock


@dataclass(frozen=True, slots=True)
class Doubted:
    """A gauge that a witness doubts."""

    row: ChannelRow
    doubt: Doubt


def doubted(picture: Picture, channel: str) -> Doubted | None:
    """Return a gauge with the first doubt about it; None where no witness doubts it."""
    row = next((row for row in picture.channels if row.channel == channel), None)
    doubt = next((doubt for doubt in picture.doubts if doubt.channel == channel), None)
    return None if row is None or doubt is None else Doubted(row, doubt)


def chosen_channel(view: View, picture: Picture) -> ChannelRow | None:
    """Return the chosen gauge, else the first that is doubtful, else the first of all."""
    rows = picture.channels
    doubtful = [row for row in rows if doubted(picture, row.channel)]
    doubtful += [row for row in rows if row.quality is Quality.SUSPECT]
    chosen = [row for row in rows if row.channel == view.channel]
    return next(iter([*chosen, *doubtful, *rows]), None)


def value_text(channel: str, value: float, display: Display) -> str:
    """Return a channel's value in the unit of the screen: `3.46 m`, `210°`."""
    unit, scale = channel_unit(channel, display)
    digits = {"m": 2, "°": 1 if channel == "heel" else 0, "t": 1, "m/s": 1}.get(unit, 0)
    text = figure(value * scale, digits)
    return f"{text}{'' if unit == '°' else ' '}{unit}" if isfinite(value) else text


def witness(doubt: Doubt) -> str:
    """Return who says otherwise than a gauge: `the table`; for one that its own past doubts, what stands for
    it."""
    return WITNESSES.get(doubt.against) or f"the {names.stands_in(doubt.channel)}"


def what_doubts(picture: Picture, of: Doubted, display: Display) -> list[str]:
    """Return the doubt in sentences: both values and the difference, since when, the likely cause."""
    row, doubt = of.row, of.doubt
    says = f"Gauge: {names.channel(row.channel)} {value_text(row.channel, row.value, display)}"
    other = _otherwise(picture, of)
    if isfinite(other) and isfinite(row.value):
        apart = value_text(row.channel, abs(row.value - other), display)
        way = "above" if row.value > other else "below"
        says += (
            f"; by {witness(doubt)} {value_text(row.channel, other, display)}; the gauge stands {apart} {way}"
        )
    since = clock(doubt.since, display, "%a %H:%M")
    rows = [says, f"Doubtful since {since}: {names.reason(doubt.reason.name)}"]
    if doubt.likely in LIKELY:
        rows.append(f"Likely cause: {LIKELY[doubt.likely]}")
    elif doubt.likely == "zone":
        rows.append("Likely cause: zone of the table, or of this machine's clock")
    return rows


def _otherwise(picture: Picture, of: Doubted) -> float:
    """Return what the witness of a gauge says, in the channel's unit; NaN where it says no figure."""
    other = picture.by_witnesses
    by_channel = (
        {}
        if other is None
        else {
            "tide": other.tide,
            "draught_fwd": other.draught_fwd,
            "draught_aft": other.draught_aft,
            "heel": other.heel_deg,
        }
    )
    said = by_channel.get(of.row.channel, nan)
    return said if isfinite(said) else of.row.value - of.doubt.off
