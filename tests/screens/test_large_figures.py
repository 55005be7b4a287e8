"""The large figures of page Now: whole at every size whatever they are, each with its doubt; figures of bars
that never read as a stage which is not reached."""

from dataclasses import replace

import pytest

from alongside.alerts.bars import bar_percent
from alongside.cycle.picture import Picture
from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Quality, Reason
from alongside.stay.stage import Stage
from alongside.wording.figures import percent_short_of
from tests.screens import invented
from tests.screens.shown import Shown, console

DOUBTFUL = (Quality.SUSPECT, Reason.FROZEN, 600.0)


def large_rows(shown: Shown) -> list[str]:
    """The rows of the large figures, and that of the others below them."""
    at = next(at for at, row in enumerate(shown.rows) if "WIND" in row)
    return shown.rows[at : at + 4]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("width", "tide", "holds_ms"),
    [
        (80, 3.42, CAP_MS),
        (80, 9.82, CAP_MS),
        (80, 10.4, 20.0),
        (80, -0.31, 20.0),
        (100, 10.4, CAP_MS),
        (120, -0.31, 0.0),
    ],
)
async def test_no_word_beside_them_is_cut_and_the_tide_is_never_lost(
    width: int, tide: float, holds_ms: float
) -> None:
    picture = replace(
        invented.normal(),
        tide=tide,
        holds_ms=holds_ms,
        channels=invented.channels(wind_speed=DOUBTFUL, tide=DOUBTFUL),
        stages={("holding", ""): Stage.ALARM},
    )
    async with console(picture, size=(width, 30)) as shown:
        rows = large_rows(shown)
        assert not any("…" in row for row in rows[:3]), shown.text
        assert "▲ WIND kn ?" in rows[0]
        assert "▲ LINES HOLD ?" in rows[0]
        assert "TIDE m ?" in rows[0] or f"Tide {tide:.2f}?" in rows[3], shown.text


async def test_where_the_search_ends_it_is_that_wind_or_more() -> None:
    async with console(replace(invented.normal(), holds_ms=CAP_MS), size=(80, 24)) as shown:
        assert "kn or more" in large_rows(shown)[1]


@pytest.mark.slow
async def test_a_limit_that_is_passed_without_wind_says_so() -> None:
    async with console(replace(invented.normal(), holds_ms=0.0), size=(80, 24)) as shown:
        assert "kn: over limit" in large_rows(shown)[1]
        assert "without wind" in large_rows(shown)[2]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("channel", "names"),
    [
        ("wind_speed", ("WIND kn ?",)),
        ("tide", ("TIDE m ?", "UKC m ?", "LINES HOLD ?")),
        ("draught_aft", ("UKC m ?", "LINES HOLD ?")),
    ],
)
async def test_what_rests_on_a_doubtful_gauge_has_its_mark_beside_the_large_figure(
    channel: str, names: tuple[str, ...]
) -> None:
    def picture(**bad: tuple[Quality, Reason, float]) -> Picture:
        normal = invented.normal()
        depth = replace(normal.stay.berth, charted_depth=9.0)
        return replace(
            normal,
            stay=replace(normal.stay, berth=depth),
            channels=invented.channels(**bad),
        )

    async with console(picture(**{channel: DOUBTFUL}), size=(160, 50)) as shown:
        assert [name for name in names if name in shown.text] == list(names), shown.text
    async with console(picture(), size=(160, 50)) as shown:
        assert not any(name in shown.text for name in names)


async def test_the_bar_of_a_line_that_rests_on_a_doubtful_gauge_has_its_mark() -> None:
    async with console(replace(invented.normal(), channels=invented.channels(tide=DOUBTFUL))) as shown:
        rows = [row for row in shown.rows if "▄" in row and " normal " in row]
        assert rows
        assert all(" %? " in row for row in rows), shown.text


@pytest.mark.slow
@pytest.mark.parametrize("limit", [70, 85, 100])
async def test_a_bar_never_reads_as_the_stage_it_has_not_come_to(limit: int) -> None:
    for bar in (limit - 0.4, limit - 1e-9, limit - 1.4):
        assert bar_percent(bar) == f"{limit - 1} %"
    assert bar_percent(limit) == f"{limit} %"
    assert bar_percent(limit + 1.6) == f"{limit + 2} %", "else as it rounds, as in texts"
    picture = invented.normal()
    row = replace(picture.lines[0], bars={"stretch": limit - 0.4})
    async with console(invented.with_rows(picture, row), size=(80, 24)) as shown:
        (words,) = [words for words in shown.rows if f" {row.id} " in words]
        assert f" {limit - 1} %" in words
        assert f" {limit} %" not in words


def test_a_share_that_is_not_known_is_a_dash() -> None:
    assert percent_short_of(float("nan"), [70.0]) == "—"


@pytest.mark.slow
async def test_how_much_of_what_lines_hold_blows_never_reads_as_an_alarm_that_is_not() -> None:
    picture = invented.normal()
    alarm = picture.stay.limits.holding_share.alarm
    assert alarm is not None
    nearly = replace(picture, holds_ms=picture.wind_ms / (alarm - 0.003))
    async with console(nearly, size=(80, 24)) as shown:
        assert f"used {alarm * 100.0 - 1.0:.0f} %" in shown.text
