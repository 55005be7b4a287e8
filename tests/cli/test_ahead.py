"""`alongside forecast` and `alongside compare`, as other programs and a chief mate use them."""

import json
import math
import re

import pytest

from alongside.cli.examples import example_log, example_stay
from alongside.cli.main import main
from alongside.units import iso_time, unix_time
from tests.berth import START, STAY_TEXT, gauges, write_stay

TIDE = """
tide:
  high_low: [[2026-03-02T03:00:00Z, 1.0], [2026-03-02T09:15:00Z, 5.0], [2026-03-02T15:30:00Z, 1.1],
             [2026-03-02T21:40:00Z, 5.1], [2026-03-03T04:00:00Z, 0.9], [2026-03-03T10:10:00Z, 4.9]]
display: {zone: "+02:00"}
"""


def plan_file(folder, text=STAY_TEXT + TIDE):
    return write_stay(folder, text)


def forecast(capsys, *arguments):
    status = main(["ahead", *map(str, arguments)])
    said = capsys.readouterr()
    return status, said.out, said.err


def is_time(text):
    return text is None or math.isfinite(unix_time(text))


def test_json_has_what_other_programs_are_promised(tmp_path, capsys):
    file = tmp_path / "forecast.json"
    status, _, _ = forecast(capsys, plan_file(tmp_path), "--hours", "6", "--json", file, "--every", "10")
    assert status == 0
    said = json.loads(file.read_text())
    assert unix_time(said["time"]) == START
    assert len(said["samples"]) == 37
    for sample in said["samples"]:
        assert {"time", "tide", "draught_fwd", "draught_aft"} <= sample.keys()
    assert [line["id"] for line in said["lines"]] == ["1", "2", "3"]
    limits = [limit for line in said["lines"] for limit in line["limits"]]
    assert limits
    for limit in limits:
        assert {"cause", "stage", "not_before", "expected", "no_later"} <= limit.keys()
        assert limit["stage"] in ("caution", "warning", "alarm")
        assert all(is_time(limit[key]) for key in ("not_before", "expected", "no_later"))
        assert limit["not_before"] is not None
    for each in said["rounds"]:
        assert unix_time(each["not_before"]) <= unix_time(each["latest"])
        assert all(isinstance(move["pay_out_m"], float) and move["line"] for move in each["moves"])
    for cure in said["cannot_cure"]:
        assert {"line", "time", "missing_m"} <= cure.keys()


@pytest.mark.slow
def test_holding_to_come_names_what_gives_first(tmp_path, capsys):
    """The coal berth in the afternoon: the wind of the plan grows beyond what the set holds."""
    file = tmp_path / "forecast.json"
    at = ("--at", "2026-03-20T12:00:00Z", "--hours", "8")
    status, out, _ = forecast(
        capsys, example_stay("coal_berth"), example_log("coal_berth"), *at, "--json", file
    )
    assert status == 0
    rows = out.splitlines()
    holding = [number for number, row in enumerate(rows) if row[2:].startswith("Holding ")]
    assert rows[holding[0] + 1].startswith("    gives first: ")
    limits = [each for each in json.loads(file.read_text())["ship"] if each["cause"] == "holding"]
    assert [each["stage"] for each in limits] == ["caution", "warning", "alarm"]
    for each in limits:
        assert each["gives_first"] in ("wll", "brake", "bollard", "drift")
        assert (each["where"] is None) == (each["gives_first"] == "drift")


@pytest.mark.slow
def test_what_is_expected_lies_within_its_band(tmp_path, capsys):
    """Also where work turns from one hold to the next and nearly all members are on one side of it."""
    file = tmp_path / "forecast.json"
    at = ("--at", "2026-03-20T12:00:00Z", "--hours", "12")
    forecast(capsys, example_stay("coal_berth"), example_log("coal_berth"), *at, "--json", file)
    for sample in json.loads(file.read_text())["samples"]:
        for name in ("tide", "draught_fwd", "draught_aft"):
            assert sample[f"{name}_low"] <= sample[name] <= sample[f"{name}_high"]


def test_the_same_question_gets_the_same_answer(tmp_path, capsys):
    stay, said = plan_file(tmp_path), []
    for run in range(2):
        file = tmp_path / f"{run}.json"
        forecast(capsys, stay, "--hours", "3", "--json", file)
        said.append(file.read_bytes())
    assert said[0] == said[1]


def test_times_are_told_in_the_zone_of_the_stay_and_kept_in_utc(tmp_path, capsys):
    file = tmp_path / "forecast.json"
    _, table, _ = forecast(capsys, plan_file(tmp_path), "--hours", "2", "--json", file)
    assert "from 2026-03-02 06:00 +0200 to 08:00" in table
    assert json.loads(file.read_text())["time"] == "2026-03-02T04:00:00Z"


@pytest.mark.parametrize(
    ("zone", "at", "told"),
    [
        # Lisbon puts its clocks on an hour on 29 March 2026 at 01:00 UTC, and back on 25 October: EU rule
        ("Europe/Lisbon", "2026-03-29T00:30:00Z", ("00:30 +0000", "04:30 +0100")),
        ("Europe/Lisbon", "2026-10-24T23:30:00Z", ("00:30 +0100", "02:30 +0000")),
        # New South Wales ends its summer time on 5 April 2026 at 16:00 UTC the day before
        ("Australia/Sydney", "2026-04-04T15:00:00Z", ("02:00 +1100", "04:00 +1000")),
    ],
)
def test_a_change_of_the_clocks_ahead(tmp_path, capsys, zone, at, told):
    begin = unix_time(at)
    rows = ", ".join(
        f"[{iso_time(begin + 22_000.0 * k - 9000.0)}, {1.0 if k % 2 else 4.0}]" for k in range(4)
    )
    text = STAY_TEXT.replace("2026-03-02T04:00:00Z", at)
    text += f'tide: {{high_low: [{rows}]}}\ndisplay: {{zone: "{zone}"}}\n'
    _, table, _ = forecast(capsys, plan_file(tmp_path, text), "--hours", "3")
    assert f"{told[0]} to {told[1]}" in table


def test_with_a_log_it_starts_from_what_was_measured(tmp_path, capsys):
    log = tmp_path / "feed.log"
    log.write_bytes(b"".join(gauges(START + s, 2.3 + s / 4000.0) for s in range(0, 3600, 5)))
    file = tmp_path / "forecast.json"
    at = iso_time(START + 3500.0)
    status, _, err = forecast(capsys, plan_file(tmp_path), log, "--at", at, "--hours", "3", "--json", file)
    assert (status, err) == (0, "")
    said = json.loads(file.read_text())
    assert said["time"] == at
    assert said["samples"][0]["tide"] == pytest.approx(2.3 + 3500.0 / 4000.0, abs=0.3)
    assert not any("prediction alone" in note for note in said["notes"])


def test_what_if_stands_beside_the_plan(tmp_path, capsys):
    file = tmp_path / "forecast.json"
    changes = ["--what-if", "slack 2 0.3", "--what-if", "let go 1"]
    _, table, _ = forecast(capsys, plan_file(tmp_path), "--hours", "3", "--json", file, *changes)
    assert "What if: slack 2 by 0.30 m, let go 1" in table
    other = json.loads(file.read_text())["what_if"]
    assert other["changes"] == "slack 2 by 0.30 m, let go 1"
    now = {line["id"]: line for line in other["lines_now"]}
    assert now["1"]["stretch_share"] is None
    assert now["2"]["stretch_share"] < now["2"]["stretch_share_as_it_stands"]


@pytest.mark.parametrize(
    ("text", "arguments", "said"),
    [
        (STAY_TEXT, [], "tide: missing"),
        (STAY_TEXT + TIDE, ["--at", "2030-01-01T00:00:00Z"], "does not cover"),
        (STAY_TEXT + TIDE, ["--what-if", "paint 3"], "not understood|not a change"),
        (STAY_TEXT + TIDE, ["--hours", "240", "--every", "0.01"], "expected at most"),
    ],
)
def test_what_has_no_answer_is_refused_with_what_it_lacks(tmp_path, capsys, text, arguments, said):
    status, table, err = forecast(capsys, plan_file(tmp_path, text), *arguments)
    assert status == 2
    assert table == ""
    assert any(word in err for word in said.split("|"))


def test_a_change_that_means_nothing_is_refused_before_a_log_is_played(tmp_path, capsys):
    log = tmp_path / "no_log.log"
    log.write_text("nothing")
    asked = ("--at", "2026-03-02T04:10:00Z", "--what-if")
    status, _, said = forecast(capsys, plan_file(tmp_path), log, *asked, "shift 1 to B99")
    assert status == 2
    assert "B99" in said
    assert "no line with a time" not in said


def test_a_log_needs_a_moment(tmp_path, capsys):
    log = tmp_path / "feed.log"
    log.write_bytes(gauges(START, 2.0))
    status, _, err = forecast(capsys, plan_file(tmp_path), log)
    assert status == 2
    assert "expected --at TIME" in err
    status, _, err = forecast(capsys, plan_file(tmp_path), log, "--at", "2026-03-05T00:00:00Z")
    assert status == 2
    assert "nothing at 2026-03-05T00:00:00Z" in err


def test_the_example_is_answered_from_its_log(tmp_path, capsys):
    stay, log = example_stay("product_jetty"), example_log("product_jetty")
    status, table, _ = forecast(capsys, stay, log, "--at", "2026-09-12T08:00:00Z", "--hours", "6")
    assert status == 0
    assert "from 2026-09-12 09:00 +0100" in table
    assert "snap-back" in table


def test_two_plans_side_by_side(tmp_path, capsys):
    one = plan_file(tmp_path)
    (tmp_path / "b").mkdir()
    # the breast to the bollard farther along
    other = plan_file(tmp_path / "b", (STAY_TEXT + TIDE).replace("FM, bollard: B2", "FM, bollard: B1"))
    assert main(["compare", str(one), str(other), "--hours", "6"]) == 0
    rows = {line[:20].strip(): line for line in capsys.readouterr().out.splitlines()}
    for what in (
        "highest stretch",
        "steepest lead",
        "tending rounds",
        "hold, square off",
        "no length serves",
    ):
        assert what in rows
    assert "<>" in rows["steepest lead"]
    assert "<>" not in rows["least UKC"]
    assert main(["compare", str(one), str(one), "--hours", "6"]) == 0
    assert "<>" not in capsys.readouterr().out


def test_holding_from_the_plan_alone(capsys):
    stay = example_stay("product_jetty")
    assert main(["holding", str(stay), "--at", "2026-09-12T20:00:00Z"]) == 0
    assert re.search(r"\d+ kn from \d{3}°", capsys.readouterr().out)
