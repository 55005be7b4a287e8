"""What measured loads show, beside a watch: found in a thread, taken away once it is accepted."""

from pathlib import Path

import pytest

from alongside.actions import AcceptLearnt, ReadLoad
from alongside.cycle.picture import Picture
from tests.berth import a_stay
from tests.record.kept import Watch
from tests.screens.shown import console


def with_an_offer(watch: Watch) -> Picture:
    """Return the newest Picture once what a load shows is known."""
    watch.desk._pictures.learning.wait(30.0)
    return watch.run(1).last


def test_a_line_found_slack_has_more_out_and_that_is_offered_until_it_is_accepted(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5, {4: ReadLoad("2", 0.0, None, "RV")})
    picture = with_an_offer(watch)
    (found,) = picture.learnt
    assert found.line == "2"
    assert found.finding == "length"
    assert found.learnt is not None
    assert found.longer_m > 0.1
    assert picture.lines[1].unstretched_m == watch.pictures[0].lines[1].unstretched_m
    learnt = found.learnt
    action = AcceptLearnt(
        "2", learnt.stiffness, learnt.stiffness_band, found.longer_m, learnt.at_kn, learnt.load_band
    )
    at = int(watch.second) + 1
    accepted = watch.run(1, {at: action}).last
    assert accepted.learnt == ()
    assert accepted.lines[1].tension_kn < 2.0
    again = with_an_offer(watch)
    assert all(each.learnt is None for each in again.learnt)


def test_of_a_load_read_before_any_gauge_was_heard_nothing_is_learnt_and_that_is_said(tmp_path: Path) -> None:
    """It was taken to agree with a computed load that there was not: a slack line went unnoticed."""
    watch = Watch(a_stay(tmp_path), None).run(1, {1: ReadLoad("2", 0.0, None, "RV")}, heard=False)
    picture = with_an_offer(watch.run(3))
    (found,) = picture.learnt
    assert (found.finding, found.learnt) == ("nothing", None)
    assert found.why == "no reading that counts: tide or draught not known"
    said = "Line 2 found slack; tide or draught not known: nothing can be learnt from it (RV)"
    assert any(event.text == said for event in picture.log)


@pytest.mark.slow
async def test_the_page_line_offers_it_and_the_form_accepts_it_once_it_is_seen(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5, {4: ReadLoad("2", 0.0, None, "RV")})
    picture = with_an_offer(watch)
    for size in ((80, 24), (120, 30), (160, 50)):
        async with console(picture, size=size) as shown:
            await shown.turn("line")
            while "Line 2, breast" not in shown.text:
                await shown.press("down")
            assert "accept?" in shown.text
            await shown.press("x")
            await shown.type("accept")
            await shown.press("tab", "r", "v", "enter")
            assert "Will record: line 2 accepted" in shown.text
            assert "Then line 2" in shown.text
            assert shown.desk.actions == []
            await shown.press("enter")
            (action,) = shown.desk.actions
            assert isinstance(action, AcceptLearnt)
            assert (action.line, action.by) == ("2", "rv")


async def test_where_nothing_is_offered_there_is_nothing_to_accept(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5)
    async with console(watch.last, size=(120, 30)) as shown:
        await shown.press("x")
        await shown.type("accept")
        await shown.press("tab", "r", "v", "enter")
        assert "nothing to accept: no load of it was measured" in shown.text
        assert shown.desk.actions == []
