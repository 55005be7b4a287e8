"""How many alerts a calm day has: the examples with half their wind and no gusts, 24 h, through the whole
program.

At most one caution an hour and no alarm in quiet weather is a common aim (EEMUA 191, ISA 18.2). Wind is not
all: in the examples lines are tended too late, a brake is worn, a gauge falls silent and the keel comes near
the ground, in a calm too. So each alarm is named here with what is right about it, and an hour with more than
one caution, joined as the list joins them, is one in which that happened.
"""

import json
from collections import Counter
from pathlib import Path

import pytest

from alongside.alerts.joined import APART_S, JOINED
from alongside.cli.headless import replay_headless
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.calm import ROOT, calm_log

ALARMS = {
    "coal_berth": {
        ("stretch", "4"),  # on the flood, slacked half an hour too late
        ("brake", "4"),  # its lining is worn: over what it holds
        ("holding", None),  # that brake is nearly rendering without any wind
    },
    "product_jetty": {
        ("stretch", "9"),  # left for later on the flood
        ("brake", "9"),
    },
    "coaster_quay": {
        ("stretch", "2"),  # hove in at low water
        ("stretch", "5"),
        ("under_keel", None),  # 0.4 m at the night's low water
    },
}
BUSY_HOURS = {"coal_berth": 3, "product_jetty": 1, "coaster_quay": 0}
"""Hours of 24 with more than one new caution."""
MOST = {"coal_berth": 2, "product_jetty": 2, "coaster_quay": 1}
"""New cautions in the busiest hour."""


def new_rows(events: list[dict]) -> list[dict]:
    """Return what came as a row of its own: raised or worse, not joined with what stood already."""
    standing: dict[tuple, float] = {}
    new = []
    for event in events:
        key, time = (event["alert"], event["line"] or event.get("subject")), unix_time(event["time"])
        if event["event"] in ("cleared", "rectified"):
            standing.pop(key, None)
        if event["event"] not in ("raised", "worsened", "escalated"):
            continue
        causes = next((some for some in JOINED if event["alert"] in some), frozenset())
        alike = [since for (cause, _line), since in standing.items() if cause in causes]
        caution = event["stage"] == "caution" and causes and event["line"]
        if not (caution and any(time - since <= APART_S for since in alike)):
            new.append(event)
        standing.pop(key, None)
        if caution:
            standing[key] = time
    return new


@pytest.mark.slow
@pytest.mark.parametrize("name", ALARMS)
def test_a_calm_day_has_few_alerts_and_each_alarm_has_its_cause(name: str, tmp_path: Path) -> None:
    log, out = tmp_path / "log", tmp_path / "events"
    log.write_text("\n".join(calm_log(name)) + "\n", encoding="latin-1")
    replay_headless(read_stay(ROOT / "configs" / f"{name}.yaml"), log, events=out)
    new = new_rows([json.loads(line) for line in out.read_text().splitlines()])
    alarms = {(event["alert"], event["line"]) for event in new if event["stage"] == "alarm"}
    assert alarms == ALARMS[name]
    hours = Counter(event["time"][:13] for event in new if event["stage"] == "caution")
    assert sum(count > 1 for count in hours.values()) == BUSY_HOURS[name], hours
    assert max(hours.values()) == MOST[name], hours


def test_neighbours_within_an_hour_are_one_row() -> None:
    def raised(time: str, line: str, event: str = "raised", stage: str = "caution") -> dict:
        return {
            "time": f"2026-03-20T{time}:00Z",
            "event": event,
            "alert": "steep",
            "line": line,
            "stage": stage,
        }

    day = [raised("03:00", "12"), raised("03:30", "13"), raised("04:20", "5")]
    assert len(new_rows(day)) == 1
    assert len(new_rows([*day, raised("05:30", "4")])) == 2
    assert len(new_rows([*day, raised("04:30", "12", "worsened", "warning")])) == 2
