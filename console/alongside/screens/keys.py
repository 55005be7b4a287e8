"""Every key of the console: what it does, where it is shown."""

from dataclasses import dataclass
from typing import Final

from textual.binding import Binding, BindingType


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


KEYS: Final = (
    Key("back", "escape", "esc", "to_lines", "back", "Back to the lines; leave a form"),
    Key("acknowledge", "a", "a", "acknowledge", "ack", "Acknowledge the chosen alert, one at a time", 1),
    Key("silence", "s", "s", "silence", "silence", "Silence all sound for 30 s", 2),
    Key("next_alert", "n", "n", "next_alert", "next", "Choose the next alert, and its line", 4),
    Key("tend", "t", "t", "tend", "tend", "Tell of a line paid out, hove in, or set to a load", 3),
    Key("note", "w", "w", "note", "note", "Write a note into the record", 6),
    Key("lines_up", "up", "↑", "move(-1)", "", "Up one row"),
    Key("lines_down", "down", "↓", "move(1)", "", "Down one row"),
    Key("page_up", "pageup", "PgUp", "move(-10)", "", "Up ten rows"),
    Key("page_down", "pagedown", "PgDn", "move(10)", "", "Down ten rows"),
    Key("first", "home", "Home", "move(-9999)", "", "To the first row"),
    Key("last", "end", "End", "move(9999)", "", "To the last row"),
    Key("alerts", "l", "l", "page('alerts')", "alerts", "List of alerts", 5),
    Key("detail", "enter", "Enter", "page('detail')", "line", "The chosen line in full", 8),
    Key("chart", "c", "c", "page('chart')", "chart", "Strip chart", 7),
    Key("chart_former", "left", "← →", "series(-1)", "what", "Chart: what it shows", 3, ("chart",)),
    Key("chart_next", "right", "→", "series(1)", "", "Chart: what it shows, the other way", None, ("chart",)),
    Key("chart_shorter", "minus", "- +", "hours(-1)", "hours", "Chart: fewer hours", 3, ("chart",)),
    Key("chart_longer", "plus,equals_sign", "+", "hours(1)", "", "Chart: more hours", None, ("chart",)),
    Key("plan", "v", "v", "page('plan')", "plan", "View from above", 9),
    Key("holding", "b", "b", "page('holding')", "holds", "What winds the lines hold, and the fenders", 7),
    Key("ahead", "f", "f", "page('ahead')", "ahead", "The hours ahead: tide, draughts, lines, rounds", 6),
    Key(
        "what_if", "i", "i", "what_if", "what if", "What if a line is tended or let go, or the wind turns", 8
    ),
    Key("history", "h", "h", "page('history')", "history", "What happened in the last 24 h", 10),
    Key("handover", "r", "r", "page('handover')", "relief", "Hand over the watch: all on one page", 13),
    Key(
        "take_over",
        "k",
        "k",
        "take_over",
        "take over",
        "Take over the watch, with initials",
        1,
        ("handover",),
    ),
    Key("order", "o", "o", "order", "order", "Lines worst first, or by position", 11),
    Key("pause", "p", "p", "pause", "pause", "Pause the view; alerts go on", 9),
    Key("palette", "d", "d", "palette", "dim", "Dim the colours: day, dusk, night, plain", 12),
    Key(
        "replay_stop", "space", "Space", "replay_stop", "stop", "Stop the replay, or let it run", 3, (), True
    ),
    Key("replay_slower", "comma,less_than_sign", ", .", "pace(-1)", "pace", "Replay slower", 4, (), True),
    Key("replay_faster", "full_stop,greater_than_sign", ".", "pace(1)", "", "Replay faster", None, (), True),
    Key("replay_seek", "g", "g", "seek", "go to", "Replay: go to a time", 5, (), True),
    Key("replay_step", "j", "j", "step", "step", "Replay: one second on, and stand still", 6, (), True),
    Key(
        "replay_next_alert",
        "right_square_bracket",
        "[ ]",
        "to_alert(1)",
        "alert",
        "Replay: to the next alert",
        7,
        (),
        True,
    ),
    Key(
        "replay_former_alert",
        "left_square_bracket",
        "[",
        "to_alert(-1)",
        "",
        "Replay: to the previous alert",
        None,
        (),
        True,
    ),
    Key(
        "replay_next_tend",
        "right_curly_bracket",
        "{ }",
        "to_tend(1)",
        "tending",
        "Replay: to the next tending",
        8,
        (),
        True,
    ),
    Key(
        "replay_former_tend",
        "left_curly_bracket",
        "{",
        "to_tend(-1)",
        "",
        "Replay: to the previous tending",
        None,
        (),
        True,
    ),
    Key("commands", "colon,ctrl+p", ":", "command_palette", "", "All of these by name"),
    Key("help", "question_mark", "?", "page('help')", "keys", "Keys, marks and cautions", 0),
    Key("quit", "q,ctrl+q,ctrl+c", "q", "leave", "", "End the watch; asks first"),
)


def bindings() -> list[BindingType]:
    """The keys as Textual takes them, each with its id so that it can be bound anew."""
    return [Binding(key.keys, key.action, key.long, show=False, id=key.id) for key in KEYS]
