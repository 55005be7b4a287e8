"""How long it takes to say what is to be ordered by when."""

import time
from collections.abc import Iterator
from dataclasses import replace

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.decide_by import decide_by
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.stay.model import DecideBy, LeadTimes, WindLimit
from alongside.stay.read import read_stay

Figure = tuple[str, float, str]
RUNS = 7


def run() -> Iterator[Figure]:
    """Sixteen lines, 12 h, 50 members, four limits, in a calm and in a gale off the quay in which what is
    held is sought from every side; work of the processor, the median of seven."""
    stay = read_stay(example_stay("coal_berth"))
    lines = [replace(stay.lines[k % len(stay.lines)], id=f"{k}") for k in range(16)]
    limits = (
        WindLimit("stop_cargo", 14.0),
        WindLimit("disconnect", 20.0, gust=True),
        WindLimit("tugs", 16.0, sector=(170.0, 260.0)),
        WindLimit("leave", 24.0),
    )
    agreed = DecideBy(limits, limits[2:], LeadTimes(900.0, 1800.0, 2700.0, 5400.0, 7200.0, 1200.0))
    basis = Basis.of(replace(stay, lines=tuple(lines), decide=agreed))
    present = planned_present(basis.stay, basis.arrangement, when_fast(stay))
    for name, speed in (("a calm", 5.0), ("a gale", 28.0)):
        rows = tuple(
            WindAt(present.time + hours * 3600.0, speed, 0.0, come_from, "", present.time)
            for hours, come_from in ((3.0, 160.0), (6.0, 180.0), (12.0, 230.0))
        )
        blown = replace(present, wind_speed=5.0, wind_from=150.0, wind_forecast=rows)
        work = []
        for _ in range(RUNS):
            begun = time.process_time()
            decide_by(basis, blown)
            work.append(time.process_time() - begun)
        yield f"decide by, 16 lines, 12 h, 50 members, {name}", sorted(work)[RUNS // 2], "s"
