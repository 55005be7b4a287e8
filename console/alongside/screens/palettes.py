"""Colours of the screen: by day, at dusk, at night, and plain for terminals of 16 colours.

Normal is blue rather than green, at night grey; cautions and warnings are yellow and amber, red means alarm
in every palette. No stage hangs on its colour alone: mark, word and weight carry it too
(`screens.stage_styles`). The colours are those of a search for the greatest least distance between stages,
for eyes of all kinds; the tests compute these distances and all contrasts anew.
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
    chosen row. An alarm that is acknowledged stands in letters of `on_seen` on `seen`, which has about 60 %
    of the lightness of `alarm`.
    """

    name: str
    background: str
    normal: str
    caution: str
    warning: str
    alarm: str
    seen: str
    on_seen: str
    ink: str
    faint: str
    rule: str
    shade: str
    ansi: bool = False

    def stage(self, stage: Stage) -> str:
        return (self.normal, self.caution, self.warning, self.alarm)[stage]

    @property
    def seen_style(self) -> Style:
        """Return the style of an alarm that is acknowledged."""
        return _style(self.on_seen, self.seen, True, False)

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
    background="#0a0e13",
    normal="#71c6f8",
    caution="#f5f79f",
    warning="#f8a208",
    alarm="#ef5056",
    seen="#8f2a2c",
    on_seen="#ffe9e2",
    ink="#dce3ea",
    faint="#8b99a6",
    rule="#52606e",
    shade="#18222c",
)
_DUSK = Palette(
    name="dusk",
    background="#070a0d",
    normal="#48a9dd",
    caution="#d2d197",
    warning="#e09a07",
    alarm="#da5053",
    seen="#7f2a2b",
    on_seen="#dccbc6",
    ink="#8f9ba5",
    faint="#6d7a85",
    rule="#54616d",
    shade="#10161c",
)
_NIGHT = Palette(
    name="night",
    background="#000000",
    normal="#7f7b76",
    caution="#af9f6d",
    warning="#e4a81c",
    alarm="#eb2919",
    seen="#8a1a10",
    on_seen="#d8b06a",
    ink="#8a8072",
    faint="#685f54",
    rule="#605950",
    shade="#0d0a06",
)
_PLAIN = Palette(
    name="plain",
    background="black",
    normal="cyan",
    caution="bright_yellow",
    warning="bright_magenta",
    alarm="bright_red",
    seen="red",
    on_seen="bright_white",
    ink="bright_white",
    faint="white",
    rule="bright_black",
    shade="black",
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
