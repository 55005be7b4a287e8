"""The outcome of one stay of a batch, as it stands in its file `outcome.json`.

Nobody answers an alert in a batch. So stages here are those that the figures themselves call for: a warning
that would have become an alarm by waiting counts as a warning, and how often that was stands beside it.
"""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.errors import AlongsideError
from alongside.readings import Quality
from alongside.record.codec import from_plain, to_plain
from alongside.reports.batch.alarm_load import AlarmLoad
from alongside.reports.output_files import FORMAT, json_text
from alongside.stay.stage import Stage

STAGE_STATUS: Final = {"normal": 0, "caution": 10, "warning": 11, "alarm": 12}
"""Exit status of a stay by its worst stage."""
QUALITIES: Final = tuple(sorted(Quality, key=lambda quality: quality.rank))
MOST_NOT_USED: Final = 0.1
MOST_BLIND: Final = 0.1
"""More of the lines, or of the time without good gauges, is told beside what a stay came to."""
OF_CAUSES: Final = {
    "stretch": ("stretch_share", "1"),
    "brake": ("brake_share", "1"),
    "bollard": ("bollard_share", "1"),
    "slack": ("slack_share", "1"),
    "steep": ("steepest_deg", "deg"),
    "holding": ("holding_share", "1"),
    "off_fenders": ("off_fenders_m", "m"),
    "under_keel": ("under_keel_m", "m"),
}
"""The figure of each cause, as it is held against its limits, and its unit."""
FIGURES: Final = (
    ("tension_kn", "kN"),
    ("load_share", "1"),
    *OF_CAUSES.values(),
    ("wind_ms", "m/s"),
    ("wind_gust_ms", "m/s"),
)
"""All figures in order, with their units."""


@dataclass(frozen=True, slots=True)
class AlertCount:
    """How many alerts of one cause came to a stage and to no worse one."""

    cause: str
    stage: str
    alerts: int


@dataclass(frozen=True, slots=True)
class FirstAlarm:
    """The first alert that came to alarm by its own value, and when it did."""

    time: str
    alert: str
    subject: str
    text: str


@dataclass(frozen=True, slots=True)
class Highest:
    """The worst value of one figure over the stay: the highest, of what must not be small the least."""

    figure: str
    unit: str
    value: float
    of: str
    """Line, bollard or way to drift; "" for the ship."""
    time: str


@dataclass(frozen=True, slots=True)
class Draw:
    """How a drawn stay differs from the one of its files, see `alongside.training.batch.drawn`."""

    number: int
    seed: int
    tide_m: float
    tide_s: float
    wind_factor: float
    stiffness: float
    tension: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """One stay of a batch. Times are ISO 8601 in UTC; None for what is not known."""

    digest: str
    """Of all that it depends on; "" where that could not be read."""
    name: str
    stay: str
    log: str
    exit: int
    fault: str = ""
    """What kept it from being played, in one line."""
    ship: str = ""
    begin: str | None = None
    end: str | None = None
    worst: str | None = None
    seconds: tuple[float, ...] = ()
    """In normal, caution, warning, alarm."""
    unknown_s: float = 0.0
    """In gaps of the log."""
    quality_s: tuple[float, ...] = ()
    """With the worst of the gauges that lines rest on good, expected, suspect, lost."""
    lines: int = 0
    not_used: int = 0
    why_not_used: str = ""
    """Lines of the log, and what was wrong with those that were not used."""
    log_note: str = ""
    """That the log breaks off, or may be of another stay."""
    alerts: tuple[AlertCount, ...] = ()
    escalated: int = 0
    first_alarm: FirstAlarm | None = None
    highest: tuple[Highest, ...] = ()
    load: AlarmLoad | None = None
    draw: Draw | None = None

    @property
    def is_done(self) -> bool:
        """Return whether the stay was played to its end."""
        return self.exit in STAGE_STATUS.values()

    @property
    def doubts(self) -> str:
        """Return in words why its figures may say little: a log that breaks off, lines that were not used,
        gauges that were doubtful or gave no signal; "" for none."""
        doubts = [f"the log {self.log_note}"] if self.log_note else []
        if self.not_used > MOST_NOT_USED * self.lines:
            doubts.append(f"{self.not_used} of {self.lines} lines not used ({self.why_not_used})")
        bad, all_s = sum(self.quality_s[2:]), sum(self.quality_s)
        if bad > MOST_BLIND * all_s:
            doubts.append(
                f"gauges doubtful or without signal for {bad / 3600.0:.1f} of {all_s / 3600.0:.1f} h"
            )
        return "; ".join(doubts)

    @property
    def worst_stage(self) -> Stage | None:
        return None if self.worst is None else Stage[self.worst.upper()]


def outcome_text(outcome: Outcome) -> str:
    """Return the JSON document of an outcome."""
    return f"{json_text(to_plain(outcome), indent=1)}\n"


def read_outcome(path: Path) -> Outcome | None:
    """Return the outcome in a file; None where there is none that this program can read."""
    try:
        plain = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(plain, dict) or plain.pop("format", None) != FORMAT:
            return None
        outcome: Outcome = from_plain(Outcome, plain, path.name)
    except (OSError, ValueError, AlongsideError):
        return None
    return outcome
