"""The summary of a batch: tables as CSV and, where asked for, Parquet, and a JSON document. It is the same
however many processes worked, and whether or not the batch was interrupted and went on."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from math import isfinite
from pathlib import Path
from typing import Any, Final

from alongside.reports.batch.alarm_load import AGAIN_S, FLOOD, AlarmLoad, added
from alongside.reports.batch.draws import CONFIDENCE, DrawnShare, drawn_shares
from alongside.reports.batch.outcome import FIGURES, QUALITIES, Draw, Outcome
from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.parquet_files import write_parquet
from alongside.reports.replaceable import BATCH
from alongside.reports.table import Column, Table
from alongside.stay.stage import Stage

DOCUMENT: Final = "batch.json"
OF_DRAWS: Final = (
    Column("draw", "count"),
    Column("seed", "count"),
    Column("tide_m", "number", "m"),
    Column("tide_s", "number", "s"),
    Column("wind_factor", "number", "1"),
    Column("stiffness", "number", "1"),
    Column("tension", "number", "1"),
)
"""In parts of their bands the last two."""


def write_summary(folder: Path, outcomes: Sequence[Outcome], drawn: bool, parquet: bool) -> None:
    """Write all files of the summary: all of them, or none."""
    with Outputs() as outputs:
        outputs.folder(folder)
        for table in tables(outcomes, drawn):
            rows = list(table.rows)
            write_csv(outputs, folder / f"{table.name}.csv", table.head, rows)
            if parquet:
                write_parquet(outputs, folder, Table(table.name, table.columns, rows))
        outputs.text(folder / DOCUMENT, BATCH).write(f"{json_text(document(outcomes, drawn), indent=1)}\n")


def tables(outcomes: Sequence[Outcome], drawn: bool) -> tuple[Table, ...]:
    """Return the tables of a summary: a row a stay, alerts by cause and stage, and the shares of draws."""
    each = (_summary(outcomes, drawn), _alerts(outcomes))
    return (*each, _shares(drawn_shares(outcomes))) if drawn else each


def document(outcomes: Sequence[Outcome], drawn: bool) -> dict[str, Any]:
    """Return the JSON document of a summary."""
    done = [outcome for outcome in outcomes if outcome.is_done]
    worst = Counter(outcome.worst for outcome in done)
    shares = drawn_shares(outcomes) if drawn else ()
    return {
        "stays": len(outcomes),
        "done": len(done),
        "failed": [
            {"name": each.name, "exit": each.exit, "fault": each.fault}
            for each in outcomes
            if not each.is_done
        ],
        "worst": {stage.word: worst[stage.word] for stage in Stage},
        "load": _load_object(total_load(outcomes)),
        "confidence": CONFIDENCE if drawn else None,
        "shares": [{name: _known(value) for name, value in asdict(share).items()} for share in shares],
    }


def total_load(outcomes: Sequence[Outcome]) -> AlarmLoad:
    """Return the alarm load over all stays that were played."""
    return added(outcome.load for outcome in outcomes if outcome.load is not None)


def _load_object(load: AlarmLoad) -> dict[str, Any]:
    caution, warning, alarm = load.announced
    return {
        "hours": load.hours,
        "announced": load.total,
        "per_hour": _known(load.per_hour),
        "caution": caution,
        "warning": warning,
        "alarm": alarm,
        "periods": load.periods,
        "flood_above": FLOOD,
        "floods": load.floods,
        "most_in_period": load.most,
        "chattering": load.chattering,
        "again_within_s": AGAIN_S,
        "again": load.again,
        "standing": [asdict(one) for one in load.standing],
        "top": [asdict(one) for one in load.each],
        "top_share": _known(load.top_share),
    }


def _known(value: Any) -> Any:
    return None if isinstance(value, float) and not isfinite(value) else value


def _summary(outcomes: Sequence[Outcome], drawn: bool) -> Table:
    stages = [stage.word for stage in Stage]
    columns = [
        *map(Column, ("name", "stay", "log", "ship")),
        Column("exit", "count"),
        Column("fault"),
        *(Column(name, "time") for name in ("begin", "end")),
        Column("hours", "number", "h"),
        Column("worst"),
        *(Column(f"{word}_s", "number", "s") for word in (*stages, "unknown")),
        *(Column(f"{word}_alerts", "count") for word in stages[1:]),
        *(Column(f"gauges_{quality.name.lower()}_s", "number", "s") for quality in QUALITIES),
        *(Column(name, "count") for name in ("lines", "not_used")),
        *map(Column, ("why_not_used", "log_note")),
        Column("escalated", "count"),
        Column("first_alarm_at", "time"),
        *map(Column, ("first_alarm", "first_alarm_subject")),
        Column("announced", "count"),
        Column("per_hour", "number", "1/h"),
        *(Column(name, "count") for name in ("most_in_period", "floods", "chattering", "again", "standing")),
        *(each for name, unit in FIGURES for each in _of_figure(name, unit)),
    ]
    extra = OF_DRAWS if drawn else ()
    return Table("summary", (*columns, *extra), (_row(each, drawn) for each in outcomes))


def _of_figure(name: str, unit: str) -> tuple[Column, ...]:
    return Column(name, "number", unit), Column(f"{name}_of"), Column(f"{name}_at", "time")


def _row(one: Outcome, drawn: bool) -> list[Cell]:
    by_stage = Counter[str]()
    for count in one.alerts:
        by_stage[count.stage] += count.alerts
    stages = [stage.word for stage in Stage]
    first, load = one.first_alarm, one.load
    row: list[Cell] = [one.name, one.stay, one.log, one.ship or None, one.exit, one.fault or None]
    row += [one.begin, one.end, None if load is None else load.hours, one.worst]
    if load is None:
        row += [None] * (len(stages) + 1 + len(stages) + len(QUALITIES) + 4 + 3 + 7)
    else:
        row += [*one.seconds, one.unknown_s, *(by_stage[word] for word in stages[1:]), *one.quality_s]
        row += [one.lines, one.not_used, one.why_not_used or None, one.log_note or None, one.escalated]
        row += [None] * 3 if first is None else [first.time, first.alert, first.subject or None]
        row += [load.total, load.per_hour, load.most, load.floods, load.chattering, load.again]
        row.append(len(load.standing))
    highest = {each.figure: each for each in one.highest}
    for name, _ in FIGURES:
        worst = highest.get(name)
        row += [None] * 3 if worst is None else [worst.value, worst.of or None, worst.time]
    return [*row, *_drawn_cells(one.draw)] if drawn else row


def _drawn_cells(draw: Draw | None) -> list[Cell]:
    if draw is None:
        return [None] * len(OF_DRAWS)
    figures = (draw.tide_m, draw.tide_s, draw.wind_factor, draw.stiffness, draw.tension)
    return [draw.number, draw.seed, *figures]


def _alerts(outcomes: Sequence[Outcome]) -> Table:
    columns = (Column("name"), Column("cause"), Column("stage"), Column("alerts", "count"))
    return Table("alerts", columns, _alert_rows(outcomes))


def _alert_rows(outcomes: Sequence[Outcome]) -> Iterator[list[Cell]]:
    for outcome in outcomes:
        for count in outcome.alerts:
            yield [outcome.name, count.cause, count.stage, count.alerts]


def _shares(shares: Sequence[DrawnShare]) -> Table:
    columns = (
        Column("cause"),
        Column("stage"),
        Column("draws", "count"),
        Column("in_it", "count"),
        *(Column(name, "number", "1") for name in ("share", "low", "high")),
    )
    return Table("shares", columns, (list(asdict(share).values()) for share in shares))
