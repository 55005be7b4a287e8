"""What a watch that goes on knows of its gauges from its record."""

from pathlib import Path

import numpy as np

from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.readings import Quality, Reason
from alongside.record.feedfiles import FeedFiles
from alongside.record.refill import warm
from alongside.stay.model import Feed, Source
from tests.feeds.stays import START, stay_with, tide

HOUR_S = 3600.0


def test_a_gauge_that_stood_still_before_a_silence_stands_still_after_a_restart(tmp_path: Path) -> None:
    """It stood at 2.5 m for an hour, and was then silent for 50 min, which is less than it may."""
    gauge = Source("tide", "XDR", names=("TIDE",), freeze_s=HOUR_S, stale_s=2 * HOUR_S, lost_s=HOUR_S + 60.0)
    stay = stay_with(Feed("gauges", "udp:1", (gauge,)))
    files = FeedFiles(tmp_path)
    for second in range(0, 4000, 10):
        files.write(START + second, [FeedLine(START + second, "gauges", tide(2.5))])
    files.close()
    until = START + 4000.0 + 3000.0
    intake = Intake(stay)
    warm(intake, tmp_path, until, until + 1.0)
    readings = intake.readings(np.array([until + 1.0]))
    assert readings.column("tide")[0] == 2.5
    at = readings.channels.index("tide")
    assert readings.quality[0, at] == Quality.SUSPECT
    assert readings.reason[0, at] == Reason.FROZEN
