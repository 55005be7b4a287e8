"""What the page shows of a Picture: plain values, nothing made up, every name harmless."""

import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final
from xml.etree import ElementTree

import pytest

from alongside.alerts.bars import BAR_AT
from alongside.cycle.guard import Guard
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.readings import Quality, Reason
from alongside.reports.look_page import figures
from alongside.reports.look_page.figures import PARTS, page_figures, page_parts
from alongside.reports.look_page.plan import plan_svg
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS, NOT_KNOWN
from tests.look_page.conftest import NASTY
from tests.screens import invented


def in_doubt(picture: Picture) -> Picture:
    """The same on a tide gauge that is doubted."""
    rows = [
        replace(row, quality=Quality.SUSPECT, reason=Reason.JUMPED) if row.channel == "tide" else row
        for row in picture.channels
    ]
    return replace(picture, channels=tuple(rows))


PICTURES: Final = {
    "normal": invented.normal,
    "warning": invented.one_warning,
    "in question": invented.in_question,
    "flood": invented.flood,
    "blind": invented.blind,
    "awkward": invented.awkward,
    "in doubt": lambda: in_doubt(invented.in_question()),
    "waiting": invented.waiting,
    "blank": lambda: blank_picture(invented.invented_stay()),
}
SVG: Final = "{http://www.w3.org/2000/svg}"


def of(picture: Picture) -> dict[str, Any]:
    return page_figures(picture, Guard(strict=True))


def texts(value: Any) -> Iterator[str]:
    """Every text of some plain values, drawings left out."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, each in value.items():
            if name != "plan":
                yield from texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from texts(each)


@pytest.mark.parametrize("name", PICTURES)
def test_every_picture_becomes_plain_values_with_the_format_first(name: str) -> None:
    picture = PICTURES[name]()
    shown = of(picture)
    assert list(shown) == ["format", *PARTS]
    parts = page_parts(picture, Guard(strict=True))
    assert {part: json.loads(text) for part, text in parts.items()} == shown
    assert not any("\n" in text for text in parts.values()), "an event is one row"
    for text in texts(shown):
        assert not re.search(r"\bnan\b|\binf\b|None", text), text
        assert text != "?", "a doubt stands behind a figure"


@pytest.mark.parametrize("name", PICTURES)
def test_the_plan_is_a_drawing_without_script_or_style(name: str) -> None:
    root = ElementTree.fromstring(plan_svg(PICTURES[name]()))
    tags = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert tags <= {"svg", "title", "rect", "line", "text", "polygon", "polyline", "circle", "path"}
    names = {name for each in root.iter() for name in each.attrib}
    assert not [name for name in names if name.startswith("on") or name in ("style", "href", "src")]
    words = {each.text for each in root.iter(f"{SVG}text")}
    assert {"bow", "stern", "quay", "water"} <= words
    _, _, width, height = (float(each) for each in root.attrib["viewBox"].split())
    for each in root.iter(f"{SVG}text"):
        assert 0.0 <= float(each.attrib["x"]) <= width
        assert 0.0 <= float(each.attrib["y"]) <= height


def test_the_plan_is_to_scale() -> None:
    stay = invented.invented_stay()
    root = ElementTree.fromstring(plan_svg(blank_picture(stay)))
    hull = next(root.iter(f"{SVG}polygon")).attrib["points"].split()
    x, y = ([float(point.split(",")[at]) for point in hull] for at in (0, 1))
    assert max(x) - min(x) == pytest.approx(stay.ship.loa, abs=0.2)
    assert max(y) - min(y) == pytest.approx(stay.ship.breadth, abs=0.2)
    assert len(list(root.iter(f"{SVG}polyline"))) == len(stay.lines)


def test_lines_of_the_plan_have_a_mark_and_not_colour_alone() -> None:
    root = ElementTree.fromstring(plan_svg(invented.flood()))
    worst = [each for each in root.iter(f"{SVG}text") if each.attrib["class"].endswith(("alarm", "warning"))]
    assert worst
    for each in worst:
        assert (each.text or "")[0] == MARKS[Stage[each.attrib["class"].split()[1].upper()]]


def test_names_from_outside_are_text() -> None:
    stay = invented.invented_stay()
    nasty = f"{NASTY}\u202e"
    stay = replace(stay, ship=replace(stay.ship, name=nasty), berth=replace(stay.berth, name=NASTY))
    picture = replace(invented.normal(stay), stay=stay)
    drawn = plan_svg(picture)
    assert "<img" not in drawn
    assert "</script" not in drawn
    title = next(ElementTree.fromstring(drawn).iter(f"{SVG}title"))
    assert "</script><img onerror=alert(1)" in (title.text or "")
    shown = of(picture)["now"]
    assert shown["ship"] == f"{NASTY}·", "nothing turns the writing round"


def test_names_of_lines_are_text_in_the_plan() -> None:
    stay = invented.invented_stay()
    stay = replace(stay, lines=(replace(stay.lines[0], id="<b>&"),))
    root = ElementTree.fromstring(plan_svg(blank_picture(stay)))
    assert "<b>&" in {each.text for each in root.iter(f"{SVG}text")}


@pytest.mark.parametrize("name", PICTURES)
def test_every_stage_comes_with_its_mark_and_word(name: str) -> None:
    shown = of(PICTURES[name]())
    rows = [shown["headline"], *shown["lines"]["rows"], *shown["alerts"]["rows"]]
    for row in rows:
        assert row["word"][0] in (*MARKS.values(), NOT_KNOWN)
        if row["stage"] in ("caution", "warning", "alarm"):
            assert row["word"].startswith(MARKS[Stage[row["stage"].upper()]])
    for each in shown["water"]:
        if each["stage"] != "normal" and each["value"] != NOT_KNOWN:
            assert each["value"].startswith(MARKS[Stage[each["stage"].upper()]])


def test_lines_stand_worst_first_with_the_bar_of_the_worst_of_their_limits() -> None:
    picture = invented.flood()
    by_id = {row.id: row for row in picture.lines}
    shown = of(picture)["lines"]
    order = [Stage[row["stage"].upper()] for row in shown["rows"] if row["stage"] != "unknown"]
    assert order == sorted(order, reverse=True)
    for row in shown["rows"]:
        line = by_id[row["id"]]
        if row["bar"] is not None:
            assert row["bar"] == round(line.bar, 1)
            assert row["because"]
    hidden = [row for row in picture.lines if row.id not in {each["id"] for each in shown["rows"]}]
    assert all(row.stage == Stage.NORMAL and row.bar < BAR_AT[Stage.CAUTION] for row in hidden)
    assert all(row.id in shown["quiet"] for row in hidden)


def test_nothing_unknown_is_normal() -> None:
    shown = of(invented.blind())
    assert "normal" not in {row["stage"] for row in shown["lines"]["rows"] if row["bar"] is None}
    assert shown["headline"]["word"] != "· normal"
    blank = of(blank_picture(invented.invented_stay()))
    assert blank["now"]["time"] is None
    assert blank["headline"]["word"] != "· normal"
    tide = next(each for each in blank["water"] if each["name"] == "tide")
    assert tide["value"] == NOT_KNOWN
    assert tide["note"], "with its reason"


def test_a_watch_that_nobody_keeps_is_the_headline() -> None:
    shown = of(replace(invented.normal(), unkept=True))
    assert shown["now"]["kept"] is False
    assert shown["headline"]["large"] == "NOBODY KEEPS WATCH"


def test_what_waits_for_an_answer_is_counted() -> None:
    picture = invented.flood()
    waiting = sum(
        alert.stage > Stage.CAUTION and alert.standing.name != "ACKNOWLEDGED" for alert in picture.alerts
    )
    assert of(picture)["headline"]["waiting"].startswith(f"{waiting} to acknowledge")


def test_no_signal_and_doubt_are_said_beside_the_figure() -> None:
    shown = of(invented.blind())
    assert any(not row["good"] and row["why"] for row in shown["gauges"]["rows"])


def test_a_part_that_fails_is_left_out_and_the_rest_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(figures.PARTS, "plan", lambda _picture: 1 / 0)  # type: ignore[index]
    guard = Guard()
    shown = page_figures(invented.normal(), guard)
    assert shown["plan"] is None
    assert shown["headline"]["large"]
    assert guard.failed == ("plan",)
    assert "ZeroDivisionError" in guard.trace


def test_a_figure_that_is_not_known_is_never_a_number() -> None:
    picture = replace(invented.normal(), tide=math.nan, wind_ms=math.nan, draught_fwd=math.nan)
    shown = {each["name"]: each for each in of(picture)["water"]}
    assert {shown[name]["value"] for name in ("tide", "wind", "draught_fwd")} == {NOT_KNOWN}


@pytest.mark.parametrize(
    ("off", "factor"),
    [({"sway": 0.30}, 20), ({"sway": 4.0}, 1), ({"surge": 0.001}, 1), ({"yaw_deg": math.nan}, 1)],
)
def test_a_drift_too_small_to_see_is_drawn_larger_beside_her_place_and_says_so(
    off: dict[str, float], factor: int
) -> None:
    picture = replace(invented.normal(), **{"surge": 0.0, "sway": 0.0, "yaw_deg": 0.0, **off})  # type: ignore[arg-type]
    root = ElementTree.fromstring(plan_svg(picture))
    shapes = {each.attrib["class"]: each.attrib["points"] for each in root.iter(f"{SVG}polygon")}
    words = {each.text for each in root.iter(f"{SVG}text")}
    assert ("place" in shapes) == (factor > 1)
    assert (f"drift x{factor}" in words) == (factor > 1)
    assert ("drawn in place" in words) == math.isnan(picture.yaw_deg)
    if factor > 1:
        down = [float(shapes[name].split()[0].split(",")[1]) for name in ("place", "hull")]
        assert down[0] - down[1] == pytest.approx(picture.sway * factor, abs=0.11)


@pytest.mark.parametrize("name", ["normal", "warning", "flood", "in question"])
def test_a_figure_of_a_line_has_its_limits_beside_it(name: str) -> None:
    picture = PICTURES[name]()
    rows = [row for row in of(picture)["lines"]["rows"] if row["bar"] is not None]
    assert rows
    assert all(re.fullmatch(r"[\d./]+(°| %)", row["limits"]) for row in rows), rows


def test_water_under_the_keel_has_its_limits_beside_it() -> None:
    limits = invented.invented_stay().limits.under_keel_m
    (keel,) = (each for each in of(invented.normal())["water"] if each["name"] == "under_keel")
    assert f"limits {limits.caution:g}/{limits.warning:g}/{limits.alarm:g} m" in keel["note"]


def test_a_slack_line_has_figure_and_limits_in_one_unit() -> None:
    row = replace(invented.normal().lines[0], stage=Stage.CAUTION, because="slack", tension_kn=2.0)
    picture = replace(invented.normal(), lines=(row,))
    (shown,) = of(picture)["lines"]["rows"]
    assert shown["figure"].endswith("% of WLL")
    assert shown["limits"].endswith(" %")
    assert shown["load"].endswith((" t", " kN"))
