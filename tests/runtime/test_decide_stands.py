"""What is due stands while a deed on deck has it worked out anew: no alert ends of that."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import Action, PutTug
from alongside.cycle.advance import advance
from alongside.cycle.block import Circumstances
from alongside.cycle.deck.altered import altered
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import DecideBy, WindLimit
from alongside.stay.stage import Stage
from tests.berth import START
from tests.forecast.decide.made import LEAD, kn
from tests.forecast.scene import stay_ahead
from tests.forecast.tide.test_stand_in import CHANNELS, readings

KEY = "decide", "stop_cargo"


class Desk:
    """A live desk as it goes from cycle to cycle, a second each."""

    def __init__(self, folder: Path) -> None:
        stay = stay_ahead(folder, members=6, hours=4.0)
        limits = WindLimit("stop_cargo", kn(20.0)), WindLimit("tugs", kn(20.0))
        stay = replace(stay, decide=DecideBy(limits, limits, LEAD))
        self.basis = Basis.of(stay, ahead=True)
        self.keeper = PictureMaker(self.basis, CHANNELS)
        gale = tuple(WindAt(START + at, kn(40.0), 0.0, 200.0, "AB", START) for at in (60.0, 1800.0))
        self.memory = replace(Memory.at_start(stay), wind_forecast=gale)
        self.read, self.at = readings(stay, heard_s=4000, silent_s=0), 0

    def cycle(self, *actions: Action) -> Picture:
        forecasts = self.keeper.forecasts
        around = Circumstances(next_limits=forecasts.next_limits, decisions=forecasts.decisions)
        rows = self.read.rows(self.at, self.at + 1)
        self.memory, block = advance(self.basis, self.memory, rows, actions, around)
        self.keeper.use_basis(altered(self.basis, self.memory.lengths.deck))
        self.keeper.add(block)
        self.at += 1
        picture = self.keeper.picture(self.memory, ())
        assert picture is not None
        return picture

    def until_answered(self) -> Picture:
        self.keeper.forecasts.wait(30.0)
        for _ in range(80):
            picture = self.cycle()
        return picture


def stage(picture: Picture, key: tuple[str, str] = KEY) -> Stage:
    alert = next(each for each in picture.alerts if each.key == key)
    assert not alert.suspended
    return alert.active_stage


@pytest.mark.slow
def test_a_deed_on_deck_leaves_what_is_due_until_it_is_worked_out_anew(tmp_path: Path) -> None:
    desk = Desk(tmp_path)
    desk.cycle()
    before = desk.until_answered()
    assert before.decisions is not None
    assert not before.decisions.before_deed
    assert stage(before) == Stage.ALARM
    for deed in ((PutTug("a", 300.0, 40.0),), ()):
        after = desk.cycle(*deed)
        assert after.decisions is not None, "not calculated yet"
        assert after.decisions.time == before.decisions.time
        assert after.forecast is None, "not of these lines"
        assert after.older_forecast is not None
        assert after.older_forecast.time == before.decisions.time
        assert stage(after) == Stage.ALARM
    assert after.decisions.before_deed
    tugs = [each for each in after.due if each.do == "tugs"]
    assert not any(each.is_open for each in tugs), "they are there"
    again = desk.until_answered()
    assert again.decisions is not None
    assert again.decisions.time > before.decisions.time
    assert not again.decisions.before_deed
    assert again.forecast is not None
    assert again.older_forecast is None
    assert stage(again) == Stage.ALARM


@pytest.mark.parametrize("hours", [5.0, -1.0])
def test_before_any_wind_is_heard_no_row_of_the_forecast_is_an_alarm_of_now(
    tmp_path: Path, hours: float
) -> None:
    desk = Desk(tmp_path)
    gale = WindAt(START + hours * 3600.0, kn(40.0), 0.0, 200.0, "AB", START)
    desk.memory = replace(desk.memory, wind_forecast=(gale,))
    desk.cycle()
    picture = desk.until_answered()
    assert picture.decisions is not None
    assert bool(picture.decisions.rows) is (hours > 0.0)
    assert not [each for each in picture.alerts if each.cause in ("decide", "ahead", "holding")]
