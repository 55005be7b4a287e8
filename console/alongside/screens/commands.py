"""The command palette: every key of the console by its name."""

from collections.abc import Callable, Iterable

from textual.app import SystemCommand

from alongside.screens.keys import KEYS


def system_commands(run: Callable[[str], None], replay: bool) -> Iterable[SystemCommand]:
    """Return one command for each key that does more than move; `run` is given the action."""
    for key in KEYS:
        if key.action.startswith("move") or key.id == "commands" or (key.replay and not replay):
            continue
        yield SystemCommand(key.long, f"key {key.shown}", lambda action=key.action: run(action))
