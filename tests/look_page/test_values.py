"""What single figures and words of the page are, each where it could be another."""

from dataclasses import replace
from math import nan
from typing import Any

import pytest

from alongside.alerts.model import Acceptance, Alert, Standing
from alongside.cycle.guard import Guard
from alongside.cycle.picture import Advice, OtherFigures, Picture
from alongside.cycle.picture_of import blank_picture
from alongside.cycle.plausibility.by_hand import HandReading
from alongside.mechanics.reasons import NoLength
from alongside.readings import Quality, Reason
from alongside.reports.look_page.alerts import MOST
from alongside.reports.look_page.figures import page_figures
from alongside.reports.look_page.lines import LEAST
from alongside.stay.stage import Stage
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import ALERTS_NOT_KNOWN, NO_ALERTS
from tests.screens import invented
from tests.screens.invented import NOW, channels, with_rows

NORMAL = invented.normal()


def part(picture: Picture, name: str) -> Any:
    return page_figures(picture, Guard(strict=True))[name]


def figure(picture: Picture, name: str) -> dict[str, Any]:
    each: dict[str, Any] = next(row for row in part(picture, "water") if row["name"] == name)
    return each


def alert(number: int = 1, **changes: object) -> Alert:
    of = invented.alert("stretch", f"L{number}", Stage.WARNING, f"Line L{number} stretch 88 % (limit 85 %)")
    return replace(of, **changes)  # type: ignore[arg-type]


# Lines


def test_four_lines_stand_by_themselves_however_quiet_and_the_rest_in_a_row() -> None:
    bars = [*[20.0] * (len(NORMAL.lines) - LEAST), 30.0, 38.0, 46.0, 54.0]
    quiet = [
        replace(row, stage=Stage.NORMAL, because="", bars={"stretch": bar})
        for row, bar in zip(NORMAL.lines, bars, strict=True)
    ]
    lines = part(replace(NORMAL, lines=tuple(quiet)), "lines")
    assert [row["bar"] for row in lines["rows"]] == [54, 46, 38, 30], "the highest bar first"
    assert lines["quiet"].endswith("at most 20")


def test_a_line_of_which_nothing_is_known_is_never_among_the_quiet() -> None:
    *known, last = NORMAL.lines
    unknown = replace(last, stage=None, stages={}, bars={}, because="", no_length=NoLength.WAITING)
    lines = part(replace(NORMAL, lines=(*known, unknown)), "lines")
    assert unknown.id in [row["id"] for row in lines["rows"]]
    assert unknown.id not in lines["quiet"].split(", at most")[0].replace(",", " ").split()


@pytest.mark.parametrize(("per_h", "words"), [(nan, ""), (0.4, ""), (6.2, "↑ 6"), (-12.0, "↓ 12")])
def test_how_fast_a_bar_goes_where_that_is_known(per_h: float, words: str) -> None:
    row = replace(NORMAL.lines[4], bar_per_h=per_h)
    shown = part(with_rows(NORMAL, row), "lines")["rows"]
    rate = next(each["rate"] for each in shown if each["id"] == row.id)
    assert rate.startswith(words) if words else rate == ""


# Alerts


def test_more_alerts_than_are_shown_are_counted() -> None:
    alerts = tuple(alert(at) for at in range(MOST + 3))
    shown = part(replace(NORMAL, alerts=alerts), "alerts")
    assert len(shown["rows"]) <= MOST
    assert shown["more"] == f"{MOST + 3 - len(shown['rows'])} more"
    assert part(replace(NORMAL, alerts=alerts[:3]), "alerts")["more"] == ""


def test_no_alerts_before_the_first_figures_is_not_known() -> None:
    assert part(replace(NORMAL, alerts=()), "alerts")["none"] == NO_ALERTS
    assert part(blank_picture(NORMAL.stay), "alerts")["none"] == ALERTS_NOT_KNOWN


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ({}, "not acknowledged"),
        ({"standing": Standing.ACKNOWLEDGED}, "acknowledged"),
        ({"suspended": True}, "no signal"),
        ({"stage": Stage.CAUTION}, ""),
        ({"acceptance": Acceptance(Stage.WARNING, 0.88, NOW + 600.0, "cargo", "AB", NOW)}, "accepted"),
    ],
)
def test_the_state_of_an_alert(changes: dict[str, object], state: str) -> None:
    (row,) = part(replace(NORMAL, alerts=(alert(**changes),)), "alerts")["rows"]  # type: ignore[arg-type]
    assert row["state"] == state


# Headline


def test_what_waits_what_cleared_and_what_is_accepted() -> None:
    accepted = alert(
        3, standing=Standing.ACKNOWLEDGED, acceptance=Acceptance(Stage.WARNING, 1, NOW, "r", "A", 0)
    )
    alerts = (alert(1), alert(2, standing=Standing.RECTIFIED), accepted, alert(4, stage=Stage.CAUTION))
    waiting = part(replace(NORMAL, alerts=alerts), "headline")["waiting"]
    assert waiting == "2 to acknowledge, 1 cleared, 1 accepted"


def test_metres_of_a_deed_are_gone_with_it_where_nobody_keeps_the_watch() -> None:
    picture = replace(NORMAL, advice=Advice("Slack 4", Stage.ALARM, large="SLACK 4", by="0.80 m"))
    assert part(picture, "headline")["by"] == "0.80 m"
    assert part(replace(picture, unkept=True), "headline")["by"] == ""


@pytest.mark.parametrize(("code", "word"), [(NoLength.LET_GO, "· normal"), (NoLength.PARTED, "— unknown")])
def test_a_line_that_was_let_go_is_no_unknown(code: NoLength, word: str) -> None:
    *known, last = NORMAL.lines
    gone = replace(last, stage=None, stages={}, bars={}, because="", no_length=code)
    assert part(replace(NORMAL, alerts=(), lines=(*known, gone)), "headline")["word"] == word


# Wind and water


def test_what_a_witness_has_instead_stands_beside_where_it_is_another() -> None:
    other = OtherFigures(4.68, NORMAL.draught_fwd, 8.30, nan, (), ())
    picture = replace(NORMAL, by_witnesses=other)
    assert figure(picture, "tide")["value"] == "3.42 m or 4.68 m"
    assert " or " not in figure(picture, "draught_fwd")["value"]


def test_a_figure_names_the_worst_of_the_gauges_that_it_rests_on() -> None:
    rows = channels(wind_from=(Quality.SUSPECT, Reason.STALE, 90.0))
    source = figure(replace(NORMAL, channels=rows), "wind")["source"]
    assert "90 s" in source or "1 min" in source
    assert "ago" not in source


def test_water_under_the_keel_says_where_it_comes_from_and_what_was_sounded() -> None:
    stay = replace(NORMAL.stay, berth=replace(NORMAL.stay.berth, charted_depth=8.0))
    sounded = HandReading("under_keel", NOW - 600.0, 1.4, 0.1, by="AB")
    picture = replace(NORMAL, stay=stay, by_hand=(sounded,))
    keel = figure(picture, "under_keel")
    assert keel["value"] == "3.3 m", "8.0 + 3.42 - 8.01 m, less 15.5 m x sin 0.3 deg of heel"
    assert keel["source"]
    assert keel["note"].startswith("read 1.4 m")
    old = replace(picture, by_hand=(replace(sounded, at=NOW - 7200.0),))
    assert "read" not in figure(old, "under_keel")["note"]
    assert figure(replace(picture, tide=nan), "under_keel")["value"] == NOT_KNOWN
    assert figure(replace(picture, tide=nan), "under_keel")["source"] == ""
