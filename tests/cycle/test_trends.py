"""Trends begin anew where a figure takes a step, and go on over a restart."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Action, TendLine
from alongside.cycle.advance import advance
from alongside.cycle.chart_history import Past
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Readings, Reason
from alongside.runtime.picture_maker import PictureMaker
from tests.berth import START, STAY_TEXT, a_stay, sentence
from tests.cycle.test_advance import CHANNELS, readings_of
from tests.record.kept import Watch, flood_stay

RISE_M_PER_H = 0.6
SECONDS = 2400
AT = 1300
"""When something happens, s."""
BALANCED = STAY_TEXT.replace("balance: off", "balance: on")


def flood(start: float = START, seconds: int = SECONDS) -> Readings:
    return readings_of(2.0 + RISE_M_PER_H * (start - START + np.arange(seconds)) / 3600.0, start)


def trends(
    folder: Path,
    spoil: Callable[[Readings], Readings] = lambda heard: heard,
    action: Action | None = None,
    text: str = STAY_TEXT,
    every: int = 50,
) -> dict[int, Picture]:
    """Return the Picture after each block, by the seconds played; the action is done at `AT`."""
    basis = Basis.of(a_stay(folder, text))
    maker, memory = PictureMaker(basis, CHANNELS, looks_ahead=False), Memory.at_start(basis.stay)
    heard, pictures = spoil(flood()), {}
    for start in range(0, SECONDS, every):
        deeds = [action] if action and start == AT else []
        memory, block = advance(basis, memory, heard.rows(start, start + every), deeds)
        maker.add(block)
        picture = maker.picture(memory, ())
        assert picture is not None
        pictures[start + every] = picture
    return pictures


def of_line(pictures: dict[int, Picture], second: int, line: int = 1) -> float:
    return pictures[second].lines[line].trend_per_h


def test_a_tending_leaves_no_false_slope(tmp_path: Path) -> None:
    """The stretch of line 2 rises with the tide; slacking it takes some 40 % off. Without a new beginning the
    slope of the next quarter of an hour is that step."""
    as_it_is = trends(tmp_path)
    tended = trends(tmp_path, action=TendLine("2", paid_out=0.15))
    assert tended[AT].lines[1].stretch_share - tended[AT + 50].lines[1].stretch_share > 0.2
    assert of_line(as_it_is, AT + 50) > 0.05
    for second in range(AT + 50, AT + 450, 50):
        assert np.isnan(of_line(tended, second))
    assert of_line(tended, AT + 500) > 0.05
    # Held in place the lines have nothing to do with each other.
    assert of_line(tended, AT + 50, line=0) == of_line(as_it_is, AT + 50, line=0)


def test_in_balance_every_line_begins_anew(tmp_path: Path) -> None:
    tended = trends(tmp_path, action=TendLine("2", paid_out=0.15), text=BALANCED)
    assert all(np.isnan(row.trend_per_h) for row in tended[AT + 200].lines)
    assert all(np.isfinite(row.trend_per_h) for row in tended[AT + 500].lines)


def doubted(quality: Quality, reason: Reason, off: float) -> Callable[[Readings], Readings]:
    """Five minutes of a tide gauge that is doubtful, or of an expected tide in its place, `off` m wrong."""

    def spoil(heard: Readings) -> Readings:
        at, rows = CHANNELS.index("tide"), slice(AT, AT + 300)
        value, qualities, reasons = heard.value.copy(), heard.quality.copy(), heard.reason.copy()
        value[rows, at] += off
        qualities[rows, at], reasons[rows, at] = quality, reason
        return replace(heard, value=value, quality=qualities, reason=reasons)

    return spoil


@pytest.mark.slow
@pytest.mark.parametrize(
    ("quality", "reason", "off"),
    [
        (Quality.SUSPECT, Reason.SPIKES, 0.8),
        (Quality.EXPECTED, Reason.EXPECTED, -0.4),
        (Quality.LOST, Reason.SILENT, np.nan),
    ],
)
def test_a_doubtful_stretch_is_no_part_of_a_trend(
    tmp_path: Path, quality: Quality, reason: Reason, off: float
) -> None:
    pictures = trends(tmp_path, doubted(quality, reason, off))
    for second in range(AT + 50, AT + 700, 50):
        assert np.isnan(of_line(pictures, second))
    true = trends(tmp_path)
    assert of_line(pictures, AT + 800) == pytest.approx(of_line(true, AT + 800), rel=0.02)
    assert np.isnan(pictures[AT + 350].tide_rate)
    assert pictures[AT + 700].tide_rate == pytest.approx(RISE_M_PER_H, rel=1e-3)


@pytest.mark.parametrize("at", [3, 45, 88])
def test_one_bad_value_is_no_trend(at: int) -> None:
    """A draught that falls by 0.30 m/h, read 1 m too deep once in a quarter of an hour, and noise of 5 mm."""
    time, rng = np.arange(0.0, 901.0, 10.0), np.random.default_rng(at)
    draught = 8.0 - 0.30 * time / 3600.0 + rng.normal(0.0, 0.005, time.size)
    sound, wild = Past(["draught_fwd"]), Past(["draught_fwd"])
    sound.add(time, draught[:, None])
    wild.add(time, (draught + np.where(np.arange(time.size) == at, 1.0, 0.0))[:, None])
    plain = sound.rate_per_h("draught_fwd", 900.0)
    assert plain == pytest.approx(-0.30, abs=0.03)
    assert wild.rate_per_h("draught_fwd", 900.0) == pytest.approx(plain, abs=0.005)


def test_a_gap_is_no_part_of_a_trend(tmp_path: Path) -> None:
    """Two minutes without the watch while the tide stood 1 m lower before."""
    past = Past(["tide"])
    past.add(np.arange(900.0), 1.0 + np.arange(900.0)[:, None] / 3600.0)
    assert past.rate_per_h("tide", 900.0) == pytest.approx(1.0, rel=1e-4)
    for until, known in ((1400.0, False), (1500.0, True)):
        later = np.arange(1020.0 if not known else 1400.0, until)
        past.add(later, 2.0 + later[:, None] / 3600.0)
        rate = past.rate_per_h("tide", 900.0)
        assert rate == pytest.approx(1.0, rel=1e-3) if known else np.isnan(rate)


def run(watch: Watch, until: int, deeds: dict[int, Action]) -> Watch:
    """Cycle on a slow flood, one cycle in five seconds."""
    while watch.second < until:
        watch.second += 5.0
        tide = 2.0 + RISE_M_PER_H * watch.second / 3600.0
        said = sentence(f"IIXDR,D,{tide:.3f},M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA")
        watch.desk.hear(watch.wall() - 0.25, "gauges", said)
        if int(watch.second) in deeds:
            watch.desk.act(deeds[int(watch.second)])
        watch.desk.cycle()
    return watch


@pytest.mark.slow
def test_trends_go_on_after_a_restart(tmp_path: Path) -> None:
    """Killed and started anew after a tending: the same trends as without, known and not known."""
    deeds: dict[int, Action] = {700: TendLine("2", paid_out=0.1, by="TK")}
    stay = flood_stay(tmp_path)
    whole = run(Watch(stay, None), 1300, deeds)
    folder, second, pictures = tmp_path / "record", 0.0, []
    for until in (730, 1000, 1300):
        part = run(Watch(stay, folder, second), until, deeds)
        pictures += part.pictures
        part.kill()
        second = part.second
    was, now = (
        {p.time: [*(row.trend_per_h for row in p.lines), p.tide_rate] for p in all_of}
        for all_of in (whole.pictures, pictures)
    )
    for time, rates in now.items():
        np.testing.assert_allclose(rates, was[time], rtol=1e-5, atol=1e-7)
    of_two = {time - START: rates[1] for time, rates in was.items()}
    assert np.isfinite([rate for second, rate in of_two.items() if 600 < second < 700 or second > 1200]).all()
    assert np.isnan([rate for second, rate in of_two.items() if 710 < second < 1150]).all()


def test_the_highest_bar_goes_as_its_figure(tmp_path: Path) -> None:
    """By the limits of the default a point of stretch is a point of its bar."""
    rows = trends(tmp_path)[AT + 50].lines
    by_stretch = [row for row in rows if row.worst == "stretch"]
    assert by_stretch, "a line of which stretch is the highest bar"
    for row in by_stretch:
        assert row.bar == pytest.approx(100.0 * row.stretch_share)
        assert row.bar_per_h == pytest.approx(100.0 * row.trend_per_h, rel=1e-6)


def test_a_steep_lead_has_its_own_trend(tmp_path: Path) -> None:
    """Line 2 leads up to a high bollard by 50 deg, and less steeply as the tide lifts the ship: 1 deg is a
    point of the bar above the alarm limit."""
    high = STAY_TEXT.replace("B2: {x: 70.0, y: -8.0, z: 4.0", "B2: {x: 70.0, y: -8.0, z: 16.0")
    pictures = trends(tmp_path, text=high)
    rows = [pictures[second].lines[1] for second in (AT - 250, AT + 50)]
    assert [row.worst for row in rows] == ["steep", "steep"]
    assert rows[1].bar == pytest.approx(100.0 + 1.0 * (abs(rows[1].vertical_deg) - 45.0))
    gone = abs(rows[1].vertical_deg) - abs(rows[0].vertical_deg)
    assert gone < 0.0
    assert rows[1].bar_per_h == pytest.approx(gone / 300.0 * 3600.0, rel=0.05)


def test_a_tending_begins_the_trend_of_the_bar_anew(tmp_path: Path) -> None:
    tended = trends(tmp_path, action=TendLine("2", paid_out=0.15))
    assert np.isnan(tended[AT + 50].lines[1].bar_per_h)
    assert np.isfinite(tended[AT + 500].lines[1].bar_per_h)
