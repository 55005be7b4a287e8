"""Ahead: tide and draughts to come, a time line for each line, rounds as windows, now moving."""

import re
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.forecast.model import Forecast, Tending
from alongside.forecast.wind_words import wind_words
from alongside.forecast.words import past_limits
from alongside.screens.ahead_tracks import CALM, CAUSE_LETTERS, Cell, Track, cells_of, tracks_of
from alongside.screens.ahead_water import MEASURED, Curve, water_rows
from alongside.screens.ahead_words import enough, hour, limit_words, plan_words, why_no_forecast
from alongside.screens.board import Board
from alongside.screens.chart import LABEL
from alongside.screens.chart_window import Window, time_labels
from alongside.screens.rows import Piece, both_ends, fill_to, fit, joined, length, strip, wrap
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import short_span

WORDS_FROM = 116
"""Columns from which the words stand beside the time lines."""
WORDS = 46
DRAUGHTS_FROM = 15
"""Rows from which the draughts are drawn as well as the tide."""
NAME = LABEL + 1
"""Cells of the names at the left."""


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """The part of the page with a time axis: `columns` cells from `start` to `end`."""

    view: View
    forecast: Forecast
    columns: int

    @property
    def start(self) -> float:
        return float(self.forecast.times[0])

    @property
    def end(self) -> float:
        return float(self.forecast.times[-1])

    def column(self, time: float) -> int:
        """Return the cell of a time, the nearest end for one outside."""
        share = (time - self.start) / max(self.end - self.start, 1.0)
        return min(max(int(share * self.columns), 0), self.columns - 1)


class AheadPage(Board):
    def basis(self, view: View) -> Hashable:
        picture = view.figures
        forecast = _shown(picture)
        if forecast is None:
            return (why_no_forecast(picture), view.scroll)
        water = tuple(f"{v:.2f}" for v in (picture.tide, picture.draught_fwd, picture.draught_aft))
        over = past_limits(view.watch.alerts, forecast.tending.within)
        age = picture.time // (1.0 if _is_older(picture) else 60.0)
        return (id(picture.forecast or picture.older_forecast), age, water, over, view.scroll)

    def move(self, view: View, step: int) -> View:
        """Scroll time lines and words, each as far as it goes."""
        forecast = _shown(view.figures)
        if forecast is None:
            return replace(view, scroll=0)
        wide = self.size.width >= WORDS_FROM
        words = len(_words(view, forecast, WORDS if wide else self.size.width - 4))
        most = max(len(forecast.lines), words) - 1
        return replace(view, scroll=min(max(view.scroll + step, 0), max(most, 0)))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, forecast = view.palette, _shown(view.figures)
        why = "" if _is_older(view.figures) else why_no_forecast(view.figures)
        if why or forecast is None or forecast.reason:
            return _nothing(view, why or why_no_forecast(view.figures), width)
        if width >= WORDS_FROM:
            left = _face(Face(view, forecast, width - WORDS - NAME - 3), height - 1)
            legend = _key(view, forecast, WORDS)
            right = [*legend, *_in_sight(view, _words(view, forecast, WORDS), height - 1 - len(legend))]
            rows = [_beside(left, right, at, width - WORDS - 1, view) for at in range(height - 1)]
        else:
            words = _words(view, forecast, width - 4)
            room = min(len(words), max(3, height // 3))
            legend = [[(" ", palette.text), *row] for row in _key(view, forecast, width - 2)[:1]]
            face = _face(Face(view, forecast, width - NAME - 1), height - 1 - room - len(legend))
            rows = [*face, *legend, *([("  ", palette.text), *row] for row in _in_sight(view, words, room))]
        return [_heading(view, forecast, width), *(strip(row, width, palette.text) for row in rows)]


def _is_older(picture: Picture) -> bool:
    """Return whether what is shown is of before the last deed on deck."""
    return picture.forecast is None and picture.older_forecast is not None


def _shown(picture: Picture) -> Forecast | None:
    """Return the hours ahead; those of before the last deed, without rounds, until they are worked out
    anew."""
    older = picture.older_forecast
    if picture.forecast is not None or older is None or picture.forecast_hidden or older.time > picture.time:
        return picture.forecast
    return replace(older, tending=Tending(within=older.tending.within, pending=True))


def _in_sight(view: View, words: list[list[Piece]], room: int) -> list[list[Piece]]:
    """Return as many of the words as there is room for, from where the view has been scrolled to."""
    if len(words) <= room:
        return words
    first = min(view.scroll, len(words) - room + 1)
    more = len(words) - first - (room - 1)
    rest = f"{more} rows more, ↓" if more > 0 else "the end, ↑ for the rest"
    return [*words[first : first + room - 1], [(rest, view.palette.label)]]


def _nothing(view: View, why: str, width: int) -> list[Strip]:
    palette, forecast = view.palette, view.figures.forecast
    texts = [f"Nothing known of the hours ahead: {why}.", enough(view.figures)]
    texts = [text for text in (*texts, *(forecast.notes if forecast else ())) if text]
    rows = [row for text in texts for row in wrap(safe(text), width - 4)]
    return [strip([("  " + line, palette.text)], width, palette.text) for line in rows]


def _heading(view: View, forecast: Forecast, width: int) -> Strip:
    palette, display, now = view.palette, view.stay.display, view.figures.time
    begin, end = (hour(float(time), display, now) for time in (forecast.times[0], forecast.times[-1]))
    left: list[Piece] = [
        (f" {begin} to {end}", palette.strong),
        (f"  expected, not measured; {forecast.members} cases", palette.label),
    ]
    style = palette.strong if _is_older(view.figures) else palette.label
    age: list[Piece] = [(f"calculated {short_span(now - forecast.time)} ago ", style)]
    return both_ends(left, age, width, palette.text)


def _beside(
    left: Sequence[list[Piece]], right: Sequence[list[Piece]], at: int, across: int, view: View
) -> list[Piece]:
    row = left[at] if at < len(left) else []
    space: Piece = (" " * (across - length(row)), view.palette.text)
    return [*row, space, *(right[at] if at < len(right) else [])]


def _face(face: Face, height: int) -> list[list[Piece]]:
    """Return charts, the axis with now on it, rounds, and as many time lines as there is room for."""
    view, forecast, picture = face.view, face.forecast, face.view.figures
    period = (face.start, face.end)
    draughts = height >= DRAUGHTS_FROM
    tracks = tracks_of(forecast, view.stay)
    wanted = sum(not track.is_quiet for track in tracks) + 4
    for_water = max(height - wanted, height // 3)
    high = max(min(for_water // (2 if draughts else 1), 8), 2)
    tide = [Curve("", forecast.tide, picture.tide)]
    rows = water_rows(view, " tide", tide, forecast.times, period, (face.columns, high))
    if draughts:
        both = [
            Curve("F", forecast.draught_fwd, picture.draught_fwd),
            Curve("A", forecast.draught_aft, picture.draught_aft),
        ]
        rows += water_rows(view, " F, A", both, forecast.times, period, (face.columns, high))
    rows += _axis(face)
    rows += _rounds(face)
    return [*rows, *_time_lines(face, tracks, height - len(rows))]


def _axis(face: Face) -> list[list[Piece]]:
    """Return local times, and `now` where it is."""
    view = face.view
    labels = time_labels(view.stay.display, Window(face.start, face.end, 0.0, 1.0), face.columns)
    at, now = face.column(view.figures.time), "▼now "
    at = min(at, face.columns - len(now))
    under = labels[at : at + len(now) + len("╵00:00")]
    if "╵" in under:  # half a label beside it would be read as another time
        first = at + under.index("╵")
        labels = labels[:first] + re.sub(r"╵[\d:+]*", _blank, labels[first:], count=1)
    pieces: list[Piece] = [
        (" " * NAME + labels[:at], view.palette.label),
        (now, view.palette.strong),
        (labels[at + len(now) :], view.palette.label),
    ]
    return [pieces]


def _blank(label: re.Match[str]) -> str:
    return " " * len(label[0])


def _rounds(face: Face) -> list[list[Piece]]:
    """Return each round as its window, its number at the latest time; nothing where none is needed."""
    view, rounds = face.view, face.forecast.tending.rounds
    if not rounds:
        return []
    cells = [" "] * face.columns
    for number, each in enumerate(rounds, start=1):
        first, last = face.column(each.not_before), face.column(each.latest)
        cells[first : last + 1] = "╞" + "═" * (last - first) if last > first else "╞"
        cells[last] = str(number % 10)
    return [[(fill_to(" rounds", NAME), view.palette.label), ("".join(cells), view.palette.strong)]]


def _time_lines(face: Face, tracks: Sequence[Track], room: int) -> list[list[Piece]]:
    view = face.view
    if room < 1:
        return []
    shown = room if len(tracks) <= room else room - 1
    first = min(view.scroll, max(len(tracks) - shown, 0))
    rows = [_time_line(face, track) for track in tracks[first : first + shown]]
    if len(tracks) > room:
        hidden = [*tracks[:first], *tracks[first + shown :]]
        quiet = sum(track.is_quiet for track in hidden)
        words = f"{len(hidden)} more, " + ("all" if quiet == len(hidden) else str(quiet)) + " stay normal"
        unknown = sum(bool(track.why) for track in hidden)
        words += f", {unknown} not known" if unknown else ""
        rows.append([(fit(f" {words}", NAME + face.columns), view.palette.label)])
    return rows


def _time_line(face: Face, track: Track) -> list[Piece]:
    view, forecast = face.view, face.forecast
    palette = view.palette
    name = " " + fill_to(safe(track.name), NAME - 1)
    if track.why:
        return [(name, palette.strong), (fit(f"{NOT_KNOWN} {track.why}", face.columns), palette.text)]
    cells = cells_of(track, forecast.times, face.start, face.end, face.columns)
    looks = [(cell.mark, _look(view, cell)) for cell in cells]
    for number, each in enumerate(forecast.tending.rounds, start=1):
        if any(move.line == track.line for move in each.moves):
            at = face.column(each.latest)
            looks[at] = (str(number % 10), palette.style(palette.ink, bold=True, reverse=True))
    now = face.column(view.figures.time)
    looks[:now] = [(mark if mark != CALM else " ", palette.label) for mark, _style in looks[:now]]
    ink = palette.label if track.is_quiet else palette.strong
    return [(name, ink), *joined(looks)]


def _look(view: View, cell: Cell) -> Style:
    palette = view.palette
    if cell.stage == Stage.NORMAL:
        return palette.frame
    return palette.style(palette.stage(cell.stage), bold=cell.letter or cell.stage >= Stage.WARNING)


def _words(view: View, forecast: Forecast, width: int) -> list[list[Piece]]:
    """Return rounds, limits to come, notes, and what the letters stand for."""
    palette, display, now = view.palette, view.stay.display, view.figures.time
    rows: list[list[Piece]] = []
    if _is_older(view.figures):
        age = short_span(now - forecast.time)
        plan = [f"Calculated {age} ago, before the last deed: it is being worked out anew"]
    else:
        plan = plan_words(forecast, display, now, view.watch.alerts)
    for text in plan:
        rows += _wrapped(text, width, palette.strong)
    soonest = [limit for limit in forecast.limits if limit.stage > Stage.CAUTION]
    for limit in soonest:
        style = palette.style(palette.stage(limit.stage))
        rows += _wrapped(limit_words(limit, display, now), width, style)
    for note in (*wind_words(forecast, display, now), *forecast.notes):
        rows += _wrapped(note, width, palette.label)
    return rows


def _key(view: View, forecast: Forecast, width: int) -> list[list[Piece]]:
    """Return what letters and signs stand for, each whole, the letters first."""
    tracks = tracks_of(forecast, view.stay)
    used = {cause for track in tracks for cause in track.cause}
    fields = [f"{letter} {names.cause(cause)}" for cause, letter in CAUSE_LETTERS.items() if cause in used]
    if any((track.worst > track.stage).any() for track in tracks):
        fields.append("□○△ possible")
    fields += [f"{MEASURED} measured, m", "dots: 9 in 10 cases"]
    rows = [fields[0]]
    for field in fields[1:]:
        longer = f"{rows[-1]}  {field}"
        rows[-1:] = [longer] if cell_len(longer) <= width else [rows[-1], field]
    return [[(row, view.palette.label)] for row in rows]


def _wrapped(text: str, width: int, style: Style) -> list[list[Piece]]:
    lines = wrap(safe(text), width - 2)
    return [[(line if not at else f"  {line}", style)] for at, line in enumerate(lines)]
