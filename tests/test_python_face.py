"""The Python face: nine names, each loaded when it is asked for, and the manual's worked example."""

import doctest
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

import alongside
from alongside import StayFaults, WrongInput, hold, holding_power, look_ahead, read_record, read_stay, replay
from alongside.units import iso_time, unix_time
from tests.berth import START, STAY_TEXT, gauges, write_stay

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "console" / "alongside" / "manual" / "python.md"
EXAMPLES = re.compile(r"```pycon\n(.*?)```", re.S)


@pytest.mark.slow
def test_the_worked_example_of_the_manual(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    source = "".join(EXAMPLES.findall(PAGE.read_text(encoding="utf-8")))
    test = doctest.DocTestParser().get_doctest(source, {}, PAGE.name, str(PAGE), 0)
    assert len(test.examples) > 10
    said: list[str] = []
    failures = doctest.DocTestRunner(verbose=False).run(test, out=said.append).failed
    assert not failures, "".join(said)


def test_every_name_is_on_its_page_and_can_be_imported() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert len(alongside.__all__) == 9
    for name in alongside.__all__:
        assert f"`{name}" in text
        assert getattr(alongside, name).__doc__
    with pytest.raises(AttributeError, match="no_such_name"):
        alongside.no_such_name  # noqa: B018


def test_names_are_loaded_when_they_are_asked_for() -> None:
    code = "import sys, alongside; from alongside import read_stay, StayFaults; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    loaded = {name.split(".")[0] for name in done.stdout.split()}
    assert "alongside" in loaded
    assert not loaded & {"numpy", "textual", "rich"}


def test_types_travel_with_the_package() -> None:
    assert (ROOT / "console" / "alongside" / "py.typed").is_file()


def steady(folder: Path, seconds: int = 30) -> Path:
    path = folder / "stay.log"
    path.write_bytes(b"".join(gauges(START + s, 2.0) for s in range(seconds)))
    return path


def test_a_moment_may_be_said_in_three_ways(tmp_path: Path) -> None:
    stay, log = read_stay(write_stay(tmp_path)), steady(tmp_path)
    moment = START + 20.0
    ways = (iso_time(moment), moment, datetime.fromtimestamp(moment, UTC))
    tensions = [hold(stay, at, log).lines.tension_kn for at in ways]
    assert np.isfinite(tensions[0]).all()
    for other in tensions[1:]:
        assert np.array_equal(tensions[0], other)


@pytest.mark.slow
def test_one_number_or_many_take_the_place_of_what_was_measured(tmp_path: Path) -> None:
    stay, log = read_stay(write_stay(tmp_path)), steady(tmp_path)
    at = START + 20.0
    measured = hold(stay, at, log).lines.tension_kn
    assert measured.shape == (1, 3)
    assert np.allclose(hold(stay, at, log, tide=2.0).lines.tension_kn, measured)
    risen = hold(stay, at, log, tide=[2.0, 3.0], draught_fwd=[5.0, 5.0])
    assert risen.pose.tide.tolist() == [2.0, 3.0]
    assert risen.pose.draught_fwd.tolist() == [5.0, 5.0]
    assert not np.allclose(risen.lines.tension_kn[0], risen.lines.tension_kn[1])


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda stay, log: hold(stay, "noon", log), "no time"),
        (lambda stay, log: hold(stay, "2100-01-01T00:00:00Z", log), "1990 to 2099"),
        (lambda stay, log: hold(stay, datetime(1989, 12, 31, tzinfo=UTC), log), "1990 to 2099"),
        (lambda stay, log: hold(stay, float("nan"), log), "1990 to 2099"),
        (lambda stay, log: hold(stay, datetime(2026, 3, 2, 4, 10), log), "without a zone"),
        (lambda stay, log: hold(stay, None, log), "at which time"),
        (lambda stay, log: hold(stay, START - 7200.0, log), "nothing at"),
        (lambda stay, log: hold(stay, START, log, wind=3.0), "wind_ms"),
        (lambda stay, log: hold(stay, START, log, tide=[1.0, 2.0], wind_ms=[1.0, 2.0, 3.0]), "as many"),
        (lambda stay, log: holding_power(stay, START + 1.0, Path("none.log")), "none.log"),
        (lambda stay, log: look_ahead(stay, START + 1.0, log, hours=1e6), "at most"),
        (lambda stay, log: replay(stay, log).column("77"), "no line '77'"),
        (lambda stay, log: read_record(log.parent), "no record"),
    ],
)
def test_wrong_questions_are_refused_with_what_was_expected(tmp_path: Path, ask, says: str) -> None:  # type: ignore[no-untyped-def]
    stay, log = read_stay(write_stay(tmp_path)), steady(tmp_path)
    with pytest.raises(WrongInput, match=re.escape(says)):
        ask(stay, log)


def test_faults_of_a_stay_file_come_all_at_once(tmp_path: Path) -> None:
    with pytest.raises(StayFaults) as raised:
        read_stay(write_stay(tmp_path, STAY_TEXT.replace("breadth: 14.0", "bredth: 14.0")))
    assert any("bredth" in str(fault) for fault in raised.value.faults)


def test_a_replay_is_what_the_headless_one_writes(tmp_path: Path) -> None:
    import json

    from alongside.cli.main import main

    path, log = write_stay(tmp_path), steady(tmp_path, 200)
    history = replay(read_stay(path), log, every=60)
    states = tmp_path / "states.jsonl"
    main(["replay", str(path), str(log), "--headless", "--states", str(states), "--every", "60"])
    written = [json.loads(line) for line in states.read_text().splitlines()]
    assert [unix_time(state["time"]) for state in written] == history.time.tolist()
    for name in ("tension_kn", "stretch_share", "vertical_deg"):
        expected = [[line[name] for line in state["lines"]] for state in written]
        assert np.allclose(getattr(history.lines, name), np.array(expected, dtype=float), atol=1e-6)
    assert history.stages.shape == history.lines.tension_kn.shape
