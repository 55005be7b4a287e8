"""The stages of an alert."""

from enum import IntEnum


class Stage(IntEnum):
    """Priorities of IMO bridge alert management, MSC.302(87), without the emergency alarm."""

    NORMAL = 0
    CAUTION = 1
    WARNING = 2
    ALARM = 3

    @property
    def word(self) -> str:
        return _WORDS[self]


_WORDS = tuple(stage.name.lower() for stage in Stage)
