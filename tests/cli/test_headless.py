"""A replay without a screen, through the command line, on real files."""

import gzip
import json
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.units import iso_time
from tests.berth import START, STAY_TEXT, gauges, tagged, write_stay


def write_log(folder: Path, lines: list[bytes], name: str = "stay.log") -> Path:
    path = folder / name
    path.write_bytes(b"".join(lines))
    return path


def steady(seconds: int, tide: float = 2.0, start: float = START) -> list[bytes]:
    return [gauges(start + s, tide) for s in range(seconds)]


def replay(
    folder: Path, log: Path, *more: str, stay: Path | None = None
) -> tuple[int, list[dict], list[dict]]:
    states, events = folder / "states.jsonl", folder / "events.jsonl"
    stay = stay or write_stay(folder)
    command = ["replay", str(stay), str(log), "--headless", "--states", str(states), "--events", str(events)]
    status = main([*command, *more])
    read = [[json.loads(line) for line in p.read_text().splitlines()] for p in (states, events)]
    return status, read[0], read[1]


def test_a_state_each_cycle_with_all_its_names(tmp_path: Path) -> None:
    status, states, events = replay(tmp_path, write_log(tmp_path, steady(10)))
    assert status == 0
    assert [state["time"] for state in states] == [iso_time(START + s) for s in range(10)]
    assert next(iter(states[0].items())) == next(iter(events[0].items())) == ("format", 1)
    assert set(states[0]) == {
        "format", "time", "tide", "draught_fwd", "draught_aft", "heel_deg", "trim", "surge", "sway",
        "yaw_deg", "surge_range", "sway_range", "yaw_range_deg", "wind_ms", "wind_from_deg", "tide_residual",
        "quality", "channels", "lines", "fenders",
    }  # fmt: skip
    line = states[0]["lines"][1]
    assert set(line) == {
        "id", "role", "vertical_deg", "horizontal_deg", "outboard_m", "path_m", "unstretched_m",
        "elongation_pct", "stretch_share", "load_share", "tension_kn", "ahead_kn", "in_kn", "down_kn",
        "stage", "because", "stages", "why", "main_m",
        "tension_low_kn", "tension_high_kn", "stretch_low", "stretch_high",
        "measured_kn", "peak_kn", "by_cell", "slipped",
    }  # fmt: skip
    assert line["tension_kn"] == pytest.approx(20.0, abs=1e-6)
    assert states[0]["trim"] == pytest.approx(0.5)
    assert set(states[0]["fenders"][0]) == {"x", "deflection", "reaction_kn"}
    assert states[0]["heel_deg"] is None, "no inclinometer is fitted: not known, never 0"
    assert states[0]["wind_ms"] is None
    assert (events[0]["event"], events[-1]["event"]) == ("started", "stopped")
    assert {"time", "event", "alert", "stage", "line", "value", "limit", "text"} <= set(events[0])


def test_every_counts_log_time_from_the_first_cycle(tmp_path: Path) -> None:
    _, states, _ = replay(tmp_path, write_log(tmp_path, steady(200)), "--every", "60")
    assert [state["time"] for state in states] == [iso_time(START + s) for s in (0, 60, 120, 180)]


def test_without_the_spread_of_loads_all_else_is_the_same(tmp_path: Path) -> None:
    """Those four keys are null, and were numbers."""
    log, spread = (
        write_log(tmp_path, steady(200)),
        ("tension_low_kn", "tension_high_kn", "stretch_low", "stretch_high"),
    )
    _, states, events = replay(tmp_path, log, "--every", "60")
    _, without, events_without = replay(tmp_path, log, "--every", "60", "--no-spread")
    for state in (*states, *without):
        for line in state["lines"]:
            line["spread"] = [line.pop(key) for key in spread]
    assert all(None not in line.pop("spread") for state in states for line in state["lines"])
    assert all(line.pop("spread") == [None] * 4 for state in without for line in state["lines"])
    assert (states, events) == (without, events_without)


@pytest.mark.slow
def test_same_files_in_same_bytes_out(tmp_path: Path) -> None:
    log = write_log(tmp_path, [gauges(START + s, 2.0 + s * 0.0004) for s in range(5000)])
    outputs = []
    for _ in range(2):
        replay(tmp_path, log)
        outputs.append([(tmp_path / f"{name}.jsonl").read_bytes() for name in ("states", "events")])
    assert outputs[0] == outputs[1]


def test_gzip_gives_what_the_plain_log_gives(tmp_path: Path) -> None:
    lines = steady(100)
    plain = replay(tmp_path, write_log(tmp_path, lines))
    packed = write_log(tmp_path, [gzip.compress(b"".join(lines))], "stay.log.gz")
    assert replay(tmp_path, packed) == plain


@pytest.mark.slow
def test_from_tells_what_stands_then_as_if_played_from_the_start(tmp_path: Path) -> None:
    log = write_log(tmp_path, [gauges(START + s, 2.0 + s * 0.0008) for s in range(4000)])
    _, whole, _ = replay(tmp_path, log)
    _, part, events = replay(tmp_path, log, "--from", iso_time(START + 3000))
    assert part == whole[3000:]
    assert events[0]["time"] == iso_time(START + 3000)


def test_nothing_known_is_null_and_never_zero(tmp_path: Path) -> None:
    lines = [line.replace(b"TIDE", b"TIDX") for line in steady(5)]
    for line in lines:
        assert b"TIDX" in line
    _, states, _ = replay(tmp_path, write_log(tmp_path, lines))
    assert states[-1]["tide"] is None
    assert states[-1]["quality"] == "lost"
    assert all(line["tension_kn"] is None and line["stage"] is None for line in states[-1]["lines"])


def test_a_line_made_fast_without_stated_tide_takes_the_first_readings(tmp_path: Path) -> None:
    _, states, events = replay(tmp_path, write_log(tmp_path, steady(10, tide=2.7)))
    assert states[0]["lines"][0]["tension_kn"] == pytest.approx(20.0, abs=1e-6)
    assert states[0]["lines"][1]["tension_kn"] > 25.0, (
        "made fast at tide 2.0: 0.7 m of rise have stretched it"
    )
    assert any(event["event"] == "made_fast" and event["line"] == "1" for event in events)


def test_a_line_is_not_fast_before_its_time(tmp_path: Path) -> None:
    log = write_log(tmp_path, steady(20, start=START - 10))
    _, states, _ = replay(tmp_path, log)
    assert [state["lines"][1]["tension_kn"] is None for state in states] == [True] * 10 + [False] * 10
    assert states[0]["lines"][1]["vertical_deg"] is not None, "its lead is known all the same"


def test_tending_in_the_stay_file(tmp_path: Path) -> None:
    first = "{at: 2026-03-02T04:00:30Z, paid_out: 0.40}"
    tended = f", tended: [{first}, {{at: 2026-03-02T04:01:00Z, to_tension_kn: 35}}]}}"
    text = STAY_TEXT.replace(
        "tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}",
        "tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}" + tended,
        1,
    )
    stay = write_stay(tmp_path, text)
    _, states, events = replay(tmp_path, write_log(tmp_path, steady(90)), stay=stay)
    lengths = [state["lines"][1]["unstretched_m"] for state in states]
    assert lengths[30] - lengths[29] == pytest.approx(0.40, abs=2e-6)
    assert states[60]["lines"][1]["tension_kn"] == pytest.approx(35.0, abs=1e-6)
    assert [event["time"] for event in events if event["event"] == "tended"] == [
        iso_time(START + 30),
        iso_time(START + 60),
    ]


def test_a_log_cut_off_in_mid_line_gives_everything_before(tmp_path: Path) -> None:
    whole = steady(10)
    log = write_log(tmp_path, [*whole, gauges(START + 10, 2.0)[:45]])
    _, states, events = replay(tmp_path, log)
    assert len(states) == 10
    assert "breaks off" in events[-1]["text"]


def test_an_hour_without_data_is_told_and_made_up_by_nobody(tmp_path: Path) -> None:
    log = write_log(tmp_path, steady(60) + steady(60, start=START + 3660))
    _, states, events = replay(tmp_path, log)
    gap = next(event for event in events if event["event"] == "gap")
    assert gap["time"] == iso_time(START + 3660)
    times = [state["time"] for state in states]
    assert times == sorted(set(times))
    known = {state["time"] for state in states if state["tide"] is not None}
    assert iso_time(START + 59 + 300) in known, "a value serves until it is lost"
    assert iso_time(START + 60 + 301) not in known
    assert [e["event"] for e in events if e["event"].startswith("feed_")] == ["feed_lost"] * 3 + [
        "feed_back"
    ] * 3


def test_stage_status_tells_the_worst_stage(tmp_path: Path) -> None:
    rising = [gauges(START + s, 2.0 + min(s, 600) * 0.003) for s in range(900)]
    status, _, events = replay(tmp_path, write_log(tmp_path, rising), "--stage-status")
    worst = {"caution": 10, "warning": 11, "alarm": 12}
    raised = [worst[e["stage"]] for e in events if e["event"] in ("raised", "worsened", "escalated")]
    assert status == max(raised, default=0)
    assert status >= 10


def test_stage_status_counts_what_stands_at_the_beginning(tmp_path: Path) -> None:
    rising = [gauges(START + s, 2.0 + min(s, 600) * 0.003) for s in range(900)]
    log = write_log(tmp_path, rising)
    whole, _, _ = replay(tmp_path, log, "--stage-status")
    status, _, events = replay(tmp_path, log, "--stage-status", "--from", iso_time(START + 880))
    assert not [event for event in events if event["event"] in ("raised", "worsened", "escalated")]
    assert 10 <= status <= whole
    calm, _, _ = replay(tmp_path, log, "--stage-status", "--from", iso_time(START))
    assert calm == whole


@pytest.mark.parametrize("content", [b"", b"\x00\xff\x1f" * 5000, b"no time here\r\n" * 10], ids=repr)
def test_a_log_without_a_single_time_is_refused(
    tmp_path: Path, content: bytes, capsys: pytest.CaptureFixture
) -> None:
    log = write_log(tmp_path, [content])
    states = tmp_path / "states.jsonl"
    command = ["replay", str(write_stay(tmp_path)), str(log), "--headless", "--states", str(states)]
    assert main(command) == 2
    assert str(log) in capsys.readouterr().err
    assert not states.exists(), "nothing was done"


@pytest.mark.parametrize("stamp", [2**64, 67768036191676800, 4102444800000, 631151999999, 1, 0])
def test_times_before_1990_or_after_2099_are_counted_and_not_used(tmp_path: Path, stamp: int) -> None:
    """Two of them stand first, two in the middle: what is told is the same as without them."""
    good = steady(60)
    wrong = [tagged(stamp / 1000.0, "IIXDR,D,9.000,M,TIDE")] * 2
    _, expected, _ = replay(tmp_path, write_log(tmp_path, good))
    status, states, events = replay(tmp_path, write_log(tmp_path, [*wrong, *good[:30], *wrong, *good[30:]]))
    assert status == 0
    assert states == expected
    assert "4 time not of 1990 to 2099" in events[-1]["text"]


def test_a_burst_with_a_wrong_time_does_not_end_a_log(tmp_path: Path) -> None:
    """A day ahead, ten lines of it: the log goes on behind them."""
    good = steady(120)
    burst = [gauges(START + 86400.0 + k / 10.0, 9.0) for k in range(10)]
    _, expected, _ = replay(tmp_path, write_log(tmp_path, good))
    _, states, events = replay(tmp_path, write_log(tmp_path, [*good[:60], *burst, *good[60:]]))
    assert states == expected
    assert "10 time leaps" in events[-1]["text"]
    assert not [event for event in events if event["event"] == "gap"]


@pytest.mark.parametrize("start", ["1989-12-31T23:59:59Z", "2100-01-01T00:00:00Z", "9999-01-01T00:00:00Z"])
def test_a_time_on_the_command_line_is_of_1990_to_2099(
    tmp_path: Path, start: str, capsys: pytest.CaptureFixture
) -> None:
    log = write_log(tmp_path, steady(10))
    with pytest.raises(SystemExit) as ended:
        main(["replay", str(write_stay(tmp_path)), str(log), "--headless", "--from", start])
    assert ended.value.code == 2
    assert "1990 to 2099" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("typed", "zone", "begins"),
    [
        ("05:59", "+02:00", None),
        ("06:00:05", "+02:00", START + 5.0),
        ("06:00", "+02:00", START),
        ("04:01Z", "+02:00", START + 60.0),
        ("06:01+02:00", "Europe/London", START + 60.0),
    ],
)
def test_a_time_of_day_is_the_first_in_the_log(
    tmp_path: Path, typed: str, zone: str, begins: float | None, capsys: pytest.CaptureFixture
) -> None:
    stay = write_stay(tmp_path, f'{STAY_TEXT}display: {{zone: "{zone}"}}\n')
    log = write_log(tmp_path, steady(90))
    if begins is None:
        assert main(["replay", str(stay), str(log), "--headless", "--from", typed]) == 2
        assert "no 05:59:00 in it (02 Mar 06:00 to 02 Mar 06:01)" in capsys.readouterr().err
    else:
        status, states, _ = replay(tmp_path, log, "--from", typed, stay=stay)
        assert (status, states[0]["time"]) == (0, iso_time(begins))


def test_a_missing_log_is_refused(tmp_path: Path) -> None:
    assert main(["replay", str(write_stay(tmp_path)), str(tmp_path / "none.log"), "--headless"]) == 2


def test_without_files_the_time_line_is_printed(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    assert main(["replay", str(write_stay(tmp_path)), str(write_log(tmp_path, steady(5))), "--headless"]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert printed[0].startswith("2026-03-02 04:00:00")
    assert "started" in printed[0]


def test_nothing_is_written_over_what_is_read(tmp_path: Path) -> None:
    log, stay = write_log(tmp_path, steady(5)), write_stay(tmp_path)
    before = log.read_bytes(), stay.read_bytes()
    once = tmp_path / "out.jsonl"
    for outputs in ([str(log), str(once)], [str(once), str(stay)], [str(once), str(once)]):
        command = [
            "replay",
            str(stay),
            str(log),
            "--headless",
            "--states",
            outputs[0],
            "--events",
            outputs[1],
        ]
        assert main(command) == 2
    assert (log.read_bytes(), stay.read_bytes()) == before
    assert not once.exists()


def test_elongation_follows_from_path_and_unstretched_length(tmp_path: Path) -> None:
    tailed = STAY_TEXT.replace(
        "rope: polyester,\n", "rope: polyester, tail: {rope: polyester, length: 6.0},\n", 1
    )
    _, states, _ = replay(tmp_path, write_log(tmp_path, steady(5)), stay=write_stay(tmp_path, tailed))
    for line in states[-1]["lines"]:
        share = (line["path_m"] - line["unstretched_m"]) / line["unstretched_m"]
        assert line["elongation_pct"] == pytest.approx(100.0 * share, abs=1e-4)
    first = states[-1]["lines"][0]
    assert first["unstretched_m"] - first["main_m"] == pytest.approx(6.0, abs=2e-6)


def test_a_full_disk_is_said_in_one_line(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    log = write_log(tmp_path, steady(2000))
    command = ["replay", str(write_stay(tmp_path)), str(log), "--headless", "--states", "/dev/full"]
    assert main(command) == 4
    told = capsys.readouterr().err
    assert "/dev/full: No space left" in told
    assert "Traceback" not in told


def test_from_beyond_the_end_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture) -> None:
    log = write_log(tmp_path, steady(5))
    command = ["replay", str(write_stay(tmp_path)), str(log), "--headless", "--from", iso_time(START + 99)]
    assert main(command) == 2
    assert "ends at" in capsys.readouterr().err


def test_readings_serve_a_line_made_fast_from_their_own_time_on(tmp_path: Path) -> None:
    """Made fast between two readings, the later one counts."""
    stay = write_stay(
        tmp_path,
        STAY_TEXT.replace(
            "tide: {sentence: XDR, name: TIDE}", "tide: {sentence: XDR, name: TIDE, smooth_s: 0}"
        ).replace("at: 2026-03-02T04:00:00Z, tension_kn: 20}", "at: 2026-03-02T04:00:03Z, tension_kn: 20}"),
    )
    log = write_log(tmp_path, [gauges(START + s, 2.0 + s / 10.0) for s in range(0, 30, 5)])
    _, states, _ = replay(tmp_path, log, stay=stay)
    assert [state["lines"][0]["tension_kn"] is None for state in states[:6]] == [True] * 5 + [False]
    assert states[5]["lines"][0]["tension_kn"] == pytest.approx(20.0, abs=1e-6)
