"""A console that watches a flood bring a line over its brake, in a process of its own, to be killed. It says
on standard output what each Picture showed of that line, and only after it was delivered.

    python -m tests.record.with_a_question FOLDER RECORD SECONDS
"""

import json
import os
import sys
from pathlib import Path

from alongside.cycle.picture import Picture
from tests.record.kept import Watch, worn_stay


def said_of(picture: Picture) -> dict[str, float | None]:
    """Return what is shown of line 1: the time, its length, and what is in question of its brake."""
    row = picture.lines[0]
    asked = row.asked
    return {
        "second": picture.time,
        "main_m": row.unstretched_m,
        "tension_kn": row.tension_kn,
        "slipped_kn": None if asked is None else asked.tension_kn,
        "ran_out_m": None if asked is None else asked.ran_out_m,
        "most_kn": None if asked is None else asked.most_kn,
    }


def main(folder: Path, record: Path, seconds: int) -> None:
    watch = Watch(worn_stay(folder), record)

    def shown(picture: Picture) -> None:
        watch.pictures.append(picture)
        os.write(1, f"{json.dumps(said_of(picture))}\n".encode())

    watch.desk.deliver_to(shown)
    watch.run(seconds)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
