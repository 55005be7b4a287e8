"""What measured loads show, beside a watch: found in a thread, taken away once it is accepted."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import AcceptLearnt, Action, Correct, ReadLoad
from alongside.cycle.picture import Picture
from alongside.record.reader import RecordReader
from alongside.screens.accept_learnt import all_accepted
from alongside.screens.form_rows import form_rows
from alongside.screens.outcomes import will_words
from tests.berth import STAY_TEXT, a_stay, sentence
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
    (again,) = with_an_offer(watch).learnt
    assert (again.finding, again.why) == ("as_computed", ""), "the length that was accepted was there before"


def test_a_load_that_is_taken_back_shows_nothing_and_another_in_its_place_does(
    tmp_path: Path,
) -> None:
    """As many loads as before were taken for the same ones: what the first showed stayed in sight."""
    watch = Watch(a_stay(tmp_path), None).run(5, {4: ReadLoad("2", 0.0, None, "RV")})
    slack = with_an_offer(watch).learnt[0].longer_m
    at = int(watch.second) + 1
    taken_back = {at: Correct(line="2", by="RV"), at + 1: ReadLoad("2", 45.0, 2.0, "RV")}
    assert watch.run(1, dict(taken_back)).last.learnt == ()
    watch.run(1, dict(taken_back))
    (found,) = with_an_offer(watch).learnt
    assert found.measured_kn == 45.0
    assert found.longer_m < 0.0 < slack


def test_an_answer_from_before_a_replay_went_elsewhere_is_not_shown_there(tmp_path: Path) -> None:
    """It was asked from loads that are yet to come."""
    watch = Watch(a_stay(tmp_path), None).run(4, {4: ReadLoad("2", 0.0, None, "RV")})
    learning = watch.desk._pictures.learning
    learning.reset()
    learning.wait(30.0)
    assert watch.run(1).last.learnt == ()
    (found,) = with_an_offer(watch).learnt
    assert found.line == "2", "asked anew"


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


LINES = {second: ReadLoad(line, 0.0, None, "RV") for second, line in ((4, "1"), (5, "2"), (6, "3"))}


def with_all_offers(watch: Watch) -> Picture:
    """Return the newest Picture once what all loads show is known: the first is asked about alone."""
    with_an_offer(watch)
    return with_an_offer(watch)


@pytest.mark.slow
async def test_all_that_is_offered_is_accepted_and_taken_back_as_one_each_line_on_record(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "record"
    watch = Watch(a_stay(tmp_path), folder).run(7, dict(LINES))
    before = [row.unstretched_m for row in watch.last.lines]
    picture = with_all_offers(watch)
    offered = [each.line for each in picture.learnt if each.learnt is not None]
    assert len(offered) > 1
    async with console(picture, size=(80, 24)) as shown:
        await shown.press("x")
        await shown.type("accept all")
        await shown.press("tab", "r", "v", "enter")
        for line in offered:
            assert f"line {line} " in shown.text.partition("Will record")[2]
            assert f"line {line} " in shown.text.partition("Then ")[2]
        await shown.press("enter")
        deeds = list(shown.desk.actions)
    assert [type(each) for each in deeds] == [AcceptLearnt] * len(offered)
    for deed in deeds:
        watch.desk.act(deed)
    accepted = watch.run(1).last
    assert [row.last_deed.by for row in accepted.lines if row.last_deed and row.id in offered] == [
        "rv"
    ] * len(offered)
    assert sum("accepted: " in event.text and "(rv)" in event.text for event in accepted.log) == len(offered)
    async with console(accepted, size=(80, 24)) as shown:
        await shown.press("x")
        await shown.type("take back all")
        await shown.press("tab", "t", "k", "enter")
        assert "Will record: what was accepted is taken back of line" in shown.text
        await shown.press("enter")
        for deed in shown.desk.actions:
            watch.desk.act(deed)
    back = watch.run(1).last
    assert [row.unstretched_m for row in back.lines] == before
    assert all(line.learnt is None for line in back.stay.lines)
    watch.end()
    with RecordReader(folder) as record:
        kept = [each.action for each in record.actions()]
    assert [each for each in kept if isinstance(each, AcceptLearnt)] == deeds
    assert [each.by for each in kept if isinstance(each, Correct)] == ["tk"] * len(offered)


@pytest.mark.slow
async def test_a_load_that_nothing_explains_is_said_to_be_so_where_the_offer_would_stand(
    tmp_path: Path,
) -> None:
    """Nothing was seen of it but in the form, after `accept`; and a cell was named that she has not."""
    watch = Watch(a_stay(tmp_path), None).run(5, {4: ReadLoad("2", 190.0, 2.0, "RV")})
    picture = with_an_offer(watch)
    for size, said in (((80, 24), "nothing learnt"), ((160, 50), "no such rope is so stiff or soft")):
        async with console(picture, size=size) as shown:
            await shown.turn("line")
            while "Line 2, breast" not in shown.text:
                await shown.press("down")
            assert said in shown.text
            assert "cell" not in shown.text


def test_of_twelve_lines_accepted_as_one_all_are_named_on_the_smallest_screen(
    tmp_path: Path,
) -> None:
    picture = with_an_offer(Watch(a_stay(tmp_path), None).run(5, {4: ReadLoad("2", 0.0, None, "RV")}))
    many = tuple(replace(picture.learnt[0], line=str(line)) for line in range(1, 13))
    deeds, words = all_accepted(many, "rv")
    said, _then = form_rows(will_words(deeds, words, exercise=False), "Then", width=78, most=7)
    for line in range(1, 13):
        assert f"line {line} " in " ".join(said)
    assert "…" not in " ".join(said)


@pytest.mark.slow
async def test_one_of_several_is_accepted_only_with_the_others_in_sight(tmp_path: Path) -> None:
    picture = with_all_offers(Watch(a_stay(tmp_path), None).run(7, dict(LINES)))
    async with console(picture, size=(120, 30)) as shown:
        await shown.press("x", "shift+tab", "end", *["backspace"] * 3, "2", "tab")
        await shown.type("accept")
        await shown.press("tab", "r", "v", "enter")
        assert "found together, the lines share one ship: accept all, or none" in shown.text


@pytest.mark.slow
async def test_where_nothing_is_offered_there_is_nothing_to_accept(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), None).run(5)
    async with console(watch.last, size=(120, 30)) as shown:
        await shown.press("x")
        await shown.type("accept")
        await shown.press("tab", "r", "v", "enter")
        assert "nothing to accept: no load of it was measured" in shown.text
        for typed, said in (
            ("accept all", "of no line anything is offered"),
            ("take back all", "of no line an"),
        ):
            await shown.press("shift+tab", "end", *["backspace"] * 20)
            await shown.type(typed)
            await shown.press("enter")
            assert said in shown.text
        assert shown.desk.actions == []


WITH_CELL = STAY_TEXT.replace("DRA}\n", "DRA}\n      tension.2: {sentence: XDR, name: T2, scale: 0.001}\n")


class CellWatch(Watch):
    """A watch with a load cell on line 2, which says 2 kN where 20 are computed."""

    def run_with_cell(self, seconds: int, actions: dict[int, Action] | None = None) -> "CellWatch":
        for _ in range(seconds):
            self.second += 1.0
            line = f"{SAID},N,2000,N,T2"
            self.desk.hear(self.wall() - 0.25, "gauges", sentence(line))
            if actions and int(self.second) in actions:
                self.desk.act(actions[int(self.second)])
            self.desk.cycle()
        return self


SAID = "IIXDR,D,2.000,M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA"


@pytest.mark.slow
async def test_an_alert_of_computed_against_cell_says_what_answers_it_once_offered(
    tmp_path: Path,
) -> None:
    watch = CellWatch(a_stay(tmp_path, WITH_CELL), None)
    watch.run_with_cell(400)
    assert [alert.cause for alert in watch.last.alerts] == ["tension"], watch.last.alerts
    answer = "accept what it shows: page Line, x"
    assert "tend to it" in watch.last.advice.text
    assert answer not in watch.last.advice.text
    watch.run_with_cell(1, {401: ReadLoad("2", 2.0, 1.0, "RV")})
    watch.desk._pictures.learning.wait(30.0)
    picture = watch.run_with_cell(1).last
    assert [each.line for each in picture.learnt if each.learnt is not None] == ["2"]
    assert answer in picture.advice.text
    async with console(picture, size=(120, 30)) as shown:
        assert "computed" in shown.text
        assert "apart); x, accept" in shown.text
        await shown.turn("line")
        while "Line 2, breast" not in shown.text:
            await shown.press("down")
        assert "if it lasts, accept what it shows: x, accept" in shown.text


@pytest.mark.slow
def test_what_a_cell_measured_before_a_length_was_accepted_counts_with_that_length(tmp_path: Path) -> None:
    """It was taken for another stretch, off by as much as was accepted: the readings of a good cell were said
    to lie too far about any explanation."""
    accepted = AcceptLearnt("2", 1.0, 0.25, 0.3, 2.0, 0.05, "9 readings of its load cell", "RV")
    watch = CellWatch(a_stay(tmp_path, WITH_CELL), None).run_with_cell(1300, {700: accepted})
    seen = watch.desk._pictures.learning.measured.observed(watch.last.stay)
    assert len(seen) >= 3
    assert set(seen.epochs(1).tolist()) == {0}
