"""Sections decide and wind_forecast: what they mean, every fault at its place. Every figure is invented."""

from math import isnan
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import StayFaults
from alongside.forecast.expected.wind_forecast import WindAt, known_forecast, standing
from alongside.stay.model import Stay, WindLimit
from alongside.stay.read import read_stay
from alongside.units import KNOT, unix_time
from tests.berth import STAY_TEXT, write_stay

CARGO = "cargo: [{name: A, start: 2026-03-02T05:00:00Z, tonnes: -900, rate: 300, x: 40}]\n"
DECIDE = """\
decide:
  lead_min: {tugs: 75, disconnect: 45, stop_cargo: 15}
  with_transfer:
    - {do: stop_cargo, mean_kn: 28}
    - {do: disconnect, gust_ms: 21.5}
    - {do: tugs, mean_ms: 15, sector: [330, 60]}
  without_transfer: [{do: leave, mean_kn: 50}]
  transfer: [A]
"""


def read(folder: Path, text: str) -> Stay:
    return read_stay(write_stay(folder, STAY_TEXT + CARGO + text))


def test_limits_and_lead_times_are_read(tmp_path: Path) -> None:
    decide = read(tmp_path, DECIDE).decide
    assert decide is not None
    assert decide.with_transfer == (
        WindLimit("stop_cargo", 28 * KNOT),
        WindLimit("disconnect", 21.5, gust=True),
        WindLimit("tugs", 15.0, sector=(330.0, 60.0)),
    )
    assert decide.without_transfer == (WindLimit("leave", 50 * KNOT),)
    assert (decide.lead.tugs, decide.lead.disconnect, decide.lead.stop_cargo) == (4500.0, 2700.0, 900.0)
    assert isnan(decide.lead.pilot)
    assert decide.lead.longest == 4500.0 + 2700.0 + 900.0
    assert decide.transfer == ("A",)


def test_nothing_has_a_default(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert read(tmp_path, "").decide is None
    path = write_stay(tmp_path, STAY_TEXT + CARGO + "decide: {lead_min: {tugs: 60}}\n")
    decide = read_stay(path).decide
    assert decide is not None
    assert (decide.with_transfer, decide.without_transfer) == ((), ())
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().out
    not_watched = "not watched: to decide by:"
    assert f"{not_watched} no limit for tugs with transfer: no wind calls for them\n" in said, (
        "balance is off"
    )
    others = "to stop cargo, to disconnect and to leave"
    assert f"{not_watched} no limit {others} with transfer: no wind calls for it\n" in said
    assert f"{not_watched} no lead time given of pilot, gang and disconnect: by when is not known\n" in said
    assert main(["decide", str(write_stay(tmp_path))]) == 2
    assert "no section decide" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("decide: {lead_min: {gang: 30}}", "decide: nothing agreed, expected limits, or a lead time of tugs"),
        ("decide: {with_transfer: []}", "decide.with_transfer: 0 given"),
        ("decide: {with_transfer: [{do: stop_cargo}]}", "mean_kn or mean_ms or gust_kn or gust_ms"),
        ("decide: {with_transfer: [{do: tugs, mean_kn: 28, gust_kn: 40}]}", "mean_kn and gust_kn together"),
        ("decide: {without_transfer: [{do: stop_cargo, mean_kn: 28}]}", "'stop_cargo' is not known here"),
        ("decide: {with_transfer: [{do: tugs, mean_kn: 0}]}", "above 0"),
        ("decide: {with_transfer: [{do: tugs, mean_kn: 28, sector: [90, 90]}]}", "from and to are the same"),
        ("decide: {with_transfer: [{do: tugs, mean_kn: 28, sector: [90]}]}", "expected [from_deg, to_deg]"),
        ("decide: {lead_min: {tugs: -5}}", "decide.lead_min.tugs"),
        ("decide: {lead_min: {tug: 5}}", "unknown key"),
        ("decide: {lead_min: {tugs: 5}, transfer: [B]}", "there is no cargo operation 'B'"),
        ("wind_forecast: []", "wind_forecast: 0 given"),
        ("wind_forecast: [{at: 2026-03-02T05:00:00Z, mean_kn: 9}]", "wind_forecast[0].from_deg: missing"),
        (
            "wind_forecast: [{at: 2026-03-02T05:00:00Z, mean_kn: 28, gust_kn: 20, from_deg: 1}]",
            "wind_forecast[0].gust_kn: a gust below the mean wind",
        ),
        (
            "wind_forecast: [{at: 2026-03-02T05:00:00Z, mean_kn: 9, from_deg: 1},"
            " {at: 2026-03-02T05:00:00Z, mean_kn: 9, from_deg: 1}]",
            "wind_forecast[1]: time does not rise",
        ),
        (
            "wind_forecast: [{issued: 2026-03-02T04:00:00Z, at: 2026-03-02T05:00:00Z, mean_kn: 9,"
            " from_deg: 1}"
            ", {issued: 2026-03-02T03:00:00Z, at: 2026-03-02T06:00:00Z, mean_kn: 9, from_deg: 1}]",
            "wind_forecast[1]: issued before the row before it",
        ),
    ],
)
def test_faults_stand_at_their_place(tmp_path: Path, text: str, fault: str) -> None:
    with pytest.raises(StayFaults) as refused:
        read(tmp_path, f"{text}\n")
    assert fault in str(refused.value)


FORECAST = """\
wind_forecast:
  - {issued: 2026-03-02T02:00:00Z, at: 2026-03-02T06:00:00Z, mean_kn: 20, from_deg: 200}
  - {issued: 2026-03-02T02:00:00Z, at: 2026-03-02T12:00:00Z, mean_kn: 30, gust_kn: 45, from_deg: 220}
  - {issued: 2026-03-02T05:00:00Z, at: 2026-03-02T08:00:00Z, mean_ms: 18, over: 30 s, from_deg: 360}
"""


def test_a_forecast_is_known_from_its_issue_on_and_replaces_the_rest_of_those_before(tmp_path: Path) -> None:
    """A 10 min mean times 1.25 is one of 30 s (Durst; US Navy)."""
    stay = read(tmp_path, FORECAST)
    five, six = (unix_time(f"2026-03-02T0{hour}:00:00Z") for hour in (5, 6))
    assert known_forecast(stay, (), five - 4 * 3600.0) == ()
    before = standing(known_forecast(stay, (), five - 1.0))
    assert [row.mean_ms for row in before] == pytest.approx([25 * KNOT, 37.5 * KNOT])
    assert before[1].gust_ms == pytest.approx(45 * KNOT)
    after = standing(known_forecast(stay, (), five))
    assert [row.mean_ms for row in after] == pytest.approx([25 * KNOT, 18.0])
    assert after[1].from_deg == 0.0
    typed = WindAt(six, 9.0, 0.0, 10.0, "AB", five + 60.0)
    both = standing(known_forecast(stay, (typed,), six))
    assert both[0] == typed, "what is typed comes on top"
    assert len(both) == 2
