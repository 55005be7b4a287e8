"""A feed that fills the disk faster than foreseen is a caution; gauges as they are never are."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from alongside.feeds.inbox import FeedLine
from alongside.record.need import need_of
from alongside.record.pace import Pace
from alongside.stay.stage import Stage
from tests.berth import a_stay, sentence
from tests.record.disks import SmallDisk
from tests.record.kept import Watch, said

NOISE = sentence("IIXDR,C,12.3,C,ENGINE,C,45.6,C,BEARING,C,78.9,C,GEAR")


@contextmanager
def disk_of(size: str, folder: Path) -> Iterator[Path]:
    place = folder / "disk"
    place.mkdir()
    try:
        disk = SmallDisk(place, size)
    except (subprocess.CalledProcessError, OSError):
        pytest.skip("no disk may be mounted here")
    yield place
    disk.take_away()


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Path]:
    """A disk of 900 MB, which takes them only as it fills."""
    with disk_of("900m", tmp_path) as place:
        yield place


def flood(watch: Watch, seconds: int, lines: int) -> None:
    for _ in range(seconds):
        watch.second += 1.0
        watch.desk.hear(watch.wall() - 0.3, "gauges", said(watch.second))
        for _ in range(lines):
            watch.desk.hear(watch.wall() - 0.25, "gauges", NOISE)
        watch.desk.cycle()


def records(watch: Watch) -> list[tuple[Stage, str]]:
    return [(each.stage, each.text) for each in watch.pictures[-1].alerts if each.cause == "record"]


@pytest.mark.slow
def test_a_flood_is_a_caution_that_names_the_feed_and_ends_with_it(small: Path, tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), small / "record").run(150)
    before = records(watch)
    assert not [text for _, text in before if "fills the disk" in text]
    flood(watch, 260, 250)
    ((stage, text),) = records(watch)
    assert stage == Stage.CAUTION
    assert text.startswith("Feed gauges fills the disk: ")
    assert " MB a day, foreseen " in text
    assert "; room for " in text
    assert watch.pictures[-1].unrecorded == ""
    watch.run(900)
    assert records(watch) == []
    watch.desk.stop()


def test_gauges_as_they_are_need_what_was_foreseen(tmp_path: Path) -> None:
    """All sentences once a second on a disk with room for a week: said once at the start, no caution."""
    need = need_of(a_stay(tmp_path))
    with disk_of(f"{need.feeds / 4e3:.0f}k", tmp_path) as place:
        pace = Pace(need, place)
        for second in range(3600):
            pace.add(float(second), [FeedLine(float(second), "gauges", said(float(second)))])
            assert pace.text == ""


def test_ten_times_a_second_is_no_caution_where_there_is_room(tmp_path: Path) -> None:
    pace = Pace(need_of(a_stay(tmp_path)), tmp_path)
    lines = [FeedLine(0.0, "gauges", said(0.0))] * 10
    for second in range(1200):
        pace.add(float(second), lines)
    assert pace.text == ""


def test_a_flood_is_judged_by_minutes_not_by_a_burst(small: Path, tmp_path: Path) -> None:
    pace = Pace(need_of(a_stay(tmp_path)), small)
    pace.add(0.0, [FeedLine(0.0, "gauges", NOISE)] * 300)
    for second in range(1, 1200):
        pace.add(float(second), [FeedLine(float(second), "gauges", said(0.0))])
        assert pace.text == ""


def test_a_disk_that_is_gone_is_not_judged(tmp_path: Path) -> None:
    pace = Pace(need_of(a_stay(tmp_path)), tmp_path / "none")
    for second in range(600):
        pace.add(float(second), [FeedLine(0.0, "gauges", NOISE)] * 1000)
    assert pace.text == ""
