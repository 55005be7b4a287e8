"""Charts: the axis holds what matters, gaps stay gaps, what is expected stands right of now, names and times
are whole."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from alongside.cycle.picture import History, Picture
from alongside.reports.braille import Raster
from alongside.screens.chart import chart_strips
from alongside.screens.chart_choice import other_cursor, other_lines, other_series
from alongside.screens.chart_drawing import draw_past, end_labels
from alongside.screens.chart_series import Past, Trace, choices, past_of, trace_of
from alongside.screens.chart_shown import shown_of, values_at
from alongside.screens.chart_window import Window, fitted, scale, thinned, time_labels
from alongside.screens.view import CHART_LINES
from alongside.stay.model import Display
from tests.screens import invented
from tests.screens.shown import console
from tests.screens.test_line_part import picture_of, text_of, view_of

some_values = arrays.arrays(np.float64, st.integers(1, 30), elements=st.floats(-1e3, 1e3) | st.just(np.nan))


@given(
    values=st.lists(some_values, min_size=1, max_size=3), limits=st.lists(st.floats(-1e3, 1e3), max_size=4)
)
def test_the_axis_holds_all_data_and_the_nearest_limit(values: list[np.ndarray], limits: list[float]) -> None:
    low, high = fitted(values, limits)
    known = np.concatenate(values)
    known = known[np.isfinite(known)]
    if not known.size:
        assert np.isnan(low)
        assert np.isnan(high)
        return
    assert low < known.min()
    assert high > known.max()
    away = [max(known.min() - limit, limit - known.max(), 0.0) for limit in limits]
    beyond = [each for each in away if each > 0.0]
    for limit, distance in zip(limits, away, strict=True):
        if distance == 0.0 or distance == min(beyond):
            nearest_seen = low <= limit <= high or sum(each == distance for each in away) > 1
            assert nearest_seen


@given(low=st.floats(-50.0, 500.0), height=st.floats(0.1, 500.0), rows=st.integers(4, 60))
def test_a_scale_has_two_values_at_least(low: float, height: float, rows: int) -> None:
    assert len(scale(Window(0.0, 1.0, low, low + height), rows)) >= 2


def test_the_axis_does_not_begin_at_nought() -> None:
    assert fitted([np.array([2.9, 3.4])], ())[0] > 2.5


@pytest.mark.slow
@pytest.mark.parametrize("berth", ["coal", "jetty", "normal", "warning"])
@pytest.mark.parametrize("lines", CHART_LINES)
def test_each_choice_is_drawn_in_its_window(berth: str, lines: str) -> None:
    picture = picture_of(berth)
    view = view_of(picture, chart_lines=lines)
    for name in choices(view):
        shown = shown_of(replace(view, series=name))
        if shown.window is None:
            continue
        window = shown.window
        known = shown.past.value[np.isfinite(shown.past.value)]
        assert window.low <= known.min() <= known.max() <= window.high
        assert window.start < shown.past.time[-1] <= window.end
        if shown.coming is not None:
            assert shown.coming.time[0] > shown.past.time[-1]
            assert window.low <= np.nanmin(shown.coming.expected)
            assert np.nanmax(shown.coming.expected) <= window.high


@given(
    begin=st.integers(100, 900),
    length=st.integers(60, 600),
    columns=st.integers(20, 120),
    samples=st.integers(1500, 6000),
)
def test_a_gap_stays_a_gap_however_much_is_thinned(
    begin: int, length: int, columns: int, samples: int
) -> None:
    """No dot in any column of dots that lies within the gap with all its width."""
    time = np.arange(float(samples))
    value = np.sin(time / 50.0)
    value[begin : begin + length] = np.nan
    window = Window(0.0, float(samples - 1), -1.5, 1.5)
    plot = Raster(columns, 20)
    trace = Trace("x", "x", "m", 1.0)
    draw_past(plot, window, trace, Past(time, value[:, np.newaxis], value))
    across = window.across(time[begin : begin + length], plot.width)
    first, last = int(np.ceil(across[0] + 0.5)), int(np.floor(across[-1] - 0.5))
    for cell in range(first // 2 + 1, (last - 1) // 2):
        assert not plot.bits[:, cell].any(), cell


def test_a_moment_that_is_not_known_breaks_the_line_within_a_column() -> None:
    time, value = np.arange(9000.0), np.zeros((9000, 1))
    window = Window(0.0, 8999.0, -1.0, 8.0)
    assert np.isfinite(thinned(time, value, window, 100)[1]).all()
    value[4321] = np.nan
    assert np.isnan(thinned(time, value, window, 100)[1]).sum() == 1


def test_what_is_thinned_keeps_peaks() -> None:
    time = np.arange(9000.0)
    value = np.zeros((9000, 1))
    value[4321] = 7.0
    window = Window(0.0, 8999.0, -1.0, 8.0)
    _, less = thinned(time, value, window, 100)
    assert np.nanmax(less) == 7.0
    assert less.shape[0] < 400


def test_a_hole_in_time_is_a_gap_and_has_no_value() -> None:
    picture = invented.normal()
    past = picture.history
    kept = (past.time < past.time[-1] - 7200.0) | (past.time > past.time[-1] - 3600.0)
    history = History(past.time[kept], {name: values[kept] for name, values in past.series.items()})
    view = view_of(replace(picture, history=history), hours=6)
    shown = shown_of(view)
    inside, _ = values_at(shown, float(past.time[-1]) - 5400.0)
    before, _ = values_at(shown, float(past.time[-1]) - 16000.0)
    assert np.isnan(inside).all()
    assert np.isfinite(before).all()


def test_what_is_expected_stands_right_of_now_with_its_range() -> None:
    picture = picture_of("coal")
    assert picture.forecast is not None
    for series in ("stretch_share", "tide", "under_keel", "sway", "tension_kn", "vertical_deg"):
        shown = shown_of(view_of(picture, series=series, line="4", hours=6))
        coming = shown.coming
        assert coming is not None, series
        assert (coming.low <= coming.expected + 1e-9).all()
        assert (coming.expected <= coming.high + 1e-9).all()
        assert coming.time[-1] <= picture.time + 3 * 3600.0 + 1.0
        assert shown.window is not None
        assert shown.window.low <= np.nanmin(coming.low[:, 0])
        assert np.nanmax(coming.high[:, 0]) <= shown.window.high
    hidden = shown_of(view_of(replace(picture, forecast_hidden=True), series="tide"))
    assert hidden.coming is None


def test_the_range_of_a_line_is_that_of_the_members() -> None:
    """The middle of it is what is expected, in the unit of the chart."""
    picture = picture_of("coal")
    forecast = picture.forecast
    assert forecast is not None
    assert forecast.stretch_spread is not None
    at = forecast.lines.index("4")
    shown = shown_of(view_of(picture, series="stretch_share", line="4", hours=24))
    assert shown.coming is not None
    rows = np.searchsorted(forecast.times, shown.coming.time)
    np.testing.assert_allclose(shown.coming.expected[:, 0], 100.0 * forecast.stretch_share[rows, at])
    np.testing.assert_allclose(shown.coming.high[:, 0], 100.0 * forecast.stretch_spread.high[rows, at])
    assert (shown.coming.high[:, 0] > shown.coming.low[:, 0]).any()


def test_under_keel_is_that_of_the_forecast_at_its_beginning() -> None:
    """By the same function as the alert's, from what was measured: the hours ahead begin where it ends."""
    picture = picture_of("coal")
    view = view_of(picture, series="under_keel")
    assert "under_keel" in choices(view)
    assert picture.forecast is not None
    value = past_of(view, trace_of(view)).value[-1, 0]
    assert value == pytest.approx(picture.forecast.under_keel.expected[0], abs=0.05)


def test_limits_of_drift_hold_either_way() -> None:
    view = view_of(picture_of("coal"), series="sway")
    trace = trace_of(view)
    assert trace.both
    assert {-each for each in trace.levels} == set(trace.levels)


@given(
    hours=st.floats(0.2, 48.0),
    columns=st.integers(8, 240),
    start=st.integers(0, 90000),
    zone=st.sampled_from(("+00:00", "Europe/London")),
)
def test_times_are_never_glued_or_cut(hours: float, columns: int, start: int, zone: str) -> None:
    begin = 1793050000.0 + start
    text = time_labels(Display(zone=zone), Window(begin, begin + hours * 3600.0, 0.0, 1.0), columns)
    assert len(text) == columns
    for mark in text.split("╵")[1:]:
        assert re.fullmatch(r"\d\d:\d\d( [+-]\d{4})? *", mark)
    assert not re.search(r"\d╵", text)


@given(
    values=st.lists(st.floats(0.0, 100.0) | st.just(float("nan")), min_size=1, max_size=24),
    rows=st.integers(3, 40),
    cells=st.integers(4, 16),
)
def test_names_at_the_end_never_overlap_and_name_all(values: list[float], rows: int, cells: int) -> None:
    lines = [f"L{at}" for at in range(len(values))]
    labels = end_labels(Window(0.0, 1.0, 0.0, 100.0), lines, values, rows, cells)
    assert all(0 <= row < rows for row in labels)
    assert all(len(text) <= cells for text in labels.values())
    named = sum(
        int(part[1:]) if part.startswith("+") else 1 for text in labels.values() for part in text.split()
    )
    if cells >= 8:
        assert named == sum(value == value for value in values)


def test_the_cursor_stays_within_and_goes_beyond_the_end() -> None:
    view = view_of(picture_of("coal"), series="tide", hours=1)
    view = other_cursor(view, -1)
    assert view.chart_at is not None
    for _ in range(300):
        view = other_cursor(view, -1)
    window = shown_of(view).window
    assert window is not None
    assert view.chart_at == pytest.approx(window.start)
    for _ in range(300):
        view = other_cursor(view, 1)
        if view.chart_at is None:
            break
    assert view.chart_at is None


def test_the_choice_comes_round() -> None:
    view = view_of(picture_of("coal"))
    begun = view
    for _ in choices(view):
        view = other_series(view, 1)
    assert view.series == begun.series
    for _ in CHART_LINES:
        view = other_lines(view, 1)
    assert view.chart_lines == begun.chart_lines


def test_several_lines_are_named_at_the_right_end() -> None:
    picture: Picture = invented.one_warning()
    text = text_of(chart_strips(view_of(picture, line="B1", chart_lines="role"), 120, 24))
    assert "Line B1, breast lines, stretch, %" in text
    ends = " ".join(row[110:] for row in text.splitlines())
    for line in ("B1", "B2", "B3", "B4"):
        assert line in ends or "+" in ends


@pytest.mark.slow
async def test_the_values_at_the_cursor_stand_in_sight() -> None:
    async with console(invented.normal(), size=(120, 30)) as shown:
        shown.app.show(replace(shown.app.view, chart_at=invented.NOW - 3600.0, series="tide"))
        await shown.turn("chart")
        assert re.search(r"at \d\d:\d\d +\d+\.\d\d m", shown.text)


def test_what_the_brake_holds_stands_on_the_charts_of_load() -> None:
    """A worn brake slips below every limit of the rope: without its mark all would look well."""
    picture = picture_of("coal")
    view = view_of(picture, line="4", series="tension_kn")
    holding_kn = picture.stay.ship.winches["W4"].holding_kn
    assert holding_kn is not None
    ((word, at),) = trace_of(view).marks
    assert word == "brake holds"
    assert at == pytest.approx(holding_kn / 9.80665)
    ((_, share),) = trace_of(replace(view, series="load_share")).marks
    line = next(each for each in picture.stay.lines if each.id == "4")
    assert share == pytest.approx(100.0 * holding_kn / line.smallest_wll_kn)
    assert "brake holds 26" in text_of(chart_strips(view, 120, 24))
    assert trace_of(replace(view, series="stretch_share")).marks == ()
