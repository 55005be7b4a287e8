"""The rows of the standard criteria of two examples, through the command, against a second balance that is
written from the formulas alone (`tests.mechanics.reference`)."""

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
from tests.reports.remarks.files import Change, put, times, written

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
        times(0.2, "ship", "winches", "*", "brake_kn"),
        put("MD4", "lines", 10, "bollard"),
        put("200", "berth", "bollards", "MD4", "swl_kn"),
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


def test_names_are_to_the_letter(asked: Asked) -> None:
    """The names that other programs ask for, in their order; `format` first."""
    answer = asked.answer
    assert list(answer)[:3] == ["format", "time", "directions"]
    names = ["from_deg", "holds_ms", "gives_first", "where", "drift_m", "contact_ms", "then"]
    assert [list(each) for each in answer["directions"]] == 72 * [names]
    then = [step for each in answer["directions"] for step in each["then"]]
    assert {tuple(step) for step in then} == {("holds_ms", "gives", "where")}
    names = ["wind_ms", "wind_from_deg", "current_ms", "current_from_deg"]
    names += ["line_share", "brake_share", "bollard_share", "gives", "where", "in_contact"]
    assert [list(row) for row in answer["criteria"]] == 8 * [names]
    assert {row["wind_ms"] for row in answer["criteria"]} == {round(60.0 * KNOT, 6)}


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
