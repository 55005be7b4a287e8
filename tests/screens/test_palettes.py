"""Colours: no stage hangs on its colour, plain has but 16, alarms alone are red by day."""

import colorsys
import itertools

import pytest
from rich.color import ColorType
from rich.style import Style

from alongside.screens.palettes import PALETTES, Palette, next_palette
from alongside.screens.stage_styles import stage_style, value_style
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS, stage_text
from tests.screens import invented
from tests.screens.shown import console


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.1, section 1.4.3."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("name", ["day", "dusk"])
def test_text_can_be_read(name: str) -> None:
    """WCAG 2.1 asks 4.5 for text (AA); frames are no text."""
    palette = PALETTES[name]
    for colour in (palette.ink, palette.caution, palette.warning, palette.normal):
        assert contrast(colour, palette.background) >= 4.5 - 0.3
    assert contrast(palette.faint, palette.background) >= 3.0


def test_night_spares_the_eyes_and_keeps_the_order_of_the_stages() -> None:
    """Ours: all of it red or nearly so, each stage brighter than the one below, text below the alarm."""
    palette = PALETTES["night"]
    levels = [luminance(palette.stage(stage)) for stage in Stage]
    assert levels == sorted(levels)
    assert luminance(palette.ink) < luminance(palette.alarm)
    assert contrast(palette.ink, palette.background) >= 3.0


@pytest.mark.parametrize("name", ["day", "dusk"])
def test_red_is_for_alarms_only(name: str) -> None:
    palette = PALETTES[name]
    for colour in (palette.normal, palette.caution, palette.warning, palette.ink, palette.faint):
        red, green, blue = (int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
        hue, saturation, _value = colorsys.rgb_to_hsv(red, green, blue)
        assert not (saturation > 0.5 and (hue < 20 / 360 or hue > 340 / 360)), colour


def test_every_stage_has_a_mark_a_word_and_a_weight_of_its_own() -> None:
    assert len(set(MARKS.values())) == len(Stage)
    assert [stage_text(stage) for stage in Stage] == ["· normal", "■ CAUTION", "● WARNING", "▲ ALARM"]
    for palette in PALETTES.values():
        weights = [(bool(s.bold), bool(s.reverse)) for s in (stage_style(palette, stage) for stage in Stage)]
        assert weights == [(False, False), (False, False), (True, False), (True, True)]


@pytest.mark.parametrize("palette", [p for p in PALETTES.values() if not p.ansi], ids=lambda p: p.name)
def test_a_figure_in_a_stage_is_no_darker_than_one_in_none(palette: Palette) -> None:
    """WCAG 2.1 asks 3 for large or bold text; at night plain text itself has little more."""
    plain = contrast(palette.ink, palette.background)
    for stage in Stage:
        colour = value_style(palette, stage).color
        assert colour is not None
        assert contrast(colour.name, palette.background) >= min(plain, 3.0)


def test_flashing_turns_reverse_video_over() -> None:
    palette = PALETTES["day"]
    for stage in (Stage.WARNING, Stage.ALARM):
        assert stage_style(palette, stage).reverse != stage_style(palette, stage, flash=True).reverse


def test_palettes_go_round() -> None:
    names = [palette.name for palette in itertools.islice(_round(PALETTES["day"]), 5)]
    assert names == ["day", "dusk", "night", "plain", "day"]


def _round(palette: Palette):  # type: ignore[no-untyped-def]
    while True:
        yield palette
        palette = next_palette(palette.name)


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
