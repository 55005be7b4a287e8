"""Alerts to the bridge over real ports: what goes out, who may answer, what a dead or full port does."""

import os
import select
import socket
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from alongside.actions import Acknowledge, Silence
from alongside.alerts.bridge.numbers import IDENTIFIERS
from alongside.alerts.model import Standing
from alongside.alerts.rules import rules_of
from alongside.alerts.state_text import needs_answer
from alongside.feeds.sentence import said_by, sentence, split_tags
from alongside.record.reader import RecordReader
from alongside.runtime import alerts_sender
from alongside.runtime.alerts_sender import AlertsSender
from alongside.runtime.live import LiveDesk
from alongside.stay.model import AlertsOut, Stay
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch, flood_stay

SOON = STAY_TEXT.replace(
    "balance: off",
    "limits: {stretch_share: {caution: 0.1, warning: 0.2, alarm: 9.0}}\nbalance: off",
).replace("name: TIDE}", "name: TIDE, stale_s: 10, lost_s: 60}")
"""Line 2 is beyond its warning from the first, and the tide gauge is soon missed."""


def until(holds: Callable[[], bool], seconds: float = 20.0) -> None:
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.02)


def words_of(data: bytes) -> list[str]:
    lines = data.removeprefix(b"UdPbC\0").split(b"\r\n")
    return [said_by(split_tags(line)[1]).decode() for line in lines if line]


class Net:
    """The ship's network: what comes, and a free port for commands."""

    def __init__(self) -> None:
        self.ear = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        self.ear.bind(("127.0.0.1", 0))
        self.ear.settimeout(0.2)
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as other:
            other.bind(("127.0.0.1", 0))
            self.commands = other.getsockname()[1]
        self.heard: list[str] = []

    @property
    def port(self) -> str:
        return f"udp:127.0.0.1:{self.ear.getsockname()[1]}"

    def hear(self, seconds: float = 0.3) -> list[str]:
        """All that came so far, after waiting for so long for more."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                self.heard += words_of(self.ear.recv(65535))
            except TimeoutError:
                continue
        return self.heard

    def say(self, body: str, sender: str = "127.0.0.1") -> None:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as mouth:
            mouth.bind((sender, 0))
            mouth.sendto(sentence(body), ("127.0.0.1", self.commands))


@pytest.fixture
def net() -> Iterator[Net]:
    net = Net()
    yield net
    net.ear.close()


def acn(cause: str, deed: str, instance: str = "") -> str:
    return f"CAACN,040000.00,XYZ,{IDENTIFIERS[cause]},{instance},{deed},C"  # type: ignore[index]


LINE_2: Final = "3"
"""Its instance: after the ship as a whole and line 1."""


def with_bridge(folder: Path, settings: AlertsOut) -> Stay:
    return replace(a_stay(folder, SOON), alerts_out=settings)


def started(watch: Watch) -> Watch:
    """The watch is cycled by hand, its thread to the bridge runs."""
    assert watch.desk._bridge is not None
    watch.desk._bridge.start()
    until(lambda: port_of(watch).note != "not opened yet")
    return watch


def go(watch: Watch, cycles: int = 10, heard: bool = True) -> Watch:
    """So many cycles, ten seconds apart."""
    for _ in range(cycles):
        watch.second += 9.0
        watch.run(1, heard=heard)
    return watch


def port_of(watch: Watch) -> alerts_sender.AlertsPort:
    assert watch.desk._bridge is not None
    return watch.desk._bridge.port


def waiting(watch: Watch) -> int:
    bridge = watch.desk._bridge
    assert bridge is not None
    assert bridge._commands is not None
    return len(bridge._commands.inbox._lines)


def standing(watch: Watch, cause: str, subject: str = "2") -> Standing:
    keys = ((cause, subject), (cause, "gauges"))
    return next(alert.standing for alert in watch.last.alerts if alert.key in keys)


@pytest.mark.slow
def test_alerts_go_out_and_the_named_address_may_answer(tmp_path: Path, net: Net) -> None:
    commands = f"udp:{net.commands}?from=127.0.0.1"
    out = AlertsOut(net.port, maker="XYZ", commands=commands, source="II0001")
    watch = go(started(Watch(with_bridge(tmp_path, out), tmp_path / "record")))
    heard = net.hear()
    assert [line[:5] for line in heard[:2]] == ["IIALC", "IIHBT"]
    assert any(",A,W,V,XYZ,10002,3," in line and line.endswith("LINE 2 STRETCH") for line in heard)
    assert any(",Line 2 stretch " in line and line.endswith("(limit 20 %)") for line in heard)

    net.say(acn("stretch", "A", LINE_2))
    until(lambda: waiting(watch) == 1)
    watch.run(1)
    assert standing(watch, "stretch") is Standing.UNACKNOWLEDGED
    assert any(line.startswith("IIARC,") and line.endswith(",XYZ,10002,3,A") for line in net.hear())
    net.say(acn("stretch", "S", LINE_2))
    until(lambda: waiting(watch) == 1)
    watch.run(1)
    assert standing(watch, "stretch") is Standing.SILENCED
    assert any(",A,W,S,XYZ,10002,3," in line for line in net.hear())

    go(watch, 9, heard=False)
    assert standing(watch, "feed") is Standing.UNACKNOWLEDGED
    net.say(acn("feed", "A"))
    until(lambda: waiting(watch) == 1)
    watch.run(1, heard=False)
    assert standing(watch, "feed") is Standing.ACKNOWLEDGED
    texts = [event.text for event in watch.last.log if event.event == "acknowledged"]
    assert [text.split(":")[0] for text in texts] == ["Acknowledged from the bridge"]
    assert "Bridge asked to acknowledge line 2 stretch: refused" in [e.text for e in watch.last.log]
    watch.kill()
    with RecordReader(tmp_path / "record") as record:
        deeds = [done.action for done in record.actions()]
    assert deeds == [Silence("bridge", "stretch", "2"), Acknowledge("feed", "gauges", "bridge")]
    again = Watch(with_bridge(tmp_path, out), tmp_path / "record", watch.second)
    again.run(1, heard=False)
    assert standing(again, "feed") is Standing.ACKNOWLEDGED
    again.end()


@pytest.mark.skipif(sys.platform != "linux", reason="other systems have one loopback address")
def test_nobody_else_may(tmp_path: Path, net: Net) -> None:
    out = AlertsOut(net.port, maker="XYZ", commands=f"udp:{net.commands}?from=127.0.0.2")
    watch = go(started(Watch(with_bridge(tmp_path, out), None)))
    for _ in range(20):
        net.say(acn("stretch", "S", LINE_2))
    net.say(acn("gangway", "A"), sender="127.0.0.2")
    until(lambda: waiting(watch) == 1)
    watch.run(1)
    assert standing(watch, "stretch") is Standing.UNACKNOWLEDGED
    watch.end()


def test_without_commands_nothing_is_listened_to(tmp_path: Path, net: Net) -> None:
    watch = go(started(Watch(with_bridge(tmp_path, AlertsOut(net.port)), None)), 2)
    bridge = watch.desk._bridge
    assert bridge is not None
    assert bridge._commands is None
    assert not bridge._sender._listens
    watch.end()


def test_a_stay_without_the_section_sends_nothing(tmp_path: Path) -> None:
    watch = Watch(flood_stay(tmp_path), None).run(3)
    assert watch.desk._bridge is None
    assert watch.last.alerts_out is None
    watch.end()


@pytest.mark.skipif(os.name != "posix", reason="pseudo terminals")
def test_a_serial_line_carries_both_ways(tmp_path: Path) -> None:
    master, slave = os.openpty()
    out = AlertsOut(f"serial:{os.ttyname(slave)}", maker="XYZ", commands="same_port")
    watch = go(started(Watch(with_bridge(tmp_path, out), None)))
    got = b""

    def heard(word: bytes) -> bool:
        nonlocal got
        while select.select([master], [], [], 0.05)[0]:
            got += os.read(master, 65536)
        return word in got

    until(lambda: heard(b"LINE 2 STRETCH"))
    os.write(master, sentence(acn("stretch", "S", LINE_2)) + b"\r\n")
    bridge = watch.desk._bridge
    assert bridge is not None
    until(lambda: len(bridge._sender.inbox._lines) == 1)
    watch.run(1)
    assert standing(watch, "stretch") is Standing.SILENCED
    until(lambda: heard(b",A,W,S,XYZ,10002,3,"))
    watch.end()
    os.close(master)
    os.close(slave)


@pytest.mark.skipif(os.name != "posix", reason="pseudo terminals")
def test_a_full_port_does_not_hold_the_watch_up(tmp_path: Path) -> None:
    """Nobody reads the other end: its buffer fills, and then it takes nothing."""
    master, slave = os.openpty()
    out = AlertsOut(f"serial:{os.ttyname(slave)}")
    watch = started(Watch(with_bridge(tmp_path, out), None)).run(3)
    bridge = watch.desk._bridge
    assert bridge is not None
    bridge._sender.post([b"$IIHBT*00\r\n" * 500] * 50)
    until(lambda: not port_of(watch).open)
    assert "takes nothing, tried again in" in port_of(watch).note
    begun = time.monotonic()
    bridge._sender.post([b"x"] * 5000)
    watch.run(5)
    assert time.monotonic() - begun < 5.0
    assert watch.last.alerts_out is not None
    assert watch.last.alerts_out.unsent >= 4000
    assert len(bridge._sender._waiting) <= alerts_sender.MOST_WAITING
    texts = [event.text for event in watch.last.log if event.event == "note"]
    assert any(text.startswith("Alerts to the bridge: ") and "takes nothing" in text for text in texts)
    begun = time.monotonic()
    watch.end()
    assert time.monotonic() - begun < 8.0
    os.close(master)
    os.close(slave)


def test_a_port_that_comes_back_hears_all_that_stands(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
    watch = go(started(Watch(with_bridge(tmp_path, AlertsOut(f"tcp:127.0.0.1:{number}")), None)))
    assert "refused" in port_of(watch).note
    assert "tried again in" in port_of(watch).note
    with socket.create_server(("127.0.0.1", number)) as server:
        server.settimeout(20.0)
        client, _ = server.accept()
        until(lambda: port_of(watch).open)
        watch.run(1)
        client.settimeout(20.0)
        got = b""
        while b"HBT" not in got:
            got += client.recv(65536)
        assert words_of(got)[0].startswith("IIALF,2,1,"), "how all stands now comes first, and once"
        assert got.count(b"LINE 2 STRETCH") == 1
        texts = [event.text for event in watch.run(1).last.log if event.event == "note"]
        assert "Alerts to the bridge: port is open again" in texts
        client.close()
    watch.end()


def bridge_alerts(watch: Watch) -> list[str]:
    return [alert.text for alert in watch.last.alerts if alert.cause == "bridge"]


def test_a_port_that_fails_is_a_caution_until_it_works(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1]
    out = AlertsOut(f"tcp:127.0.0.1:{number}")
    watch = Watch(with_bridge(tmp_path, out), None).run(1)
    assert not bridge_alerts(watch), "not tried yet is no fault"
    watch = go(started(watch), 12)
    (text,) = bridge_alerts(watch)
    assert text.startswith("Alerts do not go to the bridge: ")
    assert "refused" in text
    assert "tried again" not in text, "what changes by the second has no place in an alert"
    alert = next(alert for alert in watch.last.alerts if alert.cause == "bridge")
    assert alert.stage is Stage.CAUTION
    assert not needs_answer(alert), "a caution asks for none"
    assert sum(event.alert == "bridge" for event in watch.last.log) == 1, (
        "one alert, however often it is tried"
    )
    with socket.create_server(("127.0.0.1", number)) as server:
        server.settimeout(60.0)
        client, _ = server.accept()
        until(lambda: port_of(watch).open)
        go(watch, 12)
        assert not bridge_alerts(watch)
        client.settimeout(20.0)
        got = b""
        while not (b",XYZ,10023,1,1," in got or b",,10023,1,1," in got) or b",C,N," not in got:
            got += client.recv(65536)
        client.close()
    watch.end()


def test_a_stay_without_the_section_has_no_such_alert(tmp_path: Path) -> None:
    assert not [rule for rule in rules_of(a_stay(tmp_path)) if rule.cause == "bridge"]
    watched = rules_of(with_bridge(tmp_path, AlertsOut("udp:127.0.0.1:60017")))
    assert [(rule.subject, rule.limits[0]) for rule in watched if rule.cause == "bridge"] == [("", 1.0)]


def test_counters_are_on_record(tmp_path: Path, net: Net) -> None:
    out = AlertsOut(net.port, maker="XYZ")
    watch = go(started(Watch(with_bridge(tmp_path, out), tmp_path / "record")))
    watch.kill()
    heard = net.hear()
    last = max(int(line.split(",")[11]) for line in heard if ",XYZ,10002,3," in line and "ALF" in line)
    net.heard.clear()
    again = started(Watch(with_bridge(tmp_path, out), tmp_path / "record", watch.second))
    go(again, 2)
    first = next(line for line in net.hear() if ",XYZ,10002,3," in line and "ALF" in line)
    assert int(first.split(",")[11]) == last + 1
    again.end()


def test_a_missing_port_is_said(tmp_path: Path) -> None:
    watch = started(Watch(with_bridge(tmp_path, AlertsOut("serial:/dev/no-such-port")), None)).run(2)
    assert watch.last.alerts_out is not None
    assert watch.last.alerts_out.note.startswith("no such port /dev/no-such-port, tried again in")
    assert not watch.last.alerts_out.open
    watch.end()


def test_a_fault_of_the_conversation_costs_no_cycle(
    tmp_path: Path, net: Net, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise RuntimeError("tried")

    monkeypatch.setattr("alongside.alerts.bridge.link.BridgeLink.say", fails)
    watch = started(Watch(with_bridge(tmp_path, AlertsOut(net.port)), None)).run(5)
    assert len(watch.pictures) == 5
    watch.end()


def test_what_waits_is_sent_at_the_end(net: Net) -> None:
    sender = AlertsSender(net.port, listens=False)
    sender.start()
    until(lambda: sender.status.open)
    sender.post([sentence("IIHBT,30,A,0") + b"\r\n"])
    sender.stop()
    assert "IIHBT,30,A,0" in net.hear()
    assert sender.status.note == "stopped"


def test_a_live_desk_starts_and_stops_it(tmp_path: Path, net: Net) -> None:
    desk = LiveDesk(with_bridge(tmp_path, AlertsOut(net.port)))
    desk.start(lambda _picture: None)
    try:
        until(lambda: any("HBT" in line for line in net.hear(0.3)))
    finally:
        desk.stop()
