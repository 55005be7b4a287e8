"""By which numbers an alert goes out, and whether it may be acknowledged without looking at its page.

The numbers are part of what others have set up: none is ever used for something else. IEC 61162-1 leaves
10000 to 9999999 to makers.
"""

from collections.abc import Mapping
from typing import Final, Literal

from alongside.alerts.model import Key
from alongside.stay.causes import CAUSES, Cause
from alongside.stay.model import Stay
from alongside.wording.actions import ON_A_LINE

IDENTIFIERS: Final[Mapping[Cause, int]] = {
    "parted": 10001,
    "stretch": 10002,
    "load": 10003,
    "brake": 10004,
    "bollard": 10005,
    "tension": 10006,
    "not_known": 10007,
    "steep": 10008,
    "slack": 10009,
    "under_keel": 10010,
    "off_fenders": 10011,
    "holding": 10012,
    "drift": 10013,
    "gangway": 10014,
    "decide": 10015,
    "ahead": 10016,
    "feed": 10017,
    "heading": 10018,
    "calculation": 10019,
    "record": 10020,
    "clock": 10021,
    "caller": 10022,
    "bridge": 10023,
}
LOOK_FIRST: Final[frozenset[Cause]] = frozenset(
    {"stretch", "load", "brake", "bollard", "holding", "off_fenders", "under_keel", "parted"}
)
"""Category A of IMO bridge alert management: whoever acknowledges must see lines, figures and limits. From
the bridge they can be silenced for a while, no more."""
MOST_LOCAL: Final = 999


def category(cause: Cause) -> Literal["A", "B"]:
    """Return the category of IMO bridge alert management."""
    return "A" if cause in LOOK_FIRST else "B"


class Numbers:
    """Instances and local numbers of a stay: the same after a restart, with the same stay file. A subject
    that the file does not have gets the next free number when it comes first."""

    def __init__(self, stay: Stay) -> None:
        lines = [line.id for line in stay.lines]
        bollards = list(stay.berth.bollards)
        channels = [source.channel for feed in stay.feeds for source in feed.channels]
        feeds = [*(feed.name for feed in stay.feeds), *channels]
        subjects = dict.fromkeys(("", *lines, *bollards, *feeds))
        self._instances = {subject: place for place, subject in enumerate(subjects, 1)}
        keys: list[Key] = [(cause, "") for cause in CAUSES]
        keys += [(cause, line) for cause in CAUSES if cause in ON_A_LINE for line in lines]
        keys += [("bollard", name) for name in bollards] + [("feed", name) for name in dict.fromkeys(feeds)]
        self._locals = {key: place for place, key in enumerate(dict.fromkeys(keys), 1)}

    def instance(self, subject: str) -> int:
        """Return the instance of whatever alert is on this subject, from 1 on."""
        return self._instances.setdefault(subject, len(self._instances) + 1)

    def local(self, key: Key) -> int | None:
        """Return the number of an alert for old receivers, 1 to 999; None where there are more."""
        number = self._locals.setdefault(key, len(self._locals) + 1)
        return number if number <= MOST_LOCAL else None
