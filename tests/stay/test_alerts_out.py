"""Section `alerts_out:`: off unless it is there, and refused at its place where it could not serve."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import StayFaults
from alongside.stay.model import AlertsOut
from alongside.stay.out_ports import TcpListen, TcpTo, UdpTo, parse_out_port
from alongside.stay.ports import SerialPort
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, write_stay


def with_alerts(folder: Path, text: str) -> Path:
    return write_stay(folder, f"{STAY_TEXT}\nalerts_out: {text}\n")


def test_nothing_goes_out_unless_the_file_says_so(tmp_path: Path) -> None:
    assert read_stay(write_stay(tmp_path)).alerts_out is None


def test_what_the_file_says(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = with_alerts(tmp_path, '{port: "udp:239.192.0.17:60017"}')
    assert read_stay(path).alerts_out == AlertsOut("udp:239.192.0.17:60017")
    assert main(["check", str(path)]) == 0
    assert "alerts go to the bridge" in capsys.readouterr().out
    path = with_alerts(
        tmp_path,
        '{port: "udp:239.192.0.17:60017?on=eth0", form: alf, talker: VR, maker: XYZ, source: VR0001,'
        ' commands: "udp:239.192.0.19:60019?from=192.168.1.5", heartbeat_s: 10, list_s: 20}',
    )
    assert read_stay(path).alerts_out == AlertsOut(
        "udp:239.192.0.17:60017?on=eth0",
        talker="VR",
        maker="XYZ",
        commands="udp:239.192.0.19:60019?from=192.168.1.5",
        source="VR0001",
        heartbeat_s=10.0,
        list_s=20.0,
    )
    old = with_alerts(tmp_path, '{port: "serial:/dev/ttyUSB1?baud=4800", form: alr, commands: same_port}')
    assert read_stay(old).alerts_out == AlertsOut(
        "serial:/dev/ttyUSB1?baud=4800", form="alr", commands="same_port"
    )


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("{}", "alerts_out.port: missing, expected serial:DEVICE"),
        ('{port: "udp:10110"}', "alerts_out.port: udp:10110: no address to send to"),
        ('{port: "udp:ship:10110"}', "alerts_out.port: 'ship' is not an address"),
        ('{port: "udp:1.2.3.4:0"}', "alerts_out.port: port number '0'"),
        ('{port: "udp:1.2.3.4:5?from=1.2.3.4"}', "expected on="),
        ('{port: "tcp-in:4001"}', "alerts_out.port: alerts cannot wait for somebody to connect"),
        ('{port: "tcp:4001"}', "alerts_out.port: tcp:4001: a part is missing"),
        ('{port: "tcp://bridge:4001"}', "alerts_out.port: '//bridge' is no name of a computer"),
        ('{port: "serial:/dev/ttyS0?end=etx"}', "alerts_out.port: end= is for what is read"),
        ('{port: "mail:a"}', "alerts_out.port: 'mail:a' is not a port to send to"),
        (
            '{port: "udp:1.2.3.4:5", form: xml}',
            "alerts_out.form: 'xml' is not known here, expected alf or alr",
        ),
        ('{port: "udp:1.2.3.4:5", talker: i}', "alerts_out.talker: 'i' is not allowed here"),
        ('{port: "udp:1.2.3.4:5", maker: XYZW}', "alerts_out.maker: 'XYZW' is not allowed here"),
        ('{port: "udp:1.2.3.4:5", commands: "udp:60019", maker: XYZ}', "nobody is named"),
        ('{port: "udp:1.2.3.4:5", commands: same_port, maker: XYZ}', "anybody can send to a UDP port"),
        ('{port: "udp:1.2.3.4:5", commands: "udp:60019?from=1.2.3.4"}', "alerts_out.maker: missing"),
        (
            '{port: "udp:1.2.3.4:5", commands: "tcp:1.2.3.4:5", maker: XYZ}',
            "alerts_out.commands: commands are not taken from a TCP port of their own",
        ),
        (
            '{port: "udp:1.2.3.4:5", commands: bridge, maker: XYZ}',
            "alerts_out.commands: 'bridge' is not a port",
        ),
        ('{port: "tcp:1.2.3.4:5", source: II0001}', "alerts_out.source: only datagrams"),
        ('{port: "udp:1.2.3.4:5", source: me}', "alerts_out.source: 'me' is not allowed here"),
        ('{port: "udp:1.2.3.4:5", heartbeat_s: 0}', "alerts_out.heartbeat_s: '0' is out of bounds"),
        ('{port: "udp:1.2.3.4:5", list_s: 90}', "alerts_out.list_s: '90' is out of bounds"),
        ('{port: "udp:1.2.3.4:5", ports: 2}', "unknown key"),
    ],
)
def test_what_cannot_serve_is_refused_at_its_place(tmp_path: Path, text: str, fault: str) -> None:
    with pytest.raises(StayFaults) as refused:
        read_stay(with_alerts(tmp_path, text))
    lines = str(refused.value).splitlines()
    assert any(fault in line for line in lines), lines
    last = len(STAY_TEXT.splitlines()) + 2
    assert all(f"stay.yaml:{last}:" in line for line in lines)


@pytest.mark.parametrize(
    ("text", "port"),
    [
        ("serial:/dev/ttyS0", SerialPort("/dev/ttyS0")),
        ("udp:255.255.255.255:10110", UdpTo("255.255.255.255", 10110)),
        ("tcp:[fe80::1]:4001", TcpTo("fe80::1", 4001)),
        ("tcp-in:4001", TcpListen(4001)),
        ("tcp-in:0.0.0.0:4001", TcpListen(4001, "0.0.0.0")),
        ("tcp-in:[::1]:4001", TcpListen(4001, "::1")),
    ],
)
def test_ports_to_send_to(text: str, port: object) -> None:
    assert parse_out_port(text) == port


def refusal(text: str) -> str:
    try:
        return f"expected, and is: {parse_out_port(text)}"
    except ValueError as error:
        return str(error)


@given(st.text(max_size=30), st.sampled_from(("", "udp:", "tcp:", "tcp-in:", "serial:?")))
def test_any_other_text_is_refused_in_words(text: str, kind: str) -> None:
    assert "expected" in refusal(kind + text)
