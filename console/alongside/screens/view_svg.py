"""What is in sight as a picture (SVG) that needs nothing from elsewhere."""

import re
from collections.abc import Sequence
from io import StringIO
from typing import Final

from rich._export_format import CONSOLE_SVG_FORMAT
from rich.console import Console
from rich.segment import Segment, Segments
from textual.strip import Strip

_FETCHED: Final = re.compile(r"\s*@font-face \{\{.*?\}\}", re.DOTALL)
_GROUND: Final = '<rect width="100%" height="100%" fill="#0b1016"/>'
FORMAT: Final = _FETCHED.sub("", CONSOLE_SVG_FORMAT).replace("{chrome}", _GROUND)
"""The picture of Rich without the typefaces that it would fetch: any of equal width will do, for each piece
of text has its place and length. No frame of a window stands about it."""


def svg_of(strips: Sequence[Strip], title: str) -> str:
    """Return rows of a screen as a picture; the same rows give the same bytes."""
    console = Console(
        width=max((strip.cell_length for strip in strips), default=1),
        height=len(strips),
        file=StringIO(),
        force_terminal=True,
        color_system="truecolor",
        record=True,
        legacy_windows=False,
        safe_box=False,
    )
    segments = [part for strip in strips for part in (*strip, Segment.line())]
    console.print(Segments(segments), end="")
    return console.export_svg(title=title, code_format=FORMAT, unique_id="view")
