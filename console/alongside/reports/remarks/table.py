"""One row a line: how it leads at making fast, and what limits it."""

from collections.abc import Iterator
from math import isnan

from alongside.reports.remarks.afloat import Afloat
from alongside.stay.model import Line, Stay
from alongside.wording.figures import degrees, force_text, metres, percent
from alongside.wording.safe import safe

COLUMNS = (
    f"{'line':>6} {'role':<7} {'lead':>5} {'down':>5} {'length':>9} {'load':>9} {'share':>6}  limited by"
)


def line_table(afloat: Afloat) -> Iterator[str]:
    """Yield a head and a row a line: lead, angle down (- up), length outboard, load at making fast and its
    share of what limits the line first."""
    yield COLUMNS
    for index, line in enumerate(afloat.stay.lines):
        limit, what = _limit(afloat.stay, line)
        is_known = line.tail is None or line.tail.length < float(afloat.path_m[index])
        tension = line.made_fast.tension_kn
        yield (
            f"{safe(line.id):>6} {line.role:<7} {degrees(float(afloat.lead_deg[index])):>5} "
            f"{degrees(float(afloat.down_deg[index])):>5} {metres(float(afloat.outboard_m[index]), 1):>9} "
            f"{force_text(tension, afloat.stay.display):>9} {percent(tension / limit):>6}  "
            f"{what} {force_text(limit, afloat.stay.display)}"
            f"{'' if is_known else '; length not known, tail longer than path'}"
        )


def _limit(stay: Stay, line: Line) -> tuple[float, str]:
    """Return the least load that the line, its brake or its bollard takes, and which of them it is."""
    winch = stay.ship.winches[line.winch] if line.winch is not None else None
    brake = winch.holding_kn if winch is not None and winch.holding_kn is not None else float("nan")
    swl = stay.berth.bollards[line.bollard].swl_kn
    limits = [
        (line.smallest_wll_kn, "WLL"),
        (brake, f"brake {safe(line.winch or '')}"),
        (float("nan") if swl is None else swl, f"bollard {safe(line.bollard)}"),
    ]
    return min((each for each in limits if not isnan(each[0])), key=lambda each: each[0])
