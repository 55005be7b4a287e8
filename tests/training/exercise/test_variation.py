"""Drawn variations: within their bounds, in order, the same for a seed, and as hard as the exercise."""

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Done, TendLine
from alongside.cli.main import main
from alongside.errors import StayFaults, WrongInput
from alongside.stay.model import GaugeFault
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.as_hard import Demand, drawn_exercise
from alongside.training.exercise.conduct import Attempt, of_exercise
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import (
    BrakeRendering,
    CargoRate,
    Exercise,
    Expected,
    Gust,
    Instructed,
    PartedLine,
    TideSurge,
    Vary,
)
from alongside.training.exercise.staging import stay_of
from alongside.training.exercise.variation import Draws, variation
from alongside.training.exercise.yardstick import not_shown, yardstick_of
from alongside.training.other_weather import AS_RECORDED, OtherWeather
from tests.berth import START
from tests.training.exercise.lived import BALANCED, flood, lived, second, write_exercise

NO_ROOM = Vary(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
DRAWN_OF_7 = 0x44F1C4E58CEC / 2**48
SEEDS = st.integers(0, 2**31)


def at(seconds: float) -> float:
    return START + seconds


@pytest.fixture(scope="module")
def exercise(tmp_path_factory: pytest.TempPathFactory) -> Exercise:
    """A lost gauge; a gust in which a line parts and a brake renders; another lost gauge near the end."""
    own = read_exercise(write_exercise(tmp_path_factory.mktemp("drawn"), "", BALANCED))
    return replace(
        own,
        injections=(
            GaugeFault("draught_fwd", at(1200), 300.0, "silent"),
            TideSurge(at(900), 2500.0, 0.4),
            Gust(at(1900), 600.0, 12.0, 350.0),
            PartedLine("2", at(2200)),
            GaugeFault("draught_aft", at(3300), 100.0, "frozen"),
        ),
        expected=(
            Expected("call", at(1200), at(1500), "lost", whom="engineer", channel="draught_fwd"),
            Expected("call", at(900), at(1850), "before the gust", whom="master"),
            Expected("tend", at(900), at(3000), "the flood", line="1", way="slack"),
        ),
        vary=Vary(minutes=5.0),
    )


def times(exercise: Exercise) -> list[float]:
    return [each.at - START for each in exercise.injections if not isinstance(each, TideSurge | CargoRate)]  # type: ignore[union-attr]


def test_a_draw_is_a_digest_of_its_seed_and_name() -> None:
    """The first 48 bits of `printf '7/0/tide height' | sha256sum`: the same on every machine."""
    assert Draws(7, 0).part("tide height") == DRAWN_OF_7
    assert Draws(7, 0).part("tide height") != Draws(7, 1).part("tide height")
    assert Draws(7, 0).within("tide height", 0.15, 0.01) == round((2 * DRAWN_OF_7 - 1) * 15) / 100


@settings(deadline=None, max_examples=200)
@given(SEEDS, st.integers(0, 7), st.floats(0.1, 1.0))
def test_all_stays_within_its_bounds(exercise: Exercise, seed: int, number: int, reach: float) -> None:
    drawn = variation(exercise, Draws(seed, number, reach))
    assert drawn == variation(exercise, Draws(seed, number, reach))
    weather, vary = drawn.weather, exercise.vary
    assert abs(weather.tide_m) <= vary.tide_m * reach + 0.005
    assert abs(weather.tide_s) <= 60 * vary.tide_min * reach + 30
    assert abs(weather.tide_range - 1) <= vary.tide_range * reach + 0.0005
    assert abs(weather.wind_factor - 1) <= vary.wind * reach + 0.0005
    assert abs(weather.wind_deg) <= vary.wind_deg * reach + 0.5
    for before, after in zip(times(exercise), times(drawn), strict=True):
        assert abs(after - before) <= 300.0
    surge, gust = drawn.injections[1], drawn.injections[2]
    assert isinstance(surge, TideSurge)
    assert isinstance(gust, Gust)
    assert surge.metres == pytest.approx(0.4, rel=0.151)
    assert gust.speed_ms == pytest.approx(12.0, rel=0.081)
    for fault in drawn.injections:
        if isinstance(fault, GaugeFault | Gust):
            assert exercise.start <= fault.at
            assert fault.at + fault.seconds <= exercise.end
    for each in drawn.expected:
        assert exercise.start <= each.since <= each.by <= exercise.end


@pytest.mark.slow
@settings(deadline=None, max_examples=100)
@given(SEEDS)
def test_what_belongs_together_stays_together_and_nothing_passes_another(
    exercise: Exercise, seed: int
) -> None:
    lost, gust, parted, frozen = times(variation(exercise, Draws(seed, 0)))
    assert parted - gust == 300.0, "the line parts in the gust"
    assert lost < gust < frozen


@settings(deadline=None, max_examples=100)
@given(SEEDS)
def test_what_is_expected_comes_with_what_it_answers(exercise: Exercise, seed: int) -> None:
    drawn = variation(exercise, Draws(seed, 0))
    lost, gust, _, _ = times(drawn)
    called, master, _ = drawn.expected
    assert (called.since - START, called.by - START) == (lost, lost + 300.0), "within five minutes of it"
    assert master.since == exercise.start
    assert lost < master.by - START < gust, "still before the gust"


def test_a_seed_draws_the_same_on_every_python() -> None:
    """What this program drew once, on two Pythons alike; not a figure of anybody else."""
    own = read_exercise(Path(__file__).parents[3] / "configs" / "exercises" / "gale_without_a_gauge.yaml")
    drawn = variation(own, Draws(7, 0))
    assert drawn.weather == OtherWeather(-0.07, -540.0, 1.046, 1.028, -10.0)
    lost, gust, brake, *rates = drawn.injections
    assert isinstance(lost, GaugeFault)
    assert isinstance(gust, Gust)
    assert isinstance(brake, BrakeRendering)
    assert (lost.channel, lost.at) == ("draught_fwd", 1774021110.0)
    assert (gust.at, gust.speed_ms, gust.from_deg) == (1774026210.0, 24.35, 159.0)
    assert (brake.at, brake.brake_kn) == (gust.at, 220.4)
    assert [each.times for each in rates if isinstance(each, CargoRate)] == [
        1.017,
        0.895,
        0.902,
        1.001,
        1.055,
    ]
    assert [each.by for each in drawn.expected] == [1774022010.0, 1774024272.0, 1774024595.0]


def test_no_two_seeds_are_alike(exercise: Exercise) -> None:
    drawn = [variation(exercise, Draws(seed, 0)) for seed in range(40)]
    assert len({(each.weather, tuple(times(each))) for each in drawn}) == 40


def test_without_bounds_it_is_the_exercise(exercise: Exercise) -> None:
    bound = replace(exercise, vary=NO_ROOM)
    assert variation(bound, Draws(3, 0)) == replace(bound, seed=3)


def test_one_thing_more_leaves_the_weather_as_it_was(exercise: Exercise) -> None:
    fewer = replace(exercise, injections=exercise.injections[:1])
    assert variation(fewer, Draws(3, 0)).weather == variation(exercise, Draws(3, 0)).weather


def test_of_equals_another_may_be_hit_and_what_is_expected_names_it(exercise: Exercise) -> None:
    among = (("draught_fwd", "draught_aft"), ("2", "3"))
    own = replace(exercise, vary=replace(exercise.vary, among=among))
    hit = {}
    for seed in range(12):
        drawn = variation(own, Draws(seed, 0))
        lost, parted, frozen = drawn.injections[0], drawn.injections[3], drawn.injections[4]
        assert isinstance(lost, GaugeFault)
        assert isinstance(parted, PartedLine)
        assert isinstance(frozen, GaugeFault)
        assert {lost.channel, frozen.channel} == {"draught_fwd", "draught_aft"}, "each is hit once"
        assert drawn.expected[0].channel == lost.channel
        assert drawn.expected[2].line == "1", "no injection hits line 1"
        hit[lost.channel, parted.line] = seed
    assert len(hit) == 4


def test_a_brake_still_holds_less_than_it_would(exercise: Exercise) -> None:
    line = next(each for each in exercise.stay.lines if each.winch is not None)
    holds = exercise.stay.ship.winches[line.winch or ""].holding_kn or 0.0
    weak = replace(exercise, injections=(BrakeRendering(line.id, at(2000), 0.99 * holds),))
    for seed in range(20):
        (brake, *_) = variation(weak, Draws(seed, 0)).injections
        assert isinstance(brake, BrakeRendering)
        assert 0.0 < brake.brake_kn < holds


def test_planned_cargo_goes_otherwise_from_the_start_on(exercise: Exercise) -> None:
    more = [each for each in variation(exercise, Draws(1, 0)).injections if isinstance(each, CargoRate)]
    assert [(each.operation, each.at) for each in more] == [("hold 1", exercise.start)]
    assert 0.85 <= more[0].times <= 1.15


@pytest.mark.slow
def test_the_other_water_comes_in_at_the_gauge_and_she_was_made_fast_on_it(tmp_path: Path) -> None:
    """No table of the tide: only the height is another. The loads stay, as the ship rises with it."""
    plain = lived(tmp_path, "", stay=BALANCED)
    drawn = replace(plain.exercise, weather=replace(AS_RECORDED, tide_m=0.3))
    assert stay_of(drawn).lines[1].made_fast.tide == pytest.approx(2.3)
    measure = yardstick_of(drawn)
    assert measure.nothing.course.cost == pytest.approx(
        yardstick_of(plain.exercise).nothing.course.cost, abs=1
    )


HOUR = f"  - {{kind: silent, channel: draught_fwd, at: {second(1800)}, seconds: 600}}\n"


@pytest.fixture(scope="module")
def flooded(tmp_path_factory: pytest.TempPathFactory) -> Exercise:
    return read_exercise(write_exercise(tmp_path_factory.mktemp("flooded"), HOUR, BALANCED, flood))


@pytest.mark.slow
def test_a_variation_asks_about_what_the_exercise_asks(flooded: Exercise) -> None:
    drawn = drawn_exercise(flooded, 5, lambda each, _: yardstick_of(each), not_shown)
    assert drawn.seed == 5
    assert drawn.name == "Small exercise, variation 5"
    own, other = (Demand.of(yardstick_of(each)) for each in (flooded, drawn))
    assert 0.5 * own.stake <= other.stake <= 2.0 * own.stake
    assert other.alarm_s <= 1.2 * own.alarm_s + 120.0
    again = drawn_exercise(flooded, 5, lambda each, _: yardstick_of(each), not_shown)
    assert again == drawn


@pytest.mark.slow
def test_one_that_asks_too_little_is_drawn_again_within_narrower_bounds(flooded: Exercise) -> None:
    """What nothing done costs is set by hand, draw by draw: a tenth, three times, then as much."""
    own = yardstick_of(flooded)
    parts = iter((1.0, 0.1, 3.0, 1.0))

    def measure(each: Exercise, _: object) -> object:
        part = next(parts)
        course = own.nothing.course
        nothing = replace(course, line_cost=course.line_cost * part)
        best = replace(own.best.course, line_cost=own.best.course.line_cost * 0.0)
        return replace(own, nothing=replace(own.nothing, course=nothing), best=replace(own.best, course=best))

    drawn = drawn_exercise(flooded, 5, measure, not_shown)  # type: ignore[arg-type]
    third = variation(flooded, Draws(5, 2, 0.7))
    assert (drawn.weather, drawn.injections) == (third.weather, third.injections)


@pytest.mark.slow
def test_where_none_is_found_it_is_said(flooded: Exercise) -> None:
    own = yardstick_of(flooded)
    little = replace(own, nothing=own.best)

    def measure(each: Exercise, _: object) -> object:
        return own if each.seed is None else little

    with pytest.raises(WrongInput, match="seed 5: no variation in 8 draws"):
        drawn_exercise(flooded, 5, measure, not_shown)  # type: ignore[arg-type]


@pytest.mark.slow
def test_what_an_instructor_did_stays_as_it_was(flooded: Exercise) -> None:
    live = GaugeFault("draught_aft", at(2000), 60.0, "silent")
    given = replace(flooded, injections=(*flooded.injections, live), instructed=Instructed((live,)))
    drawn = drawn_exercise(given, 5, lambda each, _: yardstick_of(each), not_shown)
    alone = drawn_exercise(flooded, 5, lambda each, _: yardstick_of(each), not_shown)
    assert drawn.injections == (*alone.injections, live)


@pytest.mark.parametrize(
    ("section", "fault"),
    [
        ("{minutes: 90}", "vary.minutes: '90'"),
        ("{tides: 1}", "unknown key"),
        ("{wind: 0.9}", "vary.wind: '0.9'"),
        ("{among: [['1']]}", "a list of at least 2"),
        ("{among: [['1', '9']]}", "there is no line '9'"),
        ("{among: [[tide, rain]]}", "there is no line or channel of the feeds 'rain'"),
        ("{among: [['1', '2'], ['2', '3']]}", "'2' is named before"),
        ("{among: [['1', '3']]}", "the brake of line 3 holds no more than"),
    ],
)
def test_the_section_is_checked(tmp_path: Path, section: str, fault: str) -> None:
    brake = f"  - {{kind: brake_rendering, line: '1', at: {second(2000)}, brake_kn: 40}}\n"
    with pytest.raises(StayFaults) as refused:
        read_exercise(write_exercise(tmp_path, brake, BALANCED, more=f"vary: {section}"))
    assert fault in str(refused.value)


def test_the_section_is_read(tmp_path: Path) -> None:
    more = "vary: {minutes: 3, tide_m: 0, among: [[draught_fwd, draught_aft]]}"
    read = read_exercise(write_exercise(tmp_path, "", more=more)).vary
    assert read == Vary(minutes=3.0, tide_m=0.0, among=(("draught_fwd", "draught_aft"),))


def attempted(exercise: Exercise, path: Path, done: Sequence[Done], seed: int | None) -> Path:
    attempt = Attempt("A. Example", True, 1e9, 1e9 + 60, exercise.end)
    write_actions(path, done, of_exercise(attempt, replace(exercise, seed=seed)))
    return path


@pytest.mark.slow
def test_the_seed_of_an_attempt_is_that_of_its_debrief(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = write_exercise(tmp_path, HOUR, BALANCED, flood)
    exercise = read_exercise(file)
    done = [Done(exercise.start + 60.0, TendLine("2", paid_out=0.3))]
    plain = attempted(exercise, tmp_path / "plain.jsonl", done, None)
    drawn = attempted(exercise, tmp_path / "drawn.jsonl", done, 5)
    texts = {}
    for name, path in (("plain", plain), ("drawn", drawn)):
        assert main(["debrief", str(file), str(path), "--json", str(tmp_path / f"{name}.json")]) == 0
        texts[name] = capsys.readouterr().out
    assert texts["plain"].splitlines()[0] == "Debrief: Small exercise"
    assert texts["drawn"].splitlines()[0] == "Debrief: Small exercise, variation 5"
    assert (
        main(["debrief", str(file), str(drawn), "--vary", "5", "--json", str(tmp_path / "again.json")]) == 0
    )
    assert (tmp_path / "again.json").read_bytes() == (tmp_path / "drawn.json").read_bytes()
    assert main(["debrief", str(file), str(drawn), "--vary", "6"]) == 2
    assert "--vary 6: it was gone through in variation 5" in capsys.readouterr().err
    assert main(["debrief", str(file), str(plain), "--vary", "6"]) == 2
    assert "in no variation" in capsys.readouterr().err
    written = json.loads(drawn.read_text(encoding="utf-8").splitlines()[0])["attempt"]
    assert (written["exercise"], written["vary"]) == ("exercise", 5)


@pytest.mark.slow
def test_headless_a_variation_is_another_stay_and_the_same_each_time(tmp_path: Path) -> None:
    file = write_exercise(tmp_path, HOUR, BALANCED, flood)
    states = {}
    for name, more in (("plain", []), ("one", ["--vary", "5"]), ("again", ["--vary", "5"])):
        path = tmp_path / f"{name}.jsonl"
        assert main(["exercise", str(file), "--headless", "--states", str(path), "--every", "60", *more]) == 0
        states[name] = path.read_bytes()
    assert states["one"] == states["again"]
    assert states["one"] != states["plain"]


@pytest.mark.slow
def test_the_trainer_sees_what_was_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = write_exercise(tmp_path, HOUR, BALANCED, flood)
    assert main(["exercise", str(file), "--check", "--vary", "5"]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert "Small exercise, variation 5" in rows[0]
    assert rows[1].startswith("water higher by ")
    assert rows[6].startswith("silent draught_fwd: ")


@pytest.mark.parametrize("seed", ["-1", "x", "1.5", str(2**31 + 1)])
def test_a_seed_is_a_whole_number(tmp_path: Path, seed: str) -> None:
    with pytest.raises(SystemExit):
        main(["exercise", str(tmp_path), "--vary", seed])
