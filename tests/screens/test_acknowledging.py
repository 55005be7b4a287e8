"""Acknowledging means the alert that stood chosen and could be read when the key was pressed."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from textual.events import Key

from alongside.actions import Acknowledge, Note
from alongside.alerts.model import Alert, Event, Standing
from alongside.cycle.picture import Picture
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import Shown, console
from tests.screens.test_keys import kept_by_rv

SIZES = ((80, 24), (120, 30), (160, 50))


def watch(alerts: Sequence[Alert] = ()) -> Picture:
    picture = kept_by_rv(replace(invented.flood(), groups=()))
    return replace(picture, alerts=tuple(alerts) or picture.alerts)


def alarms() -> tuple[Alert, ...]:
    return tuple(alert for alert in watch().alerts if alert.stage == Stage.ALARM)


async def typed(shown: Shown, keys: str) -> None:
    """Put keys into the queue of the app at once."""
    for key in keys:
        shown.app.post_message(Key(key, key))
    await shown.pilot.pause()
    await shown.pilot.pause()


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_what_came_into_sight_less_than_a_second_ago_is_not_acknowledged(size: tuple[int, int]) -> None:
    async with console(watch(), size=size) as shown:
        await shown.pass_time(0.9)
        await shown.press("a")
        assert shown.desk.actions == []
        assert "List has changed: look, then press a again" in shown.text
        await shown.pass_time(0.2)
        await shown.press("a")
        assert [type(action) for action in shown.desk.actions] == [Acknowledge]


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_an_alert_that_took_the_place_of_another_is_not_acknowledged(size: tuple[int, int]) -> None:
    """The chosen one cleared while the hand went to the key; the next had been in sight for long."""
    first, second, *_rest = alarms()
    async with console(watch((first, second)), size=size) as shown:
        await shown.pass_time(10.0)
        await shown.deliver(watch((second,)))
        await shown.press("a")
        assert shown.desk.actions == []
        assert "List has changed" in shown.text
        await shown.pass_time(1.1)
        await shown.press("a")
        assert shown.desk.actions == [Acknowledge(second.cause, second.subject, "RV")]


@pytest.mark.slow
async def test_a_key_that_waited_does_not_mean_what_came_while_it_did() -> None:
    first, second, *_rest = alarms()
    async with console(watch((first,))) as shown:
        await shown.pass_time(10.0)
        key = Key("a", "a")
        await shown.deliver(watch((second, first)))
        await shown.pass_time(10.0)
        key.time -= 10.0  # pressed before
        shown.app.post_message(key)
        await shown.pilot.pause()
        assert shown.desk.actions == []
        assert "List has changed" in shown.text


async def test_one_that_grew_worse_is_another() -> None:
    first = alarms()[0]
    async with console(watch((replace(first, stage=Stage.WARNING),))) as shown:
        await shown.pass_time(10.0)
        await shown.deliver(watch((first,)))
        await shown.press("a")
        assert shown.desk.actions == []


async def test_one_chosen_by_hand_needs_no_second_more_once_it_was_in_sight() -> None:
    async with console(watch(), size=(120, 30)) as shown:
        await shown.pass_time(10.0)
        await shown.press("n")
        await shown.press("n")
        await shown.pass_time(0.1)
        await shown.press("a")
        second = watch().alerts[1]
        assert shown.desk.actions == [Acknowledge(second.cause, second.subject, "RV")]


@pytest.mark.slow
async def test_next_and_acknowledge_in_one_burst_do_not_mean_what_nobody_saw() -> None:
    async with console(watch(), size=(120, 30)) as shown:
        await shown.pass_time(10.0)
        await typed(shown, "nna")
        assert shown.desk.actions == []


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", ["h", "question_mark", "H"])
async def test_an_alert_out_of_sight_is_brought_into_sight_first(key: str, size: tuple[int, int]) -> None:
    """In a flood no alert has a row at the foot; on a small screen these pages have no alerts at all."""
    picture = kept_by_rv(invented.flood())
    first = picture.alerts[0]
    async with console(picture, size=size) as shown:
        await shown.press(key)
        await shown.pass_time(10.0)
        await shown.press("a")
        assert shown.desk.actions == []
        assert "Not in sight until now: look, then press a again" in shown.text
        assert shown.app.view.part == "alerts"
        await shown.pass_time(0.5)
        await shown.press("a")
        assert shown.desk.actions == []
        await shown.pass_time(1.0)
        await shown.press("a")
        assert shown.desk.actions == [Acknowledge(first.cause, first.subject, "RV")]


@pytest.mark.slow
async def test_initials_are_asked_for_once_where_nobody_took_over() -> None:
    first, second, *_rest = alarms()
    picture = replace(watch((first, second)), log=())
    async with console(picture) as shown:
        await shown.pass_time(10.0)
        await shown.press("a")
        assert "Acknowledged by, initials" in shown.text
        assert first.text[:40] in shown.text
        await shown.press("enter")
        assert "Not done: no initials" in shown.text
        await shown.press("e", "k", "enter")
        assert shown.desk.actions == [Acknowledge(first.cause, first.subject, "ek")]
        await shown.deliver(replace(picture, alerts=(second,)))
        await shown.pass_time(10.0)
        await shown.press("a")
        assert shown.desk.actions[1:] == [Acknowledge(second.cause, second.subject, "ek")]


@pytest.mark.slow
async def test_an_alert_that_changes_while_initials_are_typed_is_not_acknowledged() -> None:
    first, second, *_rest = alarms()
    async with console(replace(watch((replace(first, stage=Stage.WARNING), second)), log=())) as shown:
        await shown.press("n")
        await shown.pass_time(10.0)
        await shown.press("a")
        await shown.deliver(replace(watch((first, second)), log=()))
        await shown.press("e", "k", "enter")
        assert shown.desk.actions == []
        assert "Not done: the alert has changed meanwhile" in shown.text


@pytest.mark.slow
async def test_the_command_means_what_was_in_sight_before_it_was_typed() -> None:
    first, second, *_rest = alarms()
    async with console(watch((first, second))) as shown:
        await shown.pass_time(10.0)
        await shown.press("colon", *"acknowledge", "enter")
        assert shown.desk.actions == [Acknowledge(first.cause, first.subject, "RV")]
        await shown.pass_time(10.0)
        await shown.press("colon", *"acknowl")
        await shown.deliver(watch((second,)))
        await shown.press("enter")
        assert len(shown.desk.actions) == 1


@pytest.mark.slow
async def test_kept_is_said_once_the_disk_has_it() -> None:
    async with console(invented.normal()) as shown:
        shown.desk.keeps = False
        await shown.press("w", "x", "enter")
        assert shown.desk.actions == [Note("x")]
        assert "NOT KEPT: note entered (disk full)" in shown.text
        assert "Kept" not in shown.text
        await shown.pass_time(60.0)
        assert "NOT KEPT: note entered (disk full)" in shown.text, "it stays until it is on record"
        await shown.press("w", "y", "enter")
        assert "NOT KEPT: note entered and 1 more (disk full)" in shown.text
        shown.desk.keeps = True
        await shown.deliver(invented.normal())
        assert "Kept, 2 acts: note entered" in shown.text
        assert "NOT KEPT" not in shown.text


@pytest.mark.slow
async def test_what_became_of_an_act_goes_before_a_record_that_fails() -> None:
    failing = replace(invented.normal(), unrecorded="NOT ENOUGH room for all that is to come: 3 MB are free")
    async with console(failing) as shown:
        await shown.press("w", "x", "enter")
        assert "Kept: note entered" in shown.text
        assert "NOT ON RECORD" in shown.text


async def test_a_desk_that_does_not_answer_is_said() -> None:
    async with console() as shown:
        await shown.press("w", "x", "enter")
        assert "Being recorded: note entered" in shown.text
        await shown.pass_time(4.0)
        assert "NOT DONE for 4 s: note entered" in shown.text


async def test_the_page_of_alerts_says_who_acknowledged_the_chosen_one() -> None:
    picture = invented.one_warning()
    chosen = replace(picture.alerts[0], standing=Standing.ACKNOWLEDGED)
    words = f"Acknowledged by EK: {chosen.text}"
    answer = Event(picture.time - 60.0, "acknowledged", *chosen.key, chosen.stage, text=words)
    log = (*picture.log, answer)
    async with console(replace(picture, alerts=(chosen,), log=log), size=(80, 24)) as shown:
        await shown.press("5")
        assert "cknowledged by EK " in shown.text
