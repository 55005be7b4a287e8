"""An exercise cut from a stay: it stands as the stay stood, goes on as it went, and says what it proposes."""

import json
import re
from pathlib import Path

import pytest

from alongside.actions import Action, AddLine, LineGone, Note, RenewLine, SetBrake, ShiftLine, TendLine
from alongside.cli.main import main
from alongside.record.reader import RecordReader
from alongside.stay.read import read_stay
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import CargoRate, Gust, TideSurge
from alongside.units import iso_time
from tests.berth import START, gauges, tagged
from tests.reports.stay.records import recorded
from tests.training.exercise.lived import BALANCED

SECONDS = 7200
MOMENT = START + 4200.0
STAY = "# made by A. Person\n" + BALANCED.replace(
    "balance: on", 'balance: on\nstanding_orders: ["Call B. Person at 30 kn"]'
).replace(
    "tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}\n  - {id: \"3\"",
    "tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5},\n"
    "     tended: [{at: 2026-03-02T04:20:00Z, paid_out: 0.15}, {at: 2026-03-02T05:20:00Z, paid_out: 0.1}]}\n"
    '  - {id: "3"',
)  # fmt: skip


def log_of(folder: Path, silent: tuple[int, int] = (0, 0)) -> Path:
    """Two hours of flood; the wind freshens for ten minutes; the gauges may be silent for a while."""
    rows = []
    for at in range(SECONDS):
        last = 0.001 * (at % 2)
        if not silent[0] <= at < silent[1]:
            rows.append(gauges(START + at, 2.0 + 0.0002 * at + last, 4.0 + last, 4.5 + last))
        speed = 12.0 if 4300 <= at < 4900 else 5.0
        rows.append(tagged(START + at, f"WIMWV,{30 + at % 2},R,{speed + 0.1 * (at % 3):.1f},M,A", "wind"))
    path = folder / "stay.log"
    path.write_bytes(b"".join(rows))
    return path


@pytest.fixture
def stay(tmp_path: Path) -> Path:
    folder = tmp_path / "original"
    folder.mkdir()
    path = folder / "stay.yaml"
    path.write_text(STAY, encoding="utf-8")
    log_of(folder)
    return path


def cut(tmp_path: Path, *given: object, more: tuple[str, ...] = ("--before", "15", "--after", "30")) -> Path:
    folder = tmp_path / "mine"
    paths = [str(each) for each in given]
    assert main(["exercise", str(folder), "--from", *paths, "--at", iso_time(MOMENT), *more]) == 0
    return folder


def lines_at(path: Path) -> dict[str, list[tuple[str, float, float]]]:
    rows = map(json.loads, path.read_text(encoding="utf-8").splitlines())
    return {
        row["time"]: [(each["id"], each["unstretched_m"], each["tension_kn"]) for each in row["lines"]]
        for row in rows
    }


def goes_as_recorded(folder: Path, tmp_path: Path) -> dict[str, list[tuple[str, float, float]]]:
    """The exercise without what is proposed, its tendings done as recorded."""
    text = (folder / "exercise.yaml").read_text(encoding="utf-8")
    bare = re.sub(r"injections:.*?(?=^expected)", "injections: []\n", text, flags=re.S | re.M)
    plain = folder / "plain.yaml"
    plain.write_text(bare.replace("tending: trainee", "tending: stay"), encoding="utf-8")
    states = tmp_path / "cut.jsonl"
    command = ["exercise", str(plain), "--headless", "--states", str(states), "--every", "300"]
    assert main(command) == 0
    return lines_at(states)


@pytest.mark.slow
def test_lines_stand_and_go_on_as_in_the_stay(stay: Path, tmp_path: Path) -> None:
    """To 0.1 mm and 0.01 kN, which is what the written lengths are rounded to."""
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    own = goes_as_recorded(folder, tmp_path)
    states = tmp_path / "whole.jsonl"
    whole = ["replay", str(stay), str(stay.with_suffix(".log")), "--headless", "--states", str(states)]
    assert main([*whole, "--every", "300", "--from", iso_time(MOMENT - 900)]) == 0
    other = lines_at(states)
    common = sorted(set(own) & set(other))
    assert len(common) >= 9
    for time in common:
        for (line, out, load), (same, out_then, load_then) in zip(own[time], other[time], strict=True):
            assert line == same
            assert out == pytest.approx(out_then, abs=1e-4)
            assert load == pytest.approx(load_then, abs=1e-2)


@pytest.mark.slow
def test_the_log_is_cut_and_nothing_of_the_watch_is_in_the_folder(stay: Path, tmp_path: Path) -> None:
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    assert sorted(each.name for each in folder.iterdir()) == ["exercise.yaml", "feeds.log.gz", "stay.yaml"]
    exercise = read_exercise(folder / "exercise.yaml")
    assert (exercise.start, exercise.end) == (MOMENT - 900, MOMENT + 1800)
    assert [each.at for each in exercise.stood] == [MOMENT - 900 - 1800 + 1] * 3
    texts = "".join((folder / name).read_text(encoding="utf-8") for name in ("exercise.yaml", "stay.yaml"))
    assert "Person" not in texts
    assert read_stay(folder / "stay.yaml").ship.name == "Test ship"
    assert f"# the moment: {iso_time(MOMENT)}" in texts


@pytest.mark.slow
def test_with_other_names_ship_and_berth_have_others(stay: Path, tmp_path: Path) -> None:
    more = ("--before", "15", "--after", "30", "--other-names")
    folder = cut(tmp_path, stay, stay.with_suffix(".log"), more=more)
    other = read_stay(folder / "stay.yaml")
    assert (other.ship.name, other.berth.name) == ("Training ship", "Training berth")
    texts = "".join((folder / name).read_text(encoding="utf-8") for name in ("exercise.yaml", "stay.yaml"))
    assert "Test" not in texts


@pytest.mark.slow
def test_what_is_proposed_fits_the_stay_and_bears_its_reason(stay: Path, tmp_path: Path) -> None:
    """It blew 12.2 m/s, 23.7 kn: a quarter more is 30 kn. Hold 1 is loaded from 03:30 to 05:30."""
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    exercise = read_exercise(folder / "exercise.yaml")
    kinds = {type(each) for each in exercise.injections}
    assert {Gust, TideSurge, CargoRate} <= kinds
    gust = next(each for each in exercise.injections if isinstance(each, Gust))
    assert gust.at == MOMENT
    assert gust.speed_ms * 3600 / 1852 == pytest.approx(30.0, abs=1.0)
    text = (folder / "exercise.yaml").read_text(encoding="utf-8")
    assert text.count("# proposed: ") == len(exercise.injections)
    assert "no gauge failed: tide fails when it matters" in text
    assert "hold 1 was going on" in text
    assert exercise.level == (3 if len(exercise.injections) >= 4 else 2)
    assert "a guess" in text


@pytest.mark.slow
def test_a_gauge_that_was_lost_is_lost_again(stay: Path, tmp_path: Path) -> None:
    log = log_of(stay.parent, silent=(4300, 4700))
    folder = cut(tmp_path, stay, log)
    text = (folder / "exercise.yaml").read_text(encoding="utf-8")
    assert "tide was lost at 2026-03-02T05:1" in text
    assert "feed_lost" in text or "raised" in text


@pytest.mark.slow
def test_it_is_checked_played_and_debriefed_at_once(
    stay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    said = capsys.readouterr().out
    assert "Who kept the watch" in said
    file = str(folder / "exercise.yaml")
    assert main(["exercise", file, "--check"]) == 0
    assert main(["exercise", file, "--headless", "--events", str(tmp_path / "events.jsonl")]) == 0
    done = tmp_path / "done.jsonl"
    done.write_text("")
    capsys.readouterr()
    assert main(["debrief", file, str(done)]) == 0
    assert capsys.readouterr().out.startswith("Debrief: mine\n")


DEEDS: dict[float, Action] = {
    START + 1300.0: TendLine("1", paid_out=0.25, by="zz"),
    START + 1400.0: ShiftLine("1", bollard="B2", tension_kn=15.0, by="zz"),
    START + 1500.0: AddLine("4", like="3", tension_kn=15.0, by="zz"),
    START + 1600.0: SetBrake("1", holding_kn=123.0, by="zz"),
    START + 1700.0: RenewLine("2", tension_kn=12.0, by="zz"),
    START + 2800.0: TendLine("2", paid_out=-0.1, by="zz"),
    START + 2900.0: Note("zz saw the stern line chafe", "zz"),
    START + 3100.0: LineGone("3", "let_go", by="zz"),
}
"""What the watch entered: before the cut log, and between that and the exercise."""


@pytest.mark.slow
def test_what_the_watch_did_stands_and_who_did_it_is_left_out(stay: Path, tmp_path: Path) -> None:
    """A record: lines tended, shifted, put out and let go by hand, with initials."""
    log = stay.with_suffix(".log")
    record = recorded(read_stay(stay), log, tmp_path / "record", DEEDS, upto=START + SECONDS - 10)
    folder = cut(tmp_path, record, log)
    own = goes_as_recorded(folder, tmp_path)
    exercise = read_exercise(folder / "exercise.yaml")
    assert [line.id for line in exercise.stay.lines] == ["1", "2", "3", "4"]
    assert exercise.stay.lines[0].bollard == "B2"
    assert exercise.stay.ship.winches["W1"].brake_kn == pytest.approx(123.0)
    assert "new" in exercise.stay.lines[1].serial
    assert exercise.stay.lines[1].rope.residual_strength == 1.0
    gone = [each for each in exercise.stood if each.gone]
    assert [(each.line, each.gone) for each in gone] == [("3", "let_go")]
    texts = "".join((folder / name).read_text(encoding="utf-8") for name in ("exercise.yaml", "stay.yaml"))
    assert "zz" not in texts
    with RecordReader(record) as kept:
        known = kept.memory_at(MOMENT)
    assert known is not None
    lengths = known[1].lengths.unstretched
    now = own[iso_time(MOMENT - 600.0)]
    for (line, out, _), then in zip(now, lengths.tolist(), strict=True):
        if line != "3":
            assert out == pytest.approx(then, abs=1e-4), line


@pytest.mark.parametrize(
    ("arguments", "fault"),
    [
        (["--from", "{stay}"], "a stay file without a log"),
        (["--from", "{stay}", "{log}", "{log}"], "one log is enough"),
        (["--from", "{nothing}"], "no record"),
        (["--from", "{stay}", "{log}", "--before", "600"], "it begins after"),
        (["--from", "{stay}", "{log}", "--after", "600"], "it ends"),
    ],
)
def test_what_cannot_be_cut_is_refused_and_nothing_is_written(
    stay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], fault: str
) -> None:
    (tmp_path / "nothing").mkdir()
    places = {"stay": stay, "log": stay.with_suffix(".log"), "nothing": tmp_path / "nothing"}
    words = [each.format(**places) for each in arguments]
    assert main(["exercise", str(tmp_path / "mine"), *words, "--at", iso_time(MOMENT)]) == 2
    assert fault in capsys.readouterr().err
    assert not (tmp_path / "mine").exists()


def test_a_folder_that_is_there_is_not_written_into(
    stay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    given = ["--from", str(stay), str(stay.with_suffix(".log")), "--at", iso_time(MOMENT)]
    assert main(["exercise", str(stay.parent), *given]) == 2
    assert "there is something already" in capsys.readouterr().err
    assert main(["exercise", *given]) == 2, "no folder at all"
    assert main(["exercise", str(tmp_path / "mine"), *given, "--exam"]) == 2, "it is not lived through"
    assert main(["exercise", str(tmp_path / "mine"), *given[:-2]]) == 2, "no moment"
    assert main(["exercise", str(stay), "--at", iso_time(MOMENT)]) == 2, "nothing to cut from"


@pytest.mark.slow
def test_lengths_that_do_not_fit_are_faults(
    stay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    file = folder / "exercise.yaml"
    text = file.read_text(encoding="utf-8")
    for wrong, fault in (
        (text.replace('line: "1", out_m', 'line: "9", out_m'), "there is no line '9'"),
        (text.replace('line: "1", out_m', 'line: "2", out_m'), "stands so at another time before"),
        (
            re.sub(r"at: \S+, line: \"1\", out_m", 'at: 2026-03-02T05:05:00Z, line: "1", out_m', text),
            "after the exercise begins",
        ),
    ):
        file.write_text(wrong, encoding="utf-8")
        assert main(["exercise", str(file), "--check"]) == 2
        assert fault in capsys.readouterr().err


@pytest.mark.slow
def test_a_proposal_that_would_be_refused_is_left_out_and_the_rest_is_written(
    stay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Hold 1 is loaded by half as much again: more than a table that ends at 4.3 m has."""
    text = stay.read_text(encoding="utf-8").replace(
        "{draught: 6.0, displacement: 5400, tpc: 10.0, mctc: 40, lcf: 40.0}",
        "{draught: 4.3, displacement: 3700, tpc: 10.0, mctc: 40, lcf: 40.0}",
    )
    stay.write_text(text.replace("tonnes: -1000, rate: 500", "tonnes: 1000, rate: 500"), encoding="utf-8")
    folder = cut(tmp_path, stay, stay.with_suffix(".log"))
    why = "ship.hydrostatics: the table does not reach, with cargo_rate"
    assert why in capsys.readouterr().out
    text = (folder / "exercise.yaml").read_text(encoding="utf-8")
    assert "# not proposed: {kind: cargo_rate, " in text
    assert why in text
    kinds = {type(each) for each in read_exercise(folder / "exercise.yaml").injections}
    assert CargoRate not in kinds
    assert {Gust, TideSurge} <= kinds
