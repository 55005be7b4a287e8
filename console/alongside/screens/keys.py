"""Every key of the console: what it does, where it is shown."""

from dataclasses import dataclass
from typing import Final

from textual.binding import Binding, BindingType

from alongside.screens.view import PAGES, Page


@dataclass(frozen=True, slots=True)
class Key:
    """`short` stands in the bar at the foot, `long` in the help. `rank` says which go first where room is
    short (the highest); None keeps a key out of the bar. `pages` limits it to some pages, `replay` to
    replays."""

    id: str
    keys: str
    shown: str
    action: str
    short: str
    long: str
    rank: int | None = None
    pages: tuple[str, ...] = ()
    replay: bool = False


def _page(page: Page, keys: str, shown: str, long: str, rank: int) -> Key:
    """Return the key of a page, by the name of that page."""
    name = PAGES[page]
    return Key(page, keys, shown, f"page('{page}')", name.lower(), f"{name}: {long}", rank)


def _replay(name: str, keys: str, shown: str, action: str, short: str, long: str, rank: int | None) -> Key:
    return Key(f"replay_{name}", keys, shown, action, short, f"Replay: {long}", rank, replay=True)


KEYS: Final = (
    Key("back", "escape", "esc", "step_back", "back", "Back to the lines; leave a form or the manual"),
    Key("acknowledge", "a", "a", "acknowledge", "ack", "Acknowledge the chosen alert, one at a time", 1),
    Key(
        "accept",
        "z",
        "z",
        "form('accept_form')",
        "accept",
        "Alerts: accept the chosen one for a time, with a reason",
        1,
        ("alerts",),
    ),
    Key("silence", "s", "s", "silence", "silence", "Silence all sound for 30 s", 2),
    Key("next_alert", "n", "n", "look('alert')", "next", "Choose the next alert, and its line", 5),
    Key(
        "tend",
        "t",
        "t",
        "form('tend_form')",
        "tend",
        "Record a tended line: slack, heave, or to a load",
        3,
    ),
    Key(
        "on_deck",
        "x",
        "x",
        "form('on_deck_form')",
        "on deck",
        "Happened on deck: to a line or a winch brake",
        4,
    ),
    Key(
        "reading",
        "r",
        "r",
        "form('reading_form')",
        "read",
        "Reading by hand: draughts, tide board, heel, wind",
        5,
    ),
    Key("note", "w", "w", "form('note_form')", "note", "Write a note into the record", 7),
    Key("lines_up", "up", "↑", "move(-1)", "", "Up one row"),
    Key("lines_down", "down", "↓", "move(1)", "", "Down one row"),
    Key("page_up", "pageup", "PgUp", "move(-10)", "", "Up ten rows"),
    Key("page_down", "pagedown", "PgDn", "move(10)", "", "Down ten rows"),
    Key("first", "home", "Home", "move(-9999)", "", "To the first row"),
    Key("last", "end", "End", "move(9999)", "", "To the last row"),
    _page("alerts", "l", "l", "all alerts, worst first", 3),
    _page("line", "enter", "Enter", "the chosen line in full", 8),
    _page("chart", "c", "c", "a line or a gauge over the last hours", 7),
    Key("chart_former", "left", "← →", "look('series', -1)", "what", "Chart: what it shows", 3, ("chart",)),
    Key(
        "chart_next",
        "right",
        "→",
        "look('series', 1)",
        "",
        "Chart: what it shows, the other way",
        None,
        ("chart",),
    ),
    Key("chart_shorter", "minus", "- +", "look('hours', -1)", "hours", "Chart: fewer hours", 5, ("chart",)),
    Key(
        "chart_longer", "plus,equals_sign", "+", "look('hours', 1)", "", "Chart: more hours", None, ("chart",)
    ),
    _page("plan", "v", "v", "ship, quay and lines from above", 9),
    _page("wind", "b", "b", "what wind the lines hold, fenders, place", 7),
    _page("ahead", "f", "f", "tide, draughts, lines and rounds to come", 6),
    Key(
        "round",
        "T",
        "T",
        "form('round_form')",
        "done",
        "Ahead: the next round was done as advised",
        1,
        ("ahead",),
    ),
    Key(
        "wind_forecast",
        "W",
        "W",
        "form('wind_form')",
        "forecast",
        "Ahead: wind as a weather forecast has it",
        9,
        ("ahead",),
    ),
    Key(
        "what_if",
        "i",
        "i",
        "form('what_if_form')",
        "what if",
        "What if: a line, a tug, wind, tide or current",
        8,
    ),
    _page("log", "h", "h", "what happened in the last 24 h", 10),
    _page("gauges", "e", "e", "what each gauge says, and what doubts it", 7),
    Key(
        "judge",
        "y",
        "y",
        "form('judge_form')",
        "right?",
        "Gauges: the doubtful one is right, or wrong",
        1,
        ("gauges",),
    ),
    _page("remarks", "u", "u", "what is odd in the stay file, what is unwatched", 15),
    _page("handover", "H", "H", "the watch on one page", 13),
    Key(
        "take_over",
        "k",
        "k",
        "form('take_over_form')",
        "take over",
        "Take over the watch, with initials",
        1,
        ("handover",),
    ),
    Key("order", "o", "o", "look('order')", "order", "Lines: worst first, or by position", 11),
    Key("pause", "p", "p", "pause", "pause", "Pause the figures; alerts go on", 9),
    Key("palette", "d", "d", "palette", "dim", "Dim: day, dusk, night, plain", 12),
    _replay("stop", "space", "Space", "replay('stop')", "stop", "stop it, or let it run", 3),
    _replay("slower", "comma,less_than_sign", ", .", "replay('pace', -1)", "pace", "slower", 4),
    _replay("faster", "full_stop,greater_than_sign", ".", "replay('pace', 1)", "", "faster", None),
    _replay("seek", "g", "g", "form('seek_form')", "go to", "go to a time", 5),
    _replay("step", "j", "j", "replay('step')", "step", "one second on, and stop", 6),
    _replay(
        "next_alert", "right_square_bracket", "[ ]", "replay('alert', 1)", "alert", "to the next alert", 7
    ),
    _replay(
        "former_alert", "left_square_bracket", "[", "replay('alert', -1)", "", "to the previous alert", None
    ),
    _replay(
        "next_tend", "right_curly_bracket", "{ }", "replay('tend', 1)", "tending", "to the next tending", 8
    ),
    _replay(
        "former_tend", "left_curly_bracket", "{", "replay('tend', -1)", "", "to the previous tending", None
    ),
    Key("commands", "colon,ctrl+p", ":", "form('command_form')", "", "All commands by name"),
    _page("manual", "m", "m", "its page on what is in sight", 14),
    _page("help", "question_mark", "?", "keys, marks, states and cautions", 0),
    Key("quit", "q,ctrl+q,ctrl+c", "q", "form('quit_form')", "", "End the watch; asks first"),
)


def bindings() -> list[BindingType]:
    """Return the keys as Textual takes them, each with its id so that it can be bound anew."""
    return [Binding(key.keys, key.action, key.long, show=False, id=key.id) for key in KEYS]
