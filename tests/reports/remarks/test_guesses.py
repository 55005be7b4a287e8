"""What `check` says of guesses: where they stand, how wide they are, and what they do to the worst line."""

import re
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.reports.remarks.all import remarks_of
from alongside.reports.remarks.guesses import guess_rows
from alongside.reports.remarks.worst_line import same_line, worst_line
from alongside.stay.read import read_stay
from tests.stay.measured.sheet import stay_with

WATERS = "[[2026-03-02T00:10:00Z, 0.5], [2026-03-02T06:25:00Z, 5.2], [2026-03-02T12:35:00Z, 0.6]]"
TIDE = ("balance: off\n", f"tide: {{high_low: {WATERS}}}\n")
FENDERS = (
    "[{x: 30.0, stiffness_kn_per_m: 1000}, {x: 70.0, stiffness_kn_per_m: 1000}]",
    "[{x: 30.0, kind: tyre}, {x: 70.0, kind: tyre}]",
)
FAST = "{at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}"
GUESSED = FAST.replace("tension_kn: 20", "tension_kn: {guess: 2 t, source: by feel, spread: 40 %}")


def test_guesses_stand_after_remarks_and_before_the_rest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stay = stay_with(tmp_path, TIDE, FENDERS, ("charted_depth: 6.0", "charted_depth: 61.0"))
    assert main(["check", stay.file]) == 0
    rows = capsys.readouterr().out.splitlines()
    kinds = ["remark" if ": remark: " in row else "guess" if ": guess: " in row else "" for row in rows[1:]]
    assert "remark" in kinds
    assert "guess" in kinds
    assert kinds == sorted(kinds, key=["remark", "guess", ""].index)
    assert kinds.index("") < next(at for at, row in enumerate(rows) if row.startswith("not watched"))


def test_guesses_never_make_an_exit_status(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stay = stay_with(tmp_path, FENDERS)
    remarks = len(remarks_of(stay))
    assert main(["check", "--strict", stay.file]) == (2 if remarks else 0)
    assert "guess" in capsys.readouterr().out
    assert main(["check", stay.file]) == 0


def test_fenders_of_one_kind_are_one_guess_and_stand_at_the_first(tmp_path: Path) -> None:
    (row,) = guess_rows(stay_with(tmp_path, TIDE, FENDERS))
    assert row.path == "berth.fenders[0].kind"
    source = Path(row.file).read_text().splitlines()[row.line - 1][row.column - 1 :]
    assert source.startswith("tyre}, {x: 70")
    assert "guess: 350 kN/m ± 50 % (tyre of 1 m diameter, common practice), 2 alike" in row.problem


def test_the_effect_is_that_of_the_file_with_the_ends_entered(tmp_path: Path) -> None:
    """The same as an officer would find by entering the ends of the spread one after the other."""
    (tmp_path / "low").mkdir()
    (tmp_path / "high").mkdir()
    stay = stay_with(tmp_path, TIDE, (FAST, GUESSED))
    worst = worst_line(stay)
    assert worst is not None
    entered = (FAST.replace("tension_kn: 20", f"tension_kn: {tonnes} t") for tonnes in ("1.2", "2.8"))
    low, high = (
        same_line(stay_with(tmp_path / name, TIDE, (FAST, fast)), worst.line)
        for name, fast in zip(("low", "high"), entered, strict=True)
    )
    (row,) = guess_rows(stay)
    shares = sorted(100.0 * each.stretch_share for each in (low, worst, high))
    assert f"stretch {shares[0]:.0f} to {shares[-1]:.0f} %" in row.problem
    assert shares[-1] - shares[0] > 2.0


def test_what_does_most_to_the_worst_line_stands_first(tmp_path: Path) -> None:
    """In the file the depth stands first and the tensions, which matter most, last."""
    depth = ("charted_depth: 6.0", "charted_depth: {guess: 6.0, source: old chart, spread: 0.5}")
    rows = guess_rows(stay_with(tmp_path, TIDE, depth, (FAST, GUESSED)))
    assert [each.path for each in rows] != [each.path for each in sorted(rows)]
    assert rows[0].path == "lines[1].made_fast.tension_kn"
    assert rows[-1].path == "berth.charted_depth"
    ranges = [re.search(r"stretch (\d+) to (\d+) %", each.problem) for each in rows]
    sizes = [0 if found is None else int(found[2]) - int(found[1]) for found in ranges]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0


def test_guesses_of_lines_bear_the_names_of_the_lines(tmp_path: Path) -> None:
    (row,) = guess_rows(stay_with(tmp_path, TIDE, (FAST, GUESSED), ('id: "2"', 'id: "aft7"')))
    assert row.path == "lines[1].made_fast.tension_kn"
    assert "(by feel), 2 alike, lines aft7 and 3; worst line" in row.problem


def test_a_guess_that_touches_no_line_says_so(tmp_path: Path) -> None:
    depth = ("charted_depth: 6.0", "charted_depth: {guess: 6.0, source: old chart, spread: 0.5}")
    (row,) = guess_rows(stay_with(tmp_path, TIDE, depth))
    assert re.search(r"guess: 6\.00 m ± 0\.50 m \(old chart\); worst line \d: no change$", row.problem)


def test_a_file_without_tide_or_draughts_has_its_guesses_all_the_same(tmp_path: Path) -> None:
    (row,) = guess_rows(stay_with(tmp_path, FENDERS))
    assert "350 kN/m" in row.problem


def test_a_file_without_guesses_has_no_rows(tmp_path: Path) -> None:
    assert guess_rows(stay_with(tmp_path, TIDE)) == ()


def test_text_of_a_source_is_text(tmp_path: Path) -> None:
    odd = ("charted_depth: 6.0", r'charted_depth: {guess: 6.0, source: "[/]x", spread: 0.5}')
    (row,) = guess_rows(stay_with(tmp_path, odd))
    assert "[/]x" in row.problem


def test_a_dolphin_weaker_than_its_hook_is_remarked(tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path,
        ("  bollards:\n", "  dolphins: {D1: {swl_kn: 200}, D2: {swl_kn: 900}}\n  bollards:\n"),
        ("B1: {x: 110.0,", "B1: {dolphin: D1, x: 110.0,"),
    )
    found = {each.path: each.text for each in remarks_of(stay) if "dolphins" in each.path}
    assert found["berth.dolphins.D1.swl_kn"] == "20.4 t where B1 on it bears 30.6 t: exchanged?"
    assert found["berth.dolphins.D2"] == "no bollard stands on it"


def test_reading_the_ends_leaves_the_stay_as_it_is(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, TIDE, FENDERS)
    guess_rows(stay)
    assert read_stay(stay.file) == stay
