"""Readings from a second terminal: taken once, on record, kept through a kill; refused where impossible."""

import json
import stat
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import Action, Correct, ForecastWind, ReadByHand
from alongside.cli.main import main
from alongside.record.access import OWNER_ONLY
from alongside.record.layout import NOTES
from alongside.record.reader import RecordReader
from alongside.record.second_terminal import is_taken, leave_note
from alongside.runtime.live import LiveDesk
from alongside.units import KNOT
from tests.berth import START, STAY_TEXT, a_stay, write_stay
from tests.record.kept import Watch

TABLE = """\
tide:
  high_low: [[2026-03-01T22:00:00Z, 1.0], [2026-03-02T04:10:00Z, 4.0], [2026-03-02T10:20:00Z, 1.0]]
"""
NO_FEED = STAY_TEXT[: STAY_TEXT.index("feeds:")] + "balance: off\n" + TABLE


def read(second: float, **values: float) -> ReadByHand:
    return ReadByHand(tuple(values.items()), START + second, "quay", 0.0, "TK")


def note_of(values: list[list[object]], **other: object) -> bytes:
    action = json.dumps({"values": values, "at": START, **other})
    return json.dumps({"kind": "ReadByHand", "action": action}).encode()


def waiting(record: Path) -> list[str]:
    folder = record / NOTES
    return sorted(file.suffix for file in folder.iterdir()) if folder.is_dir() else []


def test_what_is_said_is_on_record_before_its_file_goes(tmp_path: Path) -> None:
    stay, record = a_stay(tmp_path, NO_FEED), tmp_path / "record"
    watch = Watch(stay, record).run(3, heard=False)
    file = leave_note(record, read(2.0, tide=3.7, draught_fwd=4.1), OWNER_ONLY)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert not is_taken(file, 0.0)
    watch.run(1, heard=False)
    assert is_taken(file, 0.0)
    assert [reading.value for reading in watch.last.by_hand] == [3.7, 4.1]
    assert watch.last.draught_fwd == pytest.approx(4.1, abs=0.01)
    watch.kill()
    with RecordReader(record) as kept:
        left = replace(read(2.0, tide=3.7, draught_fwd=4.1), note=file.stem)
        assert [done.action for done in kept.actions()] == [left]
        texts = [event.text for _, event in kept.events() if event.event == "reading"]
    assert len(texts) == 2
    again = Watch(stay, record, 10).run(2, heard=False)
    assert [reading.value for reading in again.last.by_hand] == [3.7, 4.1], "the watch goes on with it"
    again.end()


def test_it_waits_for_a_watch_that_is_not_there_and_is_taken_once(tmp_path: Path) -> None:
    stay, record = a_stay(tmp_path, NO_FEED), tmp_path / "record"
    Watch(stay, record).run(2, heard=False).end()
    leave_note(record, read(1.0, tide=3.7), OWNER_ONLY)
    watch = Watch(stay, record, 60).run(3, heard=False)
    assert len(watch.last.by_hand) == 1
    assert not waiting(record)
    # Left again word for word, as after a kill between record and file.
    leave_note(record, read(1.0, tide=3.7), OWNER_ONLY)
    watch.run(2, heard=False)
    assert len(watch.last.by_hand) == 1
    leave_note(record, Correct("tide", "TK"), OWNER_ONLY)
    watch.run(2, heard=False)
    assert not watch.last.by_hand
    watch.end()


@pytest.mark.slow
@pytest.mark.parametrize("killed", [False, True])
def test_a_correction_is_made_once_though_its_file_outlasts_the_watch(tmp_path: Path, killed: bool) -> None:
    stay, record = a_stay(tmp_path, NO_FEED), tmp_path / "record"
    watch = Watch(stay, record).run(2, heard=False)
    for second, tide in ((0.0, 3.6), (1.0, 3.7)):
        leave_note(record, read(second, tide=tide), OWNER_ONLY)
    watch.run(2, heard=False)
    file = leave_note(record, Correct("tide", "TK"), OWNER_ONLY)
    text = file.read_bytes()
    watch.run(2, heard=False)
    assert [reading.value for reading in watch.last.by_hand] == [3.6]
    file.write_bytes(text)  # as if the power had gone between the record and the removal
    if killed:
        watch.kill()
    else:
        watch.end()
    again = Watch(stay, record, 60).run(2, heard=False)
    assert [reading.value for reading in again.last.by_hand] == [3.6], "not taken back twice"
    assert not waiting(record)
    again.end()
    with RecordReader(record) as kept:
        assert sum(isinstance(done.action, Correct) for done in kept.actions()) == 1


@pytest.mark.slow
@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"not json",
        b'{"kind": "Note", "action": "{}"}',
        b'{"kind": "ReadByHand"}',
        b"[1, 2]",
        b"\xff\xfe",
        note_of([["tide", 99.0]]),
        note_of([["tide", "nan"]]),
        note_of([["rm", 1.0]]),
        note_of([["tide", 2.0]], at=9e99),
        note_of([["tide", 2.0]], way="moon"),
        b"x" * 50_000,
    ],
)
def test_what_cannot_be_is_put_aside_and_the_watch_goes_on(tmp_path: Path, text: bytes) -> None:
    stay, record = a_stay(tmp_path, NO_FEED), tmp_path / "record"
    watch = Watch(stay, record).run(2, heard=False)
    (record / NOTES).mkdir()
    (record / NOTES / "0001.json").write_bytes(text)
    (record / NOTES / "0002.part").write_bytes(b"half")
    watch.run(2, heard=False)
    assert not watch.last.by_hand
    assert waiting(record) == [".part", ".refused"]
    watch.end()


def test_the_command_says_that_the_watch_has_kept_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, record = write_stay(tmp_path, NO_FEED), tmp_path / "record"
    desk = LiveDesk(a_stay(tmp_path, NO_FEED), record)
    pictures: list[Action] = []
    desk.start(lambda picture: pictures.append(picture))  # type: ignore[arg-type]
    try:
        deadline = time.monotonic() + 20.0
        while not pictures and time.monotonic() < deadline:
            time.sleep(0.05)
        command = [
            "read",
            str(path),
            "draught_fwd=9.70",
            "draught_aft=10.3",
            "by=TK",
            "--record",
            str(record),
        ]
        assert main(command) == 0
    finally:
        desk.stop()
    assert capsys.readouterr().out.startswith("kept by the watch at ")
    with RecordReader(record) as kept:
        (done,) = list(kept.actions())
    assert isinstance(done.action, ReadByHand)
    assert done.action.values == (("draught_fwd", 9.70), ("draught_aft", 10.3))


@pytest.mark.slow
def test_another_process_waits_for_the_watch(tmp_path: Path) -> None:
    path, record = write_stay(tmp_path, NO_FEED), tmp_path / "record"
    Watch(a_stay(tmp_path, NO_FEED), record).run(2, heard=False).end()
    command = [sys.executable, "-m", "alongside", "read", path, "tide=3.4", "--record", record]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert (done.returncode, done.stdout) == (0, "waits for the watch\n"), done.stderr
    assert waiting(record) == [".json"]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["tide"], "expected CHANNEL=VALUE"),
        (["tide="], "expected CHANNEL=VALUE"),
        (["moon=3"], "is not read by hand"),
        (["tide=deep"], "expected metres"),
        (["tide=99"], "is not possible"),
        (["tide=3", "tide=4"], "stands there twice"),
        (["tide=3", "at=noon"], "expected now or a time"),
        (["tide=3", "how=ladder"], "expected quay, boat"),
        (["by=TK"], "nothing is read"),
        (["undo=tide", "tide=3"], "expected nothing to be read beside it"),
        (["forecast=fresh"], "expected such as 25 gust 35 from 210"),
        (["forecast=25 from 210", "tide=3"], "expected nothing to be read beside it"),
        (["forecast=25 gust 12 from 210"], "is below the mean"),
        (["tide=3"], "no record of a watch"),
    ],
)
def test_every_wrong_word_of_the_command(
    tmp_path: Path, words: list[str], expected: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write_stay(tmp_path, NO_FEED)
    assert main(["read", str(path), *words, "--record", str(tmp_path / "none")]) == 2
    assert expected in capsys.readouterr().err
    assert not (tmp_path / "none").exists()


def test_a_forecast_is_taken_as_a_reading_is_and_back_again(tmp_path: Path) -> None:
    from alongside.cli.read import action_of

    stay, record = a_stay(tmp_path, NO_FEED), tmp_path / "record"
    watch = Watch(stay, record).run(2, heard=False)
    done = action_of(["forecast=20kn gust 40kn from 210", "by=AB"], START + 2.0, stay.display)
    assert isinstance(done, ForecastWind)
    assert (done.mean_ms, done.gust_ms) == pytest.approx((25.0 * KNOT, 40.0 * KNOT))
    leave_note(record, done, OWNER_ONLY)
    watch.run(2, heard=False)
    assert watch.last.present is not None
    (there,) = watch.last.present.wind_forecast
    assert (there.by, there.speed_ms) == ("AB", pytest.approx(0.87 * 40.0 * KNOT))
    watch.kill()
    again = Watch(stay, record, 10).run(2, heard=False)
    assert again.last.present is not None
    assert again.last.present.wind_forecast == (there,), "the watch goes on with it"
    leave_note(record, action_of(["undo=forecast", "by=AB"], START, stay.display), OWNER_ONLY)
    again.run(2, heard=False)
    assert again.last.present.wind_forecast == ()
    again.end()


def test_wind_on_the_command_line_is_in_the_unit_of_the_stay(tmp_path: Path) -> None:
    from alongside.cli.read import action_of

    display = a_stay(tmp_path, NO_FEED).display
    for words, expected in ((["wind_speed=10m/s"], 10.0), (["wind_speed=10kn"], 5.1444)):
        done = action_of([*words, "wind_from=210"], START, display)
        assert isinstance(done, ReadByHand)
        assert dict(done.values)["wind_speed"] == pytest.approx(expected, abs=1e-3)
