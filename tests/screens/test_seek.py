"""Going to a time of a replay: what is typed, where it leads, and what is refused."""

import re
from dataclasses import replace

import pytest

from alongside.actions.controls import Seek
from alongside.cycle.picture import Picture
from alongside.screens.refusal import Refused
from alongside.screens.seek_words import seek
from alongside.stay.model import Display
from alongside.units import iso_time, unix_time
from tests.screens import invented
from tests.screens.shown import console

NIGHT = ((unix_time("2026-10-24T19:00:00Z"), unix_time("2026-10-25T08:00:00Z")),)


def standing_at(
    now: str, spans: tuple[tuple[float, float], ...] = NIGHT, zone: str = "Europe/Amsterdam"
) -> Picture:
    picture = invented.normal()
    stay = replace(picture.stay, display=Display(zone=zone))
    return replace(picture, stay=stay, replay=True, time=unix_time(now), log_spans=spans)


@pytest.mark.parametrize(
    ("typed", "now", "there", "said"),
    [
        ("02:30", "2026-10-24T20:00:00Z", "2026-10-25T00:30:00Z", "02:30:00 +0200, the first of two"),
        ("02:30", "2026-10-25T07:00:00Z", "2026-10-25T01:30:00Z", "02:30:00 +0100, the second of two"),
        ("02:30 +0100", "2026-10-24T20:00:00Z", "2026-10-25T01:30:00Z", "02:30:00 +0100, the second of two"),
        ("2026-10-25 02:30", "2026-10-25T07:00:00Z", "2026-10-25T01:30:00Z", "the second of two"),
        ("2026-10-25 02:30 +0200", "2026-10-25T07:00:00Z", "2026-10-25T00:30:00Z", "the first of two"),
        ("21:30", "2026-10-25T07:00:00Z", "2026-10-24T19:30:00Z", "Sat 24 Oct 21:30:00"),
        ("+1:30", "2026-10-25T00:00:00Z", "2026-10-25T01:30:00Z", "Sun 25 Oct 02:30:00 +0100"),
        ("+9:00", "2026-10-25T00:00:00Z", "2026-10-25T08:00:00Z", "the end of the log, Sun 25 Oct 09:00:00"),
        ("-9:00", "2026-10-25T00:00:00Z", "2026-10-24T19:00:00Z", "the start of the log, Sat 24 Oct 21:00"),
    ],
)
def test_where_it_goes_and_what_is_said(typed: str, now: str, there: str, said: str) -> None:
    control, words = seek(typed, standing_at(now))
    assert control == Seek(unix_time(there)), iso_time(control.time)
    assert said in words


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("12:00", "no 12:00 in the log (24 Oct 21:00 +0200 to 25 Oct 09:00)"),
        ("20:59:59", "no 20:59:59 in the log"),
        ("2026-10-26 02:30", "no 2026-10-26 02:30 in the log"),
        ("2026-03-29 02:30", "the clocks are put on then"),
        ("9999-12-31 23:59", "expected a time such as"),
        ("now", "expected a time such as"),
    ],
)
def test_what_the_log_does_not_hold_is_refused(typed: str, why: str) -> None:
    with pytest.raises(Refused, match=re.escape(why)):
        seek(typed, standing_at("2026-10-25T00:00:00Z"))


def test_gaps_of_the_log_are_not_gone_to() -> None:
    spans = ((NIGHT[0][0], NIGHT[0][0] + 3600.0), (NIGHT[0][1] - 3600.0, NIGHT[0][1]))
    with pytest.raises(Refused, match="with gaps"):
        seek("02:30", standing_at("2026-10-24T20:00:00Z", spans))


def test_while_the_log_is_being_read_only_steps_are_taken() -> None:
    picture = standing_at("2026-10-25T00:00:00Z", ())
    with pytest.raises(Refused, match="try again"):
        seek("02:30", picture)
    assert seek("+0:30", picture)[0] == Seek(unix_time("2026-10-25T00:30:00Z"))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_the_form_says_where_it_goes_or_why_not(size: tuple[int, int]) -> None:
    async with console(standing_at("2026-10-24T20:00:00Z"), size=size) as shown:
        await shown.press("g")
        await shown.type("02:30")
        await shown.press("enter")
        assert "the first of two" in shown.text
        assert shown.desk.controls[-1] == Seek(unix_time("2026-10-25T00:30:00Z"))
        await shown.press("g")
        await shown.type("12:00")
        await shown.press("enter")
        assert "no 12:00 in the log (24 Oct 21:00 +0200 to 25 Oct 09:00)" in shown.text
        assert len(shown.desk.controls) == 1
