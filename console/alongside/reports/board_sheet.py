"""The board sheet: tending rounds to print and to tick off on deck, one A4 page of 80 columns."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from textwrap import wrap
from typing import Final

from alongside.forecast.model import Forecast, MoveAhead, RoundAhead
from alongside.forecast.round_words import worth_saying
from alongside.forecast.words import AheadWords
from alongside.stay.model import Stay
from alongside.wording.figures import metres
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, span, zone_text

COLUMNS: Final = 80
ROWS: Final = 62
"""Of a page A4 in a type of ten to the inch, six rows to the inch, margins taken off."""
TITLE: Final = "BOARD SHEET OF TENDING ROUNDS"
CAUTION: Final = (
    "The whole mooring deck is a snap-back area: clear it, nobody in a bight, stand behind cover. "
    "Expected, not measured: look at tide, wind and lines before each round. The master's judgement, the "
    "line management plan and port rules stand above this sheet."
)
HEADS: Final = "  line     winch    deed   metres   from          to            done  initials"
BOX: Final = "[ ]   ______"
REMAINS: Final = ("unknown", "more", "cannot_cure", "helps", "check")
"""Kinds of rows that stand below the rounds."""

Rows = list[str]


def board_sheet(stay: Stay, forecast: Forecast) -> list[str]:
    """Return the rounds of a forecast as rows of a page; metres by time where that leaves one page, else
    those of the latest time, and as many rounds as it has room for."""
    words = AheadWords(stay.display, forecast.time)
    head, foot = _head(stay, forecast, words), ["", *wrap(CAUTION, COLUMNS)]
    remains = _remains(words, forecast)
    numbers = list(enumerate(worth_saying(forecast.tending.rounds), 1))
    for steps in (True, False):
        rounds = [_round(stay, words, at, steps) for at in numbers]
        body = [row for each in rounds for row in each]
        if len(head) + len(body) + len(remains) + len(foot) <= ROWS:
            return [*head, *body, *remains, *foot]
    room = ROWS - len(head) - len(foot) - len(remains) - 2
    while rounds and sum(map(len, rounds)) > room:
        rounds.pop()
    more = f"Rounds after round {len(rounds)}: print a new sheet when it is done" if rounds else ""
    kept = remains[: max(ROWS - len(head) - len(foot) - sum(map(len, rounds)) - 2, 0)]
    return [*head, *(row for each in rounds for row in each), "", more, *kept, *foot]


def _head(stay: Stay, forecast: Forecast, words: AheadWords) -> Rows:
    made = DayClock(stay.display, forecast.time).whole(forecast.time)
    until = words.clock(float(forecast.times[-1]))
    zone = zone_text(forecast.time, stay.display)
    return [
        TITLE,
        "",
        f"Ship   {safe(stay.ship.name)}"[:COLUMNS],
        f"Berth  {safe(stay.berth.name)}"[:COLUMNS],
        f"Made   {made}, until {until}; times of the place, {zone}"[:COLUMNS],
    ]


def _round(stay: Stay, words: AheadWords, numbered: tuple[int, RoundAhead], steps: bool) -> Rows:
    """Return a round, a row a line and time from which other metres are right; a round that is no plan yet as
    one sentence."""
    number, each = numbered
    if not each.is_sure:
        text = f"ROUND {number}: {words.round(each)}"
        return ["", *wrap(text, COLUMNS, subsequent_indent="  ")]
    takes = f", takes {span(each.duration_s)}" if each.duration_s > 0.0 else ""
    rows = ["", f"ROUND {number}: begin {words.window_of(each)}{takes}", HEADS]
    winches = {line.id: line.winch or NOT_KNOWN for line in stay.lines}
    for move in each.moves:
        rows += _move(words, each, move, winches.get(move.line, NOT_KNOWN), steps)
    return rows


def _move(words: AheadWords, each: RoundAhead, move: MoveAhead, winch: str, steps: bool) -> Iterator[str]:
    shown = _steps(words, each, move) if steps else _steps(words, each, move)[-1:]
    name, drum = safe(move.line), safe(winch)
    for (begin, out), (end, _) in pairwise([*shown, (each.latest, 0.0)]):
        deed = "slack" if out >= 0.0 else "heave"
        since = "now" if begin <= words.now else words.clock(begin)
        length = metres(abs(out))
        cells = f"{deed:<6} {length:<8} {since:<13} {words.clock(end):<13} {BOX}"
        yield f"  {name:<8} {drum:<8} {cells}"[:COLUMNS]
        name = drum = ""


def _steps(words: AheadWords, each: RoundAhead, move: MoveAhead) -> Sequence[tuple[float, float]]:
    """Return (from when, metres) of a move, without times that are past."""
    begin = max(each.not_before, words.now)
    if each.overdue or each.latest < words.now or not move.by_time:
        return [(begin if begin <= each.latest else each.latest, move.pay_out_m)]
    later = [step for step in move.by_time if step[0] > begin]
    return [(begin, move.at(begin).pay_out_m), *later]


def _remains(words: AheadWords, forecast: Forecast) -> list[str]:
    """Return what no round cures, and how far the rounds can be relied on."""
    rows = [text for kind, text in words.tending(forecast) if kind in REMAINS]
    wrapped = [row for text in rows for row in wrap(text, COLUMNS, subsequent_indent="  ")]
    return ["", *wrapped] if wrapped else []
