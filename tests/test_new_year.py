"""A stay over New Year, or over 29 February, is a stay like any other: the same numbers at every instant, and
each time with its own day and year."""

import json
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.meanings import zda_time
from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.forecast.tide.stand_in import Tide
from alongside.mechanics.situation import expected_current
from alongside.stay.model import Display
from alongside.stay.read import read_stay
from alongside.units import iso_time, unix_time
from alongside.wording.times import DayClock
from alongside.wording.typed_times import time_of_day, times_of_day
from tests.berth import STAY_TEXT, gauges

USUAL: Final = datetime(2026, 3, 2, 22, 30, tzinfo=UTC)
"""Where the stay of the tests lies otherwise; its log goes over a plain midnight."""
OVER: Final = {
    "new year": datetime(2025, 12, 31, 22, 30, tzinfo=UTC),
    "new year after a leap year": datetime(2028, 12, 31, 22, 30, tzinfo=UTC),
    "29 February": datetime(2028, 2, 28, 22, 30, tzinfo=UTC),
    "1 March": datetime(2028, 2, 29, 22, 30, tzinfo=UTC),
    "1 March of no leap year": datetime(2027, 2, 28, 22, 30, tzinfo=UTC),
}
MINUTES: Final = 180


def plans(begin: datetime) -> str:
    """Tide, current and cargo about a beginning."""

    def at(minutes: float) -> str:
        return f"{begin + timedelta(minutes=minutes):%Y-%m-%dT%H:%M:%SZ}"

    return f"""\
tide:
  high_low: [[{at(-200)}, 4.0], [{at(170)}, 1.0], [{at(540)}, 4.2], [{at(910)}, 0.8], [{at(1290)}, 4.1]]
current: [{{at: {at(0)}, speed_kn: 0.2, to_deg: 90}}, {{at: {at(200)}, speed_kn: 1.0, to_deg: 270}}]
"""


def stay_at(folder: Path, begin: datetime) -> Path:
    """The stay of the tests, made fast as the log begins."""
    text = STAY_TEXT.replace("2026-03-02T04:00:00Z", f"{begin:%Y-%m-%dT%H:%M:%SZ}")
    path = folder / "stay.yaml"
    path.write_text(text.replace("balance: off\n", "balance: off\n" + plans(begin)), encoding="utf-8")
    return path


def log_at(folder: Path, begin: datetime) -> Path:
    """Gauges every 15 s, the tide as its table has it."""
    path, start = folder / "stay.log", begin.timestamp()
    seconds = np.arange(0.0, MINUTES * 60.0, 15.0)
    tide = 1.0 + 3.0 * (1.0 - np.cos(np.pi * (370 * 60.0 - (seconds + 12_000.0)) / 22_200.0)) / 2.0
    path.write_bytes(
        b"".join(gauges(start + s, float(t)) for s, t in zip(seconds.tolist(), tide.tolist(), strict=True))
    )
    return path


def states(folder: Path, begin: datetime) -> list[dict[str, object]]:
    folder.mkdir()
    out = folder / "states.jsonl"
    command = [sys.executable, "-m", "alongside", "replay", stay_at(folder, begin), log_at(folder, begin)]
    command += ["--headless", "--ahead", "--every", "60", "--states", out]
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    found = [json.loads(line) for line in out.read_text().splitlines()]
    for state in found:
        state["time"] = unix_time(state["time"]) - begin.timestamp()
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", OVER)
def test_a_replay_over_it_is_the_replay_of_any_night(name: str, tmp_path: Path) -> None:
    usual, over = states(tmp_path / "usual", USUAL), states(tmp_path / "over", OVER[name])
    assert len(over) > 150
    assert over == usual


@pytest.mark.parametrize("name", OVER)
def test_tide_and_current_by_table_go_on_across(name: str, tmp_path: Path) -> None:
    found = []
    for begin in (USUAL, OVER[name]):
        stay = read_stay(stay_at(tmp_path, begin))
        time = begin.timestamp() + np.arange(0.0, 20 * 3600.0, 60.0)
        tide = Tide.of(stay)
        assert tide is not None
        found.append((tide.at(time), *expected_current(stay.current, time)))
    for usual, over in zip(*found, strict=True):
        np.testing.assert_allclose(over, usual, rtol=0, atol=1e-12)
    assert not np.isnan(found[1][0]).any()


def test_tide_by_constants_has_no_step_at_new_year(tmp_path: Path) -> None:
    """Node factors are those of the year of making fast, however late it is looked from."""
    text = STAY_TEXT.replace("2026-03-02T04:00:00Z", "2025-12-29T04:00:00Z").replace(
        "balance: off\n",
        "balance: off\ntide: {mean_level: 2.5, constituents: [{name: M2, amplitude: 2.0, lag_deg: 40}, "
        "{name: O1, amplitude: 0.3, lag_deg: 100}]}\n",
    )
    path = tmp_path / "stay.yaml"
    path.write_text(text, encoding="utf-8")
    stay = read_stay(path)
    tide = Tide.of(stay)
    assert tide is not None
    midnight = unix_time("2026-01-01T00:00:00Z")
    level = tide.at(midnight + np.array([-120.0, -60.0, 0.0, 60.0, 120.0]))
    assert np.abs(np.diff(level, 2)).max() < 1e-3
    # With the factors of the new year there is one, of a centimetre and more.
    assert stay.tide is not None
    other = expected_level(tide_table(stay.tide), np.array([midnight]), midnight).metres
    assert nodes_of(stay) < midnight
    assert abs(float(other[0] - level[2])) > 0.005


def test_times_of_the_place_bear_their_day_across_new_year() -> None:
    """By the clock of the place the year ends when it does there."""
    display = Display(zone="+02:00")
    shown = DayClock(display, unix_time("2025-12-31T21:50:00Z"))
    assert shown(unix_time("2025-12-31T21:59:00Z")) == "23:59"
    assert shown(unix_time("2025-12-31T22:01:00Z")) == "01 Jan 00:01"
    assert shown.whole(unix_time("2025-12-31T22:01:00Z")) == "2026-01-01 00:01 +0200"


@pytest.mark.parametrize(
    ("typed", "expected"), [("23:50", "2025-12-31T21:50:00Z"), ("00:10", "2025-12-31T22:10:00Z")]
)
def test_a_time_of_day_that_is_typed_is_found_on_either_side(typed: str, expected: str) -> None:
    spans = [(unix_time("2025-12-31T21:00:00Z"), unix_time("2025-12-31T23:00:00Z"))]
    of_day = time_of_day(typed)
    assert of_day is not None
    assert [iso_time(at) for at in times_of_day(of_day, Display(zone="+02:00"), spans)] == [expected]


def zda(clock: str, day: str, month: str, year: str) -> float:
    return zda_time([b"GPZDA", *(each.encode() for each in (clock, day, month, year)), b"00", b"00"])


def test_the_clock_of_a_feed_over_midnight() -> None:
    """The last second of a year may be a 60th: it is the first of the next."""
    assert iso_time(zda("235959", "31", "12", "2025")) == "2025-12-31T23:59:59Z"
    assert iso_time(zda("235960", "31", "12", "2025")) == "2026-01-01T00:00:00Z"
    assert iso_time(zda("000000", "01", "01", "2026")) == "2026-01-01T00:00:00Z"
    assert iso_time(zda("120000", "29", "02", "2028")) == "2028-02-29T12:00:00Z"


def test_a_year_of_two_digits_is_no_year() -> None:
    """Of a receiver whose weeks have rolled over, or of a date that a sentence without a year was given."""
    for year in ("25", "1980", "0", "2100"):
        with pytest.raises(Flawed) as refused:
            zda("235959", "31", "12", year)
        assert refused.value.flaw == Flaw.WRONG_TIME


def test_a_stay_file_takes_years_of_four_digits(tmp_path: Path) -> None:
    path = tmp_path / "stay.yaml"
    path.write_text(STAY_TEXT.replace("2026-03-02T04", "26-03-02T04"), encoding="utf-8")
    with pytest.raises(WrongInput, match="is not a time"):
        read_stay(path)
