"""`alongside emit`: real sockets, pseudo terminals and signals; whole lines whatever ends it."""

import os
import select
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.feeds.log import FeedLog
from alongside.feeds.port_writer import writer_of
from alongside.feeds.sentence import split_tags
from alongside.runtime.emitter import written
from alongside.runtime.lines_ahead import LinesAhead
from alongside.stay.out_ports import parse_out_port
from alongside.stay.read import read_stay
from alongside.training.simulate.log import simulate
from tests.berth import START, STAY_TEXT, gauges, tagged, write_stay

COMMAND = [sys.executable, "-m", "alongside", "emit"]


@pytest.fixture
def ear() -> Iterator[socket.socket]:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as ear:
        ear.bind(("127.0.0.1", 0))
        ear.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1 << 20)
        ear.settimeout(0.3)
        yield ear


def port_of(ear: socket.socket) -> str:
    return f"udp:127.0.0.1:{ear.getsockname()[1]}"


def all_of(ear: socket.socket) -> list[bytes]:
    got = []
    try:
        while True:
            got.append(ear.recv(65535))
    except TimeoutError:
        return got


def a_log(folder: Path, seconds: int = 60) -> Path:
    """A line a second, and a second feed with a wrong checksum every ten."""
    path = folder / "log.nmea"
    lines = []
    for second in range(seconds):
        lines.append(gauges(START + second, 2.0 + second / 100.0))
        if second % 10 == 5:
            lines.append(tagged(START + second, "WIMWV,214.8,R,12.3,N,A", "wind")[:-4] + b"00\r\n")
    path.write_bytes(b"".join(lines))
    return path


def test_lines_go_out_bare_and_as_they_are(
    tmp_path: Path, ear: socket.socket, capsys: pytest.CaptureFixture[str]
) -> None:
    log = a_log(tmp_path)
    assert main(["emit", str(log), port_of(ear), "--speed", "600"]) == 0
    got = all_of(ear)
    stood = [line.partition(b"\\$")[2] for line in log.read_bytes().split(b"\r\n") if line]
    assert got == [b"$" + line + b"\r\n" for line in stood]
    out = capsys.readouterr().out
    assert out.startswith(f"{port_of(ear)}: 66 lines sent, 2026-03-02T04:00:00Z to 2026-03-02T04:00:59Z, in ")


def test_times_of_the_log_or_of_now(tmp_path: Path, ear: socket.socket) -> None:
    log = a_log(tmp_path, 10)
    assert main(["emit", str(log), port_of(ear), "--speed", "600", "--times", "log"]) == 0
    assert b"".join(all_of(ear)) == log.read_bytes()
    before = time.time()
    assert main(["emit", str(log), port_of(ear), "--speed", "10", "--times", "now", "--feed", "gauges"]) == 0
    tags = [split_tags(line.strip())[0] for line in all_of(ear)]
    assert len(tags) == 10
    assert {tag.source for tag in tags} == {b"gauges"}
    assert before - 0.1 <= tags[0].time <= time.time()
    steps = [after.time - first.time for first, after in pairwise(tags)]
    assert steps == pytest.approx([0.1] * 9, abs=0.03), "as they go out, at ten times their pace"


def test_the_pace_is_that_of_the_log(tmp_path: Path, ear: socket.socket) -> None:
    log = a_log(tmp_path, 20)
    begun = time.monotonic()
    assert main(["emit", str(log), port_of(ear), "--speed", "20"]) == 0
    assert time.monotonic() - begun > 0.9, "19 s of log at twenty times their pace"


def test_from_a_time_or_a_time_of_day(tmp_path: Path, ear: socket.socket) -> None:
    log = a_log(tmp_path)
    for start in ("2026-03-02T04:00:50Z", "04:00:50"):
        assert main(["emit", str(log), port_of(ear), "--speed", "600", "--from", start]) == 0
        assert all_of(ear)[0].startswith(b"$IIXDR,D,2.500,M,TIDE"), start


SIMULATED = f"""{STAY_TEXT}
tide: {{high_low: [[2026-03-02T03:00:00Z, 1.0], [2026-03-02T09:00:00Z, 3.0]]}}
simulate: {{start: 2026-03-02T04:00:00Z, hours: 0.1, draught_fwd: 4.0, draught_aft: 4.5}}
"""


def test_a_stay_file_plays_its_simulation(tmp_path: Path, ear: socket.socket) -> None:
    stay = write_stay(tmp_path, SIMULATED)
    at = ["--from", "2026-03-02T04:05:00Z"]
    assert main(["emit", str(stay), port_of(ear), "--speed", "3600", "--times", "log", *at]) == 0
    got = b"".join(all_of(ear))
    made = tmp_path / "made.nmea"
    assert main(["simulate", str(stay), "--out", str(made)]) == 0
    assert got.count(b"\n") == 61
    assert made.read_bytes().endswith(got)


@pytest.mark.parametrize(
    ("arguments", "fault", "status"),
    [
        (["no-such.nmea", "udp:127.0.0.1:1"], "no-such.nmea: ", 2),
        (["LOG", "udp:10110"], "PORT: udp:10110: no address to send to", 2),
        (["LOG", "pigeon:1"], "PORT: 'pigeon:1' is not a port to send to", 2),
        (["LOG", "udp:127.0.0.1:1", "--feed", "none"], "no line with a time of feed 'none'", 2),
        (
            ["LOG", "udp:127.0.0.1:1", "--from", "2026-03-03T04:00:00Z"],
            "no line with a time from there on",
            2,
        ),
        (["LOG", "udp:127.0.0.1:1", "--from", "05:00"], "no 05:00:00 in it", 2),
        (["LOG", "serial:/dev/no-such-port"], "no such port /dev/no-such-port", 3),
        (["STAY", "udp:127.0.0.1:1"], "simulate: missing", 2),
    ],
)
def test_what_cannot_be_played_is_said(
    tmp_path: Path, arguments: list[str], fault: str, status: int, capsys: pytest.CaptureFixture[str]
) -> None:
    places = {"LOG": str(a_log(tmp_path, 3)), "STAY": str(write_stay(tmp_path))}
    assert main(["emit", *(places.get(each, each) for each in arguments)]) == status
    assert fault in capsys.readouterr().err


def test_a_server_that_is_not_there_and_one_that_goes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = a_log(tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
    assert main(["emit", str(log), f"tcp:127.0.0.1:{number}"]) == 3
    with socket.create_server(("127.0.0.1", number)) as server:

        def hang_up() -> None:
            client, _ = server.accept()
            client.recv(100)
            client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
            client.close()

        thread = threading.Thread(target=hang_up)
        thread.start()
        assert main(["emit", str(log), f"tcp:127.0.0.1:{number}", "--speed", "30"]) == 3
        thread.join()
    said = capsys.readouterr()
    assert "lines sent" in said.out or "line sent" in said.out
    assert f"127.0.0.1:{number}: " in said.err


def test_who_connects_gets_it_from_the_first_line_on(tmp_path: Path) -> None:
    log = a_log(tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
    thread = threading.Thread(target=main, args=(["emit", str(log), f"tcp-in:{number}", "--speed", "100"],))
    thread.start()
    got = b""
    end = time.monotonic() + 20.0
    while not got:
        try:
            with socket.create_connection(("127.0.0.1", number), 1.0) as client:
                client.settimeout(20.0)
                while chunk := client.recv(65536):
                    got += chunk
        except ConnectionRefusedError:
            assert time.monotonic() < end
            time.sleep(0.05)
    thread.join()
    assert got.count(b"\r\n") == 66
    assert got.startswith(b"$IIXDR,D,2.000,M,TIDE")


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="pseudo terminals and signals")
def test_an_interrupt_leaves_whole_lines_and_says_what_came_of_it(tmp_path: Path) -> None:
    log = a_log(tmp_path, 600)
    master, slave = os.openpty()
    arguments = [str(log), f"serial:{os.ttyname(slave)}", "--speed", "50"]
    process = subprocess.Popen([*COMMAND, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    got = b""
    while got.count(b"\n") < 40:
        assert select.select([master], [], [], 30.0)[0]
        got += os.read(master, 4096)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=30.0)
    while select.select([master], [], [], 0.2)[0]:
        got += os.read(master, 4096)
    assert process.returncode == 130
    assert got.endswith(b"\n")
    sent = int(out.split(b": ")[1].split()[0])
    assert got.count(b"\n") == sent
    assert err == b""
    os.close(master)
    os.close(slave)


@pytest.mark.skipif(os.name != "posix", reason="pseudo terminals")
def test_closing_a_serial_port_leaves_nothing_behind() -> None:
    """What the system still holds when the last line is written goes out as well."""
    for _ in range(30):
        master, slave = os.openpty()
        writer = writer_of(parse_out_port(f"serial:{os.ttyname(slave)}"))
        writer.open()
        writer.write(b"x" * 2000)
        writer.close()
        got = 0
        while select.select([master], [], [], 0.1)[0] and got < 2000:
            got += len(os.read(master, 4096))
        os.close(master)
        os.close(slave)
        assert got == 2000


@pytest.mark.skipif(os.name != "posix", reason="pseudo terminals and signals")
def test_a_port_that_takes_nothing_ends_by_an_interrupt_as_well(tmp_path: Path) -> None:
    log = a_log(tmp_path, 600)
    master, slave = os.openpty()
    arguments = [str(log), f"serial:{os.ttyname(slave)}", "--speed", "100000"]
    process = subprocess.Popen([*COMMAND, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert select.select([master], [], [], 30.0)[0]
    time.sleep(1.0)
    begun = time.monotonic()
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=30.0)
    assert process.returncode == 130
    assert time.monotonic() - begun < 15.0
    os.close(master)
    os.close(slave)


def test_lines_as_written_are_those_of_the_log(tmp_path: Path) -> None:
    log = a_log(tmp_path)
    lines = [line for batch in FeedLog(log, as_written=True) for _, _, line, *_ in batch.rows()]
    assert b"".join(line + b"\r\n" for line in lines) == log.read_bytes()


def test_a_line_whose_tag_block_is_wrong_goes_out_as_it_is() -> None:
    line = b"\\s:gauges,c:1*00\\$IIHDT,1.0,T*00"
    assert [written(line, times, START) for times in ("", "log", "now")] == [line] * 3


def test_lines_are_made_ahead_in_order_and_what_their_maker_raises_comes_last() -> None:
    def made() -> Iterator[tuple[float, bytes]]:
        for second in range(1700):
            yield START + second, b"line %d" % second
        raise WrongInput("the tide table ends")

    ahead = LinesAhead(made())
    got = [next(ahead) for _ in range(1700)]
    assert (got[0], got[-1]) == ((START, b"line 0"), (START + 1699.0, b"line 1699"))
    with pytest.raises(WrongInput, match="the tide table ends"):
        next(ahead)
    lines = LinesAhead((START + second, b"%d" % second) for second in range(1234))
    assert [int(line) for _, line in lines] == list(range(1234))


def test_lines_ahead_end_when_they_are_stopped_and_never_run_far() -> None:
    made = []

    def endless() -> Iterator[tuple[float, bytes]]:
        second = 0
        while True:
            made.append(second)
            yield START + second, b"x"
            second += 1

    ahead = LinesAhead(endless())
    assert next(ahead)[1] == b"x"
    time.sleep(1.0)
    kept = len(made)
    time.sleep(0.5)
    assert len(made) == kept < 120_000, "no more than is asked for"
    ahead.stop()
    assert len(list(ahead)) < kept


@pytest.mark.slow
def test_a_simulation_that_is_late_is_not_said_to_be_the_port(
    tmp_path: Path, ear: socket.socket, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    stay = write_stay(tmp_path, SIMULATED.replace("hours: 0.1", "hours: 0.5"))
    lines = list(simulate(read_stay(stay)))

    def slowly(_stay: object) -> Iterator[bytes]:
        for at, line in enumerate(lines):
            if at == 700:
                time.sleep(3.5)
            yield line

    monkeypatch.setattr("alongside.training.simulate.log.simulate", slowly)
    assert main(["emit", str(stay), port_of(ear), "--speed", "3600"]) == 0
    assert "behind: the simulation is drawn no faster" in capsys.readouterr().out
