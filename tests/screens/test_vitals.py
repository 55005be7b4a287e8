"""The vitals: each figure its own stamp; a stamp makes room before a figure; what is in alarm stays."""

from dataclasses import replace
from math import nan

import pytest

from alongside.cycle.picture import ChannelRow, Picture
from alongside.cycle.plausibility.by_hand import HandReading
from alongside.readings import Quality, Reason
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import console

SIZES = [(80, 24), (120, 30), (160, 50)]


def by_hand(**times: str) -> Picture:
    """A ship read by hand, each channel at a time of its own; no gauge of gusts."""
    picture = invented.one_warning()
    others = tuple(row for row in picture.channels if row.channel not in times)
    rows = tuple(
        ChannelRow(channel, "", 9.0, Quality.EXPECTED, Reason.BY_HAND, 60.0 * place, f"by hand {at}", 0.05)
        for place, (channel, at) in enumerate(times.items())
    )
    depth = replace(picture.stay.berth, charted_depth=picture.draught_aft + 1.2 - picture.tide)
    stay = replace(picture.stay, berth=depth)
    return replace(picture, stay=stay, channels=(*others, *rows), wind_gust_ms=nan)


async def vitals(picture: Picture, size: tuple[int, int]) -> tuple[str, str]:
    """The rows of how she floats and of the wind, on a page without large figures."""
    async with console(picture, size=size) as shown:
        await shown.turn("wind")
        (at,) = [at for at, row in enumerate(shown.rows) if row.startswith(" Tide ")]
        return shown.rows[at], shown.rows[at - 1]


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_in_large_figures_trim_heel_and_under_keel_are_never_lost(size: tuple[int, int]) -> None:
    picture = replace(by_hand(), heel_deg=-0.4)
    async with console(picture, size=size) as shown:
        assert "Trim 0.99 stern" in shown.text
        assert "Heel 0.4° port" in shown.text
        assert "UKC" in shown.text
        assert "gust" in shown.text


@pytest.mark.slow
async def test_a_large_figure_that_was_read_by_hand_says_so() -> None:
    async with console(by_hand(tide="00:08", wind_speed="00:11", wind_from="00:11"), size=(160, 50)) as shown:
        assert "Tide by hand 00:08" in shown.text
        assert "Wind by hand 00:11" in shown.text


@pytest.mark.slow
async def test_figures_keep_their_columns() -> None:
    """9 kn or 10, the tide rising or standing: nothing beside them moves."""
    places = set()
    for wind, rate in ((4.6, 0.31), (5.2, 0.0), (nan, nan)):
        async with console(replace(by_hand(), wind_ms=wind, tide_rate=rate), size=(120, 30)) as shown:
            (row,) = [row for row in shown.rows if "TIDE m" in row]
            places.add((row.index("LINES HOLD"), row.index("TIDE m"), row.index("UKC m")))
    assert len(places) == 1


async def test_each_figure_has_its_own_time() -> None:
    picture = by_hand(draught_fwd="00:11", draught_aft="00:08", wind_speed="00:11", wind_from="00:08")
    afloat, wind = await vitals(picture, (160, 50))
    assert "by hand F 00:11 A 00:08" in afloat
    assert "by hand speed 00:11 direction 00:08" in wind


async def test_one_that_is_by_a_gauge_bears_no_time() -> None:
    afloat, wind = await vitals(by_hand(draught_fwd="00:11", wind_from="00:08"), (160, 50))
    assert "by hand F 00:11" in afloat
    assert "A 00:11" not in afloat
    assert "by hand direction 00:08" in wind


@pytest.mark.slow
async def test_what_was_read_together_has_one_stamp() -> None:
    together = by_hand(draught_fwd="00:08", draught_aft="00:08", wind_speed="00:08", wind_from="00:08")
    afloat, wind = await vitals(together, (160, 50))
    assert afloat.count("by hand 00:08") == wind.count("by hand 00:08") == 1


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_gust_that_nothing_measures_is_a_dash(size: tuple[int, int]) -> None:
    _afloat, wind = await vitals(by_hand(wind_speed="00:08", wind_from="00:08"), size)
    assert "gust — from" in wind


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_stamp_makes_room_before_a_figure_does(size: tuple[int, int]) -> None:
    afloat, _wind = await vitals(by_hand(tide="00:08", draught_fwd="00:08", draught_aft="00:08"), size)
    assert "Tide" in afloat
    assert "F 7.02" in afloat
    assert "Heel" in afloat
    assert "UKC" in afloat
    if size == (160, 50):
        assert afloat.count("by hand 00:08") == 2


@pytest.mark.slow
@pytest.mark.parametrize("stage", [Stage.WARNING, Stage.ALARM])
@pytest.mark.parametrize("width", [80, 100, 120])
async def test_under_keel_stays_while_it_is_in_alarm(stage: Stage, width: int) -> None:
    picture = by_hand(tide="00:08", draught_fwd="00:11", draught_aft="00:08")
    sounded = HandReading("under_keel", picture.time - 60.0, 0.4, 0.1)
    other = replace(picture, stages={("under_keel", ""): stage}, by_hand=(sounded,))
    afloat, _wind = await vitals(other, (width, 24))
    assert "UKC" in afloat
    assert "read 0.4 m" in afloat, "the alert goes by what was sounded"
