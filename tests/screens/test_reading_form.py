"""The form for readings by hand: keystrokes, what is shown before, what is refused."""

from dataclasses import replace

import pytest

from alongside.actions import Correct, ReadByHand
from alongside.cycle.picture import Picture
from alongside.cycle.plausibility.by_hand import HandReading
from tests.screens import invented
from tests.screens.shown import Shown, console

MOST_KEYS = 15


def watched(*by_hand: HandReading) -> Picture:
    return replace(invented.one_warning(), by_hand=by_hand)


def last(shown: Shown) -> ReadByHand:
    done = shown.desk.actions[-1]
    assert isinstance(done, ReadByHand)
    return done


@pytest.mark.slow
async def test_both_draughts_in_fifteen_keystrokes() -> None:
    picture = watched(HandReading("draught_fwd", 0.0, 9.5, 0.01, "boat", "rv"))
    async with console(picture) as shown:
        await shown.press("w", *"wet", "tab", *"tk", "enter")  # who keeps this watch
        keys = ["r", *"9.70", "tab", *"10.30", "enter", "enter"]
        assert len(keys) <= MOST_KEYS
        await shown.press(*keys)
        expected = (("draught_fwd", 9.70), ("draught_aft", 10.30))
        assert last(shown) == ReadByHand(expected, picture.time, "boat", 0.0, "tk")


@pytest.mark.slow
async def test_it_is_shown_before_it_is_entered() -> None:
    async with console(watched()) as shown:
        await shown.press("r", *"9.70", "tab", *"10.30", "tab", "tab", "tab", "tab", *"tk", "enter")
        assert "Will record: read by hand" in shown.text
        assert "draught F 9.70 m, draught A 10.30 m" in shown.text
        assert "above" in shown.text or "below" in shown.text
        assert not shown.desk.actions
        await shown.press("escape")
        assert not shown.desk.actions, "Esc leaves"


async def enter(
    shown: Shown, fwd: str = "", aft: str = "", other: str = "", at: str = "now", how: str = "quay"
) -> None:
    await shown.press("r")
    for name, text in {"fwd": fwd, "aft": aft, "other": other, "at": at, "how": how, "by": "tk"}.items():
        shown.app.query_one(f"#reading_form_{name}").value = text  # type: ignore[attr-defined]
    await shown.pilot.pause()
    await shown.press("enter")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fields", "values", "way", "waves"),
    [
        ({"fwd": "9,7 m"}, {"draught_fwd": 9.7}, "quay", 0.0),
        ({"other": "tide 3.40"}, {"tide": 3.4}, "quay", 0.0),
        (
            {"other": "heel 0.5 port, mid 9.9 10.1"},
            {"heel": -0.5, "draught_mid_port": 9.9, "draught_mid_stbd": 10.1},
            "quay",
            0.0,
        ),
        ({"aft": "10.3", "how": "w 0.4"}, {"draught_aft": 10.3}, "waves", 0.4),
        ({"other": "ukc 1.2", "how": "b"}, {"under_keel": 1.2}, "boat", 0.0),
        # Published pairs of crest and trough; the means by hand.
        (
            {"fwd": "9.28/9.15 9.32/9.10 9.26/9.20 9.26/9.14 9.30/9.14 9.36/9.11"},
            {"draught_fwd": 9.21833},
            "quay",
            0.15667,
        ),
    ],
)
async def test_what_is_understood(
    fields: dict[str, str], values: dict[str, float], way: str, waves: float
) -> None:
    async with console(watched()) as shown:
        await enter(shown, **fields)
        await shown.press("enter")
        done = last(shown)
        assert dict(done.values) == pytest.approx(values, abs=1e-4)
        assert (done.way, done.by) == (way, "tk")
        assert done.waves_m == pytest.approx(waves, abs=1e-4)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, "nothing is read"),
        ({"fwd": "deep"}, "expected metres such as 9.70"),
        ({"fwd": "97"}, "is not possible, expected 0 to 30 m"),
        ({"fwd": "nan"}, "expected metres"),
        ({"fwd": "9.2/"}, "expected metres"),
        ({"fwd": "14/9"}, "waves of 5.00 m"),
        ({"fwd": "9.7", "at": "yesterday"}, "expected now or a time"),
        ({"fwd": "9.7", "at": "25:00"}, "expected now or a time"),
        ({"fwd": "9.7", "at": "2001-01-01T00:00Z"}, "not within the last 12 h"),
        ({"fwd": "9.7", "how": "ladder"}, "expected quay, boat, or waves"),
        ({"fwd": "9.7", "how": "waves"}, "expected their height"),
        ({"fwd": "9.7", "how": "boat 3"}, "expected quay, boat, or waves"),
        ({"other": "depth 3"}, "expected such as: tide 3.40"),
        ({"other": "heel 80"}, "is not possible"),
        ({"fwd": "9.7", "other": "fwd 9.8"}, "twice"),
        ({"fwd": "undo"}, "was not read by hand"),
        ({"other": "undo moon"}, "expected one of"),
    ],
)
async def test_what_is_refused(fields: dict[str, str], expected: str) -> None:
    async with console(watched()) as shown:
        await enter(shown, **fields)
        assert "Not done: " in shown.text
        assert expected in " ".join(shown.text.split())
        assert not shown.desk.actions


@pytest.mark.slow
async def test_undo_takes_the_last_reading_of_a_channel_back() -> None:
    picture = watched(HandReading("draught_fwd", invented.one_warning().time, 97.0, 0.025))
    async with console(picture) as shown:
        await enter(shown, fwd="undo")
        assert "reading taken back: draught forward 97.00 m" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [Correct("draught_fwd", "tk")]


async def test_without_initials_nothing_is_entered() -> None:
    async with console(watched()) as shown:
        await shown.press("r", *"9.70", "enter")
        assert "no initials" in shown.text


@pytest.mark.slow
async def test_before_the_first_figures_there_is_no_time_of_now() -> None:
    """Nothing is kept that was read at no time: it would serve nobody."""
    picture = watched()
    async with console(replace(picture, time=float("nan"))) as shown:
        await enter(shown, fwd="9.70")
        assert "Not done: the time of now is not known yet" in shown.text
        await shown.deliver(picture)
        await shown.press("enter", "enter")
        assert last(shown).at == picture.time


@pytest.mark.slow
async def test_a_reading_of_now_is_of_when_it_was_first_entered() -> None:
    picture = watched()
    async with console(picture) as shown:
        await enter(shown, fwd="9.70")
        await shown.deliver(replace(picture, time=picture.time + 90.0))
        await shown.press("enter")
        assert last(shown).at == picture.time
