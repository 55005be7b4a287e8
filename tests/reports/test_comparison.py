"""Two stays side by side: both files by name, and what is lost goes before comfort."""

import re
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.units import iso_time
from tests.berth import STAY_TEXT, write_stay
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


def test_fewer_lines_are_not_praised_for_their_comfort(tmp_path: Path, capsys, text: str) -> None:
    all_lines = whole(tmp_path, "all.yaml", text)
    fewer = whole(tmp_path, "fewer.yaml", without_breast(text))
    for one, other in ((all_lines, fewer), (fewer, all_lines)):
        rows = compared(capsys, one, other)
        sentence = next(row for row in rows if row.startswith("WORSE"))
        assert sentence.startswith("WORSE: fewer.yaml: lines hold square off the berth ")
        speeds = [int(n) for n in re.findall(r"(\d+) kn", sentence)]
        assert speeds[0] < speeds[1]
        named = next(row for row in rows if row.startswith("file"))
        assert named.index(one.name) < named.index(other.name)
        breasts = next(row for row in rows if row.startswith("breast lines"))
        assert "none" in breasts
        order = [row.split("  ")[0].removesuffix("<>").strip() for row in rows]
        ranked = ["hold, square off", "lines hold", "off fenders from", "tending rounds", "highest stretch"]
        assert sorted(ranked, key=order.index) == ranked


def test_a_stay_is_no_worse_than_itself(tmp_path: Path, capsys, text: str) -> None:
    one, other = whole(tmp_path, "a.yaml", text), whole(tmp_path / "b", "a.yaml", text)
    rows = compared(capsys, one, other)
    assert "NO DIFFERENCE in what holds her, in rounds and in what the lines carry" in rows
    assert str(other) in next(row for row in rows if row.startswith("file")), "with folders where alike"


def test_what_is_not_known_is_not_judged(tmp_path: Path, capsys, text: str) -> None:
    one = whole(tmp_path, "all.yaml", text)
    other = whole(tmp_path, "bare.yaml", text.replace(WIND, ""))
    rows = compared(capsys, one, other)
    assert any(
        row == "NOT KNOWN which holds her better: bare.yaml: wind areas of the ship not given" for row in rows
    )
