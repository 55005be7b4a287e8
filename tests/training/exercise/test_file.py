"""The exercise file: what it means, and every fault at its place."""

import re
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import StayFaults, WrongInput
from alongside.stay.model import GaugeFault
from alongside.stay.read import read_stay
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import (
    CargoRate,
    ForgottenLine,
    Gust,
    PartedLine,
    TideSurge,
)
from alongside.units import KNOT
from tests.berth import START
from tests.training.exercise.lived import BALANCED, TENDED, second, write_exercise

EXAMPLES = sorted((Path(__file__).parents[3] / "configs" / "exercises").glob("*.yaml"))


def test_all_kinds_are_read(tmp_path: Path) -> None:
    injections = f"""\
  - {{kind: frozen, channel: tide, at: {second(1000)}, seconds: 60}}
  - {{kind: spike, channel: tide, at: {second(1000)}, seconds: 60, by: -2.5, every: 4}}
  - {{kind: gust, at: {second(1100)}, seconds: 300, speed_kn: 40, from_deg: 180}}
  - {{kind: tide_surge, at: {second(1200)}, seconds: 900, metres: 0.5}}
  - {{kind: forgotten_line, line: "2", tend_at: {second(600)}}}
  - {{kind: parted_line, line: "1", at: {second(1300)}}}
  - {{kind: cargo_rate, operation: "hold 1", at: {second(1400)}}}
"""
    exercise = read_exercise(write_exercise(tmp_path, injections, TENDED, more="shows: {ahead: no}"))
    assert exercise.injections == (
        GaugeFault("tide", START + 1000, 60.0, "frozen"),
        GaugeFault("tide", START + 1000, 60.0, "spike", -2.5, 4),
        Gust(START + 1100, 300.0, 40.0 * KNOT, 180.0),
        TideSurge(START + 1200, 900.0, 0.5),
        ForgottenLine("2", tend_at=START + 600),
        PartedLine("1", START + 1300),
        CargoRate("hold 1", START + 1400, 2.0),
    )
    assert (exercise.shows.ahead, exercise.shows.advice, exercise.tending) == (False, True, "trainee")


def test_the_hours_ahead_go_by_their_former_name_too(tmp_path: Path) -> None:
    assert not read_exercise(write_exercise(tmp_path, "", more="shows: {outlook: no}")).shows.ahead


@pytest.mark.parametrize(
    ("injection", "fault"),
    [
        ("{at: %s}", ":9:5: injections[0].kind: missing, expected silent,"),
        ("7", ":9:5: injections[0]: '7', expected a table"),
        ("{kind: gusts, at: %s}", "injections[0].kind: 'gusts' is not known here, expected silent, frozen"),
        ("{kind: gust, at: %s, seconds: 60}", "one key is missing, expected speed_ms or speed_kn"),
        ("{kind: silent, channel: tyde, at: %s, seconds: 1}", "expected perhaps 'tide'"),
        ("{kind: silent, channel: tide, at: %s, seconds: 0}", "injections[0].seconds: '0' is out of bounds"),
        ("{kind: silent, channel: tide, at: 2026-03-02T04:01:00Z, seconds: 9}", "outside the exercise"),
        ('{kind: parted_line, line: "9", at: %s}', "there is no line '9', expected one of 1, 2, 3"),
        ('{kind: forgotten_line, line: "1"}', "one key is missing, expected tend_at or tension_kn"),
        (
            '{kind: forgotten_line, line: "2", tend_at: 2026-03-02T04:11:00Z}',
            "line 2 is not tended then, expected 2026-03-02T04:10:00Z, 2026-03-02T04:30:00Z",
        ),
        ('{kind: forgotten_line, line: "2", tend_at: 2026-03-02T04:30:00Z}', "left to the trainee already"),
        ('{kind: forgotten_line, line: "2", tension_kn: 200}', "200 kN would part it"),
        (
            '{kind: brake_rendering, line: "1", at: %s, brake_kn: 60}',
            "does not render where the ship",
        ),
        ('{kind: brake_rendering, line: "2", at: %s, brake_kn: 60}', "no brake is known for line 2"),
        ('{kind: cargo_rate, operation: "hold 2", at: %s}', "it is not going on then"),
        ('{kind: parted_line, line: "1", at: %s, seconds: 5}', "injections[0].seconds: unknown key"),
    ],
)
def test_faults_bear_line_and_column(tmp_path: Path, injection: str, fault: str) -> None:
    text = injection.replace("%s", second(1000))
    path = write_exercise(tmp_path, f"  - {text}\n", TENDED)
    with pytest.raises(StayFaults) as refused:
        read_exercise(path)
    assert str(refused.value).startswith(f"{path}:")
    assert fault in str(refused.value)
    assert len(refused.value.faults) <= 2


def test_faults_of_the_stay_are_told_with_those_of_the_exercise(tmp_path: Path) -> None:
    path = write_exercise(tmp_path, "  - 7\n", TENDED.replace("loa: 84.0", "loa: long"))
    with pytest.raises(StayFaults) as refused:
        read_exercise(path)
    assert f"{tmp_path / 'stay.yaml'}:" in str(refused.value)
    assert "injections[0]" in str(refused.value)


def test_files_that_are_not_there(tmp_path: Path) -> None:
    with pytest.raises(WrongInput, match="expected an exercise file"):
        read_exercise(tmp_path / "none.yaml")
    path = write_exercise(tmp_path, "")
    (tmp_path / "stay.log").unlink()
    with pytest.raises(StayFaults, match=r"log: there is no 'stay\.log'"):
        read_exercise(path)


def test_the_end_comes_after_the_start(tmp_path: Path) -> None:
    with pytest.raises(StayFaults, match="the end is not after the start"):
        read_exercise(write_exercise(tmp_path, "", end=600))


def test_a_brake_that_holds_less_is_read_where_she_lies_in_balance(tmp_path: Path) -> None:
    injection = f'  - {{kind: brake_rendering, line: "1", at: {second(1000)}, brake_kn: 60}}\n'
    read_exercise(write_exercise(tmp_path, injection, BALANCED))
    more = injection.replace("60}", "120}")
    with pytest.raises(StayFaults, match="no less than it holds anyway, expected below 120 kN"):
        read_exercise(write_exercise(tmp_path, more, BALANCED))


def refused(path: Path, old: str, new: str) -> str:
    """The faults of an exercise file in which one thing is changed."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(StayFaults) as wrong:
        read_exercise(path)
    return str(wrong.value)


@pytest.mark.parametrize("key", ["start", "end"])
def test_a_time_without_a_zone_is_one_fault_and_no_crash(
    tmp_path: Path, key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    early = f'  - {{kind: parted_line, line: "1", at: {second(60)}}}\n'
    path = write_exercise(tmp_path, early)
    at = second({"start": 900, "end": 3500}[key])
    faults = refused(path, f"{key}: {at}", f"{key}: {at.removesuffix('Z')}")
    assert "has no zone" in faults
    assert len(faults.splitlines()) == 1
    assert main(["exercise", str(path), "--check"]) == 2
    line = {"start": 5, "end": 6}[key]
    assert capsys.readouterr().err.startswith(f"{path}:{line}:{len(key) + 3}: {key}: ")


def test_the_log_holds_the_whole_exercise(tmp_path: Path) -> None:
    """The log runs from 04:00:00 to 04:59:59."""
    path = write_exercise(tmp_path, "", end=3600)
    read_exercise(path)  # the second in which the last line was written
    assert "6:6: end: after the log ends, expected not after 2026-03-02T04:59:59Z" in refused(
        path, second(3600), second(3601)
    )
    faults = refused(path, f"start: {second(900)}", "start: 2026-03-02T03:59:59Z")
    assert "5:8: start: before the log begins, expected not before 2026-03-02T04:00:00Z" in faults
    (tmp_path / "stay.log").write_bytes(b"nothing of a time\r\n")
    assert "log: no line with a time" in refused(path, "log: stay.log", "log: stay.log  ")


@pytest.mark.parametrize(
    ("first", "second_one", "fault"),
    [
        (
            "kind: parted_line, line: '1', at: 1000",
            "kind: parted_line, line: '1', at: 2000",
            ":10:31: injections[1].line: line 1 has parted already, expected each line once",
        ),
        (
            "kind: silent, channel: tide, at: 1000, seconds: 500",
            "kind: frozen, channel: tide, at: 1499, seconds: 60",
            "injections[1].at: tide is silent from 2026-03-02T04:16:40Z to 2026-03-02T04:25:00Z",
        ),
        ("kind: gust, at: 3400, seconds: 101, speed_kn: 40", "", "injections[0].seconds: goes on beyond"),
        (
            "kind: silent, channel: tide, at: 3400, seconds: 101",
            "",
            "seconds: goes on beyond the end, 2026-03-02T04:58:20Z, expected at most 100 s",
        ),
        ("kind: silent, channel: tide, at: 3400, seconds: 100", "", ""),
        (
            "kind: silent, channel: tide, at: 1000, seconds: 500",
            "kind: frozen, channel: tide, at: 1500, seconds: 60",
            "",
        ),
        (
            "kind: silent, channel: tide, at: 1000, seconds: 500",
            "kind: frozen, channel: draught_fwd, at: 1000, seconds: 60",
            "",
        ),
        (
            "kind: frozen, channel: tide, at: 1000, seconds: 500",
            "kind: spike, channel: tide, at: 1100, seconds: 60",
            "",
        ),
    ],
)
def test_injections_fit_beside_each_other(tmp_path: Path, first: str, second_one: str, fault: str) -> None:
    def item(text: str) -> str:
        given = re.sub(r"at: (\d+)", lambda match: f"at: {second(int(match[1]))}", text)
        return f"  - {{{given}}}\n" if text else ""

    path = write_exercise(tmp_path, item(first) + item(second_one))
    if not fault:
        assert len(read_exercise(path).injections) == 1 + bool(second_one)
        return
    with pytest.raises(StayFaults) as wrong:
        read_exercise(path)
    assert fault in str(wrong.value)
    assert len(wrong.value.faults) == 1


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_passes_its_check(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["exercise", str(path), "--check"]) == 0
    assert str(path) in capsys.readouterr().out


def test_there_is_an_example() -> None:
    assert EXAMPLES


def test_an_exercise_that_does_not_show_it_knows_nothing_to_decide_by() -> None:
    """What it is measured by does not: its stay has limits agreed, and a forecast, as an exercise it has
    none."""
    path = next(each for each in EXAMPLES if each.stem == "flood_by_eye")
    stay = read_stay(path.parent.parent / "product_jetty.yaml")
    assert stay.decide is not None
    assert stay.wind_forecast
    exercise = read_exercise(path)
    assert (exercise.stay.decide, exercise.stay.wind_forecast) == (None, ())
