"""The hours ahead on the screen: time lines, rounds, bands, now moving."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cycle.picture import Advice, Picture
from alongside.forecast.model import ChoiceAhead, Forecast, Incurable, Spread, Tending
from alongside.screens.ahead_page import AheadPage
from alongside.screens.ahead_tracks import Track, cells_of, tracks_of
from alongside.screens.ahead_words import hour, limit_words, plan_words
from alongside.screens.letters import large
from alongside.screens.rounds_page import RoundsPage
from alongside.stay.model import TidePlan
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.invented import NOW
from tests.screens.shown import Shown, console
from tests.screens.test_line_part import text_of, view_of

STAY = invented.invented_stay()


def looking() -> Picture:
    return invented.one_warning(STAY)


def forecast() -> Forecast:
    return invented.forecast(STAY)


def row_of(shown: Shown, name: str) -> str:
    return next(row for row in shown.rows if row.startswith(f" {name} "))


def test_lines_that_come_to_something_stand_first_the_soonest_of_them() -> None:
    assert [track.name for track in tracks_of(forecast(), STAY)][:3] == ["B1", "B2", "H1"]


def test_a_cell_shows_the_worst_within_it() -> None:
    """Ours: one instant of a warning in a cell of twelve is a warning, and is not lost between cells."""
    stage = np.zeros(144, dtype=np.int8)
    stage[17] = 2
    cause = tuple("stretch" if code else "" for code in stage)
    times = NOW + 300.0 * np.arange(144)
    cells = cells_of(Track("4", stage, stage, cause), times, times[0], times[-1], 12)
    assert [cell.stage for cell in cells].count(Stage.WARNING) == 1
    assert cells[1].mark == "●"


@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
def test_after_a_deed_the_hours_of_before_it_stay_in_sight_with_their_age(size: tuple[int, int]) -> None:
    before = invented.forecast(STAY)
    now = replace(looking(), forecast=before, time=before.time + 40.0)
    deed = replace(now, forecast=None, older_forecast=before)
    page = AheadPage("hours")
    shown, then = (text_of(page.paint(view_of(each), *size)).splitlines() for each in (now, deed))
    assert page.basis(view_of(now)) != page.basis(view_of(deed))
    assert " B1 " in "".join(row[:6] for row in then)
    assert any("before the last" in row for row in then)
    assert "calculated 40 s ago" in then[0]
    assert not any("Slack" in row or "rounds" in row[:8] for row in then), "no round rests on other lines"
    assert not any("before the last" in row for row in shown)
    hidden = replace(deed, forecast_hidden=True)
    assert "hidden in this exercise" in text_of(page.paint(view_of(hidden), *size))


@pytest.mark.parametrize("columns", [30, 71, 144, 200])
def test_marks_and_letters_carry_the_stage_without_colour(columns: int) -> None:
    track = tracks_of(forecast(), STAY)[0]
    times = forecast().times
    cells = cells_of(track, times, float(times[0]), float(times[-1]), columns)
    text = "".join(cell.mark for cell in cells)
    assert len(text) == columns
    assert set(text) <= set("·■●s")
    assert "■s" in text
    assert "●s" in text
    assert text.index("■") < text.index("●") < text.rindex("●") < text.rindex("■")


def test_what_is_not_expected_but_may_be_has_a_hollow_mark() -> None:
    track = tracks_of(forecast(), STAY)[1]
    times = forecast().times
    text = "".join(cell.mark for cell in cells_of(track, times, float(times[0]), float(times[-1]), 72))
    assert set(text) == {"·", "□"}


def test_water_under_the_keel_has_a_time_line_where_it_comes_short() -> None:
    shallow = forecast().under_keel
    less = replace(shallow, expected=shallow.expected - 6.5, low=shallow.low - 6.5)
    track = tracks_of(replace(forecast(), under_keel=less), STAY)[0]
    assert track.name == "UKC"
    assert max(track.stage) > Stage.NORMAL
    assert set(track.cause) == {"", "under_keel"}


@pytest.mark.slow
async def test_rounds_stand_as_windows_and_on_their_lines() -> None:
    async with console(looking(), size=(120, 30)) as shown:
        await shown.turn("ahead")
        rounds = row_of(shown, "rounds")
        first, last = rounds.index("╞"), rounds.index("1")
        assert set(rounds[first + 1 : last]) == {"═"}
        assert row_of(shown, "B1")[last] == "1"
        assert row_of(shown, "B2")[last] == "1"
        assert row_of(shown, "B1")[rounds.index("2")] == "2"
        assert "1 Slack B1 and B2 by 0.40 m between 05:02" in shown.text


async def test_now_moves_on_while_the_forecast_stands() -> None:
    picture = looking()
    async with console(picture, size=(120, 30)) as shown:
        await shown.turn("ahead")
        before = next(row for row in shown.rows if "▼now" in row).index("▼")
        shown.clock.seconds += 3.0
        await shown.deliver(replace(picture, time=NOW + 3 * 3600.0))
        row = next(row for row in shown.rows if "▼now" in row)
        assert row.index("▼") > before + 10
        assert "calculated 3 h 02 ago" in shown.text
        assert "·" not in row_of(shown, "H1")[9 : row.index("▼")]


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_what_comes_next_stands_on_page_now_with_a_count_down(size: tuple[int, int]) -> None:
    async with console(looking(), size=size) as shown:
        row = next(row for row in shown.rows if row.startswith(" NEXT "))
        assert row.startswith(" NEXT by 05:42, in 90 min: slack B1 and B2 by 0.40 m  ·  07:20: HW 4.8 m")
        assert ("heave B1 by 0.30 m" in row) == (size[0] >= 120)


async def test_letters_are_explained() -> None:
    async with console(looking(), size=(120, 30)) as shown:
        await shown.turn("ahead")
        assert "s stretch  □○△ possible" in shown.text


@pytest.mark.parametrize("width", [80, 120])
def test_letters_of_the_ship_are_explained(width: int) -> None:
    """What holds her and the water under her keel have time lines with letters as lines have."""
    picture = looking()
    assert picture.forecast is not None
    short = Spread(*(np.full(picture.forecast.times.size, 0.97),) * 3)
    view = view_of(replace(picture, forecast=replace(picture.forecast, holding_share=short)))
    text = text_of(AheadPage("ahead").paint(view, width, 18))
    assert "wind   " in text
    assert "h holding" in text


def test_the_tide_has_a_scale_on_the_smallest_screen() -> None:
    rows = text_of(AheadPage("ahead").paint(view_of(looking()), 80, 18)).splitlines()
    axis = [row for row in rows if row[7:8] in ("┤", "│")]
    assert sum(row[7] == "┤" for row in axis) >= 2


async def test_lines_scroll_and_what_is_out_of_sight_is_counted() -> None:
    async with console(looking()) as shown:
        await shown.turn("ahead")
        assert "13 more, all stay normal" in shown.text
        await shown.press("end")
        assert "13 more, 11 stay normal" in shown.text
        assert row_of(shown, "A4")


def test_what_may_not_occur_says_so() -> None:
    caution, _warning, alarm = forecast().limits
    display = STAY.display
    assert limit_words(caution, display, NOW) == "■ Line B1 stretch: caution expected 05:12 (05:02 to 05:22)"
    assert limit_words(alarm, display, NOW) == "▲ Line B1 stretch: alarm possible from 07:12"
    assert limit_words(replace(alarm, expected=NOW + 12000.0), display, NOW).endswith(
        "(from 07:12, perhaps never)"
    )
    assert limit_words(replace(alarm, standing=True), display, NOW) == "▲ Line B1 stretch: alarm now"
    assert hour(NOW + 86400.0, display, NOW) == "04 Mar 04:12"


def test_plan_in_words() -> None:
    display = STAY.display
    cure = Incurable("B1", NOW, NOW + 3600.0, 0.25, "empty")
    nothing = replace(forecast(), tending=Tending(), limits=())
    assert plan_words(nothing, display, NOW) == [
        "No tending needed: stretch, load, brakes and slack stay below warning"
    ]
    hopeless = replace(forecast(), tending=Tending(cannot_cure=(cure,)))
    assert plan_words(hopeless, display, NOW) == [
        "No length keeps line B1 within limits, 04:12 to 05:12: 0.25 m short"
    ]
    doubtful = replace(forecast(), tending=replace(forecast().tending, verified=False))
    assert "does NOT keep" in plan_words(doubtful, display, NOW)[-1]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("picture", "why"),
    [
        (replace(looking(), forecast=None), "no tide to expect in the stay file"),
        (
            replace(
                looking(), forecast=None, stay=replace(STAY, tide=TidePlan(((NOW, 1.0), (NOW + 1, 2.0))))
            ),
            "not calculated yet",
        ),
        (replace(looking(), forecast=replace(forecast(), reason="tide not known")), "tide not known"),
    ],
)
async def test_nothing_known_is_said_in_words(picture: Picture, why: str) -> None:
    async with console(picture) as shown:
        await shown.turn("ahead")
        assert f"Nothing known of the hours ahead: {why}." in shown.text
        assert "▼now" not in shown.text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("tide not known", "Enough for them: read the tide board by hand (r)."),
        ("draught not known", "Enough for them: read the draughts by hand (r)."),
        ("calculation failed", ""),
    ],
)
async def test_what_reading_would_do_is_said(reason: str, words: str) -> None:
    picture = replace(looking(), forecast=replace(forecast(), reason=reason))
    async with console(picture) as shown:
        await shown.turn("ahead")
        assert (words or "Nothing known") in shown.text
        assert ("Enough for them" in shown.text) == bool(words)
    async with console(replace(picture, look_only=True)) as shown:
        await shown.turn("ahead")
        assert "Enough for them" not in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30)])
async def test_every_word_of_the_plan_can_be_scrolled_to(size: tuple[int, int]) -> None:
    """Many rounds on a small screen: what cannot be cured and how far the plan holds is within reach."""
    cures = tuple(Incurable(f"L{k}", NOW, NOW + 3600.0, 0.10 + k / 100.0, "empty") for k in range(12))
    choices = (ChoiceAhead(2, 0.08), ChoiceAhead(3, 0.14))
    told = forecast()
    told = replace(told, tending=replace(told.tending, cannot_cure=cures, choices=choices))
    async with console(replace(invented.normal(), forecast=told), size=size) as shown:
        await shown.turn("ahead")
        seen = shown.text
        for _ in range(60):
            await shown.press("down")
            seen += shown.text
        words = " ".join(seen.split())
        for expected in (
            *(f"line L{k} within limits," for k in range(12)),
            "Plan checked by calculation",
            "3 rounds leave 0.14 m",
        ):
            assert expected in words
        assert "the end, ↑ for the rest" in shown.text


async def test_an_exercise_without_its_forecast_says_so() -> None:
    async with console(replace(invented.normal(), forecast=None, forecast_hidden=True)) as shown:
        await shown.turn("ahead")
        assert "hidden in this exercise" in shown.text


async def test_what_is_not_on_record_stands_in_the_rule() -> None:
    async with console(replace(invented.normal(), unrecorded="journal (disk full)")) as shown:
        assert "NOT ON RECORD: journal (disk full)" in shown.text


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_what_a_due_round_asks_stands_large(size: tuple[int, int]) -> None:
    text = "Slack 4 by 1.25 m, slack 10 by 0.35 m now, good until 01:36, and 1 more"
    advice = Advice(text, Stage.CAUTION, text[:60], "Slack 4, 10")
    async with console(replace(invented.normal(), advice=advice), size=size) as shown:
        rows = large("Slack 4, 10", double=size[0] >= 140)
        assert all(any(row.rstrip() in shown_row for shown_row in shown.rows) for row in rows)
        assert "good until 01:36" in " ".join(shown.text.split())
        assert any("■ CAUTION" in row for row in shown.rows[:8]), "the stage stands below"


def test_the_sheet_says_of_when_it_is() -> None:
    """Its "now" is the instant at which it was made, minutes ago."""
    picture = looking()
    assert picture.forecast is not None
    first = text_of(RoundsPage("rounds").paint(view_of(picture), 80, 18)).splitlines()[0]
    assert first.startswith(f" Made {hour(picture.forecast.time, STAY.display, NOW)}, 2 min ago")
