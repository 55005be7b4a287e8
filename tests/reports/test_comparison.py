"""Two stays side by side: both files by name, and what is lost goes before comfort."""

import json
import re
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import far_of, look_ahead
from alongside.reports.compared_figures import figures_of
from alongside.reports.compared_sides import side_of
from alongside.reports.comparison_verdict import judgement
from alongside.stay.read import read_stay
from alongside.units import iso_time, unix_time
from tests.berth import START, STAY_TEXT, write_stay
from tests.forecast.scene import HIGH_LOW

WIND = "  wind: {front_m2: 120, side_m2: 480, at_draught: 4.3, side_centroid_x: 38.0}\n"
TIDE = "tide: {high_low: [%s]}\n"


def whole(folder: Path, name: str, text: str) -> Path:
    rows = ", ".join(f"[{iso_time(at)}, {level}]" for at, level in HIGH_LOW[:6])
    folder.mkdir(exist_ok=True)
    path = write_stay(folder, text + TIDE % rows)
    return path.rename(folder / name)


@pytest.fixture
def text() -> str:
    bare = "tension_kn: 20}}"
    stated = "tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}"
    base = STAY_TEXT.replace("balance: off", "balance: on").replace("berth:\n", f"{WIND}berth:\n", 1)
    return base.replace(bare, stated)


def compared(capsys: pytest.CaptureFixture[str], one: Path, other: Path) -> list[str]:
    assert main(["compare", str(one), str(other), "--hours", "3"]) == 0
    return capsys.readouterr().out.splitlines()


def without_breast(text: str) -> str:
    return re.sub(r"  - \{id: \"2\", role: breast.*?\n.*?\n", "", text)


@pytest.mark.slow
def test_fewer_lines_are_not_praised_for_their_comfort(tmp_path: Path, capsys, text: str) -> None:
    all_lines = whole(tmp_path, "all.yaml", text)
    fewer = whole(tmp_path, "fewer.yaml", without_breast(text))
    for one, other in ((all_lines, fewer), (fewer, all_lines)):
        rows = compared(capsys, one, other)
        sentence = next(row for row in rows if row.startswith("WORSE"))
        assert re.match(r"WORSE: fewer.yaml: (lines hold|ship off place from) \d+ kn; all.yaml: ", sentence)
        assert sentence.endswith(" (wind square off the berth)")
        speeds = [int(n) for n in re.findall(r"(\d+) kn", sentence)]
        assert speeds[0] < speeds[1]
        named = next(row for row in rows if row.startswith("file"))
        assert named.index(one.name) < named.index(other.name)
        breasts = next(row for row in rows if row.startswith("breast lines"))
        assert "none" in breasts
        order = [row.split("  ")[0].removesuffix("<>").strip() for row in rows]
        ranked = [
            "hold, square off",
            "hold, weakest",
            "off fenders from",
            "tending rounds",
            "highest stretch",
        ]
        assert sorted(ranked, key=order.index) == ranked


def written(folder: Path, one: Path, other: Path) -> dict:
    file = folder / "compared.json"
    assert main(["compare", str(one), str(other), "--hours", "3", "--json", str(file)]) == 0
    return json.loads(file.read_text())


@pytest.mark.slow
def test_for_other_programs_both_files_stand_with_what_is_lost(tmp_path: Path, capsys, text: str) -> None:
    all_lines = whole(tmp_path, "all.yaml", text)
    fewer = whole(tmp_path, "fewer.yaml", without_breast(text))
    found = written(tmp_path, all_lines, fewer)
    assert list(found)[:3] == ["format", "time", "until"]
    one, other = found["stays"]
    assert (one["file"], other["file"]) == ("all.yaml", "fewer.yaml")
    assert (found["verdict"], found["worse"]) == ("WORSE", "fewer.yaml")
    assert f"\n{found['sentence']}\n" in capsys.readouterr().out
    assert other["breasts"] == []
    assert other["square_off"]["holds_ms"] < one["square_off"]["holds_ms"]
    assert other["contact_ms"] < one["contact_ms"]
    assert {each["gives_first"] for each in (one["weakest"], other["weakest"])} <= {
        "wll",
        "brake",
        "bollard",
        "drift",
        None,
    }


@pytest.mark.slow
def test_a_line_that_parts_and_one_that_hangs_slack_are_named(tmp_path: Path, capsys, text: str) -> None:
    """On the flood line 2 is twice as short as it must be, on an ebb it hangs slack: both by load, not by
    words."""
    one = whole(tmp_path, "all.yaml", text)
    tight = text.replace('"2", role: breast', '"2", role: breast', 1)
    second = tight.index('id: "2"')
    tight = tight[:second] + tight[second:].replace("tension_kn: 20", "tension_kn: 95", 1)
    other = whole(tmp_path, "tight.yaml", tight)
    found = written(tmp_path, one, other)
    for side, path in zip(found["stays"], (one, other), strict=True):
        stay = read_stay(path)
        basis = Basis.of(stay)
        at = unix_time(found["time"])
        forecast = look_ahead(basis, planned_present(stay, basis.arrangement, at), far_of(stay, 3.0))
        load = forecast.load_share * basis.arrangement.smallest_wll_kn
        breaks = {line.id for k, line in enumerate(stay.lines) if (load[:, k] > 200.0).any()}
        slack = {line.id for k, line in enumerate(stay.lines) if (load[:, k] <= 1.0).any()}
        assert {each["line"] for each in side["would_part"]} == breaks
        assert {each["line"] for each in side["hangs_slack"]} == slack
    assert found["stays"][1]["would_part"]


def test_a_set_without_a_breast_is_never_the_better_one(tmp_path: Path, text: str) -> None:
    """Even where its first line goes later: a breast that gives first is no reason to leave it away."""
    sides = [
        side_of(Basis.of(read_stay(path)), START, far_of(read_stay(path), 3.0))
        for path in (whole(tmp_path, "all.yaml", text), whole(tmp_path, "fewer.yaml", without_breast(text)))
    ]
    every, fewer = figures_of(sides)
    assert every.square_off is not None
    stronger = replace(fewer, square_off=replace(every.square_off, ms=every.square_off.ms + 20.0))
    for pair in ((every, stronger), (stronger, every)):
        judged = judgement(*pair, sides[0].basis.stay.display)
        assert judged.sentence == "WORSE: fewer.yaml: no breast line; all.yaml: breast lines 2"
        assert judged.worse == pair.index(stronger)


def test_no_input_is_written_over(tmp_path: Path, capsys, text: str) -> None:
    one, other = whole(tmp_path, "a.yaml", text), whole(tmp_path, "b.yaml", text)
    before = other.read_bytes()
    assert main(["compare", str(one), str(other), "--json", str(other)]) == 2
    assert other.read_bytes() == before


def test_a_stay_is_no_worse_than_itself(tmp_path: Path, capsys, text: str) -> None:
    one, other = whole(tmp_path, "a.yaml", text), whole(tmp_path / "b", "a.yaml", text)
    rows = compared(capsys, one, other)
    assert "NO DIFFERENCE in what holds her, in rounds and in what the lines carry" in rows
    assert str(other) in next(row for row in rows if row.startswith("file")), "with folders where alike"


@pytest.mark.skipif(sys.platform == "win32", reason="a terminal of POSIX")
@pytest.mark.slow
def test_on_a_narrow_terminal_its_columns_are_broken_between_words(tmp_path: Path, text: str) -> None:
    from tests.cli.prompts import Prompts

    one, other = (
        whole(tmp_path / "a", "the_stay_as_planned.yaml", text),
        whole(tmp_path / "b", "b.yaml", text),
    )
    given = ["compare", str(one), str(other), "--hours", "2"]
    with Prompts(given, size=(80, 24)) as narrow, Prompts(given, size=(160, 24)) as wide:
        assert (narrow.ends(), wide.ends()) == (0, 0)
    rows = [each.rpartition("\x1b[K")[2] for each in narrow.text.split("\r\n")]
    assert max(map(len, rows)) <= 80
    assert narrow.text.rpartition("\x1b[K")[2].split() != wide.text.rpartition("\x1b[K")[2].split()
    assert sorted(narrow.text.rpartition("\x1b[K")[2].split()) == sorted(
        wide.text.rpartition("\x1b[K")[2].split()
    )
    assert [row[:20].strip() for row in rows if row[20:22] == "<>"] == ["file"]


def test_what_is_not_known_is_not_judged(tmp_path: Path, capsys, text: str) -> None:
    one = whole(tmp_path, "all.yaml", text)
    other = whole(tmp_path, "bare.yaml", text.replace(WIND, ""))
    rows = compared(capsys, one, other)
    assert any(
        row == "NOT KNOWN which holds her better: bare.yaml: wind areas of the ship not given" for row in rows
    )
