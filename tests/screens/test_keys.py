"""Every key does what the help says."""

import re
from dataclasses import replace

import pytest

from alongside.actions import Acknowledge, Note, Silence, TendLine
from alongside.actions.controls import KeepWatch, Pause, Seek, Speed
from alongside.alerts.model import Event, Standing
from alongside.cycle.picture import Picture
from alongside.screens.commands import commands
from alongside.screens.help_page import ABOUT
from alongside.screens.key_bar import KeyBar
from alongside.screens.keys import KEYS
from alongside.screens.letters import large
from alongside.screens.palettes import PALETTES
from alongside.screens.parts import PAGES, PARTS, Page, page_of
from alongside.screens.view import View
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import console


def kept_by_rv(picture: Picture) -> Picture:
    """A watch that RV took over before the console was started anew."""
    taken = Event(picture.time - 3600.0, "note", subject="hand_over", text="Watch taken over by RV")
    return replace(picture, log=(*picture.log, taken))


def test_every_key_has_an_id_of_its_own_and_a_line_in_the_help() -> None:
    assert len({key.id for key in KEYS}) == len(KEYS)
    assert all(key.long for key in KEYS)
    keys = [each for key in KEYS for each in key.keys.split(",")]
    assert len(set(keys)) == len(keys)


DEEDS = {
    "acknowledge": "a ack",
    "silence": "s silence",
    "tend": "t tend",
    "on_deck": "x on deck",
    "reading": "r read",
    "note": "w note",
    "what_if": "i what if",
    "take_over": "k take over",
    "palette": "d dim",
    "manual": "m manual",
    "help": "? help",
    "quit": "q end",
}
"""What a watchkeeper does: the same on every page."""


@pytest.mark.parametrize("width", [80, 100, 120, 132, 160, 250])
def test_every_deed_is_named_on_every_part(width: int) -> None:
    picture = invented.one_warning()
    view = View(picture.stay, PALETTES["day"], picture, picture)
    for part in PARTS:
        here = replace(view, part=part)
        bar = KeyBar("keys")
        rows = bar.rows_wanted(here, width, 24)
        text = " \n ".join(row.text for row in bar.paint(here, width, rows))
        missing = [words for words in DEEDS.values() if f" {words} " not in f"{text} "]
        assert rows <= 2
        assert not missing, (part, text)


def test_a_replay_leaves_the_deeds_that_answer_an_alert() -> None:
    picture = replace(invented.one_warning(), replay=True)
    view = View(picture.stay, PALETTES["day"], picture, picture)
    text = " ".join(row.text for row in KeyBar("keys").paint(view, 80, 2))
    assert all(
        f" {words} " in f"{text} " for words in ("a ack", "s silence", "t tend", "x on deck", "? help")
    )
    assert " Space stop " in text


@pytest.mark.slow
async def test_the_pages_are_named_on_every_part_and_the_present_one_is_marked() -> None:
    async with console(invented.one_warning()) as shown:
        for part in PARTS:
            await shown.turn(part)
            assert re.findall(r"(.)(\d) (\w+) ", shown.rows[0][:40])[0][1:] == ("1", "Now")
            marked = re.findall(r"▸(\d) ", shown.rows[0])
            behind = shown.app.view.behind
            assert marked == [str(list(PAGES).index(page_of(part, behind)) + 1)]
            assert "04:12:18" in shown.rows[0]


async def test_acknowledge_takes_the_first_that_waits_and_only_that() -> None:
    async with console(kept_by_rv(replace(invented.flood(), groups=()))) as shown:
        await shown.pass_time(2.0)
        await shown.press("a")
        assert shown.desk.actions == [Acknowledge("stretch", "H1", "RV")]
        assert "Kept: acknowledged ▲ " in shown.text


@pytest.mark.slow
async def test_acknowledge_of_a_caution_says_that_none_is_needed() -> None:
    picture = invented.one_warning()
    picture = replace(picture, alerts=picture.alerts[2:])
    async with console(picture) as shown:
        await shown.press("a")
        assert shown.desk.actions == []
        assert "Needs no acknowledgement" in shown.text


@pytest.mark.slow
async def test_acknowledge_without_an_alert() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("a")
        assert shown.desk.actions == []
        assert "No alerts" in shown.text


async def test_silence() -> None:
    async with console(invented.flood()) as shown:
        await shown.press("s")
        assert shown.desk.actions == [Silence()]


@pytest.mark.slow
async def test_a_console_that_only_looks_says_so_and_that_nothing_was_done() -> None:
    async with console(replace(invented.flood(), look_only=True)) as shown:
        assert "LOOKS ONLY" in shown.text
        await shown.press("a")
        assert "Not done: this console only looks" in shown.text
        await shown.press("s")
        assert "Sound silenced" not in shown.text


@pytest.mark.slow
async def test_where_nobody_keeps_the_watch_one_key_takes_over() -> None:
    looks = replace(invented.flood(), look_only=True, can_keep=True)
    async with console(looks) as shown:
        await shown.press("k")
        assert not shown.desk.controls, "another keeps it"
        await shown.press("q")
        assert "the watch goes on at the other" in shown.text
        await shown.deliver(replace(looks, unkept=True))
        assert "NOBODY KEEPS THE WATCH: k takes it over here" in shown.text
        assert "goes on at the other" not in shown.text
        await shown.press("escape")
        assert "NOBODY KEEPS WATCH  press k to take over" in shown.text
        await shown.press("k")
        assert shown.desk.controls == [KeepWatch()]
        assert "Taking over the watch" in shown.text
        await shown.deliver(replace(looks, keeping="Not done: another console was first"))
        assert "Not done: another console was first" in shown.text
        assert "Taking over the watch" not in shown.text
        assert "LOOKS ONLY" in shown.text


async def test_a_console_that_only_ever_looks_does_not_offer_to_take_over() -> None:
    async with console(replace(invented.flood(), look_only=True, unkept=True)) as shown:
        assert "NOBODY KEEPS WATCH" in shown.text
        assert "press k" not in shown.text
        await shown.press("k")
        assert not shown.desk.controls
        await shown.press("q")
        assert "NOBODY KEEPS THE WATCH" in shown.text
        assert "takes it over" not in shown.text


async def test_next_alert_goes_round_and_takes_its_line_along() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("n")
        assert shown.app.view.alert == ("stretch", "B1")
        await shown.press("n", "n")
        assert shown.app.view.alert == ("steep", "B2")
        assert shown.app.view.line == "B2"
        await shown.press("n")
        assert shown.app.view.alert == ("stretch", "B1")


@pytest.mark.slow
async def test_tend_asks_before_it_records() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("t")
        await shown.type("out 0.40")
        await shown.press("tab")
        await shown.type("ek")
        await shown.press("enter")
        assert shown.desk.actions == []
        assert "Will record: line B1 slacked 0.40 m" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [TendLine("B1", paid_out=0.4, by="ek")]
        assert "Kept: line B1 slacked 0.40 m" in shown.text
        assert shown.app.form.name == ""


@pytest.mark.slow
async def test_tend_to_a_load_in_the_unit_of_the_display() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("t")
        await shown.type("to 6")
        await shown.press("enter", "enter")
        (action,) = shown.desk.actions
        assert isinstance(action, TendLine)
        assert action.to_tension_kn == pytest.approx(58.84, abs=0.005)  # ours: 6 x 9.80665 kN


async def test_tend_shows_the_load_to_come_before_it_is_confirmed() -> None:
    picture = invented.one_warning()
    rows = tuple(replace(row, unstretched_m=row.path_m - 11.0 - 0.5) for row in picture.lines)
    async with console(replace(picture, lines=rows)) as shown:
        await shown.press("t")
        await shown.type("to 6")
        await shown.press("enter")
        assert "Then 6.0 t, 18 % of WLL" in shown.text
        assert "ship kept in place" in shown.text
        await shown.type("5")
        assert "ship kept in place" not in shown.text


@pytest.mark.slow
async def test_tend_to_the_tension_of_the_cell() -> None:
    picture = invented.one_warning()
    rows = tuple(replace(row, measured_kn=150.0) if row.id == "B1" else row for row in picture.lines)
    async with console(replace(picture, lines=rows)) as shown:
        await shown.press("t")
        assert "to cell = 15.3 t" in shown.text
        await shown.type("to cell")
        await shown.press("enter", "enter")
        assert shown.desk.actions == [TendLine("B1", to_tension_kn=150.0)]
    async with console(picture) as shown:
        await shown.press("t")
        await shown.type("to cell")
        await shown.press("enter")
        assert "Not done: line B1 has no load cell" in shown.text


@pytest.mark.slow
async def test_tend_refuses_in_words() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("t")
        await shown.type("slack it")
        await shown.press("enter")
        assert "Not done: expected slack, heave or to, and a number" in shown.text
        await shown.press("escape")
        assert shown.app.form.name == ""
        assert shown.desk.actions == []


async def test_tend_refuses_what_cannot_be() -> None:
    picture = invented.one_warning()
    rows = tuple(replace(row, unstretched_m=row.path_m - 11.0 - 0.5) for row in picture.lines)
    async with console(replace(picture, lines=rows)) as shown:
        await shown.press("t")
        await shown.type("in 49")
        await shown.press("enter")
        assert "of its main rope are out" in shown.text
        await shown.press("escape", "t")
        await shown.type("in 12")
        await shown.press("enter")
        assert "and part: its MBL is" in shown.text
        assert shown.desk.actions == []


@pytest.mark.slow
async def test_tend_says_loudly_that_a_line_would_hang_slack() -> None:
    picture = invented.one_warning()
    rows = tuple(replace(row, unstretched_m=row.path_m - 11.0 - 0.5) for row in picture.lines)
    async with console(replace(picture, lines=rows)) as shown:
        await shown.press("t")
        await shown.type("out 5")
        await shown.press("enter")
        assert "LINE HANGS SLACK" in shown.text


@pytest.mark.slow
async def test_keys_typed_into_a_form_are_text_not_commands() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("w")
        await shown.press("q", "a", "space", "l", "enter")
        assert shown.desk.actions == [Note("qa l")]


@pytest.mark.slow
async def test_an_empty_note_is_refused() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("w", "enter")
        assert shown.desk.actions == []
        assert "Not done: the note is empty" in shown.text


async def test_initials_are_kept_for_the_next_form() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("w")
        await shown.type("gangway")
        await shown.press("tab")
        await shown.type("ek")
        await shown.press("enter")
        await shown.pass_time(2.0)
        await shown.press("a")
        assert shown.desk.actions == [Note("gangway", "ek"), Acknowledge("stretch", "B1", "ek")]


async def test_pause_freezes_figures_but_not_alerts() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("p")
        assert "PAUSED" in shown.text
        await shown.pass_time(3.0)
        await shown.deliver(replace(invented.one_warning(), tide=3.99))
        assert all(row in shown.text for row in large("3.42"))
        assert not all(row in shown.text for row in large("3.99"))
        assert "Line B1 stretch 88 %" in shown.text
        await shown.press("p")
        assert "PAUSED" not in shown.text
        assert all(row in shown.text for row in large("3.99"))


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES)
async def test_a_digit_opens_a_page_and_tab_leads_round_its_parts(page: Page) -> None:
    parts = PAGES[page][1]
    async with console(invented.one_warning()) as shown:
        await shown.turn(parts[0])
        seen = []
        for _ in parts:
            seen.append(shown.app.view.part)
            assert f"▸{PARTS[shown.app.view.part]} " in shown.text
            assert "Slack B1" in shown.text or "● WARNING" in shown.text
            await shown.press("tab")
        assert tuple(seen) == parts
        assert shown.app.view.part == parts[0]
        await shown.press("shift+tab")
        assert shown.app.view.part == parts[-1]
        await shown.press("escape")
        assert shown.app.view.part == "lines"


@pytest.mark.slow
async def test_help_lies_over_what_is_in_sight_and_tells_of_it() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.turn("gauges")
        await shown.press("question_mark")
        assert ABOUT["gauges"] in " ".join(shown.text.split())
        assert "▸5 Log" in shown.rows[0]
        await shown.press("escape")
        assert shown.app.view.part == "gauges"
        await shown.press("question_mark", "question_mark")
        assert shown.app.view.part == "gauges"


async def test_rows_are_chosen_with_the_arrows() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("down")
        assert shown.app.view.line == "B2"
        await shown.press("end")
        assert shown.app.view.line == "A4"
        assert any(row.startswith("▸ · normal  A4") for row in shown.rows)
        await shown.press("home")
        assert shown.app.view.line == "B1"
        await shown.press("pagedown", "pageup")
        assert shown.app.view.line == "B1"


@pytest.mark.slow
async def test_order_by_position_keeps_the_order_of_the_stay_file() -> None:
    async with console(invented.one_warning(), size=(80, 40)) as shown:
        await shown.press("o")
        shown_ids = [
            row[12:16].strip()
            for row in shown.rows
            if row[2:11].strip() in ("· normal", "■ CAUTION", "● WARNING") and row[17:21] in ("head", "brea")
        ]
        assert shown_ids[:6] == ["H1", "H2", "H3", "H4", "B1", "B2"]


@pytest.mark.slow
async def test_chart_shows_other_series_and_hours() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.turn("chart")
        assert "Line B1, stretch, %" in shown.text
        await shown.press("down")
        assert "Line B1, load of WLL, %" in shown.text
        await shown.press("up", "up")
        assert shown.app.view.series == "wind_speed"
        await shown.press("left", "left")
        assert "at " in shown.text
        assert shown.app.view.chart_at is not None
        await shown.press("l")
        assert shown.app.view.chart_lines == "role"
        await shown.press("plus")
        assert shown.app.view.hours == 12
        await shown.press("plus", "plus")
        assert shown.app.view.hours == 24
        await shown.press("minus", "minus", "minus", "minus", "minus")
        assert shown.app.view.hours == 1


async def test_history_and_help_scroll() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("question_mark", "down")
        assert shown.app.view.scroll == 1
        await shown.press("end")
        assert "stand above them" in shown.text
        await shown.press("home")
        assert shown.app.view.scroll == 0


@pytest.mark.slow
async def test_palette_goes_round() -> None:
    async with console(invented.normal()) as shown:
        names = []
        for _ in range(4):
            await shown.press("d")
            names.append(shown.app.view.palette.name)
            assert shown.app.theme == names[-1]
        assert names == ["dusk", "night", "plain", "day"]


async def test_replay_controls() -> None:
    picture = replace(invented.normal(), replay=True, speed=60.0)
    async with console(picture) as shown:
        await shown.press("space", "full_stop", "comma")
        assert shown.desk.controls == [Pause(True), Speed(120.0), Speed(30.0)]
        await shown.press("g")
        await shown.type("+1:30")
        await shown.press("enter")
        assert shown.desk.controls[-1] == Seek(invented.NOW + 5400.0)


@pytest.mark.slow
async def test_replay_controls_do_nothing_in_a_live_watch() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("space", "full_stop", "comma", "g")
        assert shown.desk.controls == []
        assert shown.app.form.name == ""


@pytest.mark.slow
async def test_quit_asks_first() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("q")
        assert "End the watch?" in shown.text
        await shown.press("x")
        assert "End the watch?" not in shown.text
        await shown.press("q", "y")
        assert shown.app.return_code == 0
        assert not shown.app.is_running


@pytest.mark.slow
async def test_every_deed_is_a_command_by_its_name() -> None:
    names = [command.words for command in commands(invented.normal())]
    assert "Acknowledge the chosen alert, one at a time" in names
    assert not any("replay" in name.lower() for name in names)
    assert any(
        "replay" in command.words.lower() for command in commands(replace(invented.normal(), replay=True))
    )
    async with console(invented.one_warning()) as shown:
        await shown.press("colon", *"silence")
        assert "Silence all sound for 30 s  (key s)" in shown.text
        await shown.press("enter")
        assert shown.desk.actions == [Silence()]
        await shown.press("colon", *"nonsense", "enter")
        assert "Not done: no command is named 'nonsense'" in shown.text
        await shown.press("escape", "colon", *"a note", "enter")
        assert shown.app.form.name == "note_form"


@pytest.mark.slow
async def test_after_an_answer_the_next_one_comes_to_the_front() -> None:
    picture = invented.flood()
    picture = kept_by_rv(replace(picture, groups=()))
    async with console(picture) as shown:
        await shown.pass_time(2.0)
        await shown.press("a")
        alerts = tuple(
            replace(each, standing=Standing.ACKNOWLEDGED) if each.key == ("stretch", "H1") else each
            for each in picture.alerts
        )
        await shown.deliver(replace(picture, alerts=alerts))
        await shown.press("a")
        assert len(shown.desk.actions) == 1, "it has just taken that place"
        assert "List has changed" in shown.text
        await shown.pass_time(2.0)
        await shown.press("a")
        assert shown.desk.actions[-1] == Acknowledge("stretch", "H2", "RV")
        assert picture.alerts[0].stage == Stage.ALARM


async def test_after_a_restart_acts_bear_the_initials_of_who_took_over() -> None:
    async with console(kept_by_rv(invented.one_warning())) as shown:
        await shown.pass_time(2.0)
        await shown.press("a", "s")
        assert [each.by for each in shown.desk.actions] == ["RV", "RV"]
