"""Colours of the screen: by day, at dusk, at night, and plain for terminals of 16 colours.

Normal is blue rather than green, and no stage hangs on its colour alone: mark, word and weight carry it in
every palette (`screens.stage_styles`). Red means alarm; the night palette is all of red, which spares eyes
that are used to the dark, and there the words carry it.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from rich.style import Style

from alongside.stay.stage import Stage

if TYPE_CHECKING:
    from textual.theme import Theme


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours by what they are for: `#rrggbb`, or names of the terminal's own 16 colours where `ansi`.

    `ink` is for figures and text, `faint` for labels, `rule` for frames and scales, `shade` lies behind the
    chosen row.
    """

    name: str
    background: str
    normal: str
    caution: str
    warning: str
    alarm: str
    ink: str
    faint: str
    rule: str
    shade: str
    ansi: bool = False
    coloured_figures: bool = True
    """Whether figures bear the colour of their stage; at night that would make them darker than text."""

    def stage(self, stage: Stage) -> str:
        return (self.normal, self.caution, self.warning, self.alarm)[stage]

    def style(
        self, colour: str, on: str | None = None, *, bold: bool = False, reverse: bool = False
    ) -> Style:
        """Return the style of text in one of the palette's colours."""
        return _style(colour, on or self.background, bold, reverse)

    @property
    def text(self) -> Style:
        return _style(self.ink, self.background, False, False)

    @property
    def strong(self) -> Style:
        return _style(self.ink, self.background, True, False)

    @property
    def label(self) -> Style:
        return _style(self.faint, self.background, False, False)

    @property
    def frame(self) -> Style:
        return _style(self.rule, self.background, False, False)


@lru_cache(maxsize=512)
def _style(colour: str, on: str, bold: bool, reverse: bool) -> Style:
    return Style(color=colour, bgcolor=on, bold=bold, reverse=reverse)


_DAY = Palette(
    name="day",
    background="#0b1016",
    normal="#7fc8f8",
    caution="#fff07a",
    warning="#f39c12",
    alarm="#ff4b3e",
    ink="#dbe4ec",
    faint="#8596a5",
    rule="#3a4856",
    shade="#1b2733",
)
_DUSK = Palette(
    name="dusk",
    background="#080b0f",
    normal="#4f86a8",
    caution="#c9bb4a",
    warning="#b9770e",
    alarm="#c0392b",
    ink="#97a5b0",
    faint="#66747f",
    rule="#2b353e",
    shade="#141b22",
)
_NIGHT = Palette(
    name="night",
    background="#000000",
    normal="#5a0f0a",
    caution="#8a1a10",
    warning="#b8261a",
    alarm="#ff3b2a",
    ink="#8f4a3c",
    faint="#6b3429",
    rule="#3a1510",
    shade="#1c0a07",
    coloured_figures=False,
)
_PLAIN = Palette(
    name="plain",
    background="default",
    normal="bright_blue",
    caution="bright_yellow",
    warning="yellow",
    alarm="bright_red",
    ink="default",
    faint="default",
    rule="blue",
    shade="default",
    ansi=True,
)

PALETTES: Final[dict[str, Palette]] = {palette.name: palette for palette in (_DAY, _DUSK, _NIGHT, _PLAIN)}


def next_palette(name: str) -> Palette:
    """Return the palette after this one: day, dusk, night, plain, day."""
    names = list(PALETTES)
    return PALETTES[names[(names.index(name) + 1) % len(names)]]


def theme_of(palette: Palette) -> "Theme":
    """Return the palette as a Textual theme, for the widgets that are drawn by style sheet."""
    from textual.theme import Theme

    def named(colour: str) -> str:
        return f"ansi_{colour}" if palette.ansi else colour

    return Theme(
        name=palette.name,
        ansi=palette.ansi,
        primary=named(palette.normal),
        secondary=named(palette.normal),
        accent=named(palette.normal),
        warning=named(palette.warning),
        error=named(palette.warning),
        success=named(palette.normal),
        foreground=named(palette.ink),
        background=named(palette.background),
        surface=named(palette.background),
        panel=named(palette.shade),
        boost=named(palette.shade),
        variables={
            "ansi-background": named("black") if palette.ansi else palette.background,
            "ansi-foreground": named("white") if palette.ansi else palette.ink,
            "block-cursor-foreground": named("black") if palette.ansi else palette.background,
            "block-cursor-background": named("white") if palette.ansi else palette.ink,
            "input-cursor-foreground": named("black") if palette.ansi else palette.background,
            "input-cursor-background": named("white") if palette.ansi else palette.ink,
            "border": named(palette.rule),
            "border-blurred": named(palette.rule),
        },
    )
