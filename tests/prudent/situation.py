"""One situation as an officer is given it, and what he expects; and the watch that is kept over it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from alongside.actions import Action
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, planned_situation, when_fast
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.runtime.picture_maker import PictureMaker
from alongside.units import KNOT
from tests.prudent.berths import OFF_QUAY, berth

STEADY_S: Final = 900
"""Seconds watched before the last wind: long enough for the gauges to be judged."""
EVERY_S: Final = 10
"""Between readings of that time; those of the last wind come each second."""
ROUGH: Final = {"tide": 0.03, "draught_fwd": 0.03, "draught_aft": 0.03}
"""m: a gauge on the water never says the same twice."""


@dataclass(frozen=True)
class Wind:
    """Mean and highest gust, kn; where it comes from, deg from straight off the quay (180: straight on)."""

    mean: float
    gust: float = 0.0
    off: float = 0.0

    def at(self, name: str) -> tuple[float, float, float]:
        """Return mean and gust, m/s, and where it comes from, deg true, at a berth."""
        gust = max(self.gust, self.mean)
        return self.mean * KNOT, gust * KNOT, (OFF_QUAY[name] + self.off) % 360.0


HANDS: Final = ("SLACK", "HEAVE", "TEND", "MOVE LINE")
"""Hands on the lines."""
NORMAL: Final = "ALL NORMAL"
QUIET: Final = Wind(5.0, 7.0, 180.0)


@dataclass(frozen=True)
class Situation:
    """What lies before the officer (`plain`), and what he expects of the advice.

    `large`: beginnings of headlines, one of which must stand; "" alone: none stands.
    `never`: beginnings of which none may stand.
    `says`, `never_says`: words that the sentence must, must not have.
    """

    plain: str
    berth: str
    large: tuple[str, ...]
    never: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    never_says: tuple[str, ...] = ()
    hours: float = 2.0
    """After making fast."""
    wind: Wind = QUIET
    before: Wind | None = None
    """The wind until the last one; the same where it is None."""
    seconds: int = 120
    """How long the last wind has blown."""
    longer: Mapping[str, float] = field(default_factory=dict)
    """m by which lines are longer (negative: shorter) than by the tendings of the file; "*": the others."""
    without: tuple[str, ...] = ()
    parted: tuple[str, ...] = ()
    level: float = 0.0
    """m of tide above the table."""
    deeper: float = 0.0
    silent: tuple[str, ...] = ()
    """Channels that are no longer heard since the last wind."""
    jump: Mapping[str, float] = field(default_factory=dict)
    """m by which a gauge jumps with the last wind."""
    cells: Mapping[str, float] = field(default_factory=dict)
    """kN on load cells."""
    table: bool = True
    ahead: bool = True
    first: bool = False
    """Only the last seconds are watched: the console has just been started."""
    actions: tuple[Action, ...] = ()
    """Done 120 s before the end."""
    wrong: str = ""
    """Why the advice is not what he expects yet."""


def channels_of(basis: Basis) -> tuple[str, ...]:
    fitted = [source.channel for feed in basis.stay.feeds for source in feed.channels]
    return (*fitted, "wind_gust") if "wind_speed" in fitted else tuple(fitted)


def readings_of(basis: Basis, of: Situation, times: Floats, wind: Wind, late: bool) -> Readings:
    """Return what the gauges say, as planned for those times but for what the situation changes."""
    channels = channels_of(basis)
    table = replace(basis.stay, tide=basis.stay.tide or berth(of.berth, of.without).stay.tide)
    ends = [planned_situation(table, float(at)) for at in (times[0], times[-1])]

    def between(name: str) -> Floats:
        values = [float(getattr(each, name)[0]) for each in ends]
        return np.interp(times, [times[0], times[-1] + 1e-6], values)

    rough = np.sin(np.arange(times.size) * 2.4)
    wind_speed, wind_gust, wind_from = wind.at(of.berth)
    columns = {
        "tide": between("tide") + of.level,
        "draught_fwd": between("draught_fwd") + of.deeper,
        "draught_aft": between("draught_aft") + of.deeper,
        "heel": np.zeros(times.size),
        "wind_speed": wind_speed + 0.2 * rough,
        "wind_gust": np.full(times.size, wind_gust),
        "wind_from": np.full(times.size, wind_from),
    }
    for side in ("port", "stbd"):
        columns[f"draught_mid_{side}"] = (columns["draught_fwd"] + columns["draught_aft"]) / 2.0
    value = np.column_stack(
        [
            columns.get(name, np.full(times.size, of.cells.get(name.removeprefix("tension."), np.nan)))
            for name in channels
        ]
    )
    quality = np.full(value.shape, Quality.GOOD, dtype=np.int8)
    reason = np.full(value.shape, Reason.NONE, dtype=np.int8)
    age = np.zeros(value.shape)
    for at, name in enumerate(channels):
        value[:, at] += 0.002 * rough if name in ROUGH else 0.0
        if late:
            value[:, at] += of.jump.get(name, 0.0)
        if late and name in of.silent:
            value[:, at] = np.nan
            quality[:, at], reason[:, at] = Quality.LOST, Reason.SILENT
            age[:, at] = times - times[0] + 300.0
    return Readings(times, channels, value, quality, reason, age)


def with_lengths(basis: Basis, memory: Memory, of: Situation, at: float) -> Memory:
    """Return the memory with the lines as the situation has them out."""
    lengths, ids = memory.lengths, basis.arrangement.ids
    stay = replace(basis.stay, tide=basis.stay.tide or berth(of.berth, of.without).stay.tide)
    plan = planned_present(stay, basis.arrangement, at).unstretched
    more = [of.longer.get(line, of.longer.get("*", 0.0)) for line in ids]
    tended = tuple(len(line.tended) for line in stay.lines)
    return replace(memory, lengths=replace(lengths, unstretched=plan + np.array(more), tended=tended))


def watched(of: Situation) -> Picture:
    """Return the Picture at the end of the watch."""
    basis = berth(of.berth, of.without, bool(of.cells), of.table)
    channels = channels_of(basis)
    end = when_fast(basis.stay) + of.hours * 3600.0
    begin = end - of.seconds + 1.0
    maker = PictureMaker(basis, channels, looks_ahead=of.ahead)
    memory = Memory.at_start(basis.stay)
    early = np.arange(begin - STEADY_S, begin, EVERY_S)
    parts = [] if of.first else [(early[:2], False), (early[2:], False)]
    last = np.arange(begin, end + 0.5, 1.0)
    parts += [(last[:2], True), (last[2:-120], True), (last[-120:], True)]
    has_lengths = False
    for times, late in parts:
        if not times.size:
            continue
        wind = of.wind if late or of.before is None else of.before
        heard = readings_of(basis, of, times, wind, late)
        actions = of.actions if times[-1] == last[-1] else ()
        memory, block = advance(basis, memory, heard, actions)
        if not has_lengths and of.hours > 0.0:
            memory, has_lengths = with_lengths(basis, memory, of, end), True
        if late and times[0] == last[0]:
            for line in of.parted:
                at = basis.arrangement.ids.index(line)
                memory = replace(memory, lengths=memory.lengths.with_line_parted(at, float(times[-1])))
        maker.add(block)
    picture = maker.picture(memory, ())
    if of.ahead:
        maker.forecasts.wait(60.0)
        picture = maker.picture(memory, ())
    assert picture is not None
    return picture
