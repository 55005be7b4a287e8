"""Every key of the console: digits are pages, letters are deeds that are the same on every page."""

from dataclasses import dataclass, replace
from typing import Final

from textual.binding import Binding, BindingType

from alongside.cycle.picture import Picture
from alongside.screens.parts import PAGES, PARTS, Page, Part


@dataclass(frozen=True, slots=True)
class Key:
    """`short` stands on the screen, `long` in the help. `rank` says which go first from the rows at the foot
    where room is short (the highest); None keeps a key out of them. A key of `parts` stands in the row of
    their names instead; `replay` limits it to replays."""

    id: str
    keys: str
    shown: str
    action: str
    short: str
    long: str
    rank: int | None = None
    parts: tuple[Part, ...] = ()
    replay: bool = False
    instructs: bool = False
    """Of a console that instructs alone."""


def _page(digit: int, page: Page) -> Key:
    """Return the key of a page: its digit."""
    name, parts = PAGES[page]
    names = ", ".join(PARTS[part] for part in parts)
    return Key(
        f"page_{page}", str(digit), str(digit), f"page('{parts[0]}')", name.lower(), f"Page {name}: {names}"
    )


def _deed(name: str, keys: str, action: str, short: str, long: str, rank: int) -> Key:
    return Key(name, keys, keys, action, short, long, rank)


def _form(name: str, keys: str, short: str, long: str, rank: int) -> Key:
    return Key(name, keys, keys, f"form('{name}_form')", short, long, rank)


def _here(name: str, keys: str, shown: str, action: str, short: str, long: str, *parts: Part) -> Key:
    return Key(name, keys, shown, action, short, long, None, parts)


def _moves(name: str, keys: str, shown: str, action: str, long: str) -> Key:
    return Key(name, keys, shown, action, "", long)


def _replay(name: str, keys: str, shown: str, action: str, short: str, long: str, rank: int | None) -> Key:
    return Key(f"replay_{name}", keys, shown, f"replay({action})", short, f"Replay: {long}", rank, (), True)


def _instructs(name: str, keys: str, action: str, short: str, long: str, rank: int) -> Key:
    return Key(name, keys, keys, action, short, f"Instructor: {long}", rank, (), False, True)


KEYS: Final = (
    *(_page(digit, page) for digit, page in enumerate(PAGES, start=1)),
    _moves("next_part", "tab", "Tab", "part(1)", "The next part of the page; Shift and Tab: the one before"),
    _moves("former_part", "shift+tab", "Shift-Tab", "part(-1)", "The part before"),
    _moves("back", "escape", "Esc", "step_back", "Home to page Now; out of a form, the help, the manual"),
    _moves("open", "enter", "Enter", "page('line')", "The chosen line on its page"),
    _moves("lines_up", "up", "↑", "move(-1)", "Up one row"),
    _moves("lines_down", "down", "↓", "move(1)", "Down one row"),
    _moves("page_up", "pageup", "PgUp", "move(-10)", "Up ten rows"),
    _moves("page_down", "pagedown", "PgDn", "move(10)", "Down ten rows"),
    _moves("first", "home", "Home", "move(-9999)", "To the first row"),
    _moves("last", "end", "End", "move(9999)", "To the last row"),
    _deed("acknowledge", "a", "acknowledge", "ack", "Acknowledge the chosen alert, one at a time", 1),
    _deed("silence", "s", "silence", "silence", "Silence all sound for 30 s", 2),
    _form("tend", "t", "tend", "Record a tended line: slack, heave, or to a load", 3),
    _form("on_deck", "x", "on deck", "Happened on deck: to a line or a winch brake", 4),
    _form("reading", "r", "read", "Reading by hand: draughts, tide board, heel, wind", 5),
    _form("note", "w", "note", "Write a note into the record", 6),
    _form("what_if", "i", "what if", "What if: a line, a tug, wind, tide or current", 7),
    _form("take_over", "k", "take over", "Take over the watch, with initials", 8),
    _deed("self_test", "c", "self_test", "test", "Self-test, once a watch: bell, colours, record", 16),
    _deed("next_alert", "n", "look('alert')", "next alert", "Choose the next alert, and its line", 12),
    _deed("order", "o", "look('order')", "order", "Lines: worst first, or by position", 15),
    _deed("pause", "p", "pause", "pause", "Pause the figures for two minutes; alerts go on", 13),
    _deed("palette", "d", "palette", "dim", "Dim: day, dusk, night, plain", 11),
    _deed("copy", "C", "copy", "copy", "Copy the chosen alert or line to the terminal's clipboard", 17),
    _deed(
        "save_view",
        "E",
        "save_view",
        "to a file",
        "Write what is in sight to a file, as picture and text",
        18,
    ),
    _deed("mouse", "M", "mouse", "mouse", "Mouse: chooses, or leaves selecting text to the terminal", 19),
    _here(
        "accept",
        "z",
        "z",
        "form('accept_form')",
        "accept",
        "Alerts: accept the chosen one for a time, with a reason",
        "alerts",
    ),
    _here("round", "T", "T", "form('round_form')", "done", "Rounds: the next was done as advised", "rounds"),
    _here(
        "wind_forecast",
        "W",
        "W",
        "form('wind_form')",
        "wind forecast",
        "Ahead: wind as a weather forecast has it",
        "ahead",
        "decide",
        "rounds",
    ),
    _here("give_order", "O", "O", "form('order_form')", "order", "Orders: one more, or one less", "orders"),
    _here(
        "judge",
        "y",
        "y",
        "form('judge_form')",
        "right?",
        "Gauges: the doubtful one is right, or wrong",
        "gauges",
    ),
    _here(
        "chart_earlier",
        "left",
        "← →",
        "look('cursor', -1)",
        "cursor, ↑ ↓ what",
        "Chart: cursor earlier; up and down what it shows",
        "chart",
    ),
    _moves("chart_later", "right", "→", "look('cursor', 1)", "Chart: cursor later, beyond the end none"),
    _here("chart_shorter", "minus", "- +", "look('hours', -1)", "hours", "Chart: fewer hours", "chart"),
    _moves("chart_longer", "plus,equals_sign", "+", "look('hours', 1)", "Chart: more hours"),
    _here(
        "chart_lines",
        "l",
        "l",
        "look('chart_lines', 1)",
        "lines",
        "Chart: one line, those of its role, or all",
        "chart",
    ),
    _replay("stop", "space", "Space", "'stop'", "stop", "stop it, or let it run", 3),
    _replay("slower", "comma,less_than_sign", ", .", "'pace', -1", "pace", "slower", 4),
    _replay("faster", "full_stop,greater_than_sign", ".", "'pace', 1", "", "faster", None),
    Key("replay_seek", "g", "g", "form('seek_form')", "go to", "Replay: go to a time", 5, (), True),
    _replay("step", "j", "j", "'step'", "step", "one second on, and stop", 9),
    _replay("next_alert", "right_square_bracket", "[ ]", "'alert', 1", "alerts", "to the next alert", 9),
    _replay("former_alert", "left_square_bracket", "[", "'alert', -1", "", "to the previous alert", None),
    _replay("next_tend", "right_curly_bracket", "{ }", "'tend', 1", "tending", "to the next tending", 14),
    _replay("former_tend", "left_curly_bracket", "{", "'tend', -1", "", "to the previous tending", None),
    _instructs("station", "0", "page('station')", "station", "how it goes, what comes, what was ordered", 0),
    _instructs("inject", "e", "form('inject_form')", "inject", "put trouble in, or send a message", 1),
    _instructs("follow", "f", "follow", "follow", "show what the trainee has in sight", 2),
    _moves("commands", "colon,ctrl+p", ":", "form('command_form')", "All commands by name"),
    _moves("repaint", "ctrl+l", "Ctrl-L", "repaint", "Draw the screen anew, where something wrote over it"),
    _deed("manual", "m", "page('manual')", "manual", "Manual: its page on what is in sight", 10),
    Key("help", "question_mark,f1", "?", "page('help')", "help", "Help: what is in sight, keys, marks", 0),
    Key("quit", "q,ctrl+q,ctrl+c", "q", "form('quit_form')", "end", "End the watch; asks first", 1),
)


AT_A_STATION: Final = {
    "station": "station",
    "replay_stop": "stop, go on",
    "inject": "inject",
    "note": "mark",
    "follow": "follow",
    "what_if": "what if",
    "next_alert": "next alert",
    "order": "order",
    "palette": "dim",
    "manual": "manual",
    "help": "help",
    "quit": "end",
}
"""The keys of a console that instructs, each with what it does there in short."""


def keys_of(picture: Picture) -> list[Key]:
    """Return the keys that do something at the console of a Picture, in order: in an exam none moves time."""
    if picture.instructing is not None:
        by_id = {key.id: key for key in KEYS}
        named = [replace(by_id[name], short=short) for name, short in AT_A_STATION.items()]
        deeds = {key.id for key in KEYS if key.rank is not None or key.parts}
        return [*named, *(key for key in KEYS if key.id not in AT_A_STATION and key.id not in deeds)]
    moves_time = picture.replay and not picture.exam
    return [key for key in KEYS if not key.instructs and (moves_time or not key.replay)]


def bindings() -> list[BindingType]:
    """Return the keys as Textual takes them, each with its id so that it can be bound anew."""
    return [Binding(key.keys, key.action, key.long, show=False, id=key.id) for key in KEYS]
