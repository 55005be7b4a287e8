"""Back, forward, another answer to an earlier question, and answers from tables and known files."""

from pathlib import Path
from typing import Final

import pytest

from alongside.errors import WrongInput
from alongside.reports.new_stay.entry import Entry, answered, back, count, forward, standing
from alongside.reports.new_stay.kept import answers_file, keep, kept
from alongside.reports.new_stay.sheet import Shelf
from alongside.reports.new_stay.shelf_files import shelf_of
from alongside.reports.new_stay.values import Refused
from alongside.reports.new_stay.written import files_to_write, write_files
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.reports.new_stay.filled import NOW, filled, written
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet, typed

SECOND_STAY: Final = (
    "+1", "ship-orlin-petrel.yaml", "port", "berth-skerrin-jetty-outer-face.yaml", "",
    "ropes-orlin-petrel.yaml", "2026-09-20 07:30 1.1 8.0 8.6", "", "6t",
    "2026-09-20 00:40 5.2 06:50 1.0 13:00 5.4 19:10 1.1", "", "", "loading_arms", "",
)  # fmt: skip
"""The same ship at the same jetty a week later, lines as before."""
FEW: Final = 15
"""Answers in ten minutes are many more."""


def without_file(stay: Stay) -> dict[str, object]:
    return {name: getattr(stay, name) for name in Stay.__slots__ if name not in ("file", "guesses")}


@pytest.mark.slow
def test_back_and_forward_lose_nothing() -> None:
    entry = filled(JETTY)
    whole = standing(entry)
    for _ in range(200):
        entry = back(entry)
    assert standing(entry).at == whole.prompts[0]
    seen = []
    while (here := standing(entry)).at is not None:
        seen.append(here.at)
        entry = answered(entry, "")
    assert tuple(seen) == whole.prompts
    assert entry == filled(JETTY)


def test_an_earlier_answer_can_be_another() -> None:
    entry = filled(JETTY)
    while (at := standing(entry).at) is None or at.key != "clearance":
        entry = back(entry)
    entry = answered(entry, "2.0 1.0 0.5")
    assert standing(entry).at is None
    assert standing(entry).sheet.number("clearance", "caution") == 2.0


def test_what_rests_on_an_earlier_answer_is_asked_again_where_it_no_longer_fits() -> None:
    """Bollard MD3 gets another name: line 4, which is on it, is what is asked for next."""
    entry = filled(JETTY)
    while (here := standing(entry)).typed is None or not here.typed.startswith("MD3 "):
        entry = back(entry)
    entry = answered(entry, "M3 MD2+3p 44 8.5 100t")
    while standing(entry).at is not None and not standing(entry).refusal:
        entry = forward(entry)
        if standing(entry).at == standing(entry).prompts[-1]:
            break
    here = standing(forward(entry))
    assert here.at is not None
    assert (here.at.key, here.at.number) == ("lines", 3)
    assert "there is no bollard MD3" in here.refusal
    fixed = answered(forward(entry), "4 breast F4 M3")
    assert standing(fixed).at is None


def test_a_row_is_taken_out_and_one_put_in() -> None:
    entry = filled(JETTY)
    while (here := standing(entry)).typed is None or not here.typed.startswith("12 stern"):
        entry = back(entry)
    less = answered(entry, "-")
    assert len(standing(Entry(less.shelf, NOW, less.answers)).sheet.all("lines")) == 11
    end = standing(less)
    assert end.typed == ""
    more = answered(less, "13 stern A5 MD6")
    lines = standing(Entry(more.shelf, NOW, more.answers)).sheet.all("lines")
    assert [row["id"] for row in lines][-2:] == ["11", "13"]


@pytest.mark.parametrize("before", [0, 1, 17, 40, 70])
def test_what_was_kept_is_where_it_was_left(tmp_path: Path, before: int) -> None:
    entry = back(filled(JETTY, before=before))
    keep(entry, tmp_path / "stay.yaml")
    assert kept(tmp_path / "stay.yaml", Shelf(), NOW + 5000.0) == entry


@pytest.mark.parametrize(
    "text", ["", "{}", "[]", '{"format": 9}', '{"format": 1, "begun": 1, "at": null, "answers": {}}']
)
def test_answers_that_are_none_are_refused_in_words(tmp_path: Path, text: str) -> None:
    answers_file(tmp_path / "stay.yaml").write_text(text)
    with pytest.raises(WrongInput, match="holds no answers of new"):
        kept(tmp_path / "stay.yaml", Shelf(), NOW)


def test_a_second_stay_at_a_known_berth_is_few_answers(tmp_path: Path) -> None:
    first = written(JETTY, tmp_path)
    entry = Entry(shelf_of(tmp_path), NOW + 8 * 86400.0, {})
    for text in SECOND_STAY:
        entry = answered(entry, text)
    assert standing(entry).at is None
    assert count(entry) <= FEW
    files = files_to_write(entry, tmp_path / "second.yaml")
    assert list(files.texts) == ["second.yaml"]
    write_files(files, tmp_path)
    second = read_stay(tmp_path / "second.yaml")
    assert (second.ship, second.berth, second.place) == (first.ship, first.berth, first.place)
    assert [(each.id, each.fairlead, each.winch, each.bollard, each.tail) for each in second.lines] == [
        (each.id, each.fairlead, each.winch, each.bollard, each.tail) for each in first.lines
    ]
    assert {each.made_fast.tension_kn for each in second.lines} == {6 * 9.80665}


def test_a_known_ship_at_a_new_berth_keeps_her_file(tmp_path: Path) -> None:
    written(JETTY, tmp_path)
    entry = Entry(shelf_of(tmp_path), NOW, {})
    for text in ("", "ship-orlin-petrel.yaml", "port", "Other quay"):
        entry = answered(entry, text)
    at = standing(entry).at
    assert at is not None
    assert at.key == "heading"


def test_tables_serve_for_rows(tmp_path: Path) -> None:
    """The same stay, its bollards and lines from tables, one with semicolons and a remark."""
    answers = dict(COASTER)
    bollards = ["name;along;back;height;swl", "# paced"]
    last = ["", "", ""]
    for text in answers["bollards"][:-1]:
        cells = (text.split() + [""] * 3)[:5]
        cells[2:] = [cell or before for cell, before in zip(cells[2:], last, strict=True)]
        last = cells[2:]
        bollards.append(";".join(cells))
    lines = ["id,role,fairlead,bollard,rope,tension"]
    lines += [",".join([*text.split(), "polyprop_40", "2t"][:6]) for text in answers["lines"][:-1]]
    (tmp_path / "bollards.csv").write_text("\n".join(bollards))
    (tmp_path / "lines.csv").write_text("\ufeff" + "\n".join(lines))
    (tmp_path / "by_hand").mkdir()
    by_hand = written(COASTER, tmp_path / "by_hand")
    tabled = tuple(
        (key, (f"{key}.csv", "") if key in ("bollards", "lines") else texts) for key, texts in COASTER
    )
    assert len(typed(tabled)) < len(typed(COASTER))
    assert without_file(written(tabled, tmp_path)) == without_file(by_hand)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("name,along\nQ1,0,3", "Bollards: t.csv:2: behind: nothing given, expected"),
        ("name,far\nQ1,0", "t.csv:1: unknown column 'far', expected name, along"),
        ("name,along,back,height\nQ1,0,3,x", "t.csv:2: height: 'x' is not a number"),
        ("name,along", "t.csv: no rows"),
        ("name,along,back,height\nQ 1,0,3,4", "t.csv:2: 'Q 1' has a blank"),
    ],
)
def test_a_fault_of_a_table_is_said_at_its_line(tmp_path: Path, text: str, what: str) -> None:
    (tmp_path / "t.csv").write_text(text)
    before = typed(COASTER).index("Q1 0 3 1.4 30t")
    with pytest.raises(Refused) as refused:
        answered(filled(COASTER, shelf_of(tmp_path), before=before), "t.csv")
    assert what in str(refused.value)


def changed(sheet: Sheet, **answers: tuple[str, ...]) -> Sheet:
    return tuple((key, answers.get(key, texts)) for key, texts in sheet)


def test_heights_below_her_rail_over_the_water_and_above_datum_are_one(tmp_path: Path) -> None:
    """Water at 4.7, tape 1.4 to the bollard: 6.1. Her rail 7.5 above the keel, draughts 2.6 and 3.3: at the
    marks it stands 9.6 and 8.9 above datum, so a bollard abreast of the aft marks lies 2.8 below it."""
    for name in ("water", "cd", "rail"):
        (tmp_path / name).mkdir()
    over_water = written(COASTER, tmp_path / "water")
    at_datum = changed(COASTER, heights=("cd",), bollards=("Q1 0 3 6.1 30t", *dict(COASTER)["bollards"][1:]))
    above = written(at_datum, tmp_path / "cd")
    assert {each.at.z for each in above.berth.bollards.values()} == {6.1}
    for name, bollard in over_water.berth.bollards.items():
        assert bollard.at.z == pytest.approx(above.berth.bollards[name].at.z)
    by_rail = changed(
        COASTER,
        heights=("rail 4.7 2.6 3.3 7.5",),
        bollards=("Q1 0 3 2.8 30t", *dict(COASTER)["bollards"][1:]),
    )
    below = written(by_rail, tmp_path / "rail")
    station = below.berth.bollards["Q1"].at.x - below.place.berth_x + below.place.ship_x
    draught = 3.3 - 0.7 * (min(max(station, 0.0), 84.0) - 2.0) / 79.0
    quay = 4.7 - draught + 7.5 - 2.8
    # Heights that are not typed are those of the quay, which is level though her rail is not.
    for bollard in below.berth.bollards.values():
        assert bollard.at.z == pytest.approx(quay, abs=0.006)
    assert all("rail" in each.source for each in below.guesses if each.path.endswith(".z"))


def test_a_pontoon_in_a_dock(tmp_path: Path) -> None:
    stay = written(changed(COASTER, heights=("pontoon",), tide=("level 4.2",)), tmp_path)
    assert stay.tide is not None
    assert not stay.tide.high_low
    assert "floats: on" in (tmp_path / "berth-fenwater-grain-quay.yaml").read_text()


def test_files_are_never_written_over(tmp_path: Path) -> None:
    written(JETTY, tmp_path)
    before = {path.name: path.read_text() for path in tmp_path.iterdir()}
    for name in ("stay.yaml", "other.yaml"):  # of the second one only the ship's file is there already
        with pytest.raises(WrongInput, match="not written over"):
            write_files(files_to_write(filled(JETTY), tmp_path / name), tmp_path)
        assert {path.name: path.read_text() for path in tmp_path.iterdir()} == before
    entry = filled(JETTY, Shelf(names=frozenset(before)))
    write_files(files_to_write(entry, tmp_path / "other.yaml"), tmp_path)
    assert (tmp_path / "ship-orlin-petrel-2.yaml").exists()
    assert {path.name: path.read_text() for path in tmp_path.iterdir() if path.name in before} == before
