"""A console under load, in a process of its own, to be killed: cycles as fast as they go, something done in
each. It says on standard output what each Picture showed, and only after it was delivered.

    python -m tests.record.under_load FOLDER RECORD SECOND
"""

import json
import os
import sys
from pathlib import Path

from alongside.actions import Acknowledge, Action, Note, TendLine
from alongside.cycle.picture import Picture
from tests.record.kept import Watch, flood_stay

NEWS = ("acknowledged", "tended", "note", "raised", "worsened", "gap", "silenced")


class Shown:
    """Says what is new in each Picture."""

    def __init__(self) -> None:
        self.told = 0.0

    def __call__(self, picture: Picture) -> None:
        new = [event for event in picture.log if event.time > self.told and event.event in NEWS]
        self.told = picture.log[-1].time if picture.log else self.told
        lengths = [row.unstretched_m for row in picture.lines]
        said = {
            "time": picture.time,
            "events": [[event.time, event.event, event.text] for event in new],
            "lengths": ["unknown" if length != length else length for length in lengths],
            "acknowledged": [list(a.key) for a in picture.alerts if a.standing.name == "ACKNOWLEDGED"],
        }
        os.write(1, f"{json.dumps(said)}\n".encode())


def main(folder: Path, record: Path, second: float) -> None:
    watch = Watch(flood_stay(folder), record, second)
    shown = Shown()
    watch.desk.deliver_to(lambda picture: (watch.pictures.append(picture), shown(picture))[0])
    while True:
        watch.run(1, {int(watch.second) + 1: deed(int(watch.second) + 1)})
        watch.pictures = watch.pictures[-1:]
        for alert in watch.last.alerts:
            if alert.owed:
                watch.desk.act(Acknowledge(*alert.key, by="TK"))


def deed(second: int) -> Action:
    if second % 3:
        return Note(f"second {second}", by="TK")
    return TendLine("2", paid_out=0.05 if second % 2 else -0.05, by="TK")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), float(sys.argv[3]))
