"""What is known of a line besides its limits: how it leads, its lengths, its rope, its pull on the ship."""

import math

from alongside.cycle.gauge_words import doubtful_figure
from alongside.cycle.line_row import LineRow
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, length, wrap
from alongside.screens.view import View
from alongside.stay.model import Line
from alongside.wording.figures import degrees, figure, force_text, metres
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe

GAP = "  "


def way_of(line: Line) -> str:
    """Return where a line leads: `winch W4, F4 to bollard B12`."""
    way = f"{safe(line.fairlead)} to bollard {safe(line.bollard)}"
    return f"winch {safe(line.winch)}, {way}" if line.winch else way


def facts_of(view: View, row: LineRow, line: Line) -> list[tuple[str, str]]:
    """Return labels and figures, those first that are asked for most."""
    display = view.stay.display
    facts = [
        ("main rope", metres(row.unstretched_m)),
        ("lead°", f"{degrees(row.horizontal_deg)} from ahead"),
        ("outboard", metres(row.outboard_m)),
        ("inboard", metres(row.path_m - row.outboard_m)),
        ("rope", f"{safe(line.rope.name)}, MBL {force_text(line.rope.mbl_kn, display)}"),
    ]
    if line.tail is not None:
        facts.append(("tail", f"{safe(line.tail.rope.name)}, {metres(line.tail.length)}"))
    if line.bight_with:
        facts.insert(
            0, ("one rope with", f"line {safe(line.bight_with)}: lengths are the mean of both parts")
        )
    return [
        *facts,
        ("elongation", doubtful_figure(view.figures, _elongation(row.elongation_pct))),
        _pull(view, row.ahead_kn, "pulls ahead", "pulls astern"),
        _pull(view, row.in_kn, "pulls in", "pulls off"),
        _pull(view, row.down_kn, "pulls down", "pulls up"),
    ]


def _pull(view: View, kn: float, one_way: str, other_way: str) -> tuple[str, str]:
    text = doubtful_figure(view.figures, force_text(abs(kn), view.stay.display))
    return (one_way if not kn < 0 else other_way), text


def _elongation(percent_of_length: float) -> str:
    """Return by how much the line is longer than unstretched; one shorter hangs slack."""
    if percent_of_length < 0.0:
        return "none, it hangs slack"
    return f"{figure(percent_of_length, 2)} %" if math.isfinite(percent_of_length) else NOT_KNOWN


def fact_rows(palette: Palette, facts: list[tuple[str, str]], width: int, room: int) -> list[list[Piece]]:
    """Return facts side by side over at most so many rows; one that has no room goes whole."""
    rows: list[list[Piece]] = []
    row: list[Piece] = []
    for label, text in facts:
        pieces: list[Piece] = [(f"{GAP}{label} ", palette.label), (text, palette.text)]
        if length(pieces) > width:
            begin, *rest = wrap(f"{label} {text}", width - 4)
            block: list[list[Piece]] = [[(f"{GAP}{begin}", palette.text)]]
            block += [[(f"{GAP}  {part}", palette.text)] for part in rest]
            rows += [row, *block] if row else block
            row = []
        elif row and length(row) + length(pieces) > width:
            rows.append(row)
            row = pieces
        else:
            row = [*row, *pieces]
    return [*rows, row][:room] if row else rows[:room]
