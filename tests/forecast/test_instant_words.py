"""For which moment and in which wind a question was answered, as it stands below the answer."""

import json
from math import nan
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.forecast.instant_words import SOUGHT, Instant, headed
from alongside.reports.instant_json import answer_object

STAY, LOG = "configs/product_jetty.yaml", "replay_logs/product_jetty.log.gz"
RIVER = "configs/river_quay.yaml"
BY_PLAN = "Asked for 2026-05-11 05:40 +0000 by the plan, wind 8 kn from 250°.\n"
PASSES = ["--ship", "220x32x9.5 at 100 m 6 kn depth 14"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("asked", "words"),
    [
        pytest.param(["leaving", RIVER], BY_PLAN, marks=pytest.mark.slow),
        (["passing", STAY, *PASSES], "Asked for 2026-09-12 06:30 +0100 by the plan, wind 9 kn from 070°.\n"),
        (["ranging", STAY], "Asked for 2026-09-12 06:30 +0100 by the plan, wind 9 kn from 070°.\n"),
        pytest.param(["leaving", RIVER, "--wind", "0kn from 0"],
                     "Asked for 2026-05-11 05:40 +0000 by the plan, in a calm.\n",
                     marks=pytest.mark.slow),
        (["farther", RIVER, "--no-rounds"], BY_PLAN),
        (["ahead", RIVER, "--at", "2026-05-11T06:00:00Z", "--hours", "1"],
         "Asked for 2026-05-11 06:00 +0000 by the plan, wind 8 kn from 250°.\n"),
        pytest.param(["arrange", RIVER], BY_PLAN,
                     marks=pytest.mark.slow),
        pytest.param(["one-more", RIVER, "--no-rounds"],
                     BY_PLAN,
                     marks=pytest.mark.slow),
    ],
)  # fmt: skip
def test_an_answer_says_for_when_and_for_which_wind(
    asked: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(asked) == 0
    assert words in capsys.readouterr().out


@pytest.mark.slow
def test_what_was_measured_is_not_by_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["passing", STAY, LOG, "--at", "2026-09-12T06:10:00Z", *PASSES]) == 0
    said = [row for row in capsys.readouterr().out.splitlines() if row.startswith("Asked for ")]
    assert len(said) == 1
    assert said[0].startswith("Asked for 2026-09-12 07:10 +0100, wind ")


def test_other_programs_have_the_same_as_keys(tmp_path: Path) -> None:
    """9 kn are 4.630 m/s."""
    written = tmp_path / "passing.json"
    assert main(["passing", STAY, *PASSES, "--json", str(written)]) == 0
    found = json.loads(written.read_text(encoding="utf-8"))
    assert {name: found[name] for name in ("time", "by", "wind_from_deg")} == {
        "time": "2026-09-12T05:30:00Z",
        "by": "plan",
        "wind_from_deg": 70.0,
    }
    assert found["wind_ms"] == pytest.approx(4.630, abs=5e-4)  # m/s


def test_a_calm_has_no_direction_and_what_is_not_known_is_null() -> None:
    calm = answer_object(Instant(1.8e9, False, 0.0, 0.0), {})
    assert (calm["by"], calm["wind_ms"], calm["wind_from_deg"]) == ("log", 0.0, None)
    unknown = answer_object(Instant(1.8e9, False, nan, nan), {})
    assert (unknown["wind_ms"], unknown["wind_from_deg"]) == (None, None)


@pytest.mark.parametrize(
    "asked",
    [
        ["passing", "--ship", "120x18x5 at 60 m 6 kn"],
        ["ranging"],
        pytest.param(["leaving"], marks=pytest.mark.slow),
        ["farther", "--no-rounds"],
        ["holding", "--at", "2026-05-11T06:00:00Z"],
        pytest.param(["arrange"], marks=pytest.mark.slow),
        pytest.param(["one-more", "--no-rounds"], marks=pytest.mark.slow),
    ],
)
def test_a_balance_that_the_stay_file_has_off_is_sought_and_that_is_said(
    asked: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    off = tmp_path / "off.yaml"
    off.write_text(Path(RIVER).read_text(encoding="utf-8") + "\nbalance: off\n", encoding="utf-8")
    command, *options = asked
    assert main([command, RIVER, *options]) == 0
    assert SOUGHT not in capsys.readouterr().out
    assert main([command, str(off), *options]) == 0
    assert capsys.readouterr().out.count(SOUGHT) == 1


def test_what_an_answer_leaves_open_stands_below_its_first_row() -> None:
    instant = Instant(1.8e9, False, 5.0, 70.0, ("2", "5"), (("4", "length not known"), ("7", "parted")))
    assert headed(["Nothing gives.", "", "Pull"], instant) == [
        "Nothing gives.",
        "  As if the brakes of lines 2, 5 held: look at them first.",
        "  Without line 4 (length not known), line 7 (parted).",
        "",
        "Pull",
    ]
    assert headed(["Nothing gives."], Instant(1.8e9, False, 5.0, 70.0)) == ["Nothing gives."]
    assert answer_object(instant, {})["without"] == ["4", "7"]
    assert answer_object(instant, {})["as_if_brakes_held"] == ["2", "5"]
