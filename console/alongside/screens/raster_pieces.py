"""A raster in the colours of the screen."""

from collections.abc import Callable
from functools import cache

from rich.style import Style

from alongside.reports.braille import Raster
from alongside.screens.rows import Piece


def raster_pieces(raster: Raster, style: Callable[[int], Style]) -> list[list[Piece]]:
    """Return the rows of a raster as pieces of text; `style` says how an ink looks, -1 being the
    background."""
    look = cache(style)
    return [[(text, look(ink)) for text, ink in row] for row in raster.runs()]
