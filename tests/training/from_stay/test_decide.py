"""An exercise cut from a stay keeps what is to be decided by, and the forecast, with what was typed of it."""

from pathlib import Path

import pytest

from alongside.actions import Action, Correct, ForecastWind
from alongside.forecast.expected.wind_forecast import WIND_FORECAST, known_forecast, standing
from alongside.record.reader import RecordReader
from alongside.stay.read import read_stay
from alongside.training.exercise.file import read_exercise
from tests.berth import START
from tests.reports.stay.records import recorded
from tests.training.from_stay.test_from_stay import MOMENT, SECONDS, STAY, cut, log_of

AGREED = """\
decide:
  lead_min: {tugs: 60}
  with_transfer: [{do: tugs, mean_kn: 30}]
wind_forecast:
  - {issued: 2026-03-02T04:00:00Z, at: 2026-03-02T08:00:00Z, mean_kn: 20, from_deg: 200}
"""
TYPED: dict[float, Action] = {
    START + 1200.0: ForecastWind(START + 13000.0, 9.0, 14.0, 210.0, "zz"),
    START + 3000.0: ForecastWind(START + 10800.0, 12.5, 0.0, 215.0, "zz"),
    START + 4500.0: ForecastWind(START + 12000.0, 15.0, 20.0, 220.0, "zz"),
    START + 5000.0: Correct(channel=WIND_FORECAST, by="zz"),
}


@pytest.mark.slow
def test_limits_and_forecast_are_kept_each_row_known_when_it_was(tmp_path: Path) -> None:
    folder = tmp_path / "original"
    folder.mkdir()
    stay = folder / "stay.yaml"
    stay.write_text(STAY + AGREED, encoding="utf-8")
    log = log_of(folder)
    record = recorded(read_stay(stay), log, tmp_path / "record", TYPED, upto=START + SECONDS - 10)
    made = cut(tmp_path, record, log)
    exercise = read_exercise(made / "exercise.yaml")
    assert exercise.shows.decide
    assert exercise.stay.decide == read_stay(stay).decide
    assert "zz" not in (made / "stay.yaml").read_text(encoding="utf-8")
    with RecordReader(record) as kept:
        for at in (MOMENT - 600.0, MOMENT + 500.0, MOMENT + 1500.0):
            known = kept.memory_at(at)
            assert known is not None
            then, memory, run = known
            real = standing(known_forecast(run.stay, memory.wind_forecast, then))
            here = standing(known_forecast(exercise.stay, (), then))
            figures = [[(e.at, e.mean_ms, e.gust_ms, e.from_deg) for e in each] for each in (real, here)]
            assert figures[0] == figures[1], then
            assert len(figures[0]) >= 2


@pytest.mark.slow
def test_the_crew_has_the_lead_times_of_the_stay(tmp_path: Path) -> None:
    folder = tmp_path / "original"
    folder.mkdir()
    stay = folder / "stay.yaml"
    stay.write_text(STAY + AGREED.replace("tugs: 60", "tugs: 75, gang: 30, pilot: 90"), encoding="utf-8")
    made = cut(tmp_path, stay, log_of(folder))
    assert "crew: {tug_min: 75.0, linesmen_min: 30.0}" in (made / "exercise.yaml").read_text("utf-8")
    crew = read_exercise(made / "exercise.yaml").crew
    assert (crew.tug_min, crew.linesmen_min) == (75.0, 30.0)
