"""What to look at before a line is tended by figures that rest on a doubtful gauge."""

from collections.abc import Sequence
from typing import Final

from alongside.alerts.model import Alert
from alongside.cycle.advice.sentence import Sentence
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import ChannelRow
from alongside.readings import DOUBTS, Quality, Reason
from alongside.stay.channels import TENSION
from alongside.stay.stage import Stage
from alongside.wording.names import channel as channel_words
from alongside.wording.names import reason as reason_words
from alongside.wording.safe import safe

DRAUGHTS: Final = ("draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd", "heel")
BEARS_LINES: Final = ("tide", *DRAUGHTS)
WIND: Final = ("wind_from", "heading", "wind_speed")
TENDED_BY: Final = {
    "stretch": BEARS_LINES,
    "load": BEARS_LINES,
    "brake": BEARS_LINES,
    "bollard": BEARS_LINES,
    "slack": BEARS_LINES,
    "steep": BEARS_LINES,
    "tension": BEARS_LINES,
    "off_fenders": (*BEARS_LINES, *WIND),
    "drift": (*BEARS_LINES, *WIND),
}
"""Channels that advice to tend a line rests on, by cause."""
WITHHOLDING: Final = DOUBTS | {Reason.SPIKES}
"""Reasons with which a value may be anything; a stale one is only old."""


def doubtful_rows(channels: Sequence[ChannelRow], names: Sequence[str] = BEARS_LINES) -> list[ChannelRow]:
    """Return the doubtful ones of some channels, the tide first."""
    rows = {row.channel: row for row in channels if row.quality is Quality.SUSPECT}
    return [rows[name] for name in names if name in rows and rows[name].reason in WITHHOLDING]


def look_first(alert: Alert, channels: Sequence[ChannelRow], row: LineRow | None = None) -> Sentence | None:
    """Return what to look at before anything is done about an alert on a line with that `row`; None where no
    doubtful gauge bears it. A load by cell rests on that cell alone; of a ship off her fenders the master is
    called first, unless it is the wind that is doubtful."""
    names = TENDED_BY.get(alert.cause, ())
    if row is not None and row.by_cell and alert.cause in ("load", "brake"):
        names = (f"{TENSION}{row.id}",)
    rows = doubtful_rows(channels, names)
    if not rows:
        return None
    if _is_for_master(alert) and not any(each.channel in WIND for each in rows):
        return call_master(alert)
    line = f"; then line {safe(alert.line)}" if alert.line else ""
    return look_at(rows[0], alert.stage, line)


def look_before(alert: Alert) -> Sentence | None:
    """Return what to do about an alert while the gauges are not judged yet: no line is tended by them, but
    the master is called. None for an alert that no line is tended for."""
    if alert.cause not in TENDED_BY:
        return None
    if _is_for_master(alert):
        return call_master(alert)
    return Sentence(alert.stage, f"Look first, gauges are being checked: {alert.text}", large="CHECKING")


def _is_for_master(alert: Alert) -> bool:
    return alert.stage is Stage.ALARM and alert.cause == "off_fenders"


def call_master(alert: Alert) -> Sentence:
    """Return that master and tugs are called for a ship off her fenders: that waits for no gauge."""
    what = f"{alert.text[:1].lower()}{alert.text[1:]}"
    return Sentence(alert.stage, f"Call the master, order tugs: {what}", large="CALL MASTER")


def look_at(row: ChannelRow, stage: Stage, then: str = "") -> Sentence:
    """Return what to look at for one doubtful gauge: `Read the tide board: tide 1.5 m above the table`."""
    why = row.why or reason_words(row.reason.name)
    name = channel_words(row.channel)
    if row.channel == "tide":
        return Sentence(stage, f"Read the tide board: {name} {why}", "", then, large="READ TIDE BOARD")
    if row.channel in DRAUGHTS:
        return Sentence(stage, f"Read the draughts: {name} {why}", "", then, large="READ DRAUGHTS")
    return Sentence(stage, f"Check gauges: {name} {why}", "", then, large="CHECK GAUGES")
