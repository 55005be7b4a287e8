"""`listen` at the bench: a gauge of unknown make becomes channel lines; a log; why nothing is heard."""

import json
import os
import pty
import re
import socket
import subprocess
import time
import tty
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from alongside.cli.listen import CLEAR
from alongside.cli.main import main
from alongside.feeds.intake import Intake
from alongside.feeds.listen import Listening, table
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import sentence
from alongside.reports.why_silent import why_nothing_is_used, why_waiting
from alongside.stay.model import Feed, Source, Stay
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, write_stay
from tests.cli.prompts import Prompts
from tests.cli.test_main import ALONGSIDE
from tests.feeds.stays import START, stay_with, tide, wind, write_log

HEAD: Final = STAY_TEXT[: STAY_TEXT.index("feeds:")]
SERIAL: Final = "serial:/dev/ttyUSB0?baud=4800"


@pytest.mark.slow
def test_from_cable_to_channel_lines(tmp_path: Path) -> None:
    """The whole way: a port, a proposal, a stay file that `check` takes and that reads these values."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    line = b"02.03.2026 04:00:00;LVL;2,45 m;20' 6\"\r\n"
    command = [
        *ALONGSIDE,
        "listen",
        f"udp:{port}?on=127.0.0.1",
        "--name",
        "2=draught_fwd",
        "--name",
        "1=tide",
    ]
    file = tmp_path / "heard.json"
    process = subprocess.Popen(
        [*command, "--seconds", "4", "--json", str(file)], stdout=subprocess.PIPE, text=True
    )
    with process, socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        until = time.monotonic() + 30.0
        while process.poll() is None and time.monotonic() < until:
            sender.sendto(line, ("127.0.0.1", port))
            time.sleep(0.1)
        assert process.stdout is not None
        text = process.stdout.read()
    assert process.returncode == 0
    assert "Proposed for the stay file" in text
    proposed = json.loads(file.read_text())["feeds"][0]["proposal"]
    assert proposed.removeprefix("feeds:\n").strip() in text
    stay = write_stay(tmp_path, f"{HEAD}{proposed}balance: off\n")
    assert main(["check", str(stay)]) == 0
    log = write_log(tmp_path / "a.log", [(START, "gauge", line.strip())])
    assert main(["listen", str(stay), str(log), "--json", str(tmp_path / "again.json")]) == 0
    (feed,) = json.loads((tmp_path / "again.json").read_text())["feeds"]
    values = {each["channel"]: each["value"] for each in feed["channels"]}
    assert values == {"tide": pytest.approx(2.45), "draught_fwd": pytest.approx(20.5 * 0.3048)}


def test_a_log_says_what_its_feeds_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = [(START + at, "gauges", tide(2.0 + 0.01 * at)) for at in (0, 1, 2, 30)]
    log = write_log(tmp_path / "a.log", [*lines, (START + 31.0, "gauges", tide(9.0)[:-2] + b"00")])
    assert main(["listen", str(write_stay(tmp_path)), str(log), "--propose"]) == 0
    text = capsys.readouterr().out
    assert re.search(r"WLXDR +4 +0\.10/s", text)
    assert "tide             2.300" in text
    assert "longest silence 28.0 s" in text
    assert "1 wrong checksum" in text
    assert "draught_fwd: XDR has TIDE, not DRF" in text
    assert "tide: {sentence: XDR, talker: WL, name: TIDE}  # 2.3 M (2 to 2.3) beside TIDE" in text


def test_a_log_without_lines_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "empty.log").write_bytes(b"")
    assert main(["listen", str(write_stay(tmp_path)), str(tmp_path / "empty.log")]) == 2
    assert "expected a feed log" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["tide=1", "1=tied", "x=tide", "1=tension.", "1"])
def test_a_figure_has_a_number_and_a_channel(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(["listen", "udp:10110", "--name", name])
    assert "expected a number and a channel such as 1=tide" in capsys.readouterr().err


@pytest.mark.slow
def test_a_port_at_the_wrong_baud_is_no_text(tmp_path: Path) -> None:
    master, slave = pty.openpty()
    tty.setraw(slave)
    command = [*ALONGSIDE, "listen", f"serial:{os.ttyname(slave)}?baud=4800", "--seconds", "2"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        until = time.monotonic() + 30.0
        while process.poll() is None and time.monotonic() < until:
            os.write(master, bytes(range(128, 168)) + b"\r\n")
            time.sleep(0.1)
        text = process.communicate(timeout=10)[0]
    os.close(master)
    os.close(slave)
    assert "are no text: baud rate, bits and parity, or an inverted line (A and B exchanged)" in text


@pytest.mark.slow
def test_a_silent_port_says_what_to_look_at(tmp_path: Path) -> None:
    master, slave = pty.openpty()
    port = f"serial:{os.ttyname(slave)}?baud=4800"
    done = subprocess.run(
        [*ALONGSIDE, "listen", port, "--seconds", "1"],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    os.close(master)
    os.close(slave)
    assert done.returncode == 0
    assert "nothing comes: check cable, power, and that the gauge's output is on this input" in done.stdout
    assert "No figure was heard: there is nothing to propose" in done.stdout


TIDE: Final = Source("tide", "XDR", names=("TIDE",))
WIND: Final = Source("wind_speed", "MWV", talker="WI")
PLAIN: Final = Source("heel", group="h")


@pytest.mark.parametrize(
    ("port", "source", "lines", "bytes_heard", "why"),
    [
        (SERIAL, TIDE, [], 0, "nothing comes: check cable"),
        ("udp:1", TIDE, [], 0, "the address and port that the gauge sends to"),
        ("tcp:box:1", TIDE, [], 0, "nothing comes: check power, cable, address and port"),
        (SERIAL, TIDE, [], 900, "900 bytes, but no line: check baud rate and line end"),
        (SERIAL, TIDE, [b"\x81\x82\xff\x90"], 9, "are no text: baud rate"),
        (SERIAL, TIDE, [tide(1.0)[:-2] + b"00"], 9, "1 of 1 checksums are wrong"),
        (SERIAL, TIDE, [b"$WLXDR,D,1,M,TIDE"], 9, "sentences without a checksum"),
        (SERIAL, TIDE, [wind(1.0, 2.0)], 9, "hears WIMWV, but none of its channels: check sentence, talker"),
        (SERIAL, TIDE, [tide(1.0)], 9, ""),
    ],
)
def test_why_a_feed_is_silent(
    port: str, source: Source, lines: list[bytes], bytes_heard: int, why: str
) -> None:
    feed = Feed("box", port, (source,))
    listening = Listening(stay_with(feed))
    for line in lines:
        listening.hear(START, "box", line)
    words = why_nothing_is_used(listening, feed, bytes_heard)
    assert why in words
    assert bool(why) == bool(words)


@pytest.mark.parametrize(
    ("source", "line", "why"),
    [
        (TIDE, wind(1.0, 2.0), "no XDR came"),
        (TIDE, sentence("WLXDR,D,1.0,M,LEVEL"), "XDR has LEVEL, not TIDE"),
        (WIND, sentence("IIMWV,1.0,R,2.0,M,A"), "MWV comes from II, not WI"),
        (PLAIN, b"LIST=1.0", "the pattern fits no line"),
        (PLAIN, tide(1.0), "no plain line came"),
        (PLAIN, b"#01 no answer", "the pattern fits no answer; 1 prompt had none"),
        (PLAIN, b"H=1.0", ""),
    ],
)
def test_why_a_channel_waits(source: Source, line: bytes, why: str) -> None:
    feed = Feed("box", "udp:1", (source,), r"^H=(?P<h>[-0-9.]+)")
    listening = Listening(stay_with(feed))
    listening.hear(START, "box", line)
    assert why_waiting(listening, feed, source) == why


def proposal(folder: Path, lines: list[bytes], *named: str) -> tuple[str, Stay]:
    """Return the proposal for lines of a log, and the stay that it makes."""
    log = write_log(folder / "a.log", ((START + k, "gauges", line) for k, line in enumerate(lines)))
    file, stay = folder / "heard.json", write_stay(folder)
    names = [word for name in named for word in ("--name", name)]
    assert main(["listen", str(stay), str(log), "--propose", "--json", str(file), *names]) == 0
    text = json.loads(file.read_text())["feeds"][0]["proposal"]
    return text, read_stay(write_stay(folder, f"{HEAD}{text}balance: off\n"))


def read_of(stay: Stay, lines: list[bytes]) -> dict[str, float]:
    intake = Intake(stay)
    for k, line in enumerate(lines):
        intake.take(START + k, stay.feeds[0].name, line)
    readings = intake.readings(np.array([START + len(lines)]))
    return {source.channel: float(readings.column(source.channel)[0]) for source in stay.feeds[0].channels}


def test_gauges_that_send_the_same_sentence_in_turn_are_told_apart(tmp_path: Path) -> None:
    levels = ("2.45", "4.10", "4.60")
    lines = [sentence(f"PLVL,{k % 3 + 1},{levels[k % 3]},M") for k in range(90)]
    text, stay = proposal(tmp_path, lines, "1=tide", "2=draught_fwd", "3=draught_aft")
    assert "tide: {sentence: PLVL, field: 2, unit_in: 3, where: {1: '1'}}" in text
    assert read_of(stay, lines) == pytest.approx({"tide": 2.45, "draught_fwd": 4.1, "draught_aft": 4.6})


def test_what_only_looks_like_turns_is_left(tmp_path: Path) -> None:
    """A quality that changes now and then, and a whole number that is the value."""
    lines = [sentence(f"PLVL,{k // 7 % 3},{240 + k // 9},M") for k in range(60)]
    text, _ = proposal(tmp_path, lines, "2=tide")
    assert "where" not in text


@pytest.mark.parametrize(
    ("lines", "entry"),
    [
        ([sentence("PLST,1.5,P"), sentence("PLST,0.5,S"), sentence("PLST,1.5,P")], "minus: {2: P}"),
        ([b"LIST 0.5 S", b"LIST 1.5 P"], "minus: {side1: P}"),
        ([b"LIST 1.5 P"], "minus: {side1: P}"),
        ([b"LIST 0.5 STBD", b"LIST 1.5 PORT"], "minus: {side1: PORT}"),
    ],
)
def test_a_list_to_port_is_proposed_as_negative(tmp_path: Path, lines: list[bytes], entry: str) -> None:
    text, stay = proposal(tmp_path, lines, "1=heel")
    assert entry in text
    assert read_of(stay, lines[-1:]) == {"heel": -1.5}


def test_a_side_behind_a_negative_list_is_left_and_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = write_log(
        tmp_path / "a.log", [(START, "gauges", b"LIST -1.5 P"), (START + 1, "gauges", b"LIST 1.5 S")]
    )
    assert main(["listen", str(write_stay(tmp_path)), str(log), "--name", "1=heel"]) == 0
    out = capsys.readouterr().out
    assert "say by `minus` which side is negative" in out
    assert "heel: {" not in out


def test_a_line_that_the_stay_does_not_have_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stay = str(write_stay(tmp_path))
    assert main(["listen", stay, "--name", "1=tension.9", "--seconds", "1"]) == 2
    assert "--name 1=tension.9: the stay has no line 9, expected one of 1, 2, 3" in capsys.readouterr().err


@pytest.mark.slow
def test_an_export_is_proposed_and_reads_itself(tmp_path: Path) -> None:
    now = time.time()
    rows = [time.strftime(f"%d.%m.%Y;%H:%M:%S;{2 + k};20,{k};ok", time.gmtime(now - 9 + k)) for k in range(9)]
    (tmp_path / "export.csv").write_text(
        "Date;Clock;Level (m);Draft fwd (ft);Note\n" + "\n".join(rows) + "\n"
    )
    command = [*ALONGSIDE, "listen", "csv:export.csv?to=end", "--json", "heard.json"]
    ran = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert ran.returncode == 0, ran.stderr
    assert "export.csv: has ended" in ran.stdout
    text = json.loads((tmp_path / "heard.json").read_text())["feeds"][0]["proposal"]
    for each in ("decimal: comma", "time: {column: [Date, Clock]", "zone: Z}", "tide: {column: 'Level (m)'}"):
        assert each in text
    stay = read_stay(write_stay(tmp_path, f"{HEAD}{text}balance: off\n"))
    intake = Intake(stay)
    for batch in FeedLog(tmp_path / "export.csv", stay=stay):
        intake.take_batch(batch)
    readings = intake.readings(np.array([now + 1.0]))
    assert readings.column("draught_fwd")[0] == pytest.approx(20.4 * 0.3048, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Time,Tide,Tide\n2026-03-02T04:00:00Z,2.45,2.72\n", "two columns have this heading"),
        ("Time,Tide\n05/06/2026 04:00:00,2.45\n", "day or month first?"),
    ],
)
def test_what_is_not_sure_of_an_export_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, why: str
) -> None:
    export = tmp_path / "export.csv"
    export.write_text(text)
    assert main(["listen", f"csv:{export}?to=end"]) == 0
    said = capsys.readouterr().out
    assert why in said
    assert "Proposed" not in said


def test_a_unit_in_a_column_of_its_own_is_proposed_with_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    export = tmp_path / "export.csv"
    export.write_text("Time;Tide;Unit\n2026-03-02T04:00:00Z;245;cm\n")
    assert main(["listen", f"csv:{export}?to=end"]) == 0
    assert "tide: {column: Tide, unit_in: Unit}" in capsys.readouterr().out


def test_senders_of_one_port_and_a_value_out_of_range_are_said() -> None:
    feed = Feed("box", "udp:1", (replace(TIDE, range=(-5.0, 20.0)),))
    listening = Listening(stay_with(feed))
    for at in range(4):
        listening.hear(START + at, "box", tide(264.0), ("10.0.0.5", "10.0.0.7")[at % 2])
    said = table(listening, START + 4)
    assert "2 senders on this port: 10.0.0.5 2 lines, 10.0.0.7 2 lines" in said
    assert "264.000, refused: outside -5 to 20" in said


def test_registers_are_not_asked_for_without_a_stay_file(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["listen", "modbus:127.0.0.1", "--seconds", "1"]) == 2
    assert "nothing is asked without registers, expected a stay file" in capsys.readouterr().err


@pytest.mark.slow
def test_the_live_table_on_a_terminal_ends_clean(tmp_path: Path) -> None:
    """Shown anew every two seconds; Ctrl-C leaves what was heard, and the proposal, on the screen."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    stay = write_stay(tmp_path, STAY_TEXT.replace(SERIAL, f"udp:{port}?on=127.0.0.1"))
    with Prompts(["listen", str(stay), "--propose"], size=(80, 8)) as terminal:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:

            def shown() -> str:
                sender.sendto(wind(30.0, 10.0) + b"\r\n", ("127.0.0.1", port))
                sender.sendto(tide(2.0) + b"\r\n", ("127.0.0.1", port))
                return terminal.text

            terminal.until(lambda: shown().count(CLEAR) >= 3)
        last = terminal.text.rpartition(CLEAR)[2]
        assert last.startswith(f"gauges  udp:{port}")
        assert "rows more: they come at the end, by Ctrl-C" in last
        assert last.count("\n") <= 7, "a table longer than the screen would push its beginning out of sight"
        assert "Proposed" not in terminal.text
        terminal.write("\x03")
        assert terminal.ends() == 130
    end = terminal.text.rpartition(CLEAR)[2]
    assert "rows more" not in end
    assert re.search(r"tide +2\.000 ", end)
    assert "wind_speed: {sentence: MWV, talker: WI}" in end
    assert "Traceback" not in terminal.text
