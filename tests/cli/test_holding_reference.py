"""What the command says of holding, of two examples, against a second balance that is written from the
formulas alone (`tests.mechanics.reference`): the rows of the standard criteria, directions, who holds her."""

import contextlib
import io
import json
import re
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
import pytest

from alongside.cli.main import main
from alongside.stay.model import Stay
from tests.mechanics.reference import Fast, Lying, Reference, Stream
from tests.reports.remarks.files import Change, drop, put, times, written

KNOT = 1852.0 / 3600.0
CURRENTS = (
    (3.0, 0.0),
    (3.0, 180.0),
    (2.0, 10.0),
    (2.0, 350.0),
    (2.0, 170.0),
    (2.0, 190.0),
    (0.75, 90.0),
    (0.75, 270.0),
)
"""kn, off the bow: published criteria for a ship's own mooring equipment, as summaries give them."""
MOMENTS = {"product_jetty": "2026-09-12T06:00:00Z", "coaster_quay": "2026-06-16T06:30:00Z"}
"""Soon after all is made fast, and before any tending."""
OFF_M = 0.001
ROLES = ("head", "breast", "spring", "stern")


def table(front: float, side: float, moment: float) -> list[list[str]]:
    """Coefficients every 15 deg, in the form of the usual curves; invented, ours."""
    rows = []
    for g in range(0, 360, 15):
        a = np.radians(g)
        row = (g, -front * np.cos(a), side * np.sin(a), moment * np.sin(2.0 * a))
        rows.append([f"{value:.4f}" for value in row])
    return rows


class Asked(NamedTuple):
    """What the command answered, what it printed, and the second balance of the same moment."""

    answer: dict[str, Any]
    printed: list[str]
    berth: Fast


CHANGES: dict[str, tuple[Change, ...]] = {
    "coaster_quay": (),
    # Less area, so that she stays on her fenders in some of the rows; weak brakes, so that one gives; a stern
    # line beside a breast on a weak bollard, so that the sum of loads is not that of the pulls.
    "product_jetty": (
        times(0.6, "ship", "wind", "side_m2"),
        times(0.35, "ship", "winches", "*", "brake_kn"),
        put("MD4", "lines", 10, "bollard"),
        put("260", "berth", "bollards", "MD4", "swl_kn"),
    ),
}


@pytest.fixture(scope="module", params=MOMENTS)
def asked(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Asked:
    folder = tmp_path_factory.mktemp(request.param)
    stay = written(
        folder,
        request.param,
        put(table(0.8, 0.9, 0.06), "ship", "wind", "coefficients"),  # type: ignore[arg-type]
        put(table(0.06, 0.6, 0.05), "ship", "current", "coefficients"),  # type: ignore[arg-type]
        drop("current"),
        *CHANGES[request.param],
    )
    answer, printed = folder / "holding.json", io.StringIO()
    command = ["holding", str(folder / "stay.yaml"), "--at", MOMENTS[request.param]]
    with contextlib.redirect_stdout(printed):
        assert main([*command, "--criteria", "standard", "--json", str(answer)]) == 0
    found = json.loads(answer.read_text())
    return Asked(found, printed.getvalue().splitlines(), berth_of(stay, found["who_holds"][0]))


def berth_of(stay: Stay, now: dict[str, Any]) -> Fast:
    """The berth at a moment as the command says that she floats, with the lengths of making fast."""
    fast = stay.lines[0].made_fast
    assert fast.tide is not None
    assert fast.draught_fwd is not None
    assert fast.draught_aft is not None
    load = np.array([line.made_fast.tension_kn for line in stay.lines])
    _, lengths = Reference(stay, fast.tide, fast.draught_fwd, fast.draught_aft).lengths(load)
    return Fast(stay, now["tide"], now["draught_fwd"], now["draught_aft"], 0.0, tuple(lengths))


def lying_in(berth: Fast, current: Stream) -> list[Lying]:
    """Where she lies in 60 kn from each of 72 directions with a current."""
    place, every = None, []
    for come_from in range(0, 360, 5):
        every.append(berth.lies(Stream(60.0 * KNOT, come_from), current, place))
        assert every[-1].left < 1e-6
        place = every[-1].place
    return every


@pytest.mark.slow
def test_each_row_is_that_of_a_second_balance(asked: Asked) -> None:
    """All of the wind counts as it is: a 30 s mean, without the gust factor of the berth."""
    verdicts = set()
    for (knots, off), row in zip(CURRENTS, asked.answer["criteria"], strict=True):
        come_from = (asked.berth.heading + off) % 360.0
        every = lying_in(asked.berth, Stream(knots * KNOT, come_from))
        shares = np.array([asked.berth.shares(each) for each in every])
        found = [row[name] for name in ("line_share", "brake_share", "bollard_share")]
        assert found == pytest.approx(shares.max(axis=0), rel=1e-5)
        assert row["wind_from_deg"] == 5.0 * shares.max(axis=1).argmax()
        assert row["in_contact"] == all(each.off_m <= OFF_M for each in every)
        assert (row["gives"], row["where"]) == gives(asked.berth, every[shares.max(axis=1).argmax()])
        assert row["current_ms"] == pytest.approx(knots * KNOT, abs=1e-6)
        assert row["current_from_deg"] == pytest.approx(come_from)
        verdicts.add((row["gives"], row["in_contact"]))
    assert len(verdicts) > 1 or asked.berth.stay.alongside == "starboard", "rows of several kinds"


def gives(berth: Fast, lying: Lying) -> tuple[str | None, str | None]:
    """What has gone furthest beyond its limit there, and its line or bollard."""
    shares = berth.shares(lying)
    at = int(shares.argmax())
    if shares[at] <= 1.0:
        return None, None
    loads = []
    for line, load in zip(berth.stay.lines, lying.tension, strict=True):
        alone = replace(berth.stay, lines=(line,))
        one = replace(lying, tension=np.array([load]))
        loads.append(replace(berth, stay=alone).shares(one)[at])
    assert at < 2, "no bollard gives in these"
    return ("wll", "brake")[at], berth.stay.lines[int(np.argmax(loads))].id


@pytest.mark.slow
def test_names_are_to_the_letter(asked: Asked) -> None:
    """The names that other programs ask for, in their order; `format` first."""
    answer = asked.answer
    assert list(answer)[:3] == ["format", "time", "directions"]
    names = ["from_deg", "holds_ms", "gives_first", "where", "drift_m", "contact_ms", "then", "heel_deg"]
    assert [list(each) for each in answer["directions"]] == 72 * [names]
    then = [step for each in answer["directions"] for step in each["then"]]
    assert {tuple(step) for step in then} == {("holds_ms", "gives", "where")}
    names = ["wind_ms", "wind_from_deg", "current_ms", "current_from_deg"]
    names += ["line_share", "brake_share", "bollard_share", "gives", "where", "in_contact"]
    assert [list(row) for row in answer["criteria"]] == 8 * [names]
    assert {row["wind_ms"] for row in answer["criteria"]} == {round(60.0 * KNOT, 6)}


@pytest.mark.slow
def test_the_text_has_the_same_rows(asked: Asked) -> None:
    begin = asked.printed.index("  60 kn of wind from any direction, with current") + 2
    for text, row, (knots, off) in zip(
        asked.printed[begin : begin + 8], asked.answer["criteria"], CURRENTS, strict=True
    ):
        found = re.fullmatch(
            r"  (\S+) kn +(\d+)° +(\d+)° +(\S+) % +(\S+) % +(\S+) % +(on|off)  (hold|do not hold: (.+))", text
        )
        assert found, text
        assert [float(each) for each in found.groups()[:3]] == [knots, off, row["wind_from_deg"]]
        for percent, name in zip(
            found.groups()[3:6], ("line_share", "brake_share", "bollard_share"), strict=True
        ):
            assert float(percent) == pytest.approx(100.0 * row[name], abs=0.5)
        assert (found[7] == "on") == row["in_contact"]
        what = {"wll": f"load of line {row['where']}", "brake": f"brake of line {row['where']}", None: None}
        assert found[9] == what[row["gives"]]


CALM = Stream(0.0, 0.0)


@pytest.mark.slow
def test_up_to_what_a_direction_holds_no_limit_is_past_and_beyond_it_one_is(asked: Asked) -> None:
    gust, seen = asked.berth.stay.holding.gust_factor, 0
    for row in asked.answer["directions"][::6]:
        if row["gives_first"] in (None, "drift"):
            continue
        for speed, past in ((row["holds_ms"] - 0.001, False), (row["holds_ms"] + 0.02, True)):
            lying = asked.berth.lies(Stream(speed * gust, row["from_deg"]), CALM)
            assert lying.left < 1e-6
            assert (asked.berth.shares(lying).max() > 1.0) == past, (row, speed)
        seen += 1
    assert seen >= 6


def test_up_to_the_wind_of_contact_she_touches_a_fender_and_beyond_it_none(asked: Asked) -> None:
    gust, seen = asked.berth.stay.holding.gust_factor, 0
    for row in asked.answer["directions"][::6]:
        if row["contact_ms"] is None:
            continue
        for speed, touches in ((row["contact_ms"] - 0.05, True), (row["contact_ms"] + 0.05, False)):
            lying = asked.berth.lies(Stream(speed * gust, row["from_deg"]), CALM)
            assert (lying.off_m <= OFF_M) == touches, (row, speed)
        seen += 1
    assert seen >= 3


def test_who_holds_her_is_that_of_the_second_balance(asked: Asked) -> None:
    """Of all pull against the wind the part of each role; with fenders and all lines it is what the wind
    pushes."""
    roles = np.array([line.role for line in asked.berth.stay.lines])
    head = 1.0 if asked.berth.stay.alongside == "starboard" else -1.0
    against = {"off_berth": (0.0, -1.0), "ahead": (head, 0.0), "astern": (-head, 0.0)}
    gust = asked.berth.stay.holding.gust_factor
    for moment in asked.answer["who_holds"]:
        assert list(moment) == ["when", "time", "tide", "draught_fwd", "draught_aft", "why", "winds"]
        berth = replace(
            asked.berth, tide=moment["tide"], fwd=moment["draught_fwd"], aft=moment["draught_aft"]
        )
        assert [wind["wind"] for wind in moment["winds"]] == list(against)
        for wind in moment["winds"]:
            blows = Stream(wind["holds_ms"] * gust, wind["from_deg"])
            lying = berth.lies(blows, CALM)
            turn = lying.place[2]
            axes = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
            axis = axes @ np.array(against[wind["wind"]])  # her own, as she lies then
            pull = berth.pull(lying) @ axis
            pushed = berth.leaning(blows, CALM, turn)[:2] @ axis
            whole = np.abs(pull).sum()
            assert pull.sum() + berth.push(lying) @ axis == pytest.approx(-pushed, abs=1e-5 * whole)
            parts = np.array([np.maximum(pull[roles == each], 0.0).sum() for each in ROLES])
            found = np.array([wind[each] for each in ROLES])
            assert np.abs(found - parts / parts.sum()).max() < 1e-4, (moment["when"], wind)
            assert found.sum() == pytest.approx(1.0, abs=1e-5)
