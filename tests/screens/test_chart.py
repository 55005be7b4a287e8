"""The strip chart: where it begins, what is marked on it, what stays a gap."""

import re
from dataclasses import replace

import numpy as np
import pytest

from alongside.cycle.picture import History, Picture
from alongside.screens.chart_window import Window, time_labels
from alongside.stay.model import Display
from alongside.units import unix_time
from tests.screens import invented
from tests.screens.shown import console


def young(minutes: float) -> Picture:
    picture = invented.normal()
    return replace(picture, history=invented.history(picture.stay, hours=minutes / 60.0, every=20.0))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("minutes", "reach", "first", "never"),
    [(48.0, "48 min of 6 h", "╵03:30", "03:20"), (3.0, "10 min of 6 h", "╵04:10", "04:08")],
)
async def test_a_young_watch_is_not_shown_an_empty_past(
    minutes: float, reach: str, first: str, never: str
) -> None:
    async with console(young(minutes), size=(120, 30)) as shown:
        await shown.turn("chart")
        assert reach in shown.text
        assert first in shown.text
        assert f"╵{never}" not in shown.text


@pytest.mark.slow
async def test_a_gauge_fitted_later_begins_later() -> None:
    picture = invented.normal()
    past = picture.history
    late = np.where(past.time < past.time[-1] - 3600.0, np.nan, past.series["tide"])
    picture = replace(picture, history=History(past.time, {**past.series, "tide": late}))
    async with console(picture, size=(120, 30)) as shown:
        await shown.turn("chart")
        await shown.press("up", "up")
        assert "Tide, m  1 h 00 of 6 h" in shown.text


async def test_a_lost_gauge_stays_a_gap_at_the_beginning() -> None:
    """What was known before the window begins keeps it whole."""
    async with console(invented.normal(), size=(120, 30)) as shown:
        await shown.turn("chart")
        await shown.press("minus")
        assert "3 h" in shown.text
        assert " of 3 h" not in shown.text


# London by the rule of the European Union, at 01:00 UTC; New South Wales by that of the state, at 16:00 UTC
NIGHTS = [
    ("Europe/London", "2026-10-25T03:30:00Z", ("╵01:00 +0100", "╵01:00 +0000", "╵02:00 +0000")),
    ("Europe/London", "2026-03-29T03:30:00Z", ("╵00:00 +0000", "╵02:00 +0100")),
    ("Australia/Sydney", "2026-04-04T18:30:00Z", ("╵02:00 +1100", "╵02:00 +1000", "╵03:00 +1000")),
    ("Europe/London", "2026-10-25T14:30:00Z", ("╵10:00 ", "╵11:00 ")),
]


@pytest.mark.parametrize(("zone", "until", "labels"), NIGHTS)
def test_the_time_scale_where_the_clocks_change(zone: str, until: str, labels: tuple[str, ...]) -> None:
    end = unix_time(until)
    window = Window(end - 6 * 3600.0, end, 0.0, 1.0)
    for columns in (40, 62, 100, 150):
        marks = time_labels(Display(zone=zone), window, columns).split("╵")[1:]
        assert len(marks) >= (1 if columns == 40 else 2)
        assert len(set(marks)) == len(marks), "no two are alike"
        assert all(re.fullmatch(r"\d\d:\d\d( [+-]\d{4})? *", mark) for mark in marks), "none is cut"
    scale = time_labels(Display(zone=zone), window, 100)
    assert all(label in scale for label in labels), scale


@pytest.mark.slow
async def test_tendings_of_the_line_are_marked() -> None:
    async with console(invented.one_warning(), size=(120, 30)) as shown:
        await shown.turn("chart")
        assert "t tended" not in shown.text
        shown.app.show(replace(shown.app.view, line="B2"))
        await shown.pilot.pause()
        assert "t tended" in shown.text
        plot = [row for row in shown.rows if row[7:8] in ("│", "┤")]
        (column,) = (found.start() for found in re.finditer(r"(?<![a-z])t(?![a-z])", plot[0]))
        assert all(row[column] not in " " for row in plot[1:-1])
        shown.app.show(replace(shown.app.view, series="wind_speed"))
        await shown.pilot.pause()
        assert "t tended" not in shown.text
