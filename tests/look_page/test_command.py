"""`alongside watch STAY --look-only --web`: without a terminal or the library of screens, ended in order."""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from alongside.cli.main import main
from tests.berth import a_stay
from tests.look_page.conftest import ROOT, Kept, Served, command, kept, served
from tests.record.kept import FLOOD_TEXT
from tests.test_imports import loaded

WITHOUT_SCREENS = """
import sys
for name in ("textual", "rich"):
    sys.modules[name] = None
from alongside.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


def events(port: int, many: int, seconds: float = 15.0) -> list[dict[str, Any]]:
    """The next events of a new reader."""
    until = time.monotonic() + seconds
    with socket.create_connection(("127.0.0.1", port), timeout=seconds) as asking:
        asking.sendall(f"GET /pictures HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
        with asking.makefile("rb") as rows:
            found: list[dict[str, Any]] = []
            while len(found) < many and time.monotonic() < until:
                row = rows.readline()
                assert row, "ended"
                if row.startswith(b"data: "):
                    found.append(json.loads(row.removeprefix(b"data: ")))
    return found


@pytest.mark.slow
def test_it_shows_what_the_watch_shows(looked_at: tuple[Kept, Served]) -> None:
    running, page = looked_at
    found = events(page.port, 3)
    assert found[0]["parts"]["now"]["ship"] == "Test ship"
    times = [each["parts"]["now"]["time"] for each in found]
    assert times == sorted(times)
    assert found[-1]["age_s"] is not None
    assert found[-1]["age_s"] < 2.0
    shown = {picture.time: picture for picture in running.watch.pictures}[times[0]]
    assert found[0]["parts"]["headline"]["text"] == shown.advice.text
    assert found[0]["parts"]["now"]["kept"] is True
    assert [row["text"] for row in found[0]["parts"]["alerts"]["rows"]]


@pytest.mark.slow
def test_it_says_that_it_gives_no_alarm(looked_at: tuple[Kept, Served]) -> None:
    _, page = looked_at
    asking = http.client.HTTPConnection("127.0.0.1", page.port, timeout=10.0)
    asking.request("GET", "/")
    text = asking.getresponse().read().decode()
    asking.close()
    for words in ("LOOKS ONLY", "gives no alarm", "console on board goes first", "snap-back area"):
        assert words in text


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_a_signal_ends_it_within_a_second_with_readers_open(tmp_path: Path, number: int) -> None:
    with kept(tmp_path), served(tmp_path) as page:
        readers = [socket.create_connection(("127.0.0.1", page.port)) for _ in range(4)]
        for reader in readers[:3]:
            reader.sendall(f"GET /pictures HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\n\r\n".encode())
            assert reader.recv(100).startswith(b"HTTP/1.1 200")
        begin = time.monotonic()
        assert page.end(number) == 130
        assert time.monotonic() - begin < 3.0, "1 s is asked for; a busy machine takes longer"
        for reader in readers:
            reader.close()
        assert page.process.stdout is not None
        rest = page.process.stdout.read()
        assert "Traceback" not in rest


@pytest.mark.slow
def test_it_needs_neither_a_terminal_nor_the_library_of_screens(tmp_path: Path) -> None:
    stay = tmp_path / "stay.yaml"
    stay.write_text(FLOOD_TEXT, encoding="utf-8")
    given = command(stay, tmp_path / "record", "0")[3:]
    process = subprocess.Popen(
        [sys.executable, "-c", WITHOUT_SCREENS, *given], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, text=True, env={**os.environ, "PYTHONPATH": str(ROOT / "console")},
    )  # fmt: skip
    assert process.stdout is not None
    row = process.stdout.readline()
    assert row.startswith("Look-only page for this machine: http://127.0.0.1:"), row + process.stdout.read()
    process.terminate()
    assert process.wait(10.0) == 130
    process.stdout.close()
    modules = loaded("import alongside.cli.watch, alongside.cli.look_page")
    assert not {name for name in modules if name.split(".")[0] in ("textual", "rich")}


@pytest.mark.slow
def test_nobody_keeps_watch_is_said_and_it_goes_on_when_a_watch_returns(tmp_path: Path) -> None:
    with kept(tmp_path) as running, served(tmp_path) as page:
        assert events(page.port, 1)[0]["parts"]["now"]["kept"] is True
        running.kill()
        until = time.monotonic() + 15.0
        while events(page.port, 1)[0]["parts"]["now"]["kept"]:
            assert time.monotonic() < until
            time.sleep(0.3)
        gone = events(page.port, 1)[0]
        assert gone["parts"]["headline"]["large"] == "NOBODY KEEPS WATCH"
        assert gone["age_s"] is None or gone["age_s"] > 1.0
        again = Kept(a_stay(tmp_path, FLOOD_TEXT), tmp_path / "record", running.watch.second)
        try:
            until = time.monotonic() + 15.0
            while not (back := events(page.port, 1)[0])["parts"]["now"]["kept"] or back["age_s"] is None:
                assert time.monotonic() < until
                time.sleep(0.3)
            assert back["age_s"] < 3.0
        finally:
            again.halt()
            again.watch.end()


@pytest.mark.slow
def test_where_nobody_has_ever_kept_a_watch_that_is_said(tmp_path: Path) -> None:
    with served(tmp_path) as page:
        first = events(page.port, 1)[0]
        assert first["parts"]["now"]["kept"] is False
        assert first["parts"]["now"]["time"] is None
        assert first["age_s"] is None
        assert first["parts"]["headline"]["large"] == "NOBODY KEEPS WATCH"


@pytest.mark.slow
def test_the_token_is_printed_once_and_is_in_no_listing_and_no_log(tmp_path: Path) -> None:
    with served(tmp_path, "0.0.0.0:0") as page:
        assert len(page.token) >= 43
        asking = http.client.HTTPConnection("127.0.0.1", page.port, timeout=10.0)
        asking.request("GET", f"/?token={page.token}")
        answer = asking.getresponse()
        assert answer.status == 303
        cookie = (answer.getheader("Set-Cookie") or "").split(";")[0]
        asking.close()
        listing = Path(f"/proc/{page.process.pid}")
        if listing.exists():
            for name in ("cmdline", "environ"):
                assert page.token.encode() not in (listing / name).read_bytes()
        page.end()
        assert page.process.stdout is not None
        rest = page.process.stdout.read()
        assert page.token not in rest
        assert cookie not in rest
        kept_files = [path for path in tmp_path.rglob("*") if path.is_file()]
        assert not [path for path in kept_files if page.token.encode() in path.read_bytes()]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--web", "8080"], "--web: the page only looks, expected it with --look-only"),
        (["--look-only", "--web", "ship:1"], "--web: 'ship:1' is no place to serve a page, expected PORT"),
        (["--look-only", "--web", "192.0.2.1:0"], "is no address of this machine"),
        (["--look-only", "--web", "0", "--call", "true"], "--call: --look-only keeps no watch"),
        (["--look-only", "--web", "0", "--no-record"], "--no-record: --look-only keeps no watch"),
        (["--look-only", "--web", "0", "--shared", "crew"], "--shared: --look-only keeps no watch"),
        (["--look-only"], "needs a terminal"),
    ],
)
def test_wrong_use_is_said_with_what_is_expected(
    options: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stay = tmp_path / "stay.yaml"
    stay.write_text(FLOOD_TEXT, encoding="utf-8")
    assert main(["watch", str(stay), *options]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.slow
def test_a_port_that_is_taken_ends_it_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stay = tmp_path / "stay.yaml"
    stay.write_text(FLOOD_TEXT, encoding="utf-8")
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        assert main(["watch", str(stay), "--look-only", "--web", str(port)]) == 2
    assert f"127.0.0.1:{port} is in use by another program" in capsys.readouterr().err


@pytest.mark.slow
def test_looking_leaves_no_trace_in_the_record(tmp_path: Path) -> None:
    with kept(tmp_path) as running:
        running.halt()
        files = [path for path in (tmp_path / "record").iterdir() if not path.name.endswith("-shm")]
        before = {path: path.read_bytes() for path in files}
        with served(tmp_path) as page:
            events(page.port, 1)
            page.end()
        for path, content in before.items():
            assert path.read_bytes() == content, path.name
