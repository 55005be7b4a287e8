"""The plan: what is named on it, which names cover which, how drift is drawn and said."""

from dataclasses import replace
from math import nan, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cycle.picture import Picture
from alongside.reports.braille import Raster
from alongside.reports.plan_shapes import LARGER, Drift, Placement
from alongside.screens import plan
from alongside.screens.plan import plan_strips
from tests.screens import invented
from tests.screens.test_line_part import picture_of, text_of, view_of


def shown(picture: Picture, width: int = 160, height: int = 44, **changes: object) -> str:
    return text_of(plan_strips(view_of(picture, **changes), width, height))


@pytest.mark.parametrize("size", [(80, 18), (120, 24), (160, 44), (250, 64)])
@pytest.mark.parametrize("berth", ["coal", "jetty"])
def test_all_is_named(berth: str, size: tuple[int, int]) -> None:
    picture = picture_of(berth)
    text = shown(picture, *size)
    for word in ("bow", "stern", "quay", "water", "port side", "starboard side", "north"):
        assert word in text, word
    for row in picture.lines:
        assert row.id in text


def test_her_side_to_the_quay_is_the_one_named_below() -> None:
    """The quay is at the foot of the drawing."""
    for berth, near in (("coal", "starboard side"), ("jetty", "port side")):
        rows = shown(picture_of(berth)).splitlines()[1:-1]
        (at,) = [
            n
            for n, row in enumerate(rows)
            if near in row.replace("starboard", "X" * 9 if near[0] == "p" else "starboard")
        ]
        assert at > max(n for n, row in enumerate(rows) if "bow" in row)


def test_the_mark_of_a_stage_stands_at_the_line() -> None:
    text = shown(invented.one_warning())
    assert "●B1" in text
    assert "● 1 line in warning" in text


def names_on(picture: Picture, width: int, height: int) -> tuple[Raster, dict[tuple[int, int], str]]:
    raster = Raster(width, height)
    plan._draw(view_of(picture), raster)
    return raster, {place: letter for place, (letter, _ink) in raster.letters.items()}


@given(width=st.integers(100, 250), height=st.integers(16, 60))
def test_names_cover_no_other_name(width: int, height: int) -> None:
    """Every line is there to be read once, with a blank beside it."""
    picture = picture_of("coal")
    raster, letters = names_on(picture, width, height)
    rows = ["".join(letters.get((row, column), " ") for column in range(width)) for row in range(raster.rows)]
    words = " ".join(rows).split()
    for line in picture.lines:
        assert words.count(line.id) == 1, (line.id, rows)


@pytest.mark.slow
@given(
    surge=st.floats(-2.0, 2.0), sway=st.floats(-0.2, 2.0), yaw=st.floats(-1.0, 1.0), scale=st.floats(0.2, 4.0)
)
def test_drift_is_drawn_as_many_times_as_is_said(surge: float, sway: float, yaw: float, scale: float) -> None:
    picture = replace(invented.normal(), surge=surge, sway=sway, yaw_deg=yaw)
    drift = Drift.of(picture, scale)
    assert drift.factor in LARGER
    place, moved = Placement.in_place(picture.stay), drift.placement(picture.stay)
    assert moved.x - place.x == pytest.approx(drift.factor * surge, abs=1e-9)
    assert moved.y - place.y == pytest.approx(drift.factor * sway, abs=1e-9)
    assert moved.angle - place.angle == pytest.approx(drift.factor * radians(yaw), abs=1e-9)
    text = shown(picture)
    assert ("drift x" in text) == (Drift.of(picture, _scale(picture)).factor > 1)


def _scale(picture: Picture) -> float:
    raster = Raster(160, 42)
    return plan.frame_of(view_of(picture), raster).scale


def test_drift_in_words_and_where_it_is_not_known() -> None:
    picture = replace(invented.normal(), surge=0.42, sway=-0.05, yaw_deg=0.0)
    assert "Ship 0.42 m ahead, 0.05 m in" in shown(picture)
    port = replace(picture, stay=replace(picture.stay, alongside="port"))
    assert "Ship 0.42 m astern, 0.05 m in" in shown(port)
    assert "Ship in place" in shown(replace(picture, surge=0.0, sway=0.0, yaw_deg=0.0))
    assert "drift not known" in shown(replace(picture, surge=nan))


def test_wind_and_current_stand_with_their_figures() -> None:
    text = shown(picture_of("jetty"))
    head = text.splitlines()[0]
    assert "wind " in head
    assert "current " in head
    assert "kn" in head
