"""An acceptance goes on after the console was killed: the same until-time, reason and initials. It ends as it
would have, when the alert gets worse."""

from pathlib import Path

import pytest

from alongside.actions import Accept
from alongside.alerts.model import Alert
from alongside.stay.stage import Stage
from tests.berth import START
from tests.record.kept import BEGIN, Watch, flood_stay


def accepted_watch(folder: Path, until: float) -> tuple[Watch, Alert]:
    """Return a watch in which the first alert of a line was accepted, and that alert."""
    watch = Watch(flood_stay(folder), folder / "record", BEGIN)
    while not (raised := [alert for alert in watch.run(1).last.alerts if alert.cause == "stretch"]):
        assert watch.second < BEGIN + 400.0
    accept = Accept("stretch", raised[0].subject, START + until, "short breast, ebb soon", "KM")
    watch.run(2, {int(watch.second) + 1: accept})
    return watch, standing(watch, raised[0].subject)


def standing(watch: Watch, subject: str) -> Alert:
    (alert,) = (each for each in watch.last.alerts if each.key == ("stretch", subject))
    return alert


def test_an_acceptance_outlives_a_kill(tmp_path: Path) -> None:
    watch, before = accepted_watch(tmp_path, BEGIN + 500.0)
    assert before.acceptance is not None
    assert before.stage is Stage.WARNING
    second = watch.second
    watch.kill()
    resumed = Watch(flood_stay(tmp_path), tmp_path / "record", second + 3.0).run(2)
    after = standing(resumed, before.subject)
    assert after.acceptance == before.acceptance
    assert after.acceptance is not None
    assert (after.acceptance.until, after.acceptance.reason) == (
        START + BEGIN + 500.0,
        "short breast, ebb soon",
    )


@pytest.mark.slow
def test_after_a_kill_it_ends_when_the_alert_gets_worse(tmp_path: Path) -> None:
    watch, before = accepted_watch(tmp_path, BEGIN + 7200.0)
    second = watch.second
    watch.kill()
    resumed = Watch(flood_stay(tmp_path), tmp_path / "record", second + 3.0)
    while standing(resumed.run(1), before.subject).is_accepted:
        assert resumed.second < second + 400.0
    assert standing(resumed, before.subject).stage >= before.stage
    (ended,) = (event for event in resumed.last.log if event.event == "acceptance_ended")
    assert ended.text.startswith("No longer accepted, its value is worse: Line ") or ended.text.startswith(
        "No longer accepted, it worsened: Line "
    )
    resumed.end()
