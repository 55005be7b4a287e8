"""What guidance has against a plan of lines, each on a small berth whose geometry is worked out by hand."""

from math import atan2, degrees, hypot
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.mechanics.guidance import chock_load
from alongside.reports.critique.all import note_row, plan_notes
from alongside.reports.remarks.all import remarks_of
from tests.berth import STAY_TEXT, write_stay
from tests.stay.measured.sheet import stay_with

FAST = (
    "made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}\n"
)
WATERS = "[[2026-03-02T00:10:00Z, 0.5], [2026-03-02T06:25:00Z, 5.2], [2026-03-02T12:35:00Z, 0.6]]"
TIDE = ("balance: off\n", f"balance: off\ntide: {{high_low: {WATERS}}}\n")
CODE = "(California Building Code 3105F; read)"
FITTED = "(MSC.1/Circ.1175/Rev.1, Circ.1619, Circ.1620; read)"


def line(name: str, role: str, fairlead: str, bollard: str, more: str = "") -> str:
    row = (
        f'  - {{id: "{name}", role: {role}, fairlead: {fairlead}, bollard: {bollard}, rope: polyester,{more}'
    )
    return f"{row}\n     {FAST}"


def notes(folder: Path, *changes: tuple[str, str]) -> dict[str, list[str]]:
    """Return what is noted of the stay of the tests with some of its text replaced, by path."""
    found: dict[str, list[str]] = {}
    for note in plan_notes(stay_with(folder, *changes)):
        found.setdefault(note.path, []).append(note_row(note))
    return found


def added(*lines: str) -> tuple[str, str]:
    return "feeds:\n", "".join(lines) + "feeds:\n"


def leads(folder: Path, *changes: tuple[str, str]) -> list[str]:
    return [
        row
        for rows in notes(folder, *changes).values()
        for row in rows
        if "from square" in row or "from the side" in row
    ]


# --- leads: California Building Code 3105F.2: 45 deg head and stern, 15 breasts, 10 springs, 25 down; read


@pytest.mark.parametrize("off", [14.0, 16.0])
def test_a_breast_is_kept_within_15_degrees_of_square(off: float, tmp_path: Path) -> None:
    """Fairlead FM lies at berth x 70, y 0, B2 8 m in from the face."""
    x = 70.0 + 8.0 * (0.24933 if off == 14.0 else 0.28675)  # tan 14, tan 16
    rows = leads(tmp_path, ("B2: {x: 70.0,", f"B2: {{x: {x:.4f},"))
    breast = [row for row in rows if "line 2" in row]
    expected = [f"line 2: leads 16° from square; a breast line at most 15° {CODE}"]
    assert breast == ([] if off == 14.0 else expected)


def test_a_spring_is_kept_within_10_degrees_of_the_side(tmp_path: Path) -> None:
    """From FM 8 m in and 40 m aft, 11.31 deg; 8 m in and 60 m aft, 7.59 deg."""
    assert degrees(atan2(8.0, 40.0)) == pytest.approx(11.31, abs=0.005)
    spring = line("4", "spring", "FM", "B4")
    for x, rows in ((30.0, 1), (10.0, 0)):
        bollard = ("  fenders:", f"    B4: {{x: {x}, y: -8.0, z: 4.0}}\n  fenders:")
        found = [row for row in leads(tmp_path, bollard, added(spring)) if "spring" in row]
        assert len(found) == rows
    assert not found


@pytest.mark.slow
@given(ahead=st.floats(5.0, 60.0), inward=st.floats(4.0, 40.0))
def test_a_head_line_leads_within_45_degrees_of_square(
    tmp_path_factory: pytest.TempPathFactory, ahead: float, inward: float
) -> None:
    """Fairlead FB lies at berth x 90, y 5 from the face (half of the breadth less 2 m)."""
    off = degrees(atan2(ahead, inward + 5.0))
    if abs(off - 45.5) < 0.1:
        return
    where = f"B1: {{x: {90.0 + ahead:.6f}, y: {-inward:.6f}, z: 4.0, swl_kn: 300}}"
    rows = leads(tmp_path_factory.mktemp("head"), ("B1: {x: 110.0, y: -10.0, z: 4.0, swl_kn: 300}", where))
    assert any("line 1" in row for row in rows) == (off > 45.5)


def test_a_lead_that_comes_steep_with_the_tide_is_noted_with_both_angles(tmp_path: Path) -> None:
    """FM is 8.5 m above the keel; at tide 2.0 and 4.125 m of draught there 6.375 m above chart datum, B2 on
    4.0: 16.5 deg down over 8 m. At high water 5.2 and the same draught 9.575 m: 34.9 deg."""
    assert degrees(atan2(2.375, 8.0)) == pytest.approx(16.5, abs=0.1)
    assert degrees(atan2(5.575, 8.0)) == pytest.approx(34.9, abs=0.1)
    (row,) = [row for row in notes(tmp_path, TIDE)["lines[1]"] if "steep" in row]
    assert row == f"line 2: comes 35° steep by the plan (17° when made fast); at most 25° {CODE}"


# --- services: common practice; what is worked out rests on the curves of the file


def test_lines_alone_in_their_service_are_one_note_and_a_second_line_ends_it(tmp_path: Path) -> None:
    alone = "alone in its service: nothing does its work when it parts or is let go"
    assert f"lines 1, 2 and 3: {alone} (common practice, no source)" in notes(tmp_path)["lines[0]"]
    second = notes(tmp_path, added(line("4", "head", "FB", "B1")))
    assert any(row.startswith(f"lines 2 and 3: {alone}") for row in second["lines[1]"])


def test_two_breasts_at_different_ends_are_each_alone(tmp_path: Path) -> None:
    rows = notes(tmp_path, added(line("4", "breast", "FA", "B3")))
    assert any("lines 1, 2, 3 and 4: alone" in row for row in rows["lines[0]"])


def test_a_short_line_beside_a_long_one_bears_most(tmp_path: Path) -> None:
    """Both of one rope and made fast alike: moved by the same metres, a line of three times the length
    strains a third. From 10 to 50 % of MBL the curve goes from 3.0 to 9.4 %: 5.7 % more of 8.3 m are 0.5 m,
    which are 1.9 % of 25 m: it then bears near 20 % of MBL, two fifths of its limit."""
    far = ("  fenders:", "    B4: {x: 70.0, y: -24.0, z: 4.0}\n  fenders:")
    rows = notes(tmp_path, far, added(line("4", "breast", "FM", "B4")))["lines[1]"]
    (uneven,) = [row for row in rows if "unevenly" in row]
    assert uneven.startswith("line 2: reaches its working limit (8 m long) when line 4 (24 m) bears ")
    share = float(uneven.split("bears ")[1].split(" %")[0])
    assert 35.0 <= share <= 50.0
    assert uneven.endswith(
        "of its own: the breasts forward share unevenly (ropes of the stay file, all moved alike; worked out)"
    )
    alike = notes(tmp_path, added(line("4", "breast", "FM", "B2")))
    assert not any("unevenly" in row for rows in alike.values() for row in rows)


def test_ropes_of_two_kinds_in_one_service_are_noted(tmp_path: Path) -> None:
    wire = ("ropes:\n", "ropes:\n  wire: {kind: wire, mbl_kn: 200, curve: [[0, 0], [0.6, 0.2], [2, 1.0]]}\n")
    second = line("4", "breast", "FM", "B2").replace("rope: polyester", "rope: wire")
    rows = notes(tmp_path, wire, added(second))["lines[1].rope"]
    assert rows == [
        "line 2: breasts forward of several kinds (2 synthetic; 4 wire): the stiffer ones bear first "
        "(common practice, no source)"
    ]


def test_no_spring_is_noted_with_the_current_of_the_plan_that_asks_for_one(tmp_path: Path) -> None:
    """Heading 090: a current that sets to 270 comes from ahead and pushes her astern."""
    rows = notes(tmp_path)["lines"]
    assert rows[0].startswith("no spring that leads ahead: only head lines hold her against a push astern (")
    ebb = (
        "balance: off\n",
        "balance: off\ncurrent: [{at: 2026-03-02T04:00:00Z, speed_kn: 1.8, to_deg: 270}]\n",
    )
    with_ebb = notes(tmp_path, ebb)["lines"]
    assert "a push astern; the current sets astern with up to 1.8 kn (" in with_ebb[0]
    assert "sets" not in with_ebb[1]
    springs = line("4", "spring", "FM", "B3"), line("5", "spring", "FA", "B1")
    assert "lines" not in notes(tmp_path, ebb, added(*springs))


# --- ashore


def test_a_bollard_is_noted_from_the_sum_of_working_limits_on(tmp_path: Path) -> None:
    """Two alike lines of a working limit of 100 kN each pull with 200 kN together."""
    two = added(line("4", "breast", "FM", "B2"))
    for swl, is_noted in ((199.0, True), (201.0, False)):
        strength = (
            "B2: {x: 70.0, y: -8.0, z: 4.0, swl_kn: 300}",
            f"B2: {{x: 70.0, y: -8.0, z: 4.0, swl_kn: {swl}}}",
        )
        assert ("berth.bollards.B2.swl_kn" in notes(tmp_path, two, strength)) == is_noted
    found = notes(tmp_path, two, ("z: 4.0, swl_kn: 300}\n    B3", "z: 4.0, swl_kn: 150}\n    B3"))
    assert found["berth.bollards.B2.swl_kn"] == [
        "lines 2 and 4 at their working limits bear on it with 20.4 t, its SWL is 15.3 t "
        "(vector sum of the lines, each at its working limit; worked out)"
    ]


def test_pulls_from_two_sides_add_up_as_vectors(tmp_path: Path) -> None:
    """From FB, 40 m ahead of FA's mirror: pulls that meet at an angle sum to less than both."""
    lines = added(line("4", "breast", "FB", "B2"))
    # FM square to B2 over 8 m; FB from 20 m ahead and 13 m off: between them 57 deg level.
    between = degrees(atan2(20.0, 13.0))
    together = 100.0 * hypot(1.0 + 13.0 / hypot(20.0, 13.0), 20.0 / hypot(20.0, 13.0))
    assert 55.0 < between < 58.0
    for swl, is_noted in ((together - 8.0, True), (together + 4.0, False)):
        strength = (
            "B2: {x: 70.0, y: -8.0, z: 4.0, swl_kn: 300}",
            f"B2: {{x: 70.0, y: -8.0, z: 4.0, swl_kn: {swl}}}",
        )
        assert ("berth.bollards.B2.swl_kn" in notes(tmp_path, lines, strength)) == is_noted


def test_three_lines_on_a_bollard_of_unknown_swl_are_noted(tmp_path: Path) -> None:
    more = [line(name, "stern", "FA", "B3") for name in ("4", "5")]
    assert "berth.bollards.B3" not in notes(tmp_path, added(more[0]))
    (row,) = notes(tmp_path, added(*more))["berth.bollards.B3"]
    assert row == "3 lines on it (3, 4 and 5), and no SWL of it is known (common practice, no source)"


def test_one_line_on_a_hook(tmp_path: Path) -> None:
    """California Building Code 3103F.10: only one line on each quick-release hook; read."""
    dolphin = (
        "  bollards:\n    B1: {",
        "  dolphins: {D1: {swl_kn: 900}}\n  bollards:\n    B1: {dolphin: D1, ",
    )
    rows = notes(tmp_path, dolphin, added(line("4", "head", "FB", "B1")))
    assert rows["berth.bollards.B1"][0].startswith("lines 1 and 4 on one hook of dolphin D1: one line a hook")


def test_a_steep_lift_asks_for_the_rating(tmp_path: Path) -> None:
    """B2 2.5 m in from the face: at high water 5.575 m below the fairlead, 65.8 deg."""
    rows = notes(tmp_path, TIDE, ("B2: {x: 70.0, y: -8.0", "B2: {x: 70.0, y: -2.5"))["lines[1].bollard"]
    assert rows[0].startswith("line 2: lifts bollard B2 at up to 66° by the plan")


# --- on board: shares of the ship design MBL as in the circulars' digests; read


@pytest.mark.parametrize(
    ("winch", "ship", "path", "words"),
    [
        (
            "brake_kn: 450, brake_design: 0.8",
            "  design_mbl_kn: 500\n",
            "brake_kn",
            "90 % of the ship design MBL",
        ),
        ("brake_set: 0.9, brake_design: 0.8", "  design_mbl_kn: 500\n", "brake_set", "designed for 80 %"),
        ("brake_kn: 130", "", "brake_kn", "holds 65 % of what line 1 breaks at; usual 60 %"),
        ("brake_kn: 90", "", "brake_kn", "slips at 9.2 t, below the working limit of line 1, 10.2 t"),
        (
            "recovery_kn: 10, rendering_kn: 110",
            "",
            "rendering_kn",
            "renders at 11.2 t, above the working limit",
        ),
    ],
)
def test_brakes_beside_deck_line_and_working_limit(
    winch: str, ship: str, path: str, words: str, tmp_path: Path
) -> None:
    rows = notes(tmp_path, ("brake_kn: 120", winch), ("  fairleads:\n", f"{ship}  fairleads:\n"))
    assert any(words in row and FITTED in row for row in rows[f"ship.winches.W1.{path}"])
    assert not any(each.startswith("ship.winches") for each in notes(tmp_path))  # 120 of 200 kN: 60 %


@pytest.mark.parametrize(
    ("mbl", "word"), [(190, "weaker than the ship needs"), (220, "deck is not designed"), (205, "")]
)
def test_a_line_has_100_to_105_percent_of_the_design(mbl: int, word: str, tmp_path: Path) -> None:
    design = ("  fairleads:\n", "  design_mbl_kn: 200\n  fairleads:\n")
    rope = ("kind: synthetic, mbl_kn: 200", f"kind: synthetic, mbl_kn: {mbl}")
    rows = notes(tmp_path, design, rope).get("ropes.polyester.mbl_kn", [])
    assert [word in row for row in rows] == ([True] if word else [])


@pytest.mark.parametrize(("mbl", "is_noted"), [(240, True), (250, False), (190, False)])
def test_a_tail_is_a_quarter_stronger_and_a_weaker_one_a_remark(
    mbl: int, is_noted: bool, tmp_path: Path
) -> None:
    tail = f"  nylon: {{kind: synthetic, mbl_kn: {mbl}, curve: [[0, 0], [10, 0.5], [30, 1.0]]}}\nlines:\n"
    changes = (
        ("lines:\n", tail),
        ("bollard: B1, rope: polyester,", "bollard: B1, rope: polyester, tail: {rope: nylon, length: 5.0},"),
    )
    assert ("lines[0].tail" in notes(tmp_path, *changes)) == is_noted
    remarks = [each.path for each in remarks_of(stay_with(tmp_path, *changes))]
    assert ("lines[0].tail" in remarks) == (mbl < 200)


@pytest.mark.parametrize(("turn", "times"), [(60.0, 1.0), (90.0, 2.0**0.5), (180.0, 2.0), (0.0, 0.0)])
def test_what_a_chock_bears(turn: float, times: float) -> None:
    """2 T sin(a/2): two equal pulls as a triangle."""
    assert chock_load(turn) == pytest.approx(times)


def test_a_chock_that_turns_its_line_sharply_is_noted_beside_its_swl(tmp_path: Path) -> None:
    """From the winch 10 m ahead of the chock aft to it, then square to B2, 16.5 deg down: 90 deg. At the
    working limit of 100 kN it bears 141 kN."""
    winch = ("W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}", "W1: {x: 70.0, y: -7.0, z: 8.5, brake_kn: 120}")
    led = ("fairlead: FM, bollard: B2", "fairlead: FM, winch: W1, bollard: B2")
    rows = {}
    for swl in ("", ", swl_kn: 135", ", swl_kn: 145"):
        chock = ("FM: {x: 60.0, y: -7.0, z: 8.5}", f"FM: {{x: 60.0, y: -7.0, z: 8.5{swl}}}")
        rows[swl] = [
            row for path, each in notes(tmp_path, winch, led, chock).items() if ".FM" in path for row in each
        ]
    (unknown,) = rows[""]
    assert unknown.startswith(
        "turns line 2 through 90°: it bears 1.4 times the line's load, and no SWL of it is known"
    )
    (known,) = rows[", swl_kn: 135"]
    assert "14.4 t at its working limit, beside an SWL of 13.8 t" in known
    assert not rows[", swl_kn: 145"]


# --- where they are shown


def test_notes_stand_behind_guesses_and_never_make_an_exit_status(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write_stay(tmp_path, STAY_TEXT.replace("B2: {x: 70.0", "B2: {x: 74.0"))
    main(["check", str(path)])
    rows = capsys.readouterr().out.splitlines()
    kinds = [
        next((kind for kind in ("remark", "guess", "plan") if f": {kind}: " in row), "") for row in rows[1:]
    ]
    assert kinds == sorted(kinds, key=["remark", "guess", "plan", ""].index)
    row = next(row for row in rows if "line 2: leads 27° from square" in row)
    place, number = row.split(": ")[0].rsplit(":", 2)[0], int(row.split(":")[1])
    assert place == str(path)
    assert 'id: "2"' in path.read_text().splitlines()[number - 1]
    remarks = sum(": remark: " in row for row in rows)
    assert main(["check", "--strict", str(path)]) == (2 if remarks else 0)
