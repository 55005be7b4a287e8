"""A watch begun before any wind is heard: nobody knows what blows now, and only the forecast from now on
counts. Times worked by hand from the rows; every limit and lead time is invented."""

from dataclasses import replace
from math import isnan, nan
from pathlib import Path

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by
from alongside.forecast.decide_words import NO_WIND, decide_rows
from alongside.forecast.decided import Decisions
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.present import Present
from alongside.stay.model import WindLimit
from tests.forecast.decide.made import HERE, HOUR, LEAD, NOW, basis_with, kn, said
from tests.forecast.scene import planned
from tests.forecast.test_what_if_holds import quay

BLIND = replace(HERE, wind_speed=nan, wind_from=nan, wind_gust=nan)
STEP_S = 300.0
"""Between instants of the look ahead: a limit that the first row passes is reached within one of it."""


def decided(*rows: WindAt, present: Present = BLIND) -> tuple[Decisions, list[str]]:
    basis = basis_with(WindLimit("tugs", kn(30.0)))
    decisions = decide_by(basis, replace(present, wind_forecast=rows), Far(8.0, STEP_S, 20))
    assert decisions is not None
    return decisions, decide_rows(decisions, basis.stay.display)


def test_a_gale_five_hours_ahead_is_not_taken_for_now() -> None:
    decisions, rows = decided(said(5.0, 60.0))
    row = decisions.row("tugs")
    assert row is not None
    assert row.limit.first == pytest.approx(NOW + 5.0 * HOUR, abs=STEP_S)
    assert row.by == pytest.approx(NOW + 5.0 * HOUR - LEAD.tugs, abs=STEP_S)
    assert not any(limit.standing(NOW) for limit in decisions.limits)
    assert all(isnan(speed) for time, speed, _, _ in decisions.wind if time < NOW + 5.0 * HOUR)
    heard = "Wind not heard yet: by the forecast from 09:00 on, nothing is known before; enter that of now"
    assert heard in rows


def test_a_row_of_the_past_is_no_alarm_of_now() -> None:
    decisions, rows = decided(said(-1.0, 60.0))
    assert not decisions.limits
    assert not decisions.rows
    assert NO_WIND in rows


def test_between_two_rows_the_forecast_of_now_on_counts_and_nothing_is_reached_now() -> None:
    """From 60 kn an hour ago to 10 kn in four hours, straight: 30 kn and less from two hours on."""
    decisions, rows = decided(said(-1.0, 60.0), said(4.0, 10.0))
    assert not any(limit.standing(NOW) for limit in decisions.limits)
    assert decisions.limits[0].peak_ms == pytest.approx(kn(60.0 - 10.0 * (1.0 + 1.0 / 12.0)), abs=1e-9)
    assert "Wind not heard yet: by the forecast; enter that of now" in rows


def test_what_is_measured_goes_before_all_of_it() -> None:
    decisions, rows = decided(said(-1.0, 60.0), said(5.0, 60.0), present=HERE)
    assert not any(limit.standing(NOW) for limit in decisions.limits)
    assert decisions.wind[0][1] == pytest.approx(1.25 * 8.0), "a 30 s mean of the half hour's"
    assert not any("not heard" in row for row in rows)


@pytest.mark.parametrize("row", [(5.0, 60.0), (-1.0, 60.0), (0.5, 60.0)])
def test_the_look_ahead_has_no_limit_of_the_wind_now(tmp_path: Path, row: tuple[float, float]) -> None:
    stay = quay(tmp_path)
    present = replace(
        planned(stay),
        planned=False,
        wind_speed=nan,
        wind_from=nan,
        wind_gust=nan,
        wind_forecast=(said(*row, come_from=180.0),),
    )
    forecast = look_ahead(Basis.of(stay), present, Far(6.0, 1800.0, 6), tend=False)
    assert np.isnan(forecast.wind_ms.expected[0])
    of_wind = [each for each in forecast.limits if each.cause in ("holding", "off_fenders", "drift")]
    assert not any(each.standing for each in of_wind)
    assert all(each.not_before >= NOW + row[0] * HOUR - 1800.0 for each in of_wind if row[0] > 0.0)
    notes = " ".join(forecast.notes)
    assert "wind not heard yet" in notes or "calculated without wind" in notes
