"""Senders at a console that keeps a record: named in it, the same after a restart and in a replay of it."""

from pathlib import Path

import numpy as np
import pytest

from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.forecast.basis import Basis
from alongside.record.feedfiles import feed_logs
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay, sentence
from tests.record.kept import Watch, said

A, B = "10.0.0.5", "10.0.0.7"
PORT = "serial:/dev/ttyUSB0?baud=4800"


def on_the_network(folder: Path) -> Stay:
    assert PORT in STAY_TEXT
    return a_stay(folder, STAY_TEXT.replace(PORT, "udp:10110"))


def lying() -> bytes:
    """What the second sender says: everything two metres off."""
    return sentence("IIXDR,D,9.000,M,TIDE,D,6.000,M,DRF,D,6.500,M,DRA")


def run(watch: Watch, seconds: int, *senders: str) -> Watch:
    """The second sender is faster: ten times a second."""
    for _ in range(seconds):
        watch.second += 1.0
        now = watch.wall()
        for sender in senders:
            if sender == A:
                watch.desk.hear(now - 0.25, "gauges", said(watch.second), A)
            else:
                for k in range(10):
                    watch.desk.hear(now - 0.95 + k / 10, "gauges", lying(), B)
        watch.desk.cycle()
    return watch


def begun(stay: Stay, folder: Path) -> Watch:
    """A watch that has heard the right one first."""
    return run(Watch(stay, folder / "record"), 5, A)


def words(watch: Watch) -> str:
    return " ".join(alert.text for alert in watch.last.alerts if alert.cause == "feed" and alert.active_stage)


SECOND = f"second sender for tide, draught forward, draught aft: {B}; first {A} is used"


@pytest.mark.slow
def test_the_second_sender_is_a_caution_and_its_values_are_not_used(tmp_path: Path) -> None:
    watch = run(Watch(on_the_network(tmp_path), tmp_path / "record"), 60, A)
    assert words(watch) == ""
    run(watch, 60, A, B)
    assert words(watch) == f"Feed gauges: {SECOND}; 11 lines a second, usually 1.0"
    assert watch.last.stages["feed", "gauges"] is Stage.CAUTION
    assert watch.last.tide < 5.0
    assert SECOND in watch.last.advice.text or SECOND in " ".join(a.text for a in watch.last.alerts)
    texts = [event.text for event in watch.last.log if event.event == "note"]
    assert f"Feed gauges: tide, draught forward, draught aft from {A}" in texts
    raised = [event for event in watch.last.log if event.event == "raised"]
    assert [event.text for event in raised if SECOND in event.text]
    watch.end()


@pytest.mark.slow
@pytest.mark.parametrize("pause", [5.0, 400.0, 4000.0])
def test_a_restart_does_not_let_the_second_sender_in(tmp_path: Path, pause: float) -> None:
    stay = on_the_network(tmp_path)
    watch = run(begun(stay, tmp_path), 60, A, B)
    watch.kill()
    again = Watch(stay, tmp_path / "record", watch.second + pause)
    run(again, 3, B)
    assert not again.last.tide > 5.0
    run(again, 60, A, B)
    assert again.last.tide < 5.0
    assert SECOND in words(again)
    again.end()


@pytest.mark.slow
def test_the_one_that_is_silent_is_replaced_and_that_is_a_note(tmp_path: Path) -> None:
    watch = run(begun(on_the_network(tmp_path), tmp_path), 60, A, B)
    run(watch, 290, B)
    assert not watch.last.tide > 5.0
    run(watch, 30, B)
    texts = [event.text for event in watch.last.log if event.event == "note"]
    assert f"Feed gauges: tide, draught forward, draught aft now from {B}, no signal from {A}" in texts
    assert "second sender" not in words(watch)
    watch.end()


@pytest.mark.slow
def test_a_replay_of_the_record_decides_the_same(tmp_path: Path) -> None:
    stay = on_the_network(tmp_path)
    watch = run(begun(stay, tmp_path), 100, A, B)
    run(watch, 320, B)
    run(watch, 100, A, B)
    live = [event.text for event in watch.last.log if event.event == "note" and "Feed gauges" in event.text]
    watch.end()
    (log,) = feed_logs(tmp_path / "record")
    player = Player(Basis.of(stay), log)
    blocks = list(player.play_to(np.inf))
    replayed = [e.text for block in blocks for e in block.events if e.event == "note" and "Feed" in e.text]
    assert replayed == live
    assert len(live) == 2
    used = {name for batch in FeedLog(log) for *_, name in batch.rows()}
    assert used == {A, B}
    first = Intake(stay)
    for batch in FeedLog(log):
        first.take_batch(batch)
    tide = first.readings(np.arange(watch.wall() - 515.0, watch.wall() - 450.0)).column("tide")
    assert np.nanmax(tide) < 5.0


@pytest.mark.slow
def test_a_replay_goes_on_from_any_time_with_the_same_sender(tmp_path: Path) -> None:
    stay = on_the_network(tmp_path)
    watch = run(begun(stay, tmp_path), 1500, A, B)
    watch.end()
    (log,) = feed_logs(tmp_path / "record")
    player = Player(Basis.of(stay), log)
    memories = {block.readings.time[-1]: player.memory for block in player.play_to(player.starts_at + 1300.0)}
    time, memory = max(memories.items())
    resumed = Player.resumed(Basis.of(stay), log, memory, time)
    (block,) = resumed.play_to(time + 100.0)
    assert np.nanmax(block.readings.column("tide")) < 5.0
    assert block.readings.feeds.memory.senders == memory.feeds.senders


def test_what_only_the_alert_can_say_stands_first_in_it(tmp_path: Path) -> None:
    """A gauge not heard yet stands beside the feeds as well; the second sender stands nowhere else."""
    text = STAY_TEXT.replace(PORT, "udp:10110").replace(
        "      tide:", "      heading: {sentence: HDT}\n      tide:", 1
    )
    watch = run(begun(a_stay(tmp_path, text), tmp_path), 60, A, B)
    assert words(watch).startswith(f"Feed gauges: {SECOND}")
    assert words(watch).endswith("heading not heard yet")
    watch.end()
