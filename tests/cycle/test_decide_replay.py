"""Times to decide by through a whole recorded stay, the example whose second forecast has the wind
earlier."""

import json
from pathlib import Path
from typing import Any

import pytest

from alongside.cli.main import main

ROOT = Path(__file__).parents[2]
JETTY = [str(ROOT / "configs" / "product_jetty.yaml"), str(ROOT / "replay_logs" / "product_jetty.log.gz")]


def events(folder: Path, *options: str) -> list[dict[str, Any]]:
    out = folder / "events.jsonl"
    assert main(["replay", *JETTY, "--headless", *options, "--events", str(out)]) == 0
    return [json.loads(row) for row in out.read_text(encoding="utf-8").splitlines()]


@pytest.mark.slow
def test_the_alert_through_a_whole_replay(tmp_path: Path) -> None:
    of_it = [row for row in events(tmp_path, "--ahead") if row["alert"] == "decide"]
    raised = [row for row in of_it if row["event"] == "raised"]
    assert raised[0]["stage"] == "caution", "an hour before, not at once"
    assert {row["stage"] for row in of_it if row["event"] in ("raised", "worsened")} == {
        "caution",
        "warning",
        "alarm",
    }
    stop = next(row for row in raised if row["text"].startswith("Stop cargo by"))
    assert "limit 28 kn" in stop["text"]
    assert "forecast of 17:00 has the wind earlier" in stop["text"]
    assert 50.0 <= stop["value"] <= 60.0, "minutes left, of soon_min 60"
    assert len(raised) <= 8, "over 28 h of which ten blow"


@pytest.mark.slow
def test_without_a_look_ahead_nothing_is_decided(tmp_path: Path) -> None:
    assert not [row for row in events(tmp_path) if row["alert"] == "decide"]
