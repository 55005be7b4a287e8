"""Colours: no stage hangs on its colour, plain has but 16, alarms alone are red; all can be read,
and distinguished by eyes of every kind."""

import colorsys
import itertools
from dataclasses import replace
from typing import Final

import numpy as np
import pytest
from rich.color import Color, ColorType
from rich.style import Style

from alongside.alerts.model import Standing
from alongside.cli import arguments
from alongside.screens.palettes import PALETTES, Palette, next_palette
from alongside.screens.stage_styles import is_seen, stage_style
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS, stage_text
from tests.screens import invented
from tests.screens.colour_vision import (
    TERMINALS,
    VISIONS,
    ciede2000,
    contrast,
    distance,
    lab,
    linear,
    luminance,
)
from tests.screens.shown import console

SHOWN: Final = [
    (palette, terminal)
    for palette in PALETTES.values()
    for terminal in (TERMINALS if palette.ansi else ["any"])
]
EACH: Final = pytest.mark.parametrize(
    ("palette", "terminal"), SHOWN, ids=[f"{palette.name}-{terminal}" for palette, terminal in SHOWN]
)
DISTANCE: Final = {"day": 15.0, "dusk": 15.0, "night": 12.5, "plain": 14.0}
"""CIEDE2000 that the colours of two stages lie apart at least; ours. About 2 can be seen side by side."""


def colour(palette: Palette, name: str, terminal: str) -> str:
    """One of the palette's colours as `#rrggbb`."""
    shown: str = getattr(palette, name)
    return TERMINALS[terminal][shown] if palette.ansi else shown


STAGES: Final = ("normal", "caution", "warning", "alarm")


@EACH
@pytest.mark.parametrize("on", ["background", "shade"])
def test_all_can_be_read(palette: Palette, terminal: str, on: str) -> None:
    """WCAG 2.1 asks 4.5 for text (AA), 3 for what is large and for rules; 2.5 in the 16 colours is ours.
    Reverse video has the same ratio."""
    behind = colour(palette, on, terminal)
    for name in ("ink", *STAGES):
        assert contrast(colour(palette, name, terminal), behind) >= 4.5, name
    assert contrast(colour(palette, "faint", terminal), behind) >= 3.0
    if on == "background":
        assert contrast(colour(palette, "rule", terminal), behind) >= (2.5 if palette.ansi else 3.0)


@EACH
def test_an_alarm_that_is_acknowledged_is_dimmed_and_can_be_read(palette: Palette, terminal: str) -> None:
    """Lightness is that of CIE L*a*b*. In 16 colours there is but one darker red."""
    seen, alarm = colour(palette, "seen", terminal), colour(palette, "alarm", terminal)
    assert contrast(colour(palette, "on_seen", terminal), seen) >= 4.5
    share = lab(linear(seen))[0] / lab(linear(alarm))[0]
    assert 0.5 < share < 0.85 if palette.ansi else 0.55 < share < 0.65
    style = stage_style(palette, Stage.ALARM, seen=True)
    assert (style.color, style.bgcolor) == (Color.parse(palette.on_seen), Color.parse(palette.seen))


@EACH
@pytest.mark.parametrize("vision", VISIONS)
def test_eyes_of_every_kind_distinguish_the_stages(palette: Palette, terminal: str, vision: str) -> None:
    for one, other in itertools.combinations(STAGES, 2):
        apart = distance(colour(palette, one, terminal), colour(palette, other, terminal), vision)
        assert apart >= DISTANCE[palette.name], (one, other)


def test_night_spares_the_eyes() -> None:
    """Ours: nothing on its black has more than half of the luminance of white, text no more than a third."""
    palette = PALETTES["night"]
    assert luminance(palette.background) == 0.0
    assert max(luminance(getattr(palette, name)) for name in STAGES) < 0.5
    assert max(luminance(palette.ink), luminance(palette.faint)) < 0.33
    assert luminance(palette.seen) < 0.1


@pytest.mark.parametrize("name", ["day", "dusk", "night"])
def test_red_is_for_alarms_only(name: str) -> None:
    palette = PALETTES[name]

    def is_red(shown: str) -> bool:
        red, green, blue = (int(shown[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
        hue, saturation, _value = colorsys.rgb_to_hsv(red, green, blue)
        return saturation > 0.5 and (hue < 20 / 360 or hue > 340 / 360)

    others = (palette.normal, palette.caution, palette.warning, palette.ink, palette.faint, palette.rule)
    assert not any(map(is_red, others))
    assert is_red(palette.alarm)
    assert is_red(palette.seen)


def test_distances_are_those_that_are_published() -> None:
    """Pairs of Sharma, Wu and Dalal 2005, from memory."""
    for one, other, expected in (
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
        ((50.0, -1.0, 2.0), (50.0, 0.0, 0.0), 2.3669),
        ((50.0, 2.4900, -0.0010), (50.0, -2.4900, 0.0009), 7.1792),
        ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ):
        assert ciede2000(np.array(one), np.array(other)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("vision", VISIONS)
def test_grey_is_grey_to_every_eye(vision: str) -> None:
    """Each row of a simulation sums to 1."""
    np.testing.assert_allclose(VISIONS[vision].sum(axis=1), 1.0, atol=2e-6)
    assert distance("#808080", "#808080", vision) == pytest.approx(0.0, abs=0.01)
    as_seen = lab(VISIONS[vision] @ linear("#808080"))
    assert np.hypot(*as_seen[1:]) < 0.05


def test_every_stage_has_a_mark_a_word_and_a_weight_of_its_own() -> None:
    assert len(set(MARKS.values())) == len(Stage)
    assert [stage_text(stage) for stage in Stage] == ["· normal", "■ CAUTION", "● WARNING", "▲ ALARM"]
    for palette in PALETTES.values():
        weights = [(bool(s.bold), bool(s.reverse)) for s in (stage_style(palette, stage) for stage in Stage)]
        assert weights == [(False, False), (False, False), (True, False), (True, True)]


def test_flashing_turns_reverse_video_over() -> None:
    palette = PALETTES["day"]
    for stage in (Stage.WARNING, Stage.ALARM):
        assert stage_style(palette, stage).reverse != stage_style(palette, stage, flash=True).reverse


@pytest.mark.slow
async def test_alert_rows_and_the_band_are_dimmed_once_all_is_acknowledged() -> None:
    picture = invented.flood()
    answered = [replace(alert, standing=Standing.ACKNOWLEDGED) for alert in picture.alerts]
    for alerts, dimmed in ((picture.alerts, False), (answered, True)):
        async with console(replace(picture, alerts=tuple(alerts), groups=()), size=(120, 30)) as shown:
            strips = shown.app.screen._compositor.render_strips()
            seen = Color.parse(PALETTES["day"].seen)
            rows = [any(s.style and s.style.bgcolor == seen for s in strip) for strip in strips]
            assert any(rows[:6]) == dimmed, "the band"
            assert any(rows[6:]) == dimmed, "the rows"


def test_all_of_a_stage_must_be_acknowledged() -> None:
    alarm = next(alert for alert in invented.flood().alerts if alert.stage == Stage.ALARM)
    answered = replace(alarm, standing=Standing.ACKNOWLEDGED)
    assert not is_seen([alarm])
    assert is_seen([answered])
    assert not is_seen([answered, replace(alarm, standing=Standing.RECTIFIED)])
    assert not is_seen([])


def test_palettes_go_round() -> None:
    names = [palette.name for palette in itertools.islice(_round(PALETTES["day"]), 5)]
    assert names == ["day", "dusk", "night", "plain", "day"]
    assert tuple(PALETTES) == arguments.PALETTES, "the command line has them without loading what draws"


def _round(palette: Palette):  # type: ignore[no-untyped-def]
    while True:
        yield palette
        palette = next_palette(palette.name)


@pytest.mark.slow
async def test_plain_has_but_the_16_colours_of_the_terminal_and_words_carry_it() -> None:
    for picture in (invented.flood(), invented.blind()):
        async with console(picture, size=(120, 30), palette="plain") as shown:
            assert "● WARNING" in shown.text
            for key in ("l", "enter", "c", "v", "t", "escape", "q", "x", "question_mark"):
                await shown.press(key)
                strips = shown.app.screen._compositor.render_strips()
                for style in (segment.style for strip in strips for segment in strip):
                    assert _is_plain(style), style


def _is_plain(style: Style | None) -> bool:
    colours = [] if style is None else [style.color, style.bgcolor]
    return all(colour is None or colour.type in (ColorType.DEFAULT, ColorType.STANDARD) for colour in colours)
