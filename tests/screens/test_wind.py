"""Wind that is held, on the screen: the sentence always in sight, the page, fenders and place."""

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cycle.picture import FenderRow, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.cycle.who_holds import HeldBy
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.model import Spread
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.holding_roles import RoleShares
from alongside.reports.holding_polar import Wind, draw_polar
from alongside.screens.fender_words import fender_shares, place_words
from alongside.screens.line_figures import on_bollard
from alongside.screens.parts import PAGES, PARTS, is_now
from alongside.screens.view import View
from alongside.stay.model import Fender
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.wording.times import clock
from tests.screens import invented
from tests.screens.shown import Shown, console


def rule(shown: Shown) -> str:
    """The row of the names of the parts."""
    return next(row for row in shown.rows if row.startswith("─"))


@pytest.mark.slow
@pytest.mark.parametrize("width", [80, 100, 120, 160])
async def test_the_wind_held_never_leaves_the_screen(width: int) -> None:
    """Where the wind blows from, 46 kn are held; large on page Now, in the row of the wind on all others."""
    async with console(invented.one_warning(), size=(width, 24)) as shown:
        for part in PARTS:
            await shown.turn(part)
            held = "LINES HOLD" if is_now(part) else "Lines hold 46 kn"
            assert held in shown.text, part
            assert "Slack B1" in shown.text or "● WARNING" in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("width", [80, 100, 120, 160])
async def test_the_weakest_direction_stands_above_the_lines_in_whole_clauses(width: int) -> None:
    now, contact = "Lines hold 34 kn (weakest from 160°: load of line B4)", "Off her fenders from 27 kn"
    along = "Lines hold 34 kn (weakest from 160°)"
    clauses = (invented.HOLDS.rstrip("."), f"{now}. {contact}", now, along, f"{along}. {contact}")
    async with console(invented.one_warning(), size=(width, 24)) as shown:
        for part in PAGES["now"][1]:
            await shown.turn(part)
            assert any(f" {clause} ─" in rule(shown) for clause in clauses), part


async def test_paused_leaves_room_for_it() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("p")
        assert "PAUSED at 04:12:18" in rule(shown)
        assert "Lines hold 34 kn" in rule(shown)


def in_wind(ms: float, stage: Stage) -> Picture:
    picture = invented.normal()
    stages = {**picture.stages, ("holding", ""): stage}
    return replace(
        picture, wind_ms=ms, wind_gust_ms=ms * 1.4, wind_from_deg=158.0, holds_ms=18.0, stages=stages
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("share", "stage"),
    [(0.3, Stage.NORMAL), (0.61, Stage.CAUTION), (0.76, Stage.WARNING), (0.95, Stage.ALARM)],
)
async def test_the_sentence_bears_mark_and_word_of_the_wind_now(share: float, stage: Stage) -> None:
    """Ours: the least held is 18 m/s, from 158; the stage is that of the Picture."""
    picture = in_wind(18.0 * share, stage)
    async with console(picture, size=(120, 30)) as shown:
        mark = {
            Stage.NORMAL: " Lines hold",
            Stage.CAUTION: "■ Lines hold",
            Stage.WARNING: "● Lines hold",
        }.get(stage, "▲ Lines hold")
        assert mark in rule(shown)
        await shown.turn("wind")
        assert (stage == Stage.NORMAL) == (f"{stage.word}: wind now" not in " ".join(shown.text.split()))


@given(come_from=st.floats(0.0, 359.0), ms=st.floats(1.0, 40.0), rows=st.integers(10, 50))
def test_the_figures_of_the_rings_are_whole_wherever_the_wind_stands(
    come_from: float, ms: float, rows: int
) -> None:
    picture = invented.normal()
    assert picture.holding is not None
    wind = Wind(ms, 1.3 * ms, come_from)
    drawn = draw_polar(picture.holding, picture.stay, wind, 2 * rows + 4, rows)
    text = "\n".join("".join(part for part, _ink in row) for row in drawn.runs())
    assert all(int(figure) % 5 == 0 and figure != "0" for figure in re.findall(r"\d+", text))
    assert text.count("◆") == 1


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_every_letter_of_the_drawing_is_in_the_legend(size: tuple[int, int]) -> None:
    async with console(invented.normal(), size=size) as shown:
        await shown.turn("wind")
        for words in (
            "A load of line B4: ",
            "B load of line B1: ",
            "C ship ",
            "· off her fenders first at 27 kn",
        ):
            assert words in shown.text
        assert "wind now 14 kn from 210°" in shown.text
        assert "starboard side to the" in shown.text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("picture", "why"),
    [
        (invented.blind(), "not known: tide not known"),
        (replace(invented.waiting(), holding=None), "not known: waiting for tide"),
        (replace(invented.normal(), holding=None), "not known: not calculated yet"),
    ],
)
async def test_not_known_is_said_in_words(picture: Picture, why: str) -> None:
    async with console(picture) as shown:
        await shown.turn("wind")
        assert why in shown.text
        assert "◆" not in shown.text


async def test_balance_off_is_said_in_words() -> None:
    stay = replace(invented.invented_stay(), balance=False)
    picture = replace(invented.normal(stay), holding=None, holding_text="")
    async with console(picture, size=(160, 50)) as shown:
        assert "Fenders" not in shown.text
        await shown.turn("wind")
        assert "not known: balance is off in the stay file" in shown.text


@pytest.mark.slow
async def test_polar_stands_below_few_lines_on_a_large_screen() -> None:
    async with console(invented.normal(), size=(160, 50)) as shown:
        assert "A load of line B4: " in shown.text
    async with console(invented.normal(invented.invented_stay(repeat=2)), size=(160, 50)) as shown:
        await shown.turn("table")
        assert "A load of line B4: " not in shown.text


def leaning(table: tuple[tuple[float, float], ...]) -> Picture:
    stay = invented.invented_stay()
    fenders = tuple(Fender(fender.x, None, table) for fender in stay.berth.fenders)
    return invented.normal(replace(stay, berth=replace(stay.berth, fenders=fenders)))


def test_fenders_by_their_table() -> None:
    """Ours: 0.08 m of a table that ends at 0.40 m is a fifth, whatever the reaction does on the way."""
    first, *_rest, last = fender_shares(leaning(((0.0, 0.0), (0.2, 700.0), (0.4, 600.0))))
    assert first.of_table == pytest.approx(0.2)
    assert first.bar == "▂"
    assert last.bar == "·"


def test_fenders_without_a_table_against_the_hardest() -> None:
    first, second, *_rest = fender_shares(invented.normal())
    assert math.isnan(first.of_table)
    assert (first.of_hardest, second.of_hardest) == (1.0, pytest.approx(0.75))


@pytest.mark.slow
async def test_fenders_and_place_stand_beside_the_table() -> None:
    async with console(invented.normal(), size=(120, 30)) as shown:
        assert "Fenders █ ▇ ▆ ▃ ·  most 16.3 t" in shown.text  # ours: 160, 120, 100, 40, 0 kN
        assert "Ship 0.10 m ahead, bow 0.1° out" in shown.text


def test_the_place_of_the_ship_is_as_seen_from_on_board() -> None:
    """Ours: berth +x is ahead starboard side to and astern port side to; counter-clockwise takes the bow out
    in the one case and in in the other."""
    stay = invented.invented_stay()
    moved = {"surge": 0.5, "sway": -0.2, "yaw_deg": 0.3}
    starboard = replace(invented.normal(stay), **moved)
    port = replace(invented.normal(replace(stay, alongside="port")), **moved)
    assert place_words(starboard) == "0.50 m ahead, 0.20 m in, bow 0.3° out"
    assert place_words(port) == "0.50 m astern, 0.20 m in, bow 0.3° in"
    assert place_words(replace(starboard, surge=0.0, sway=0.0, yaw_deg=0.0)) == "in place"
    assert place_words(blank_picture(stay)) == ""


def with_cell(measured: float, stage: Stage = Stage.WARNING) -> Picture:
    picture = invented.one_warning()
    b1 = next(row for row in picture.lines if row.id == "B1")
    return invented.with_rows(
        picture, invented.in_stages(replace(b1, measured_kn=measured), {"tension": stage})
    )


@pytest.mark.slow
async def test_a_cell_that_differs_is_told_with_what_to_do() -> None:
    async with console(with_cell(150.0), size=(120, 30)) as shown:
        await shown.press("enter")
        assert re.search(r"cell +15.3 t", shown.text)
        assert "8.9 t less than computed" in shown.text  # ours: 87 kN / 9.80665
        assert "if it lasts, tend it by the cell: t, to" in shown.text
    async with console(with_cell(150.0)) as shown:
        await shown.press("enter")
        assert re.search(r"bollard +20.2 t 20 %", shown.text)
        assert "snap-back" in shown.text
    async with console(with_cell(236.0, Stage.NORMAL), size=(120, 30)) as shown:
        await shown.press("enter")
        assert "0.1 t less than computed" in shown.text
        assert "if it lasts" not in shown.text


@pytest.mark.slow
async def test_lines_on_one_bollard_add_as_vectors() -> None:
    """Ours: two equal pulls at right angles make root two of one."""
    stay = invented.invented_stay()
    lines = tuple(replace(line, bollard="KH1") if line.id == "H2" else line for line in stay.lines)
    stay = replace(stay, lines=lines)
    picture = invented.normal(stay)
    pulls = {"H1": (300.0, 0.0, 0.0), "H2": (0.0, 300.0, 0.0)}
    rows = tuple(
        replace(row, **dict(zip(("ahead_kn", "in_kn", "down_kn"), pulls[row.id], strict=True)))
        if row.id in pulls
        else row
        for row in picture.lines
    )
    picture = replace(picture, lines=rows)
    view = View(stay, None, picture, picture)  # type: ignore[arg-type]
    assert on_bollard(view, "KH1") == pytest.approx(300.0 * math.sqrt(2.0))
    async with console(picture, size=(120, 30)) as shown:
        await shown.press("end", "enter")
        shown.app.show(replace(shown.app.view, line="H1"))
        await shown.pilot.pause()
        assert re.search(r"bollard +43.3 t 42 %", shown.text)
        assert "SWL 102.0 t, with H2" in shown.text


def test_a_fender_not_known_is_no_fender_she_does_not_touch() -> None:
    picture = replace(
        invented.normal(),
        fenders=tuple(FenderRow(x, math.nan, math.nan) for x in (10.0, 50.0, 90.0, 130.0, 170.0)),
    )
    assert {lean.bar for lean in fender_shares(picture)} == {"?"}


def held_by(why: str = "") -> tuple[HeldBy, ...]:
    """At high water head and stern lines carry what the steep breasts carried; low water as given."""
    now, high = (RoleShares("off_berth", 158.0, 20.0, shares) for shares in (NOW_PARTS, HIGH_PARTS))
    along = tuple(RoleShares(wind, 68.0, 30.0, (0.6, 0.0, 0.4, 0.0)) for wind in ("ahead", "astern"))
    low = HeldBy("low_water", math.nan, math.nan, math.nan, math.nan, (), why)
    return (
        HeldBy("now", invented.NOW, 1.0, 7.0, 8.0, (now, *along)),
        HeldBy("high_water", invented.NOW + 3600.0, 5.0, 7.0, 8.0, (high, *along)),
        low if why else HeldBy("low_water", invented.NOW + 4 * 3600.0, 0.4, 7.0, 8.0, (now, *along)),
    )


NOW_PARTS, HIGH_PARTS = (0.12, 0.70, 0.05, 0.13), (0.30, 0.31, 0.06, 0.33)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_who_holds_her_stands_on_the_page(size: tuple[int, int]) -> None:
    picture = replace(invented.normal(), who_holds=held_by())
    async with console(picture, size=size) as shown:
        await shown.turn("wind")
        rows = [" ".join(row.split()) for row in shown.rows]
        assert any("wind off head breast spring stern" in row for row in rows), shown.text
        assert any("now 12 % 70 % 5 % 13 %" in row for row in rows), shown.text
        assert any("HW 05:12 30 % 31 % 6 % 33 %" in row for row in rows), shown.text


async def test_a_water_of_which_nothing_is_known_says_why() -> None:
    picture = replace(invented.normal(), who_holds=held_by("no tide in the stay file"))
    async with console(picture, size=(160, 50)) as shown:
        await shown.turn("wind")
        assert "LW        — no tide in the stay file" in shown.text


@pytest.mark.slow
async def test_the_strongest_wind_expected_is_a_mark_and_a_row_of_the_legend() -> None:
    picture = invented.normal()
    assert picture.forecast is not None
    times = picture.forecast.times
    blows = np.where(times > picture.time + 3600.0, 17.0, 7.0)
    spread = Spread(blows, blows * 0.9, blows * 1.1)
    forecast = replace(picture.forecast, wind_ms=spread, wind_from_deg=np.full(times.size, 250.0))
    async with console(replace(picture, forecast=forecast), size=(120, 40)) as shown:
        await shown.turn("wind")
        first = times[times > picture.time + 3600.0][0]
        at = clock(float(first), picture.stay.display)
        assert f"○ strongest expected: 33 kn from 250° at {at}" in " ".join(shown.text.split())
        assert sum(row.count("○") for row in shown.rows) == 2, "on the polar, and in the legend"
    hidden = replace(picture, forecast=forecast, forecast_hidden=True)
    async with console(hidden, size=(120, 40)) as shown:
        await shown.turn("wind")
        assert "strongest expected" not in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_a_known_long_wave_near_her_own_period_stands_on_the_page(size: tuple[int, int]) -> None:
    """Of a ship of the examples before arrival: her surge takes 38 s."""
    stay = read_stay(Path(__file__).parents[2] / "configs" / "product_jetty.yaml")
    present = planned_present(stay, arrangement_of(stay), when_fast(stay))
    fenders = tuple(FenderRow(each.x, 0.05, 50.0) for each in stay.berth.fenders)
    picture = replace(invented.normal(), stay=stay, present=present, fenders=fenders)
    for band, stands in (((40.0, 45.0), True), ((300.0, 320.0), False)):
        berth = replace(picture.stay.berth, long_waves_s=band)
        asked = replace(picture, stay=replace(picture.stay, berth=berth))
        async with console(asked, size=size) as shown:
            await shown.turn("wind")
            assert ("SHE" in shown.text and "RANGE" in shown.text) == stands
