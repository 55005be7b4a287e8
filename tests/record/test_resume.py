"""A watch that was cut off goes on as if it had not been."""

from math import isnan
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, Silence, TendLine
from alongside.alerts.model import Standing
from alongside.cycle.gauge_words import faults
from alongside.record.words import gap_text
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from tests.berth import START, STAY_TEXT, a_stay, sentence
from tests.record.kept import BEGIN, FLOOD_TEXT, Watch, flood_stay, shown, words

ACTIONS = {
    450: Silence("TK"),
    500: Acknowledge("stretch", "2", by="TK"),
    520: TendLine("2", paid_out=0.4, by="TK"),
    560: TendLine("1", paid_out=-0.2, by="RB"),
}


@pytest.mark.slow
def test_resumed_equals_uninterrupted_state_by_state(tmp_path: Path) -> None:
    """Cut off and started again without a pause while delays, silences and beats run: every Picture after
    it is the same."""
    stay = flood_stay(tmp_path)
    whole = Watch(stay, None, BEGIN).run(400, ACTIONS)
    assert {"raised", "escalated", "acknowledged", "silenced", "cleared"} <= set(words(whole.last.log))
    folder = tmp_path / "record"
    pictures = []
    second = BEGIN
    for upto in (346, 445, 460, 515, 563, 650):
        part = Watch(stay, folder, second).run(upto - int(second), ACTIONS)
        pictures += part.pictures
        part.kill()
        second = part.second
    differing = [p.time for p, q in zip(pictures, whole.pictures, strict=True) if shown(p) != shown(q)]
    assert differing == []
    told = [event for event in part.last.log if event.event not in ("started", "gap", "note")]
    assert told == [event for event in whole.last.log if event.event not in ("started", "gap", "note")]


@pytest.mark.slow
def test_a_gap_names_what_was_slept_through_and_nothing_rings_twice(tmp_path: Path) -> None:
    """Forty seconds without a watch: acknowledged stays acknowledged, what sounds goes on with its beat."""
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    before = Watch(stay, folder, BEGIN).run(195)
    before.kill()
    after = Watch(stay, folder, 485.0).run(25)
    gap = next(event for event in after.last.log if event.event == "gap")
    assert gap.text == "no watch for 40 s, 04:07:25 to 04:08:05; it was cut off"
    assert gap.value == pytest.approx(40.5)
    new = [event for event in after.last.log if event.time > gap.time and event.alert == "stretch"]
    assert new == []
    (alert,) = [alert for alert in after.last.alerts if alert.cause == "stretch"]
    assert (alert.stage, alert.standing) == (Stage.ALARM, Standing.UNACKNOWLEDGED)
    assert alert.raised_at == START + 266.0
    rings = [p.time - START for p in after.pictures if p.sound is Stage.ALARM]
    worst = max(event.time for event in before.last.log if event.stage is Stage.ALARM)
    beat = (worst - START) % 10.0
    assert rings
    assert [ring % 10.0 for ring in rings] == [beat] * len(rings), "beats run from when it became an alarm"
    assert "feed_lost" not in words(after.last.log)
    after.end()


@pytest.mark.parametrize(
    ("seconds", "ended", "zone", "text"),
    [
        (136.7, False, "Z", "no watch for 2 min, 04:00:00 to 04:02:16; it was cut off"),
        (120.0, False, "+02:00", "no watch for 2 min, 06:00:00 to 06:02:00; it was cut off"),
        (3600.0, True, "-03:30", "no watch for 60 min, 00:30:00 to 01:30:00; it had been ended"),
        (60.0, True, "-04:01", "no watch for 60 s, 01 Mar 23:59:00 to 02 Mar 00:00:00; it had been ended"),
        (
            86400.0,
            False,
            "Asia/Tokyo",
            "no watch for 24 h 00 min, 02 Mar 13:00:00 to 03 Mar 13:00:00; it was cut off",
        ),
    ],
)
def test_a_gap_is_told_in_the_time_of_the_place(seconds: float, ended: bool, zone: str, text: str) -> None:
    assert gap_text(START, START + seconds, ended, Display(zone=zone)) == text


@pytest.mark.slow
def test_a_long_gap_is_no_news_of_the_gauges(tmp_path: Path) -> None:
    """After hours without a watch no gauge counts as lost because nobody listened; inputs are waited for."""
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    before = Watch(stay, folder, BEGIN).run(270, {500: Acknowledge("stretch", "2")})
    before.end()
    after = Watch(stay, folder, 4 * 3600.0)
    after.run(1, heard=False)
    assert isnan(after.last.tide), "nothing heard yet: nothing known"
    assert [alert.suspended for alert in after.last.alerts if alert.cause == "stretch"] == [True]
    after.run(5)
    assert not {"feed_lost", "feed_back"} & set(words(after.last.log))
    gap = next(event for event in after.last.log if event.event == "gap")
    assert gap.text == "no watch for 3 h 51 min, 04:08:40 to 08:00:00; it had been ended"
    assert after.last.lines[0].unstretched_m == before.last.lines[0].unstretched_m
    after.end()


@pytest.mark.slow
def test_charts_go_on(tmp_path: Path) -> None:
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    before = Watch(stay, folder).run(301)
    before.kill()
    after = Watch(stay, folder, before.second).run(20)
    was, now = before.last.history, after.last.history
    kept = len(was.time)
    assert now.time[:kept].tolist() == was.time.tolist()
    assert len(now.time) == kept + 2
    for name in was.series:
        assert now.series[name][:kept].tolist() == pytest.approx(was.series[name].tolist(), nan_ok=True)
    after.end()


def edited(folder: Path, *edits: tuple[str, str]) -> str:
    text = FLOOD_TEXT
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    return text


TENDED = (
    'id: "2", role: breast, fairlead: FM, bollard: B2, rope: polyester,',
    'id: "2", role: breast, fairlead: FM, bollard: B2, rope: polyester,\n'
    "     tended: [{at: 2026-03-02T04:05:00Z, paid_out: 0.40}],",
)
TENDED_TWICE = (
    TENDED[0],
    TENDED[1].replace("}]", "}, {at: 2026-03-02T04:10:00Z, paid_out: 0.25}]"),
)


@pytest.mark.slow
def test_a_tending_of_the_stay_file_is_done_once(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    first = Watch(a_stay(tmp_path, edited(tmp_path, TENDED)), folder, BEGIN).run(70)
    assert words(first.last.log).count("tended") == 1
    length = first.last.lines[1].unstretched_m
    first.kill()
    second = Watch(a_stay(tmp_path, edited(tmp_path, TENDED)), folder, 320).run(20)
    assert second.last.lines[1].unstretched_m == length
    second.kill()
    third = Watch(a_stay(tmp_path, edited(tmp_path, TENDED_TWICE)), folder, 340).run(280)
    assert third.last.lines[1].unstretched_m == pytest.approx(length + 0.25)
    assert words(third.last.log).count("tended") == 2
    third.end()


@pytest.mark.slow
def test_a_stay_file_edited_in_between_says_what(tmp_path: Path) -> None:
    """Line 3 goes, line 4 comes, a limit moves: lengths of lines that still are there stay as they were."""
    folder = tmp_path / "record"
    done = {450: TendLine("2", paid_out=0.1), 460: TendLine("1", paid_out=0.2)}
    before = Watch(flood_stay(tmp_path), folder, BEGIN).run(220, done)
    before.end()
    text = edited(tmp_path, ('id: "3"', 'id: "4"'), ("alarm: 45}", "alarm: 44}"))
    after = Watch(a_stay(tmp_path, text), folder, 480).run(5)
    notes = "\n".join(event.text for event in after.last.log if event.event == "note")
    assert "The stay file was edited since: limits; line 4 is new; line 3 is gone" in notes
    for at in (0, 1):
        assert after.last.lines[at].unstretched_m == before.last.lines[at].unstretched_m
    assert after.last.lines[2].id == "4"
    assert after.last.lines[2].tension_kn > 0.0, "made fast as the file says"
    after.end()


@pytest.mark.slow
def test_the_clock_set_back_while_there_was_no_watch(tmp_path: Path) -> None:
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    before = Watch(stay, folder, BEGIN).run(100)
    before.end()
    after = Watch(stay, folder, 100.0).run(30)
    times = [event.time for event in after.last.log]
    assert times == sorted(times)
    assert after.last.time > before.last.time
    assert "set back" in next(e for e in after.last.log if e.event == "gap").text
    assert not isnan(after.last.tide)
    after.end()


@pytest.mark.slow
@pytest.mark.parametrize("leap", [-3600.0, 7200.0])
def test_the_clock_set_while_the_watch_runs(tmp_path: Path, leap: float) -> None:
    """The gauges go on being heard, time goes on, the record stays in order."""
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    watch = Watch(stay, folder).run(60)
    watch.ahead = leap
    watch.run(90)
    assert [event.event for event in watch.last.log if event.event in ("gap", "feed_lost")] == ["gap"]
    assert not isnan(watch.last.tide)
    watch.kill()
    again = Watch(stay, folder, watch.second + leap).run(5)
    times = [p.time for p in watch.pictures + again.pictures]
    assert times == sorted(set(times))
    assert not isnan(again.last.tide)
    again.end()


def gone(since: str) -> str:
    return f"Feed gauges: tide no signal since {since}; not watched: all lines, UKC"


def fed(watch: Watch, seconds: int, tide: bool) -> list[tuple[Stage, str]]:
    """So many cycles with draughts, and the tide where it is there; what stands of the feed then."""
    for _ in range(seconds):
        watch.second += 1.0
        watch.desk.hear(watch.wall() - 0.25, "gauges", sentence("IIXDR,D,4.000,M,DRF,D,4.500,M,DRA"))
        if tide:
            watch.desk.hear(watch.wall() - 0.25, "gauges", sentence("IIXDR,D,2.000,M,TIDE"))
        watch.desk.cycle()
    return [(alert.stage, alert.text) for alert in watch.last.alerts if alert.cause == "feed"]


@pytest.mark.slow
def test_a_gauge_heard_before_a_long_break_and_not_since_is_lost(tmp_path: Path) -> None:
    """One that was never heard is a caution for ever: nothing that was known has been lost. But one that was
    heard before the computer went down has its time (`lost_s`, 300 s by default) and is lost then, also after
    one more restart, and until it is heard."""
    stay = a_stay(tmp_path, STAY_TEXT)
    watch = Watch(stay, tmp_path / "record")
    assert fed(watch, 30, tide=True) == []
    watch.kill()
    watch = Watch(stay, tmp_path / "record", 3600.0)
    waiting = "Feed gauges: tide not heard yet; not watched: all lines, UKC"
    assert fed(watch, 290, tide=False) == [(Stage.CAUTION, waiting)]
    assert fed(watch, 30, tide=False) == [(Stage.WARNING, gone("05:00"))]
    assert faults(watch.last.channels, ()) == ["tide: no signal 5 min"]
    assert watch.last.advice.text == "Check lines by eye: tide no signal since 05:00"
    lost = [event.text for event in watch.last.log if event.event == "feed_lost"]
    assert lost == ["Feed gauges: tide no signal since 05:00"]
    watch.kill()
    watch = Watch(stay, tmp_path / "record", 9000.0)
    assert fed(watch, 330, tide=False) == [(Stage.WARNING, gone("06:30"))]
    fed(watch, 100, tide=True)
    assert [event.event for event in watch.last.log][-1] in ("rectified", "cleared")
    assert "feed_back" in [event.event for event in watch.last.log]
    watch.end()


def test_a_gauge_never_heard_is_waited_for_without_end(tmp_path: Path) -> None:
    stay = a_stay(tmp_path, STAY_TEXT)
    watch = Watch(stay, tmp_path / "record")
    fed(watch, 20, tide=False)
    watch.kill()
    watch = Watch(stay, tmp_path / "record", 3600.0)
    watch.second += 600.0
    assert fed(watch, 20, tide=False)[0][0] is Stage.CAUTION
    watch.end()


@pytest.mark.slow
def test_a_gauge_that_dies_in_a_break_is_not_hidden_by_one_lost_before(tmp_path: Path) -> None:
    """The wind was lost and acknowledged; after the break the draughts are gone too, which the plan stands in
    for."""
    wind = "      wind_speed: {sentence: MWV}\n      wind_from: {sentence: MWV}\n"
    stay = a_stay(tmp_path, STAY_TEXT.replace("balance: off", wind + "balance: off"))
    watch = Watch(stay, tmp_path / "record")
    watch.desk.hear(watch.wall() - 0.25, "gauges", sentence("WIMWV,240.0,T,5.0,M,A"))
    fed(watch, 200, tide=True)
    watch.desk.act(Acknowledge("feed", "gauges", by="KM"))
    fed(watch, 2, tide=True)
    watch.kill()
    watch = Watch(stay, tmp_path / "record", 3600.0)

    def run(seconds: int) -> Standing:
        for _ in range(seconds):
            watch.second += 1.0
            watch.desk.hear(watch.wall() - 0.25, "gauges", sentence("IIXDR,D,2.000,M,TIDE"))
            watch.desk.cycle()
        return next(alert.standing for alert in watch.last.alerts if alert.cause == "feed")

    assert run(50) is Standing.ACKNOWLEDGED
    assert run(20) is Standing.UNACKNOWLEDGED, "still lost when its time is up: asked once more"
    watch.desk.act(Acknowledge("feed", "gauges", by="KM"))
    assert run(200) is Standing.ACKNOWLEDGED
    assert run(40) is Standing.UNACKNOWLEDGED
    watch.end()
