"""What a ship that passes does to the lines, and the speed to ask her for, in words."""

from math import floor, isnan
from typing import Final

from alongside.forecast.pass_tried import Highest
from alongside.forecast.peak_seen import ByPeak
from alongside.forecast.ship_passes import Asked, Passed, speed_asked
from alongside.mechanics.passing import FROUDE_MOST
from alongside.stay.model import Display, Stay
from alongside.units import KNOT
from alongside.wording.figures import force_figure, metres, percent, slow_speed
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import what_gives
from alongside.wording.safe import safe

CAUTION: Final = (
    "An estimate: slim hulls in wide, still water, her own motion left out. The pull",
    "may be half or twice as large; judged is twice. Slack lines let her gather way:",
    "heave them in before. The master's judgement, the ship's line management plan",
    "and port rules stand above it.",
)

OFF: Final = "she comes off her fenders"
BY_PEAK: Final = "by the peak that was seen"


def passing_sentence(passed: Passed, display: Display) -> str:
    """Return what is most to be known: what gives, or that nothing does, and the speed to ask for with what
    it comes from."""
    sentence, peak = _sentence(passed, display), passed.by_peak
    if peak is None or not peak.why_alone:
        return sentence
    return f"{sentence} Only line {safe(peak.seen.line)} was judged {BY_PEAK}."


def _sentence(passed: Passed, display: Display) -> str:
    asked = speed_asked(passed)
    if asked.ms is None:
        return f"{_before(passed, asked, display)}."
    ask = f"{_ask(asked.ms, display)}{_because(passed, asked, display)}."
    if not passed.is_known:
        return f"NOT KNOWN at {slow_speed(passed.ship.speed_ms, display)}: {_range(passed, display)}. {ask}"
    if passed.share[2] >= 1.0:
        end = "as computed" if passed.share[1] >= 1.0 else "with twice the pull computed"
        return f"TOO FAST: {end}, {what_gives(passed.gives, passed.where)} first. {ask}"
    most = f"at most {percent(passed.share[2])} of a limit"
    if passed.off_fenders:
        return f"OFF FENDERS with twice the pull computed; {most}. {ask}"
    if asked.because.startswith("peak"):
        return f"TOO FAST {BY_PEAK}, not by the pull computed. {ask}"
    return f"Nothing gives: {most} with twice the pull. {ask}"


def passing_rows(passed: Passed, stay: Stay) -> list[str]:
    """Return the answer in rows, without the caution."""
    display = stay.display
    rows = [passing_sentence(passed, display), "", _pull(passed, display)]
    if passed.is_known:
        moved = " and ".join(metres(each, 1) for each in passed.moved_m)
        rows.append(f"With twice the pull she moves {moved} along and across.")
    rows.append(_highest_speeds(passed, display))
    rows += [
        "",
        f"{'line':<8}{'before':>8}  {'half':>6} {'computed':>8} {'twice':>6}   {'limit':>6}, {display.force}",
    ]
    for line in passed.loads:
        half, computed, twice = (_load(each, display) for each in line.peak_kn)
        over = "  over its limit" if line.peak_kn[2] > line.limit_kn else ""
        still, limit = _load(line.still_kn, display), _load(line.limit_kn, display)
        rows.append(f"{safe(line.line):<8}{still:>8}  {half:>6} {computed:>8} {twice:>6}   {limit:>6}{over}")
    return rows if passed.by_peak is None else [*rows, "", *_peak_rows(passed, passed.by_peak, display)]


def _before(passed: Passed, asked: Asked, display: Display) -> str:
    """Return why there is no speed to ask for."""
    if asked.because == "peak":
        return "OVER A LIMIT before she comes: the load that was seen"
    if asked.because == "lines":
        return f"OVER A LIMIT before she comes: {what_gives(passed.lines.gives, passed.lines.where)}"
    alone = _up_to(passed.lines, display)
    return f"OFF FENDERS before she comes: no speed keeps her on; {_strength(passed.lines)} {alone}"


def _ask(ms: float, display: Display) -> str:
    least = _at_most(ms, display)
    return f"Ask for at most {least}" if _steps(ms, display) > 0.0 else "Ask her not to pass"


def _because(passed: Passed, asked: Asked, display: Display) -> str:
    """Return what the speed comes from, and what the other of strength and contact would allow."""
    above = ": above" if asked.ms else ":"
    if asked.because == "own_speed":
        return ", her own speed"
    if asked.because == "lines":
        fenders = passed.fenders
        other = f"; on her fenders to {_up_to(fenders, display)}" if fenders.is_limit else ""
        return f"{above} {what_gives(passed.lines.gives, passed.lines.where)} is over its limit{other}"
    if asked.because == "fenders":
        return f"{above} {OFF}; {_strength(passed.lines)} {_up_to(passed.lines, display)}"
    if asked.because == "range":
        return f"{above} it is not known"
    peak = passed.by_peak
    assert peak is not None  # what the speed comes from
    if asked.because == "peak":
        return f"{above} line {safe(peak.seen.line)} is over its limit {BY_PEAK}"
    if asked.because == "peak_fenders":
        return f"{above} {OFF} {BY_PEAK}"
    assert peak.lines is not None
    return f"{above} {what_gives(peak.lines.gives, peak.lines.where)} is over its limit {BY_PEAK}"


def _peak_rows(passed: Passed, peak: ByPeak, display: Display) -> list[str]:
    """Return what a peak that was seen as the same ship passed at a speed says of her next pass."""
    seen, hers = peak.seen, slow_speed(passed.ship.speed_ms, display)
    ask = "its load before is over its limit"
    if not isnan(peak.line_ms):
        ask = f"at its limit at {slow_speed(peak.line_ms, display)}"
    following = (
        "not known" if isnan(peak.next_kn) else f"{force_figure(peak.next_kn, display)} {display.force}"
    )
    at = f"{force_figure(seen.peak_kn, display)} {display.force} at {slow_speed(seen.speed_ms, display)}"
    rows = [f"By the peak of line {safe(seen.line)}, {at}: {following} at {hers}, {ask}."]
    if peak.lines is None or peak.fenders is None:
        return [*rows, f"Only line {safe(seen.line)} was judged by that peak: {peak.why_alone}."]
    times = f"{peak.times:.1f} times as computed"
    return [*rows, f"The pull was then {times}. By that: {_both(peak.lines, peak.fenders, display)}."]


def _pull(passed: Passed, display: Display) -> str:
    known = passed.pull_kn if passed.is_known else passed.at_least_kn
    along, off, on = (force_figure(each, display) for each in known)
    how = "as computed" if passed.is_known else "at least"
    water = f"{metres(passed.depth_m, 1)} of water"
    return f"Pull {how}, {display.force}: {along} along, {off} off the quay, {on} on to it; {water}."


def _range(passed: Passed, display: Display) -> str:
    end = _at_most(passed.range_ms, display)
    return f"above {end} the pull grows faster than is worked out (depth Froude number {FROUDE_MOST:g})"


def _highest_speeds(passed: Passed, display: Display) -> str:
    return f"With twice the pull: {_both(passed.lines, passed.fenders, display)}."


def _both(lines: Highest, fenders: Highest, display: Display) -> str:
    """Return `lines alone 9 kn (brake of line 3), on her fenders to 5 kn`."""
    what = f" ({what_gives(lines.gives, lines.where)})" if lines.gives not in ("", "drift") else ""
    hold = f"{_strength(lines)} {_up_to(lines, display)}{what}"
    if lines.ms is None:
        hold = f"a limit is passed before she comes{what}"
    if fenders.ms is None:
        return f"{hold}, she is off her fenders before the other comes"
    return f"{hold}, on her fenders to {_up_to(fenders, display)}"


def _strength(lines: Highest) -> str:
    return "drift alone" if lines.gives == "drift" else "lines alone"


def _up_to(highest: Highest, display: Display) -> str:
    """Return a highest speed; one at the end of what was tried as `more than`."""
    if highest.ms is None:
        return NOT_KNOWN
    more = "" if highest.is_limit else "more than "
    return f"{more}{_at_most(highest.ms, display)}"


def _steps(ms: float, display: Display) -> float:
    """Return a speed in quarters of a knot or tenths of a metre a second, never rounded up, m/s."""
    unit, parts = (KNOT, 4.0) if display.speed == "kn" else (1.0, 10.0)
    return floor(ms / unit * parts + 1e-6) / parts * unit


def _at_most(ms: float, display: Display) -> str:
    return slow_speed(_steps(ms, display), display)


def _load(kn: float, display: Display) -> str:
    return NOT_KNOWN if isnan(kn) else force_figure(kn, display)
