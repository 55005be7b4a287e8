"""Records of more than one start of the console, on a stay file that was edited in between; and of a ship
that is balanced against the wind."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import holding_power
from alongside.mechanics.holding_search import CAP_MS
from alongside.record.opening import open_record
from alongside.record.ropes.use import uses_in
from alongside.reports.ropes.life import lives_of
from alongside.reports.stay.charts import Charts
from alongside.reports.stay.holding_history import holding_history
from alongside.reports.stay.record_arrays import read_arrays
from alongside.reports.stay.write import write_report
from alongside.stay.read import read_stay
from tests.berth import START, a_stay, gauges, tagged, write_stay
from tests.record.kept import FLOOD_TEXT, Watch, tide_at
from tests.reports.stay.records import recorded
from tests.reports.stay.strict import Page

FOURTH = """  - {id: "4", role: spring, fairlead: FM, bollard: B3, rope: polyester,
     made_fast: {at: 2026-03-02T04:03:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}
feeds:"""


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two minutes, then cut off; a minute later on with a fourth line, and another rope for line 3."""
    folder = tmp_path_factory.mktemp("edited")
    with_serial = FLOOD_TEXT.replace(
        "bollard: B3, rope: polyester,", "bollard: B3, rope: polyester, serial: P1,"
    )
    first = Watch(a_stay(folder, with_serial), folder / "record").run(120)
    first.kill()
    text = with_serial.replace("serial: P1", "serial: P2").replace("feeds:", FOURTH, 1)
    third = text.index('id: "3"')
    text = text[:third] + text[third:].replace("04:00:00Z", "04:02:30Z", 1)
    Watch(a_stay(folder, text), folder / "record", 180.0).run(120).end()
    return folder / "record"


@pytest.mark.slow
def test_each_run_counts_with_its_own_lines_and_limits(edited: Path, tmp_path: Path) -> None:
    with open_record(edited) as record:
        arrays = read_arrays(record)
    assert [line.id for line in arrays.lines] == ["1", "2", "3", "4"]
    early = arrays.time < START + 150.0
    assert (arrays.stage[early, 3] == -1).all()
    assert np.isnan(arrays.of("tension_kn", "4")[early]).all()
    assert np.isfinite(arrays.of("tension_kn", "4")[~early]).any()
    assert arrays.run[early].tolist() == [0] * int(early.sum())
    assert set(arrays.run[~early].tolist()) == {1}
    page = Page(write_report(edited, tmp_path / "page.html").read_text(encoding="utf-8"))
    assert len(page.rows["source"][1:]) == 2
    assert "1 gap in the watch" in page.text["summary"]
    assert "Limits shown are those of the last stay file" in " ".join(page.text["source"].split())


@pytest.mark.slow
def test_a_rope_that_was_replaced_has_a_life_of_its_own(edited: Path) -> None:
    with open_record(edited) as record:
        lives = {life.part.key: life for life in lives_of(uses_in(record))}
        (end,) = [event.time for _, event in record.events() if event.event == "stopped"]
        second = record.runs()[1].started
    old, new, fourth = lives["P1"], lives["P2"], lives["polyester, line 4, Test ship"]
    assert (old.first, old.last) == (START, second)
    assert old.hours_made_fast == pytest.approx((second - START) / 3600.0)
    assert (new.first, new.last) == (START + 150.0, end)
    assert fourth.first == START + 180.0
    assert old.hours_known == pytest.approx(110.0 / 3600.0, abs=15.0 / 3600.0)
    assert lives["polyester, line 1, Test ship"].stays == 1


@pytest.fixture(scope="module")
def windy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("windy")
    text = FLOOD_TEXT.replace("balance: off", "balance: on").replace(
        "  depth: 8.0",
        "  depth: 8.0\n  wind: {front_m2: 150, side_m2: 500, at_draught: 4.0, coefficients: cargo_loaded}",
    )
    text = text.replace(
        "      draught_aft: {sentence: XDR, name: DRA}",
        "      draught_aft: {sentence: XDR, name: DRA}\n"
        "      wind_speed: {sentence: MWD}\n      wind_from: {sentence: MWD}",
    )
    sentences = []
    for second in range(1500):
        sentences.append(gauges(START + second, tide_at(second) * 0.5))
        speed = 10.0 + 4.0 * np.sin(second / 200.0)
        sentences.append(tagged(START + second, f"WIMWD,20.0,T,,M,{speed / 0.514444:.2f},N,{speed:.2f},M"))
    log = folder / "gauges.log"
    log.write_bytes(b"".join(sentences))
    return recorded(read_stay(write_stay(folder, text)), log, folder / "record")


@pytest.mark.slow
def test_the_wind_stands_against_what_the_lines_hold(windy: Path, tmp_path: Path) -> None:
    """The same as holding power of a state of the journal by itself."""
    with open_record(windy) as record:
        arrays = read_arrays(record)
        holding = holding_history(arrays)
        assert holding is not None
        at = float(holding.time[2])
        state = record.state_at(at)
    assert state is not None
    basis = Basis.of(state.stay)
    from alongside.mechanics.situation import situation_of

    here = situation_of(state.stay, state.readings())
    lengths = np.array([float(state.numbers(f"unstretched_m.{line.id}")[0]) for line in state.stay.lines])
    polar = holding_power(basis.arrangement, here, lengths, basis.criteria)
    away = np.abs((polar.from_deg - here.wind_from[0] + 180.0) % 360.0 - 180.0)
    holds = float(polar.holds_ms[away <= 15.0].min())
    assert holds < float(polar.holds_ms[away.argmin()]) - 0.05, "not that of one direction"
    assert holding.holds_ms[2] == pytest.approx(holds, abs=0.02)
    assert holding.share[2] == pytest.approx(float(here.wind_speed[0]) / holds, rel=1e-2)
    page = Page(write_report(windy, tmp_path / "page.html").read_text(encoding="utf-8"))
    assert "of what the lines hold from where it blew" in page.text["summary"]
    assert any(i.endswith("-holds_ms") for i in page.ids)


@pytest.mark.slow
def test_where_the_search_ended_is_no_figure_and_not_unknown(windy: Path) -> None:
    with open_record(windy) as record:
        arrays = read_arrays(record)
    holding = holding_history(arrays)
    assert holding is not None
    assert "holds_more" not in Charts(arrays).wind(holding)
    held = holding.holds_ms.copy()
    held[1] = CAP_MS
    drawn = Charts(arrays).wind(replace(holding, holds_ms=held))
    assert "holds_more" in drawn
    assert "hold more than 116 kn" in drawn
    unknown = np.where(held >= CAP_MS, np.nan, held)
    assert "holds_more" not in Charts(arrays).wind(replace(holding, holds_ms=unknown))


@pytest.mark.slow
def test_it_is_of_the_full_minutes_at_which_the_alert_went_by_it(
    windy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("alongside.reports.stay.holding_history.LEAST_APART_S", 100.0)
    with open_record(windy) as record:
        holding = holding_history(read_arrays(record))
    assert holding is not None
    assert (holding.time[1:-1] % 60.0 == 0.0).all()
    assert (np.diff(holding.time)[1:-1] == 120.0).all()


def test_a_stay_kept_in_place_has_no_holding_power(flood: Path) -> None:
    with open_record(flood) as record:
        assert holding_history(read_arrays(record)) is None


@pytest.mark.slow
def test_a_record_of_which_little_is_known_is_shown_with_dashes(tmp_path: Path) -> None:
    """No gauge was ever heard; and nothing but a start and an end is on record."""
    stay = a_stay(tmp_path)
    Watch(stay, tmp_path / "unheard").run(40, heard=False).end()
    Watch(stay, tmp_path / "empty").end()
    for folder in (tmp_path / "unheard", tmp_path / "empty"):
        page = Page(
            write_report(folder, tmp_path / "page.html", tmp_path / "csv").read_text(encoding="utf-8")
        )
        assert all(row[3] == row[4] == "—" for row in page.rows["lines"][1:])
        assert "Nothing is on record of the stretch of any line." in page.text["summary"]
        assert "nan" not in (tmp_path / "csv" / "states.csv").read_text(encoding="utf-8")
        with open_record(folder) as record:
            assert all(np.isnan(life.peak_kn) for life in lives_of(uses_in(record)))


def test_nothing_on_record_yet_is_refused(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), tmp_path / "record")
    with pytest.raises(WrongInput, match="nothing on record yet"):
        write_report(tmp_path / "record", tmp_path / "page.html")
    watch.end()
