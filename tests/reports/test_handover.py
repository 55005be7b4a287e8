"""The page that a watch is handed over with: from a Picture, from a record, from a log."""

import math
import re
import sqlite3
from contextlib import closing
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Acknowledge, Note, TakeOver, TendLine
from alongside.alerts.model import Alert, Event, EventWord, Standing
from alongside.cli.main import main
from alongside.cycle.picture import Picture
from alongside.cycle.watchkeeping import (
    HAND_OVER,
    LastHandOver,
    LastSelfTest,
    Watchkeeping,
    WithdrawnOrder,
)
from alongside.cycle.who_holds import HeldBy
from alongside.forecast.basis import Basis
from alongside.forecast.model import LimitAhead
from alongside.mechanics.holding_roles import RoleShares
from alongside.readings import Quality, Reason
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.reports.handover import folded, handover_text, watch_began
from alongside.reports.handover_alerts import as_on_record
from alongside.runtime.log_player import Player
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import CargoOperation, StandingOrder, TidePlan
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.times import clock
from tests.berth import START, a_stay, gauges
from tests.record.kept import FLOOD_TEXT, tide_at
from tests.reports.stay.records import recorded
from tests.screens.invented import forecast, invented_stay

H = 3600.0


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Picture:
    """An hour into a flood of 2.9 m an hour; nobody has done anything."""
    folder = tmp_path_factory.mktemp("stay")
    path = folder / "stay.log"
    path.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0008) for s in range(3000)))
    basis = Basis.of(a_stay(folder))
    player = Player(basis, path)
    keeper = PictureMaker(basis, player.intake.channels)
    for block in player.play_to(START + 2999):
        keeper.add(block)
    seen = keeper.picture(player.memory, ())
    assert seen is not None
    return seen


def part(rows: list[str], title: str) -> list[str]:
    """The rows of one part."""
    at = rows.index(title)
    end = next(row for row in range(at + 1, len(rows)) if rows[row] == "")
    return [row.strip() for row in rows[at + 1 : end]]


def test_every_line_stands_with_its_figures(picture: Picture) -> None:
    rows = part(handover_text(picture, START), "LINES")
    assert [row.split()[0] for row in rows[1:]] == ["1", "2", "3"]
    assert "breast" in rows[2]
    assert picture.lines[1].stage.word in rows[2]
    assert f"{picture.lines[1].unstretched_m:.2f} m" in rows[2]


def test_a_line_that_is_not_fast_and_one_of_which_nothing_is_known(picture: Picture) -> None:
    nothing = {"stage": None, "tension_kn": float("nan")}
    loose = replace(picture.lines[0], unstretched_m=float("nan"), why="not made fast", **nothing)
    blind = replace(picture.lines[1], why="tide not known", **nothing)
    rows = part(handover_text(replace(picture, lines=(loose, blind)), START), "LINES")
    assert rows[1].endswith("not made fast")
    assert "tide not known" in rows[2]
    assert "normal" not in "".join(rows[1:])
    assert "0 %" not in rows[2]


def test_every_alert_stands_with_its_state_and_why(picture: Picture) -> None:
    rows = part(handover_text(picture, START), "ALERTS STANDING")
    assert len(rows) == 2 * len(picture.alerts)
    for alert in picture.alerts:
        assert alert.text in rows
    assert any("not acknowledged" in row for row in rows)
    calm = handover_text(replace(picture, alerts=()), START)
    assert part(calm, "ALERTS STANDING") == ["none"]


@pytest.mark.parametrize(("taken", "fast"), [("note", "note"), ("watch_taken", "made_fast")])
def test_what_was_done_by_whom_since_the_watch_was_taken_over(
    picture: Picture, taken: EventWord, fast: EventWord
) -> None:
    """By the names of the events of today, and as older programs put it on record."""
    log = (
        Event(START + 100, "tended", line="1", text="Line 1 paid out 0.10 m, OLD"),
        Event(START + 200, taken, subject=HAND_OVER, text="Watch taken over by RV"),
        Event(START + 300, "raised", "stretch", "2", Stage.CAUTION, "2", text="Line 2 at 70 %"),
        Event(
            START + 400, "acknowledged", "feed", "gauges", Stage.WARNING, text="Acknowledged by RV: gauges"
        ),
        Event(START + 500, "tended", line="2", text="Line 2 paid out 0.40 m, RV"),
        Event(START + 600, "note", text="pilot ordered for six (RV)"),
        Event(
            START + 700, "note", subject="brake", line="1", text="Brake of line 1 rendered: 0.10 m ran out"
        ),
        Event(START + 800, fast, line="3", text="Line 3 made fast with 60 kN, 31.20 m of main rope"),
    )
    since = watch_began(log, picture.time)
    assert since == START + 200
    rows = handover_text(replace(picture, log=log), since)
    done = part(rows, "DONE THIS WATCH")
    assert done == [
        "alerts by worst stage: 1 caution",
        "04:06  Acknowledged by RV: gauges",
        "04:08  Line 2 paid out 0.40 m, RV",
        "04:11  Brake of line 1 rendered: 0.10 m ran out",
        "04:13  Line 3 made fast with 60 kN, 31.20 m of main rope",
    ]
    assert part(rows, "NOTES") == ["04:03  Watch taken over by RV", "04:10  pilot ordered for six (RV)"]
    assert any(row.startswith("Handed over by RV ") for row in rows)


WENT = (
    Event(START + 100, "raised", "stretch", "2", Stage.CAUTION, "2", text="Line 2 at 71 %"),
    Event(START + 160, "worsened", "stretch", "2", Stage.WARNING, "2", text="Line 2 at 86 %"),
    Event(
        START + 280, "escalated", "stretch", "2", Stage.ALARM, "2", text="Line 2 at 88 %, nobody has answered"
    ),
    Event(START + 400, "worsened", "stretch", "2", Stage.ALARM, "2", text="Line 2 at 101 %"),
    Event(START + 500, "raised", "slack", "3", Stage.CAUTION, "3", text="Line 3 at 3 %"),
    Event(START + 520, "eased", "stretch", "2", Stage.CAUTION, "2", text="Line 2 at 80 %"),
    Event(START + 560, "cleared", "slack", "3", Stage.CAUTION, "3", text="Line 3 at 6 %"),
    Event(START + 700, "raised", "slack", "3", Stage.CAUTION, "3", text="Line 3 at 3 %"),
)


def eased(picture: Picture) -> Picture:
    """Line 2 went to alarm and is back to a caution that nobody acknowledged."""
    alert = Alert(
        cause="stretch",
        subject="2",
        line="2",
        stage=Stage.CAUTION,
        standing=Standing.UNACKNOWLEDGED,
        raised_at=START + 100,
        changed_at=START + 520,
        value=0.8,
        limit=0.7,
        unit="",
        text="Line 2 at 80 %",
        owed=Stage.ALARM,
    )
    return replace(picture, alerts=(alert,), log=WENT)


def test_every_alert_counts_once_by_the_worst_it_came_to_and_the_bad_ones_are_named(picture: Picture) -> None:
    done = part(handover_text(replace(picture, log=WENT), START), "DONE THIS WATCH")
    assert done == [
        "alerts by worst stage: 1 alarm, 2 cautions",
        "04:02  ● WARNING Line 2 at 86 %",
        "04:04  ▲ ALARM Line 2 at 88 %, nobody has answered",
        "04:06  ▲ ALARM Line 2 at 101 %",
    ]


def test_a_standing_alert_tells_its_worst_of_the_watch_and_whether_that_was_acknowledged(
    picture: Picture,
) -> None:
    after = eased(picture)
    (alert,) = after.alerts

    def row(*more: Event, since: float = START, owed: Stage = Stage.NORMAL) -> str:
        log = tuple(sorted((*WENT, *more), key=lambda event: event.time))
        seen = replace(after, alerts=(replace(alert, owed=owed),), log=log)
        return part(handover_text(seen, since), "ALERTS STANDING")[0]

    assert row(owed=Stage.ALARM) == "■ caution  not acknowledged, was alarm at 04:06, since 04:01"
    answer = Event(START + 460, "acknowledged", "stretch", "2", Stage.ALARM, "2")
    assert row(answer) == "■ caution  standing, was alarm at 04:06, acknowledged at 04:07, since 04:01"
    assert "was alarm at 04:06" in row(answer, since=START + 450), "an alarm at the beginning of the watch"
    assert row(answer, since=START + 600) == "■ caution  standing, since 04:01", (
        "an alarm of the watch before"
    )
    too_soon = replace(answer, time=START + 300)
    assert "was alarm at 04:06, not acknowledged" in row(too_soon), "it grew worse after that"


def test_limits_to_come_leave_out_what_is_reached_now(picture: Picture) -> None:
    now = picture.time
    stretch = partial(LimitAhead, "stretch", "2", "2", no_later=None)
    limits = (
        stretch(Stage.CAUTION, not_before=now + 60, expected=now + 120),
        stretch(Stage.WARNING, not_before=now + 600, expected=now + 660),
        LimitAhead("slack", "3", "3", Stage.CAUTION, now + 700, now + 900, now + 1200),
    )
    ahead = replace(forecast(invented_stay()), limits=limits)
    rows = part(handover_text(replace(eased(picture), forecast=ahead), START), "NEXT 6 HOURS")
    of_lines = [row for row in rows if "Line 2" in row or "Line 3" in row]
    assert of_lines == [
        "05:00  ● Line 2 stretch: warning (from 04:59, perhaps never)",
        "05:04  ■ Line 3 slack: caution (05:01 to 05:09)",
    ]


def test_each_line_has_its_likely_load_and_the_rope_that_is_out(picture: Picture) -> None:
    head, *rows = part(handover_text(picture, START), "LINES")
    assert head.split()[-3:] == ["likely", "lead", "rope"]
    known = [row for row in rows if "%" in row]
    assert known
    assert all(re.search(r" \d+(\.\d)? to \d+(\.\d)? ", row) for row in known)
    assert all(row.endswith(" m") for row in known)
    assert max(map(len, rows)) <= 74, "it fits the page at 80 columns"


def test_a_watch_that_nobody_took_over_began_four_hours_ago() -> None:
    assert watch_began((), START) == START - 4 * H
    later = [Event(START + 10, "note", subject=HAND_OVER, text="Watch taken over")]
    assert watch_began(later, START) == START - 4 * H, "what comes later does not count"


def test_a_watch_does_not_begin_before_its_record() -> None:
    started = Event(START - H, "started")
    assert watch_began([started], START) == START - H
    raised = Event(START - 2 * H, "raised", "steep", "2", Stage.CAUTION, "2")
    assert watch_began([raised, started], START) == START - 4 * H, "a console that was started again"
    assert watch_began([Event(START - 6 * H, "started")], START) == START - 4 * H


def test_on_paper_no_row_is_wider_than_the_page(picture: Picture) -> None:
    rows = handover_text(replace(eased(picture), holding_text="Wind " + "41 kn and more " * 12), START)
    assert max(len(row) for row in rows) > 100
    printed = list(folded(rows))
    assert max(len(row) for row in printed) <= 80
    assert " ".join(" ".join(printed).split()) == " ".join(" ".join(rows).split()), "not a word is lost"


def test_the_next_six_hours_by_the_table_where_there_is_no_forecast(picture: Picture) -> None:
    now = picture.time
    tide = TidePlan(high_low=((now - 2 * H, 1.0), (now + 1.5 * H, 4.0), (now + 8 * H, 0.5)))
    cargo = (
        CargoOperation("hold 1", now - H, -2000.0, 500.0, 40.0),
        CargoOperation("hold 2", now + 2 * H, 500.0, 500.0, 40.0),
        CargoOperation("hold 3", now + 9 * H, 500.0, 500.0, 40.0),
    )
    stay = replace(picture.stay, tide=tide, cargo=cargo)
    rows = part(handover_text(replace(picture, stay=stay, forecast=None), now - 4 * H), "NEXT 6 HOURS")
    assert rows == [
        "04:49  hold 1: discharging 2000 t at 500 t/h continues, 3 h 00 min left by plan",
        "06:19  high water 4.00 m by the table",
        "06:49  hold 2: loading 500 t at 500 t/h begins by plan",
        "07:49  hold 1: done by plan",
        "07:49  hold 2: done by plan",
        "Ahead: not calculated",
    ]


def test_standing_orders_stand_with_who_and_when_and_that_they_are_text_only(picture: Picture) -> None:
    assert part(handover_text(picture, START), "STANDING ORDERS") == ["none"]
    orders = (StandingOrder("Call me at 30 kn", "Master", START - 3600.0), StandingOrder("two\x1b[2J hands"))
    keeping = Watchkeeping(
        given=(StandingOrder("watch line 2", "CM", START),),
        withdrawn=(WithdrawnOrder("no tending", START + 60.0, "CM"),),
    )
    with_orders = replace(picture, stay=replace(picture.stay, standing_orders=orders), watchkeeping=keeping)
    rows = part(handover_text(with_orders, START), "STANDING ORDERS")
    assert rows[0] == "1  Call me at 30 kn (Master, 03:00)"
    assert rows[1].startswith("2  two")
    assert "\x1b" not in rows[1]
    assert rows[2] == "3  watch line 2 (CM, 04:00)"
    assert rows[3] == "-  withdrawn 04:01 by CM: no tending"
    assert any("is not watched" in row for row in rows)


def test_the_head_says_whose_initials_are_outstanding_and_what_the_self_test_gave(picture: Picture) -> None:
    def head(keeping: Watchkeeping) -> list[str]:
        rows = handover_text(replace(picture, watchkeeping=keeping), START)
        return [row.strip() for row in rows[2 : rows.index("STANDING ORDERS") - 1]]

    assert head(Watchkeeping()) == ["no self-test in this watch"]
    taken = LastHandOver("RV", START, "AB")
    test = LastSelfTest("bell heard, colours seen, 6 gauges good, record 3 ms", START + 300.0, "RV")
    assert head(Watchkeeping(hand_over=taken, self_test=test)) == [
        "taken over by RV 04:00; initials of AB outstanding",
        "self-test 04:05 by RV: bell heard, colours seen, 6 gauges good, record 3 ms",
    ]
    signed = replace(taken, handed_by="AB", handed_at=START + 180.0)
    older = replace(test, at=START - 60.0)
    assert head(Watchkeeping(hand_over=signed, self_test=older)) == [
        "taken over by RV 04:00, handed over by AB 04:03",
        "self-test 03:59 by RV: bell heard, colours seen, 6 gauges good, record 3 ms, the watch before",
        "no self-test in this watch",
    ]


def test_gauges_that_are_not_good_are_named(picture: Picture) -> None:
    channels = tuple(
        replace(row, quality=Quality.SUSPECT, reason=Reason.FROZEN)
        if row.channel.startswith("draught")
        else row
        for row in picture.channels
    )
    rows = part(handover_text(replace(picture, channels=channels), START), "NOW")
    assert "draught forward and draught aft: doubtful (does not move since 04:00)" in rows


def test_nothing_from_outside_can_steer_the_terminal(picture: Picture) -> None:
    log = (Event(picture.time, "note", text="look\x1b[2J out"),)
    text = "\n".join(handover_text(replace(picture, log=log), START))
    assert "\x1b" not in text


def test_from_a_record_with_who_took_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stay, log = a_stay(tmp_path, FLOOD_TEXT), tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, tide_at(second)) for second in range(750)))
    actions = {
        START + 350: TendLine("1", paid_out=0.1, by="OLD"),
        START + 400: TakeOver(by="RV"),
        START + 460: Acknowledge("stretch", "2", "RV"),
        START + 500: TendLine("2", paid_out=0.3, by="RV"),
        START + 600: Note("rain", by="RV"),
    }
    folder = recorded(stay, log, tmp_path / "record", actions)
    assert main(["handover", str(folder)]) == 0
    rows = capsys.readouterr().out.splitlines()
    done = " ".join(part(rows, "DONE THIS WATCH"))
    assert re.search(r"Line 2 \w+( \w+)? 0\.30 m, RV", done)
    assert "Acknowledged by RV" in done
    assert "OLD" not in done
    assert any("rain (RV)" in row for row in part(rows, "NOTES"))
    with RecordReader(folder) as record:
        last = record.state_at(START + 750)
    assert last is not None
    lines = part(rows, "LINES")
    for row, line in zip(lines[1:], stay.lines, strict=True):
        assert f"{last.numbers(f'unstretched_m.{line.id}')[-1]:.2f} m" in row
        assert Stage(int(last.codes(f"stage.{line.id}", -1)[-1])).word in row
    assert main(["handover", str(folder), "--at", "2026-03-02T04:07:00Z"]) == 0
    before = capsys.readouterr().out
    (signed,) = (row for row in before.splitlines() if row.startswith("Handed over by"))
    assert "RV" in signed, "taken over at 04:06:40"
    assert "rain" not in before


def test_a_watch_that_was_taken_over_after_the_last_figures_on_record(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Events are on record at once, states every so often: what a console that was killed leaves."""
    stay, log = a_stay(tmp_path), tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, 3.0) for second in range(120)))
    actions = {
        START + 60: TakeOver(by="OLD"),
        START + 116: TakeOver(by="RV"),
        START + 118: Note("wet", by="RV"),
    }
    folder = recorded(stay, log, tmp_path / "record", actions)
    with closing(sqlite3.connect(journal_of(folder))) as journal, journal:
        journal.execute("DELETE FROM states WHERE time > ?", (START + 112.0,))
        journal.execute("DELETE FROM events WHERE event = 'stopped'")
    assert main(["handover", str(folder)]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert rows[2].strip().startswith("taken over by RV")
    notes = " ".join(part(rows, "NOTES"))
    assert "taken over by RV" in notes
    assert "wet (RV)" in notes
    assert "OLD" not in notes
    assert any(row.startswith("Handed over by RV") for row in rows)


def test_from_a_log_at_a_time(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a_stay(tmp_path)
    log = tmp_path / "stay.log"
    log.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0008) for s in np.arange(2000)))
    stay = str(tmp_path / "stay.yaml")
    assert main(["handover", stay, str(log), "--at", "2026-03-02T04:30:00Z"]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert rows[1].startswith("2026-03-02 04:30 +0000, watch since")
    assert main(["handover", stay, str(log), "--at", "2026-03-02T05:30:00Z"]) == 2
    assert "nothing at 2026-03-02T05:30:00Z" in capsys.readouterr().err


def test_a_stay_without_a_record_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    a_stay(tmp_path)
    assert main(["handover", str(tmp_path / "stay.yaml")]) == 2
    assert "no record of this stay" in capsys.readouterr().err
    assert main(["handover", str(tmp_path / "nowhere")]) == 2


def test_a_page_of_the_past_names_every_alert_that_stood(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Memories of the past lie minutes apart; alerts come between them."""
    stay, log = a_stay(tmp_path, FLOOD_TEXT), tmp_path / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, tide_at(second)) for second in range(750)))
    folder = recorded(stay, log, tmp_path / "record", {START + 30: TakeOver(by="RV")})
    with RecordReader(folder) as record:
        raised = [event for _, event in record.events() if event.event in ("raised", "worsened")]
    assert raised
    for event in raised[:6]:
        assert main(["handover", str(folder), "--at", iso_time(event.time + 10.0)]) == 0
        standing = " ".join(part(capsys.readouterr().out.splitlines(), "ALERTS STANDING"))
        assert " ".join(event.text.split()[:3]) in standing, event
        assert event.stage is not None
        assert event.stage.word in standing


def test_who_sends_is_not_in_a_state_so_the_alert_keeps_its_words(picture: Picture) -> None:
    words = "Feed any: second sender for wind: 10.0.0.6; first 10.0.0.5 is used"
    raised = Event(START, "raised", "feed", "any", Stage.CAUTION, text=words)
    still = replace(
        picture.alerts[0], cause="feed", subject="any", stage=Stage.CAUTION, text="Feed any: signal is back"
    )
    assert [each.text for each in as_on_record([still, picture.alerts[0]], [raised])] == [
        words,
        picture.alerts[0].text,
    ]


def test_what_stands_for_a_gauge_is_named_as_it_is(picture: Picture) -> None:
    whys = {"tide": "set aside by hand", "draught_fwd": ""}
    rows = tuple(
        replace(row, quality=Quality.EXPECTED, reason=Reason.EXPECTED, why=whys[row.channel])
        if row.channel in whys
        else row
        for row in picture.channels
    )
    text = "\n".join(handover_text(replace(picture, channels=rows), START))
    assert "tide: set aside by hand; expected from table" in text
    assert "draught forward: no signal; expected from plan and last reading" in text


def test_who_holds_her_is_handed_over_with_the_tide_that_changes_it(picture: Picture) -> None:
    now = RoleShares("off_berth", 180.0, 20.0, (0.1, 0.8, 0.0, 0.1))
    high = RoleShares("off_berth", 180.0, 16.0, (0.35, 0.3, 0.0, 0.35))
    who = (
        HeldBy("now", START, 1.0, 5.0, 5.5, (now,)),
        HeldBy("high_water", START + 3 * H, 4.0, 5.0, 5.5, (high,)),
        HeldBy("low_water", math.nan, math.nan, math.nan, math.nan, (), "none expected in the hours ahead"),
    )
    known = replace(picture, holding_text="Lines hold 31 kn.", who_holds=who)
    page = handover_text(known, START)
    assert page.index("ALERTS STANDING") < page.index("WHO HOLDS HER"), "what presses goes before it"
    assert "WHO HOLDS HER" not in handover_text(replace(known, who_holds=()), START)
    rows = " ".join(part(page, "WHO HOLDS HER"))
    assert "wind square off the berth, now: head 10 %, breast 80 %, stern 10 % (38 kn)" in rows
    at = clock(START + 3 * H, picture.stay.display)
    assert f"wind square off the berth, HW {at}: head 35 %, breast 30 %, stern 35 % (31 kn)" in rows
    assert "at LW not known: none expected in the hours ahead" in rows
