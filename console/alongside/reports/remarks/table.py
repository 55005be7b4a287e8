"""One row a line: how it leads at making fast, and what limits it."""

from collections.abc import Iterator
from math import isnan

from alongside.reports.remarks.afloat import Afloat
from alongside.stay.fittings import fittings_passed
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
    """Return the least load that the line or anything it passes takes, and which of them it is."""
    winch = stay.ship.winches[line.winch] if line.winch is not None else None
    brake = winch.holding_kn if winch is not None and winch.holding_kn is not None else float("nan")
    ropes = [line.rope] if line.tail is None else [line.rope, line.tail.rope]
    limits = [
        (min(rope.wll_kn for rope in ropes), "WLL"),
        (brake, f"brake {safe(line.winch or '')}"),
        *((swl, safe(fitting)) for fitting, swl in fittings_passed(stay.ship, line).items()),
    ]
    dolphin = stay.berth.bollards[line.bollard].dolphin
    for name, what in ((line.bollard, "bollard"), *([(dolphin, "dolphin")] if dolphin else [])):
        swl = stay.berth.swl_of(name)
        limits.append((float("nan") if swl is None else swl, f"{what} {safe(name)}"))
    return min((each for each in limits if not isnan(each[0])), key=lambda each: each[0])
