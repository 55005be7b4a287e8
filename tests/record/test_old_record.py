"""A record that the program wrote before its modules moved, when the caution `ahead` was called `soon`: of a
watch that was ended, gone on with and cut off. What the old program read in it stands in old_program.json."""

import json
import shutil
from pathlib import Path
from typing import Any, Final

import pytest

from alongside.cli.main import main
from alongside.record.codec import to_plain
from alongside.record.earlier import find_earlier
from alongside.record.reader import RecordReader
from alongside.stay.read import read_stay
from tests.berth import START
from tests.record.kept import Watch

DATA: Final = Path(__file__).parents[1] / "data" / "records"
NOW_CALLED: Final = {"soon": "ahead"}


@pytest.fixture
def old(tmp_path: Path) -> Path:
    shutil.unpack_archive(DATA / "old_program.tar.xz", tmp_path, filter="data")
    return tmp_path / "record"


@pytest.fixture(scope="module")
def expected() -> dict[str, Any]:
    read: dict[str, Any] = json.loads((DATA / "old_program.json").read_text(encoding="utf-8"))
    for row in read["alerts"]:
        row[0] = NOW_CALLED.get(row[0], row[0])
    for row in read["events"]:
        row[2] = NOW_CALLED.get(row[2], row[2])
    return read


def bits(value: float | None) -> str | None:
    return None if value is None else float(value).hex()


def alerts_of(memory: Any) -> list[list[Any]]:
    return [
        [
            *(a.cause, a.subject, a.line, a.stage.name, a.standing.name),
            *map(bits, (a.raised_at, a.changed_at, a.value, a.limit)),
            a.text,
        ]
        for a in memory.watchlist.alerts.values()
    ]


def test_what_is_remembered_is_the_same_to_the_last_bit(old: Path, expected: dict[str, Any]) -> None:
    found = find_earlier(old)
    assert (found.spoilt, found.fault, found.gone) == (False, "", False)
    earlier = found.earlier
    assert earlier is not None
    assert (earlier.time, earlier.stopped) == (expected["last"], expected["stopped"])
    lengths = earlier.memory.lengths
    assert [bits(length) for length in lengths.unstretched] == expected["unstretched"]
    assert (list(lengths.fast), list(lengths.tended)) == (expected["fast"], expected["tended"])
    assert alerts_of(earlier.memory) == expected["alerts"]
    keys = {alert[0] for alert in expected["alerts"]}
    assert {"stretch", "ahead"} <= keys
    for table in (earlier.memory.watchlist.conditions, earlier.memory.watchlist.rises):
        assert "soon" not in {cause for cause, _ in table}


def test_what_happened_and_was_done_is_the_same(old: Path, expected: dict[str, Any]) -> None:
    with RecordReader(old) as record:
        events = [
            [
                *(e.time, e.event, e.alert, e.subject, e.stage and e.stage.word, e.line),
                *(bits(e.value), bits(e.limit), e.text),
            ]
            for _, e in record.events()
        ]
        actions = [
            [done.time, type(done.action).__name__, to_plain(done.action)] for done in record.actions()
        ]
        tension = [bits(t) for states in record.states() for t in states.numbers("tension_kn.2")]
    assert events == expected["events"]
    assert [[time, kind] for time, kind, _ in actions] == [
        [time, kind] for time, kind, _ in expected["actions"]
    ]
    for (_, _, now), (_, _, then) in zip(actions, expected["actions"], strict=True):
        assert now.items() >= then.items(), "fields may have come since, with their defaults"
    assert tension == expected["tension_of_line_2"]


def test_a_watch_goes_on_from_it(old: Path, expected: dict[str, Any]) -> None:
    stay = read_stay(old.parent / "stay.yaml")
    watch = Watch(stay, old, expected["last"] - START + 30.0)
    memory = watch.desk._memory
    assert [bits(length) for length in memory.lengths.unstretched] == expected["unstretched"]
    assert alerts_of(memory) == expected["alerts"]
    watch.run(3)
    assert (
        watch.last.record_fault == "" if hasattr(watch.last, "record_fault") else watch.last.unrecorded == ""
    )
    stretch = next(alert for alert in watch.last.alerts if alert.key == ("stretch", "2"))
    assert stretch.standing.name == "ACKNOWLEDGED"
    texts = [event.text for event in watch.last.log]
    assert [row[-1] for row in expected["events"]] == texts[: len(expected["events"])]
    assert any("no watch for" in text and "cut off" in text for text in texts)
    assert not any("stay file was edited" in text or "fault of ours" in text for text in texts)
    watch.end()
    assert not list(old.glob("journal-corrupt-*"))
    with RecordReader(old) as record:
        assert len(record.runs()) == 3


def test_it_is_handed_over_and_reported(
    old: Path, expected: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["handover", str(old)]) == 0
    page = capsys.readouterr().out
    assert "Test stay" in page
    assert "33.03 m" in page
    assert (
        main(
            [
                "report",
                str(old),
                "--out",
                str(old.parent / "report.html"),
                "--csv",
                str(old.parent / "tables"),
            ]
        )
        == 0
    )
    events = (old.parent / "tables" / "events.csv").read_text(encoding="utf-8")
    assert "round of the deck done" in events
    assert len(events.splitlines()) > len(expected["events"])
