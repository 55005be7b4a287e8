"""An invented ship at an invented berth, and Pictures of it, for the screens to show.

The numbers are made up to look like a stay; nothing here is calculated.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import nan

import numpy as np

from alongside.actions import Action
from alongside.actions.controls import Control
from alongside.alerts.bars import BAR_AT, stage_of_bar
from alongside.alerts.model import Alert, Event, Group, Standing
from alongside.cycle.decide_memory import DecideMemory, Said, as_remembered
from alongside.cycle.due_now import due_now
from alongside.cycle.line_row import IfSlipped, LineRow
from alongside.cycle.orders_given import Answered
from alongside.cycle.picture import Advice, ChannelRow, DeskActs, FeedRow, FenderRow, History, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.forecast.decide_notes import not_given
from alongside.forecast.decided import DecideRow, Decisions, LimitToCome
from alongside.forecast.model import Forecast, LimitAhead, MoveAhead, RoundAhead, Spread, Tending
from alongside.mechanics.holding import HoldingPower, WeakSpot
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.usage import Gives
from alongside.readings import Quality, Reason
from alongside.stay.causes import Cause, worst_cause
from alongside.stay.model import (
    Berth,
    Bollard,
    DecideBy,
    Display,
    Feed,
    Fender,
    LeadTimes,
    Line,
    MadeFast,
    Marks,
    Place,
    Point,
    Rope,
    Ship,
    Source,
    Stay,
    Tail,
    Winch,
    WindAreas,
    WindLimit,
)
from alongside.stay.stage import Stage

NOW = 1772503938.0
"""2026-03-03T02:12:18Z, the frozen clock of all Pictures here."""
ZONE = "+02:00"
HOLDS = (
    "Lines hold 34 kn (weakest from 160°: load of line B4); 29 kn with 2.0 m more tide by 06:20. "
    "Off her fenders from 27 kn."
)

POLYESTER = Rope("polyester_8", "synthetic", 640.0, ((0.0, 0.0), (5.0, 0.2), (12.0, 0.7)), 0.5)
NYLON = Rope("nylon_tail", "synthetic", 800.0, ((0.0, 0.0), (10.0, 0.1), (30.0, 0.9)), 0.5)

# id, role, fairlead x, fairlead y, bollard x, vertical deg, stretch share, load share
_PLAN = (
    ("H1", "head", 182.0, 2.0, 262.0, 9.0, 0.31, 0.26),
    ("H2", "head", 180.0, -4.0, 250.0, 10.0, 0.34, 0.28),
    ("H3", "head", 178.0, -6.0, 240.0, 11.0, 0.36, 0.30),
    ("H4", "head", 176.0, -8.0, 230.0, 13.0, 0.38, 0.31),
    ("B1", "breast", 160.0, -15.5, 176.0, 31.0, 0.72, 0.55),
    ("B2", "breast", 156.0, -15.5, 168.0, 29.0, 0.66, 0.51),
    ("S1", "spring", 140.0, -15.5, 92.0, 12.0, 0.42, 0.35),
    ("S2", "spring", 138.0, -15.5, 86.0, 12.0, 0.40, 0.34),
    ("S3", "spring", 40.0, -15.5, 108.0, 10.0, 0.37, 0.33),
    ("S4", "spring", 38.0, -15.5, 114.0, 10.0, 0.36, 0.32),
    ("B3", "breast", 16.0, -15.5, 22.0, 27.0, 0.58, 0.46),
    ("B4", "breast", 10.0, -15.5, 14.0, 28.0, 0.61, 0.48),
    ("A1", "stern", -3.0, -8.0, -44.0, 14.0, 0.39, 0.33),
    ("A2", "stern", -4.0, -6.0, -56.0, 12.0, 0.35, 0.31),
    ("A3", "stern", -5.0, -2.0, -66.0, 11.0, 0.33, 0.29),
    ("A4", "stern", -5.0, 4.0, -78.0, 10.0, 0.30, 0.27),
)


def invented_stay(
    ship: str = "Corvane Light", berth: str = "Coal berth 2, Harnmouth", repeat: int = 1
) -> Stay:
    """16 lines, or `repeat` times as many."""
    fairleads, bollards, winches, lines = {}, {}, {}, []
    for copy in range(repeat):
        for name, role, x, y, bollard_x, *_rest in _PLAN:
            line = name if copy == 0 else f"{name}x{copy}"
            fairleads[f"F{line}"] = Point(x, y, 14.0)
            winches[f"W{line}"] = Winch(Point(x, 0.0, 14.5), 384.0)
            bollards[f"K{line}"] = Bollard(
                Point(bollard_x, -22.0 if role in ("head", "stern") else -4.0, 4.5), 1000.0
            )
            tail = Tail(NYLON, 11.0) if role == "breast" else None
            fast = MadeFast(NOW - 30000.0, 60.0)
            lines.append(Line(line, role, f"F{line}", f"W{line}", f"K{line}", POLYESTER, tail, fast))  # type: ignore[arg-type]
    return Stay(
        name="Coal stay",
        file="stay.yaml",
        alongside="starboard",
        place=Place(90.0, 90.0),
        ship=Ship(
            ship,
            190.0,
            182.0,
            31.0,
            17.0,
            Marks(176.0, 4.0),
            fairleads,
            winches,
            WindAreas(640.0, 1980.0, 8.0, 85.0),
        ),
        berth=Berth(
            berth, 68.0, 12.0, bollards, tuple(Fender(x, 2000.0) for x in (10.0, 50.0, 90.0, 130.0, 170.0))
        ),
        ropes={"polyester_8": POLYESTER, "nylon_tail": NYLON},
        lines=tuple(lines),
        feeds=(
            Feed(
                "gauges",
                "serial:/dev/ttyUSB0?baud=4800",
                tuple(Source(name) for name in ("tide", "draught_fwd")),
            ),
            Feed("wind", "udp:10110", (Source("wind_speed"), Source("wind_from"))),
        ),
        display=Display("t", "kn", ZONE),
    )


def line_row(stay: Stay, index: int, **changes: object) -> LineRow:
    line = stay.lines[index]
    _name, _role, x, _y, bollard_x, vertical, stretch, load = _PLAN[index % len(_PLAN)]
    tension = load * POLYESTER.mbl_kn * 0.5
    lead = math.degrees(math.atan2(7.0 if line.role in ("breast", "spring") else 22.0, bollard_x - x))
    row = LineRow(
        id=line.id,
        role=line.role,
        vertical_deg=vertical,
        horizontal_deg=lead,
        outboard_m=abs(bollard_x - x) + 8.0,
        path_m=abs(bollard_x - x) + 20.0,
        unstretched_m=abs(bollard_x - x) + 19.0,
        elongation_pct=stretch * 6.0,
        stretch_share=stretch,
        load_share=load,
        tension_kn=tension,
        ahead_kn=tension * math.cos(math.radians(lead)),
        in_kn=tension * math.sin(math.radians(lead)),
        down_kn=tension * math.sin(math.radians(vertical)),
        stage=Stage.NORMAL,
        trend_per_h=(index % 5 - 1) * 0.02,
        bars={
            "steep": vertical * 2.8,
            "stretch": stretch * 100.0,
            "load": load * 100.0,
            "slack": max(0.0, 70.0 * (2.0 - load / 0.04)),
            "brake": load * 90.0,
            "bollard": load * 80.0,
        },
        bar_per_h=(index % 5 - 1) * 2.0,
    )
    stages: dict[Cause, Stage] = dict.fromkeys(
        ("steep", "stretch", "load", "slack", "brake", "bollard"), Stage.NORMAL
    )
    if vertical >= 25.0:
        stages["steep"] = Stage.CAUTION
    return replace(in_stages(row, stages), **changes)  # type: ignore[arg-type]


def in_stages(row: LineRow, stages: Mapping[Cause, Stage]) -> LineRow:
    """The row with these causes in these stages, and what follows of them."""
    stages = {**row.stages, **stages}
    bars = {cause: in_part(row.bars.get(cause, 0.0), stage) for cause, stage in stages.items()}
    because = worst_cause(stages, bars)
    return replace(row, stages=stages, stage=max(stages.values()), because=because, bars=bars)


def in_part(bar: float, stage: Stage) -> float:
    """The bar moved into the part of its stage."""
    parts = (0.0, *BAR_AT.values())
    return bar if stage_of_bar(bar) is stage else parts[stage] if stage else parts[1] - 1.0


def with_rows(picture: Picture, *rows: LineRow) -> Picture:
    """The Picture with these rows in the place of those of the same lines, and the stages that follow."""
    changed = {row.id: row for row in rows}
    lines = tuple(changed.get(row.id, row) for row in picture.lines)
    bollard = {line.id: line.bollard for line in picture.stay.lines}
    stages = {key: stage for key, stage in picture.stages.items() if not key[1]}
    for row in lines:
        for cause, stage in row.stages.items():
            key = cause, bollard[row.id] if cause == "bollard" else row.id
            stages[key] = max(stage, stages.get(key, Stage.NORMAL))
    return replace(picture, lines=lines, stages=stages)


def history(stay: Stay, hours: float = 24.0, every: float = 60.0) -> History:
    """Tide and lines over the past, with a hole of an hour in which nothing was known."""
    time = np.arange(NOW - hours * 3600.0, NOW + 1.0, every)
    wave = np.sin((time - NOW) / 44700.0 * 2.0 * np.pi)
    hole = (time > NOW - 3.2 * 3600.0) & (time < NOW - 2.2 * 3600.0)
    series = {"tide": np.where(hole, np.nan, 2.9 + 1.8 * wave), "wind_speed": 7.0 + 2.0 * wave}
    for index, line in enumerate(stay.lines):
        row = line_row(stay, index)
        for name in ("stretch_share", "load_share", "tension_kn", "vertical_deg"):
            value = getattr(row, name)
            series[f"{name}.{line.id}"] = np.where(hole, np.nan, value * (1.0 + 0.35 * wave))
    return History(time, series)


def channels(**bad: tuple[Quality, Reason, float]) -> tuple[ChannelRow, ...]:
    """All gauges good, but those given as (quality, reason, age)."""
    values = {
        "tide": 3.42,
        "draught_fwd": 7.02,
        "draught_aft": 8.01,
        "heel": 0.3,
        "wind_speed": 7.2,
        "wind_from": 210.0,
    }
    rows = []
    for name, value in values.items():
        quality, reason, age = bad.get(name, (Quality.GOOD, Reason.NONE, 1.0))
        feed = "wind" if name.startswith("wind") else "gauges"
        rows.append(ChannelRow(name, feed, nan if quality == Quality.LOST else value, quality, reason, age))
    return tuple(rows)


def holding(scale: float = 1.0) -> HoldingPower:
    """Held well from the water, least from where the wind blows her off the quay at 158."""
    directions = np.arange(72) * 5.0
    off = np.radians(directions - 158.0)
    holds = np.minimum((34.0 - 16.0 * np.cos(off)) * scale, CAP_MS)
    what: list[Gives] = []
    where: list[str | None] = []
    for angle in (directions - 158.0 + 180.0) % 360.0 - 180.0:
        near, sign = abs(angle), "B1" if angle < 0.0 else "B4"
        what.append("wll" if near < 60.0 else "drift")
        where.append(sign if near < 60.0 else None)
    contact = np.minimum((30.0 - 16.0 * np.cos(off)) * scale, CAP_MS)
    drift = 0.3 + 0.01 * holds
    return HoldingPower(NOW - 20.0, directions, holds, tuple(what), tuple(where), drift, contact)


def forecast(stay: Stay) -> Forecast:
    """Twelve hours from two minutes ago: B1 comes to a warning, B2 may come to a caution, and two
    rounds keep both in band."""
    times = NOW - 120.0 + 300.0 * np.arange(145)
    hours = (times - NOW) / 3600.0
    count, lines = times.size, tuple(line.id for line in stay.lines)
    stage = np.zeros((count, len(lines)), dtype=np.int8)
    b1, b2 = lines.index("B1"), lines.index("B2")
    stage[(hours > 1.0) & (hours < 5.5), b1] = 1
    stage[(hours > 2.0) & (hours < 4.5), b1] = 2
    worst = stage.copy()
    worst[(hours > 3.0) & (hours < 4.0), b1] = 3
    worst[(hours > 2.5) & (hours < 4.0), b2] = 1
    cause = np.where(stage > 0, 0, -1).astype(np.int8)
    share = np.full((count, len(lines)), 0.4) + 0.05 * stage
    tide = 3.4 + 1.4 * np.sin(hours / 12.4 * 2.0 * np.pi)
    wide = 0.02 * np.sqrt(np.maximum(hours, 0.0) + 0.01)
    unknown = np.full(count, nan)
    draught = 7.0 - 0.1 * hours

    def spread(values: np.ndarray, by: float = 1.0) -> Spread:
        return Spread(values, values - by * wide, values + by * wide)

    b1_limits = (
        LimitAhead("stretch", "B1", "B1", Stage.CAUTION, NOW + 3000.0, NOW + 3600.0, NOW + 4200.0),
        LimitAhead("stretch", "B1", "B1", Stage.WARNING, NOW + 6600.0, NOW + 7200.0, NOW + 8400.0),
        LimitAhead("stretch", "B1", "B1", Stage.ALARM, NOW + 10800.0, None, None),
    )
    rounds = (
        RoundAhead(
            NOW - 120.0,
            NOW + 5400.0,
            NOW + 3000.0,
            NOW + 20000.0,
            900.0,
            (MoveAhead("B1", 0.4), MoveAhead("B2", 0.4)),
        ),
        RoundAhead(
            NOW + 19000.0, NOW + 25000.0, NOW + 19000.0, NOW + 43000.0, 900.0, (MoveAhead("B1", -0.3),)
        ),
    )
    return Forecast(
        time=NOW - 120.0,
        times=times,
        lines=lines,
        members=50,
        tide=spread(tide, 5.0),
        draught_fwd=spread(draught),
        draught_aft=spread(draught + 1.0),
        heel_deg=spread(np.zeros(count)),
        wind_ms=spread(np.full(count, 7.0)),
        wind_from_deg=np.full(count, 210.0),
        under_keel=spread(12.0 + tide - draught - 1.0, 5.0),
        rail_over_quay=Spread(unknown, unknown, unknown),
        surge=spread(np.zeros(count)),
        sway=spread(np.zeros(count)),
        holding_share=spread(np.full(count, 0.3)),
        stage=stage,
        stage_worst=worst,
        cause=cause,
        causes=("stretch", "steep"),
        vertical_deg=share * 30.0,
        stretch_share=share,
        load_share=share,
        limits=b1_limits,
        tending=Tending(rounds, verified=True, holds=0.96, good_until=NOW + 43000.0),
        notes=("cargo works at 104 % of its plan",),
    )


FEEDS = (
    FeedRow("gauges", "serial:/dev/ttyUSB0?baud=4800", True, "", 120000, 3),
    FeedRow("wind", "udp:10110", True, "", 60000, 0),
)


def alert(cause: str, subject: str, stage: Stage, text: str, **changes: object) -> Alert:
    line = subject if cause in ("steep", "stretch", "slack") else None
    made = Alert(
        cause, subject, line, stage, Standing.UNACKNOWLEDGED, NOW - 134.0, NOW - 134.0, 0.9, 0.85, "", text
    )
    return replace(made, **changes)  # type: ignore[arg-type]


EVENTS = (
    Event(NOW - 9000.0, "started", text="Watch started"),
    Event(NOW - 7200.0, "tended", line="B2", value=0.4, text="Line B2 slacked 0.40 m, EK"),
    Event(
        NOW - 3000.0,
        "raised",
        "steep",
        "B1",
        Stage.CAUTION,
        "B1",
        25.1,
        25.0,
        "Line B1 steep: 25° down (limit 25°)",
    ),
    Event(NOW - 1200.0, "note", text="Gangway shifted aft (EK)"),
    Event(
        NOW - 134.0,
        "worsened",
        "stretch",
        "B1",
        Stage.WARNING,
        "B1",
        0.88,
        0.85,
        "Line B1 stretch 88 % (limit 85 %)",
    ),
)


def normal(stay: Stay | None = None) -> Picture:
    """Nothing to do."""
    stay = stay or invented_stay()
    rows = [
        in_stages(line_row(stay, i, vertical_deg=14.0), {"steep": Stage.NORMAL})
        for i in range(len(stay.lines))
    ]
    picture = replace(
        blank_picture(stay),
        time=NOW,
        tide=3.42,
        tide_rate=0.31,
        draught_fwd=7.02,
        draught_aft=8.01,
        heel_deg=0.3,
        trim=0.99,
        surge=0.1,
        sway=0.0,
        yaw_deg=0.05,
        wind_ms=7.2,
        wind_gust_ms=10.8,
        wind_from_deg=210.0,
        quality=Quality.GOOD,
        fenders=tuple(
            FenderRow(fender.x, pressed, pressed * 2000.0)
            for fender, pressed in zip(stay.berth.fenders, (0.08, 0.06, 0.05, 0.02, 0.0), strict=True)
        ),
        holding=holding(),
        holds_ms=float(holding().holds_ms[42]),
        holding_text=HOLDS,
        forecast=forecast(stay),
        channels=channels(),
        feeds=FEEDS,
        log=EVENTS[:2],
        history=history(stay),
        advice=Advice("Nothing to do: 16 lines within their limits", Stage.NORMAL, large="ALL NORMAL"),
        stages={
            ("holding", ""): Stage.NORMAL,
            ("under_keel", ""): Stage.NORMAL,
            ("off_fenders", ""): Stage.NORMAL,
            ("drift", "surge"): Stage.NORMAL,
            ("drift", "sway"): Stage.NORMAL,
        },
    )
    return with_rows(picture, *rows)


def one_warning(stay: Stay | None = None) -> Picture:
    """A short breast line near its allowance on the flood."""
    stay = stay or invented_stay()
    rows = [line_row(stay, i) for i in range(len(stay.lines))]
    b1 = line_row(stay, 4, stretch_share=0.88, load_share=0.74, tension_kn=237.0, trend_per_h=0.06)
    worse: dict[Cause, Stage] = {"steep": Stage.WARNING, "stretch": Stage.WARNING, "load": Stage.CAUTION}
    rows[4] = in_stages(b1, worse)
    alerts = (
        alert(
            "stretch",
            "B1",
            Stage.WARNING,
            "Line B1 stretch 88 % (limit 85 %), rising with the tide",
            value=0.88,
        ),
        alert(
            "steep",
            "B1",
            Stage.WARNING,
            "Line B1 steep: 31° down (limit 30°)",
            standing=Standing.ACKNOWLEDGED,
        ),
        alert("steep", "B2", Stage.CAUTION, "Line B2 steep: 29° down (limit 25°)", raised_at=NOW - 4000.0),
    )
    return replace(
        with_rows(normal(stay), *rows),
        alerts=alerts,
        log=EVENTS,
        advice=Advice(
            "Slack B1 by 0.80 m: stretch 88 % (limit 85 %)", Stage.WARNING, large="SLACK B1", by="0.80 m"
        ),
    )


def deciding(stay: Stay | None = None) -> Picture:
    """A gale to come: cargo is to be stopped soon, tugs are ordered; limits and lead times are invented."""
    hour, first = 3600.0, NOW + 3.2 * 3600.0
    stop = WindLimit("stop_cargo", 14.4)
    agreed = DecideBy((stop,), (), LeadTimes(stop_cargo=900.0, tugs=5400.0))
    here = normal(replace(stay or invented_stay(), decide=agreed))
    by_lines = LimitToCome(
        "tugs",
        None,
        17.0,
        first,
        NOW + 6 * hour,
        0.6,
        19.5,
        NOW + 7 * hour,
        200.0,
        True,
        gives="load of line B4",
    )
    soon = replace(by_lines, do="stop_cargo", agreed=stop, limit_ms=14.4, first=NOW + 0.6 * hour, chance=0.9)
    rows = (DecideRow("stop_cargo", soon, 900.0), DecideRow("tugs", by_lines, 5400.0))
    half_hours = [NOW + 1800.0 * step for step in range(25)]
    decisions = Decisions(
        NOW,
        NOW + 12 * hour,
        50,
        rows,
        (soon, by_lines),
        True,
        (NOW + 9 * hour,),
        holds_ms=20.0,
        holds=tuple((at, 20.0 - 3.0 * (at - NOW) / (12 * hour)) for at in half_hours),
        wind=tuple(
            (at, 10.0 + (at - NOW) / hour, 200.0, 12.0 + 1.2 * (at - NOW) / hour) for at in half_hours
        ),
        not_given=not_given(agreed)[:1],
    )
    moved = Said("stop_cargo", rows[0].by, NOW, NOW, True, False, 14.4, NOW, NOW + hour, WHY)
    decided = DecideMemory((moved,), (Answered("tugs", NOW - 600.0),), None, NOW)
    remembered = as_remembered(decided, decisions, here.stay, NOW)
    return replace(here, decisions=remembered, due=due_now(remembered, NOW) or (), decided=decided)


WHY = "forecast of 03:10 has the wind earlier"


def in_question(stay: Stay | None = None) -> Picture:
    """The brake of B1 may have slipped; the load of H1 counts by its cell."""
    stay = stay or invented_stay()
    rows = [line_row(stay, i) for i in range(len(stay.lines))]
    b1 = line_row(stay, 4, stretch_share=0.88, load_share=0.83, tension_kn=265.0, trend_per_h=0.06)
    rows[4] = in_stages(b1, {"stretch": Stage.WARNING, "brake": Stage.ALARM})
    rows = [
        replace(row, if_slipped=IfSlipped(row.tension_kn * 1.02, row.stretch_share * 1.01)) for row in rows
    ]
    rows[4] = replace(rows[4], if_slipped=IfSlipped(217.0, 0.72, 0.27, 281.0))
    cell = in_stages(rows[0], {"tension": Stage.ALARM, "load": Stage.CAUTION})
    rows[0] = replace(cell, measured_kn=231.0, peak_kn=252.0, by_cell=True)
    either = "slipped 0.27 m, or holds 28.7 t"
    over = f"Line B1 over its brake: {either}: look at winch B1"
    both = "if brake B1 held, lines hold 48 kn if it slipped (brake of line B1)"
    deck = "; the whole mooring deck is a snap-back area: clear it"
    look = f"Look at winch B1: {either}"
    return replace(
        with_rows(normal(stay), *rows),
        alerts=(
            alert("brake", "B1", Stage.ALARM, over),
            alert("tension", "H1", Stage.ALARM, "Line H1 cell 23.6 t, computed 13.4 t"),
            alert("stretch", "B1", Stage.WARNING, "Line B1 stretch 88 % (limit 85 %)", value=0.88),
        ),
        log=EVENTS,
        advice=Advice(
            f"{look}{deck}; 2 more alerts", Stage.ALARM, f"{look}; 2 more alerts", "LOOK AT WINCH B1"
        ),
        holds_ms=0.0,
        weak=WeakSpot("brake", "B1", 0.0, 205.0, "held"),
        weak_otherwise=WeakSpot("brake", "B1", 25.1, 210.0, "slipped"),
        holding_text=f"Beyond a limit without any wind {both}. Off her fenders from 41 kn.",
    )


def flood(stay: Stay | None = None) -> Picture:
    """Many alarms at once, grouped by cause."""
    stay = stay or invented_stay()
    rows = tuple(
        line_row(
            stay,
            i,
            stretch_share=1.12 - 0.04 * i,
            load_share=1.02 - 0.04 * i,
        )
        for i in range(len(stay.lines))
    )
    stages = [Stage.ALARM if i < 4 else (Stage.WARNING if i < 7 else Stage.CAUTION) for i in range(len(rows))]
    rows = tuple(in_stages(row, {"stretch": stage}) for row, stage in zip(rows, stages, strict=True))
    alerts = [
        alert(
            "stretch",
            row.id,
            row.stage,
            f"Line {row.id} stretch {row.stretch_share * 100:.0f} %",
            standing=Standing.SILENCED if i == 2 else Standing.UNACKNOWLEDGED,
        )
        for i, row in enumerate(rows)
    ]
    alerts += [
        alert("steep", row.id, Stage.CAUTION, f"Line {row.id} steep: {row.vertical_deg:.0f}° down")
        for row in rows[:6]
    ]
    alerts += [
        alert("bollard", f"K{row.id}", Stage.WARNING, f"Bollard K{row.id} near its SWL") for row in rows[:4]
    ]
    alerts.sort(key=lambda each: -each.stage)
    return replace(
        with_rows(one_warning(stay), *rows),
        alerts=tuple(alerts),
        groups=grouped(alerts),
        advice=Advice(
            "Slack H1, H2, H3 and H4 now: stretch of H1 112 % (limit 100 %)",
            Stage.ALARM,
            large="SLACK H1, H2, H3 +1",
        ),
    )


def grouped(alerts: Sequence[Alert]) -> tuple[Group, ...]:
    causes = dict.fromkeys(alert.cause for alert in alerts)
    parts = [tuple(alert for alert in alerts if alert.cause == cause) for cause in causes]
    return tuple(Group(part[0].cause, max(alert.stage for alert in part), part) for part in parts)


def blind(stay: Stay | None = None) -> Picture:
    """The tide gauge gives no signal: nothing is known of the lines."""
    stay = stay or invented_stay()
    before = one_warning(stay)
    lost = alert("feed", "gauges", Stage.WARNING, "Tide gauge: no signal since 04:06; all lines not watched")
    return replace(
        before,
        tide=nan,
        tide_rate=nan,
        surge=nan,
        sway=nan,
        yaw_deg=nan,
        quality=Quality.LOST,
        lines=blank_picture(stay).lines,
        stages={("feed", "gauges"): Stage.WARNING},
        fenders=blank_picture(stay).fenders,
        holding=replace(
            holding(),
            holds_ms=np.full(72, nan),
            gives_first=(None,) * 72,
            where=(None,) * 72,
            drift_m=np.full(72, nan),
            reason="tide not known",
        ),
        holds_ms=nan,
        holding_text="Holding power not known: tide not known.",
        channels=channels(tide=(Quality.LOST, Reason.SILENT, 372.0)),
        alerts=(lost, *(replace(each, suspended=True) for each in before.alerts)),
        advice=Advice(
            "Watch the lines by eye: tide gauge, no signal for 6 min", Stage.WARNING, large="READ TIDE BOARD"
        ),
    )


def awkward() -> Picture:
    """Port side to, in a zone that this machine does not know: line H1 leads up 50°, B1 is slack at 50°, S1
    is not made fast."""
    stay = replace(invented_stay(), alongside="port", display=Display("kN", "m/s", "Sea/Nowhere"))
    picture = normal(stay)
    up = line_row(stay, 0, vertical_deg=-50.0, down_kn=-12.0)
    slack = line_row(
        stay, 4, vertical_deg=50.0, stretch_share=0.0, load_share=0.0, tension_kn=0.0, elongation_pct=-1.0
    )
    blank = blank_picture(stay).lines[6]
    return with_rows(
        picture,
        in_stages(up, {"steep": Stage.ALARM}),
        in_stages(slack, {"steep": Stage.NORMAL, "slack": Stage.WARNING}),
        replace(blank, why="not made fast", no_length=NoLength.NOT_FAST),
    )


def waiting(stay: Stay | None = None) -> Picture:
    """Just started: feeds open, nothing heard yet."""
    stay = stay or invented_stay()
    names = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_from")
    unheard = tuple(ChannelRow(name, "gauges", nan, Quality.LOST, Reason.WAITING, nan) for name in names)
    return replace(
        blank_picture(stay),
        time=NOW,
        channels=unheard,
        feeds=FEEDS,
        stages={("feed", "gauges"): Stage.CAUTION},
        advice=Advice("Waiting for tide and draughts", Stage.CAUTION, large="CHECKING"),
    )


class FakeDesk:
    """A desk that delivers what it is given and remembers what was handed in."""

    def __init__(self, *pictures: Picture) -> None:
        self.pictures = pictures
        self.actions: list[Action] = []
        self.controls: list[Control] = []
        self.stopped = False
        self.keeps = True
        """Whether the disk takes what is handed in."""
        self.acts = DeskActs(kept=0)
        self._newest = pictures[-1] if pictures else None
        self._deliver: Callable[[Picture], None] = lambda picture: None

    def start(self, deliver: Callable[[Picture], None]) -> None:
        self._deliver = deliver
        for picture in self.pictures:
            self.deliver(picture)

    def deliver(self, picture: Picture) -> None:
        """Deliver a Picture with the count of what was handed in."""
        kept = self.acts.taken if self.keeps else self.acts.kept
        self.acts = replace(self.acts, kept=kept, why_not="" if self.keeps else "disk full")
        self._newest = picture
        self._deliver(replace(picture, acts=self.acts))

    def act(self, action: Action) -> None:
        self.actions.append(action)
        self.acts = replace(self.acts, taken=self.acts.taken + 1)
        if self._newest is not None:
            self.deliver(self._newest)

    def control(self, control: Control) -> None:
        self.controls.append(control)

    def stop(self) -> None:
        self.stopped = True


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.seconds = 1000.0

    def __call__(self) -> float:
        return self.seconds
