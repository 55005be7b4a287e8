"""The part Line: to scale or said, nothing wider than the screen, no fault at any size, what stands in it."""

from dataclasses import replace
from functools import cache
from math import atan2, degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cycle.line_moment import Compiled
from alongside.cycle.line_section import section_of
from alongside.cycle.metre_tried import MetreTried, Tried
from alongside.cycle.picture import Picture
from alongside.mechanics.reasons import NoLength
from alongside.screens.chart import chart_strips
from alongside.screens.line_kept import LineKept
from alongside.screens.line_moments import metre_rows
from alongside.screens.line_page import line_strips
from alongside.screens.palettes import PALETTES
from alongside.screens.plan import plan_strips
from alongside.screens.section_drawing import drawn_section, scale_of, scale_words
from alongside.screens.view import CHART_LINES, View
from alongside.stay.stage import Stage
from tests.prudent.situation import watched as prudent
from tests.screens import invented
from tests.test_prudent_officer import SITUATIONS

BERTHS = {"coal": "coal, quiet night", "jetty": "jetty, quiet on the flood"}
SCENES = {
    "normal": invented.normal,
    "warning": invented.one_warning,
    "in_question": invented.in_question,
    "flood": invented.flood,
    "blind": invented.blind,
    "waiting": invented.waiting,
    "awkward": invented.awkward,
}


@cache
def picture_of(name: str) -> Picture:
    if name in SCENES:
        return SCENES[name]()
    return prudent(replace(SITUATIONS[BERTHS[name]], ahead=True))


def view_of(picture: Picture, **changes: object) -> View:
    view = View(picture.stay, PALETTES["day"], picture, picture)
    return replace(view, **changes)  # type: ignore[arg-type]


def text_of(strips: object) -> str:
    return "\n".join("".join(segment.text for segment in row).rstrip() for row in strips)  # type: ignore[attr-defined]


@pytest.mark.slow
@given(
    width=st.integers(24, 250),
    height=st.integers(0, 70),
    scene=st.sampled_from([*SCENES, *BERTHS]),
    which=st.integers(0, 15),
    hours=st.sampled_from((1, 6, 24)),
    lines=st.sampled_from(CHART_LINES),
)
def test_no_size_is_a_fault_and_nothing_is_wider_than_the_screen(
    width: int, height: int, scene: str, which: int, hours: int, lines: str
) -> None:
    picture = picture_of(scene)
    row = picture.lines[which % len(picture.lines)]
    view = view_of(picture, line=row.id, hours=hours, chart_lines=lines)
    for strips in (
        line_strips(view, width, height, LineKept()),
        chart_strips(view, width, height),
        plan_strips(view, width, height),
    ):
        assert len(strips) <= height
        assert all(each.cell_length == width for each in strips)


@pytest.mark.slow
@pytest.mark.parametrize("berth", BERTHS)
@pytest.mark.parametrize("size", [(38, 9), (60, 16), (76, 24)])
def test_what_is_drawn_to_scale_has_the_angle_of_the_line(berth: str, size: tuple[int, int]) -> None:
    """From dots: the same number of them to a metre both ways, so that angles are true."""
    picture = picture_of(berth)
    compiled = Compiled.of(picture.stay)
    for row in picture.lines:
        section = section_of(compiled, picture, row.id)
        scale = scale_of(section, *size)
        assert scale is not None
        for moment in section.moments:
            if not moment.is_drawn:
                continue
            across = float(scale.x(0.0) - scale.x(moment.level_m))
            down = float(scale.y(moment.far_z) - scale.y(moment.fairlead_z)) / scale.factor
            assert degrees(atan2(down, across)) == pytest.approx(moment.vertical_deg, abs=1e-6)
            for x, z in ((moment.level_m, moment.fairlead_z), (0.0, moment.far_z), (0.0, moment.water)):
                assert -0.5 < float(scale.x(x)) < 2 * size[0]
                assert -0.5 < float(scale.y(z)) < 4 * size[1]
        said = scale_words(section, *size)
        assert said == ("to scale" if scale.factor == 1 else f"heights drawn x{scale.factor}")


def test_a_lead_too_long_for_the_room_has_its_heights_drawn_larger_and_says_so() -> None:
    picture = picture_of("coal")
    section = section_of(Compiled.of(picture.stay), picture, "1")
    assert scale_words(section, 24, 9) == "heights drawn x2"


@pytest.mark.parametrize("size", [(80, 18), (120, 24), (160, 44), (250, 64)])
def test_section_figures_and_waters_are_there_at_every_size(size: tuple[int, int]) -> None:
    picture = picture_of("coal")
    text = text_of(line_strips(view_of(picture, line="4"), *size, LineKept()))
    for word in (
        "Section to scale",
        "ship",
        "quay",
        "HW ",
        "water now",
        "stretch",
        "brake",
        "steep",
        "slack",
    ):
        assert word in text, word
    assert "70/85/100 %" in text
    assert "25/30/45°" in text
    assert "1 m out" in text
    assert "1 m in" in text
    assert "snap-back area" in text
    if size[1] >= 44:
        for word in ("main rope", "pulls in", "Line 4, stretch", "Not tended", "of WLL", "of MBL"):
            assert word in text, word


def test_the_reason_is_marked_and_its_limits_stand_beside_it() -> None:
    picture = picture_of("warning")
    text = text_of(line_strips(view_of(picture, line="B1"), 80, 18, LineKept()))
    row = next(each for each in text.splitlines() if "▸" in each)
    assert "▸● " in row
    assert "70/85/100 %" in row or "25/30/45°" in row


@pytest.mark.parametrize("no_length", [NoLength.PARTED, NoLength.LET_GO, NoLength.NOT_FAST])
def test_a_line_that_is_not_out_is_not_drawn(no_length: NoLength) -> None:
    picture = picture_of("coal")
    gone = replace(picture.lines[3], no_length=no_length, stage=None, stages={}, tension_kn=float("nan"))
    gone = replace(gone, why="parted 03:20", unstretched_m=float("nan"), bars={}, because="")
    lines = tuple(gone if row.id == gone.id else row for row in picture.lines)
    picture = replace(picture, lines=lines)
    section = section_of(Compiled.of(picture.stay), picture, gone.id)
    raster = drawn_section(section, -1, picture.stay.display, 60, 16)
    whole = drawn_section(replace(section, is_out=True), 0, picture.stay.display, 60, 16)
    assert raster is not None
    assert whole is not None
    assert (raster.bits != 0).sum() < (whole.bits != 0).sum()
    text = text_of(line_strips(view_of(picture, line=gone.id), 120, 24, LineKept()))
    assert "no line drawn: parted 03:20" in text
    assert "A metre out or in: — parted 03:20" in text


def test_both_states_stand_beside_each_other_while_a_brake_is_in_question() -> None:
    picture = picture_of("in_question")
    asked = next(row for row in picture.lines if row.asked is not None)
    text = text_of(line_strips(view_of(picture, line=asked.id), 120, 24, LineKept()))
    assert "or, slipped" in text
    assert "drum mark" in text
    assert any(" or " in row for row in text.splitlines() if row.lstrip().startswith("now "))


def test_what_was_worked_out_is_kept_for_a_minute_of_the_same_line() -> None:
    picture = picture_of("coal")
    kept = LineKept()
    first = kept.tried(picture, "4")
    assert kept.tried(replace(picture, time=picture.time + 0.5), "4") is first
    assert kept.tried(replace(picture, time=picture.time + 61.0), "4") is not first
    assert kept.tried(picture, "5") is not first


def test_other_lengths_and_a_brake_in_question_are_worked_out_at_once() -> None:
    picture = picture_of("coal")
    present = picture.present
    assert present is not None
    line = picture.lines[0].id
    longer = present.unstretched + 0.3
    for other in (replace(present, unstretched=longer), replace(present, asked=(line,))):
        kept = LineKept()
        first = kept.tried(picture, line)
        assert kept.tried(replace(picture, present=other), line) is not first
    asked = LineKept().tried(replace(picture, present=replace(present, asked=(line,))), line)
    assert "look at its winch first" in asked.why


def test_a_line_by_its_worst_stage_is_bold() -> None:
    """Colour is not alone: the mark of each figure's stage stands before it."""
    picture = picture_of("flood")
    worst = max(picture.lines, key=lambda row: row.stage or Stage.NORMAL)
    text = text_of(line_strips(view_of(picture, line=worst.id), 120, 24, LineKept()))
    assert "▲" in text or "●" in text


def test_a_metre_that_would_part_the_line_says_so() -> None:
    picture = picture_of("normal")
    display, palette = picture.stay.display, PALETTES["plain"]
    tried = MetreTried(Tried(1.0, 90.0), Tried(-1.0, 480.0))
    out, taken_in = (
        "".join(text for text, _ in row) for row in metre_rows(display, tried, 265.0, 479.0, palette, 120)
    )
    assert "WOULD PART: MBL " in taken_in
    assert "▲" in taken_in
    assert "WOULD PART" not in out


def test_the_share_of_the_alert_stands_beside_a_figure_that_is_less() -> None:
    """While a gauge is doubtful the alert goes by the worst that may be: two figures, and why."""
    picture = picture_of("warning")
    (alert,) = (each for each in picture.alerts if each.key == ("stretch", "B1"))
    alerts = (replace(alert, value=0.92),)
    view = view_of(replace(picture, alerts=alerts), line="B1")
    assert "92 % by the worst that may be" in text_of(line_strips(view, 120, 24, LineKept()))
    same = view_of(picture, line="B1")
    assert "may be" not in text_of(line_strips(same, 120, 24, LineKept()))
