"""`check` on kinds of ship and berth that no example is of: the right file passes, mistakes in it are
remarked."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from alongside.errors import Fault, StayFaults
from alongside.reports.remarks.all import placed, remarks_of
from alongside.stay.read import read_stay
from tests.reports.remarks.ships import KINDS, text_of

BY_NAME: Final = {kind.name: kind for kind in KINDS}
Edit = Callable[[str], str]


def changed(pattern: str, new: Callable[[re.Match[str]], str] | str, count: int = 0) -> Edit:
    """Return an edit that replaces all, or the first few, places of a pattern; it must be there."""

    def edit(text: str) -> str:
        text, done = re.subn(pattern, new, text, count=count)
        assert done, pattern
        return text

    return edit


def scaled(key: str, factor: float, count: int = 0) -> Edit:
    """Multiply the numbers of a key."""
    return changed(rf"\b{key}: (-?[\d.]+)", lambda found: f"{key}: {float(found[1]) * factor:.3f}", count)


def moved(key: str, by: float, count: int = 0) -> Edit:
    return changed(rf"\b{key}: (-?[\d.]+)", lambda found: f"{key}: {float(found[1]) + by:.3f}", count)


def on_rows(begin: str, edit: Edit) -> Edit:
    """Return an edit of the rows that begin so."""

    def edited(text: str) -> str:
        rows = text.splitlines(keepends=True)
        assert any(row.startswith(begin) for row in rows)
        return "".join(edit(row) if row.startswith(begin) else row for row in rows)

    return edited


def columns_exchanged(text: str) -> str:
    """A curve of [load, elongation]."""
    return re.sub(
        r"(main: \{.*curve: )\[\[0, 0\].*?\]\]",
        r"\1[[0, 0], [0.06, 2], [0.15, 4], [0.40, 8], [0.50, 9.5], [1.0, 14]]",
        text,
    )


PER_CENT: Final = "limits: {stretch_share: {caution: 70, warning: 85, alarm: 100}}\n"
MISTAKES: Final[dict[str, tuple[str, str, Edit]]] = {
    "place from the stem of a long ship": (
        "capesize at an ore berth", "", changed(r"ship_x: [\d.]+", "ship_x: 20.0")),
    "bollards of the neighbouring berth": (
        "gas carrier at a jetty with dolphins", "", moved("berth_x", 130.0)),
    "heights of bollards in feet": (
        "crude carrier on long springs", "berth.bollards", on_rows("    Q", scaled("z", 3.28))),
    "fenders from midships": (
        "gas carrier at a jetty with dolphins", "berth.fenders",
        changed(r"- \{x: (-?[\d.]+)", lambda found: f"- {{x: {float(found[1]) + 640.0:.2f}")),
    "SWL in kilograms": ("car carrier", "berth.bollards", scaled("swl_kn", 102.0)),
    "wind areas exchanged": (
        "cruise ship, light ropes", "ship.wind",
        changed(r"front_m2: ([\d.]+), side_m2: ([\d.]+)", r"front_m2: \2, side_m2: \1")),
    "draught of one line mistyped": (
        "southern port, each line doubled", "lines[0]",
        changed(r"draught_fwd: 6.8", lambda found: "draught_fwd: 8.6", 3)),
    "curve by load": ("fishing vessel", "ropes", columns_exchanged),
    "tide table by mean sea level": (
        "southern port, each line doubled", "lines[0].made_fast",
        changed(r"(- \[2026[^,]+), ([\d.]+)", lambda found: f"{found[1]}, {float(found[2]) - 2.1:.2f}")),
    "one fairlead on the water side": (
        "tug", "lines[1]", on_rows("    F2", scaled("y", -1.0))),
    "fairleads from the waterline": (
        "capesize at an ore berth", "ship.fairleads", on_rows("    F", moved("z", -20.0))),
    "head line on the stern's bollard": (
        "hardly a tide", "lines[0]", changed("bollard: Q1", "bollard: Q6")),
    "brake in tonnes": ("crude carrier on long springs", "ship.winches", scaled("brake_kn", 1 / 9.81)),
    "tension in tonnes": ("car carrier", "lines[0].made_fast", scaled("tension_kn", 1 / 9.81)),
    "month and day exchanged in the table": (
        "southern port, each line doubled", "tide", changed("- .2026-03-0([12])", r"- [2026-0\1-03")),
    "x of the forward fairleads in feet": (
        "cruise ship, light ropes", "ship.fairleads", on_rows("    F", scaled("x", 3.28))),
    "MBL in tonnes": ("capesize at an ore berth", "", scaled("mbl_kn", 1 / 9.81)),
    "tail as long as the path": (
        "gas carrier at a jetty with dolphins", "lines", scaled("length", 4.5)),
    "limits in per cent": (
        "tug", "limits", lambda text: text + PER_CENT),
}  # fmt: skip


def said_of(folder: Path, text: str) -> tuple[Fault, ...]:
    path = folder / "stay.yaml"
    path.write_text(text, encoding="utf-8")
    try:
        return placed(read_stay(path))
    except StayFaults as refused:
        return refused.faults


@pytest.mark.parametrize("name", BY_NAME)
def test_a_right_file_of_another_kind_gets_no_remark(name: str, tmp_path: Path) -> None:
    path = tmp_path / "stay.yaml"
    path.write_text(text_of(BY_NAME[name]), encoding="utf-8")
    assert not [f"{each.path}: {each.text}" for each in remarks_of(read_stay(path))]


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_in_it_is_remarked(name: str, tmp_path: Path) -> None:
    kind, where, edit = MISTAKES[name]
    given = said_of(tmp_path, edit(text_of(BY_NAME[kind])))
    assert any(each.path.startswith(where) for each in given), [str(each) for each in given]
