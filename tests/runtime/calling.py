"""A console in a process of its own that makes a second call, to be ended by a signal while that goes on.

python -m tests.runtime.calling STAY RECORD COMMAND…
"""

import signal
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

from alongside.alerts.model import Alert, Standing
from alongside.runtime.live import LiveDesk
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from tests.berth import START


def main(stay: Path, record: Path, command: list[str]) -> None:
    """No gauge is heard, so nothing is alarming: the alarm is put into its memory."""
    begun = time.monotonic()
    desk = LiveDesk(
        read_stay(stay),
        record,
        wall=lambda: START + 30.0 * (time.monotonic() - begun),
        steady=lambda: 30.0 * (time.monotonic() - begun),
        call=command,
    )
    stands = ("stretch", "1", "1", Stage.ALARM, Standing.UNACKNOWLEDGED, START, START)
    alarm = Alert(*stands, 1.01, 1.0, "", "Line 1 stretch 101 %", alarm_since=START)  # type: ignore[arg-type]
    desk.cycle()
    desk._memory = replace(desk._memory, watchlist=replace(desk._memory.watchlist, alerts={alarm.key: alarm}))
    ended = threading.Event()
    signal.signal(signal.SIGTERM, lambda *_: ended.set())
    while not ended.is_set():
        desk.cycle()
        time.sleep(0.1)
    desk.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3:])
