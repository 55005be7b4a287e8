"""Commands by name: every key of the console that does more than move."""

from dataclasses import dataclass

from alongside.cycle.picture import Picture
from alongside.screens.keys import keys_of

_NONE = ("commands", "back")


@dataclass(frozen=True, slots=True)
class Command:
    """A key's action, by the words of the help."""

    words: str
    action: str
    key: str


def commands(picture: Picture) -> list[Command]:
    """Return one command for each such key."""
    return [
        Command(key.long, key.action, key.shown)
        for key in keys_of(picture)
        if not key.action.startswith("move") and key.id not in _NONE
    ]


def named(text: str, picture: Picture) -> list[Command]:
    """Return the commands whose words hold all words typed; those that begin with it first."""
    words = text.casefold().split()
    fitting = [each for each in commands(picture) if all(word in each.words.casefold() for word in words)]
    return sorted(fitting, key=lambda each: not each.words.casefold().startswith(text.casefold().strip()))
