"""A watch cycled by hand, on a clock of its own, with the journal and files it would have in earnest."""

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

import numpy as np

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.picture import Picture
from alongside.runtime.live import LiveDesk
from alongside.stay.model import Stay
from tests.berth import START, STAY_TEXT, a_stay, sentence

FLOOD_TEXT = STAY_TEXT.replace(
    "balance: off",
    "limits: {steep_deg: {caution: 25, warning: 30, alarm: 45}}\nbalance: off",
)


BEGIN = 250.0
"""A second shortly before the first alert."""


def tide_at(second: float) -> float:
    """A fast flood with a swell on it, so that alerts rise, worsen and chatter within minutes."""
    return 2.0 + 1.6 * np.sin(second / 300.0) + 0.05 * np.sin(second / 2.0)


def said(second: float) -> bytes:
    return sentence(f"IIXDR,D,{tide_at(second):.3f},M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA")


class Watch:
    """A console that is told what time it is. `pictures` are all it delivered."""

    def __init__(self, stay: Stay, folder: Path | None, second: float = 0.0) -> None:
        self.second = second + 0.5
        self.ahead = 0.0
        """By how much the clock on the wall was set forward."""
        self.pictures: list[Picture] = []
        self.desk = LiveDesk(stay, folder, wall=self.wall, steady=lambda: self.second)
        self.desk.deliver_to(self.pictures.append)
        self.second = second

    def wall(self) -> float:
        return START + self.second + self.ahead

    def run(self, seconds: int, actions: dict[int, Action] | None = None, heard: bool = True) -> "Watch":
        """So many cycles; `actions` by the second in which they are done."""
        for _ in range(seconds):
            self.second += 1.0
            if heard:
                self.desk.hear(self.wall() - 0.25, "gauges", said(self.second))
            if actions and int(self.second) in actions:
                self.desk.act(actions[int(self.second)])
            self.desk.cycle()
        return self

    @property
    def last(self) -> Picture:
        return self.pictures[-1]

    def end(self) -> None:
        self.desk.stop()

    def kill(self) -> None:
        """As SIGKILL would: nothing is closed in order. (That a process dies is tested with processes.)"""
        recorder = self.desk._recorder
        if recorder is None:
            return
        self.desk._recorder = None
        if recorder._lock is not None:
            recorder._lock.release()
        if recorder._journal is not None:
            recorder._journal._file.close()


DECIMALS = 9
"""Means are summed from another first value after a restart, which turns the last bit."""


def known(value: object) -> object:
    """A value that can be compared: not known equals not known, and the last bits do not count."""
    if isinstance(value, float):
        return "unknown" if value != value else round(value, DECIMALS)
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(known(getattr(value, item.name)) for item in fields(value))
    if isinstance(value, Mapping):
        return {name: known(item) for name, item in value.items()}
    return tuple(known(item) for item in value) if isinstance(value, tuple) else value


def shown(picture: Picture) -> tuple[object, ...]:
    """What a Picture says of lines, alerts, advice, sound and tide."""
    told = (picture.lines, picture.alerts, picture.groups, picture.advice, picture.sound)
    return tuple(known(part) for part in (picture.time, *told, picture.tide, picture.tide_rate))


def words(events: Iterable[Event]) -> list[str]:
    return [event.event for event in events]


WORN_TEXT = STAY_TEXT.replace("brake_kn: 120", "brake_kn: 21")
ASKED = 420
"""Seconds after which the flood has brought line 1 over its worn brake."""


def worn_stay(folder: Path) -> Stay:
    return a_stay(folder, WORN_TEXT)


def flood_stay(folder: Path) -> Stay:
    return a_stay(folder, FLOOD_TEXT)
