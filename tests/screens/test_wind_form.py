"""The form for the wind of a weather forecast: what is understood, shown before, refused; the page Ahead."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.actions import Correct, ForecastWind
from alongside.cycle.picture import Picture
from alongside.forecast.expected.wind_forecast import WIND_FORECAST, WindAt
from alongside.forecast.present import Present, nothing_heard
from alongside.units import KNOT
from tests.screens import invented
from tests.screens.shown import Shown, console


def watched(*forecast: WindAt) -> Picture:
    picture = invented.one_warning()
    present = Present(
        picture.time, 2.0, 7.0, 7.0, 0.0, False, 8.0, 200.0, 0.0, 0.0, np.ones(3), nothing_heard()
    )
    return replace(picture, present=replace(present, wind_forecast=forecast))


async def enter(shown: Shown, **fields: str) -> None:
    await shown.press("f", "W")
    start = {"at": "now", "mean": "20", "gust": "", "come": "210", "over": "10 min", "by": "ab"}
    for name, text in (start | fields).items():
        shown.app.query_one(f"#wind_form_{name}").value = text  # type: ignore[attr-defined]
    await shown.pilot.pause()
    await shown.press("enter")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fields", "mean", "gust"),
    [
        ({}, 25.0, 0.0),  # 10 min mean x 1.25 = 30 s mean
        ({"over": "30 s"}, 20.0, 0.0),
        ({"mean": "20kn", "gust": "33"}, 25.0, 33.0),
        ({"mean": "10,5 m/s", "over": "30s"}, 10.5 / KNOT, 0.0),
    ],
)
async def test_what_is_understood(fields: dict[str, str], mean: float, gust: float) -> None:
    async with console(watched()) as shown:
        await enter(shown, **fields)
        assert "Will record: wind forecast: " in shown.text
        assert "Counts as " in shown.text
        assert not shown.desk.actions
        await shown.press("enter")
        (done,) = shown.desk.actions
        assert isinstance(done, ForecastWind)
        assert (done.mean_ms / KNOT, done.gust_ms / KNOT) == pytest.approx((mean, gust))
        assert (done.from_deg, done.by, done.at) == (210.0, "ab", watched().time)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"mean": ""}, "expected a speed such as 25"),
        ({"mean": "fresh"}, "expected a speed such as 25"),
        ({"mean": "300"}, "is not possible"),
        ({"gust": "12"}, "is below the mean"),
        ({"come": "400"}, "expected a true direction"),
        ({"come": "SW"}, "expected a true direction"),
        ({"over": "2 min"}, "expected 10 min or 30 s"),
        ({"at": "noon"}, "expected a time such as 18:00"),
        ({"at": "2001-01-01T00:00Z"}, "is past or too far"),
        ({"by": ""}, "no initials"),
        ({"at": "undo"}, "nothing to take back"),
    ],
)
async def test_what_is_refused(fields: dict[str, str], expected: str) -> None:
    async with console(watched()) as shown:
        await enter(shown, **fields)
        assert "Not done: " in shown.text
        assert expected in " ".join(shown.text.split())
        assert not shown.desk.actions


async def test_undo_takes_the_last_forecast_back() -> None:
    picture = watched()
    there = WindAt(picture.time + 3600.0, 13.0, 0.0, 210.0, "AB", picture.time)
    async with console(watched(there)) as shown:
        await enter(shown, at="undo")
        assert "wind forecast taken back: 25 kn from 210°" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [Correct(WIND_FORECAST, "ab")]


@pytest.mark.slow
@pytest.mark.parametrize("size", [(120, 30), (160, 50)])
async def test_the_page_ahead_says_whose_forecast_it_goes_by(size: tuple[int, int]) -> None:
    picture = watched()
    assert picture.forecast is not None
    assert picture.present is not None
    there = WindAt(picture.time + 3600.0, 13.0, 18.0, 210.0, "AB", picture.time)
    present = replace(picture.present, wind_forecast=(there,))
    seen = replace(picture, forecast=replace(picture.forecast, present=present))
    async with console(seen, size=size) as shown:
        await shown.turn("ahead")
        text = " ".join(shown.text.split())
        for _ in range(12):
            await shown.press("down")
            text += " ".join(shown.text.split())
        assert "Wind forecast by AB" in text
        assert "kn, from 210° at 05:12, 30 s mean" in text, "a weather forecast's own mean is another"


@pytest.mark.slow
async def test_what_is_to_be_decided_stays_in_sight_while_a_forecast_is_typed() -> None:
    async with console(watched()) as shown:
        await shown.turn("decide")
        await shown.press("W")
        assert shown.app.view.part == "decide"
