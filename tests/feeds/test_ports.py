"""The text that names a port."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.ports import (
    CallersPort,
    FilePort,
    Port,
    SerialPort,
    StdinPort,
    TcpPort,
    UdpPort,
    parse_port,
)


@pytest.mark.parametrize(
    ("text", "port"),
    [
        ("serial:/dev/ttyUSB0", SerialPort("/dev/ttyUSB0", 4800, 8, "N", 1)),
        ("serial:/dev/ttyUSB0?baud=38400", SerialPort("/dev/ttyUSB0", 38400)),
        ("serial:COM3?baud=9600&bits=7&parity=E&stop=2", SerialPort("COM3", 9600, 7, "E", 2)),
        ("udp:10110", UdpPort(10110)),
        ("udp:239.192.0.4:60004", UdpPort(60004, "239.192.0.4")),
        ("tcp:192.168.1.20:4001", TcpPort("192.168.1.20", 4001)),
        ("tcp:gauges.local:4001", TcpPort("gauges.local", 4001)),
        ("tcp:[fe80::1]:4001", TcpPort("fe80::1", 4001)),
        ("serial:/dev/ttyUSB0?end=etx", SerialPort("/dev/ttyUSB0", end="03")),
        ("tcp:box_1.local.:4001?end=3b", TcpPort("box_1.local.", 4001, end="3B")),
        ("tcp:box:4001?end=pause", TcpPort("box", 4001, end="pause")),
        ("udp:10110?from=192.168.1.20", UdpPort(10110, None, "192.168.1.20")),
        ("udp:10110?on=eth0&from=10.0.0.5", UdpPort(10110, None, "10.0.0.5", "eth0")),
        ("udp:239.192.0.4:60004?on=192.168.1.5", UdpPort(60004, "239.192.0.4", None, "192.168.1.5")),
        ("tcp:gauges.local:4001?from=192.168.1.20", TcpPort("gauges.local", 4001, "192.168.1.20")),
        ("tcp:[fe80::1]:4001?on=[fe80::2]", TcpPort("fe80::1", 4001, None, "fe80::2")),
        ("tcp-in:4001", CallersPort(4001, "127.0.0.1")),
        (
            "tcp-in:192.168.1.5:4001?from=192.168.1.20&callers=2",
            CallersPort(4001, "192.168.1.5", "192.168.1.20", 2),
        ),
        ("tcp-in:[::]:4001?from=fe80::1", CallersPort(4001, "::", "fe80::1")),
        ("file:gauges.log", FilePort("gauges.log")),
        ("file:C:\\logs\\gauges.log?from=start", FilePort("C:\\logs\\gauges.log", True)),
        ("stdin:", StdinPort()),
    ],
)
def test_ports(text: str, port: object) -> None:
    assert parse_port(text) == port


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "expected serial:DEVICE"),
        ("/dev/ttyUSB0", "expected serial:DEVICE"),
        ("serial:", "expected serial:DEVICE"),
        ("serial:?baud=4800", "no device"),
        ("serial:/dev/ttyUSB0?baud=4801", "baud=4801, expected one of 300"),
        ("serial:/dev/ttyUSB0?speed=4800", "'speed=4800' is not a setting"),
        ("serial:/dev/ttyUSB0?baud", "'baud' is not a setting"),
        ("serial:/dev/ttyUSB0?baud=4800&baud=9600", "given twice"),
        ("serial:/dev/ttyUSB0?parity=X", "expected one of N, E, O"),
        ("udp:", "expected serial:DEVICE"),
        ("udp:0", "expected 1 to 65535"),
        ("udp:65536", "expected 1 to 65535"),
        ("udp:٣٣", "expected 1 to 65535"),
        ("udp:10.0.0.1:10110", "not a multicast group"),
        ("tcp:4001", "a part is missing"),
        ("tcp::4001", "a part is missing"),
        ("tcp:host:", "expected 1 to 65535"),
        ("tcp://192.168.1.20:4001", "'//192.168.1.20' is no name of a computer and no address"),
        ("tcp:a b:4001", "is no name of a computer and no address"),
        ("serial:/dev/ttyUSB0?end=stx", "end=stx, expected line, pause, etx, or a byte in hex"),
        ("modbus:192.168.1.20?end=etx", "end= of registers"),
        ("modbus-rtu:/dev/ttyUSB0?end=pause", "end= of registers"),
        ("udp:10110?form=10.0.0.5", "'form=10.0.0.5' is not a setting of a UDP port, expected from or on"),
        ("udp:10110?from=gauges", "from=gauges is not an address, expected one such as 192.168.1.20"),
        ("udp:10110?from=fe80::1", "not an IPv4 address"),
        ("udp:10110?from=239.192.0.4", "the address of nobody"),
        ("udp:10110?from=0.0.0.0", "the address of nobody"),
        (
            "udp:10110?on=10.0.0.300",
            "is not an address, expected one such as .* or an interface such as eth0",
        ),
        ("udp:10110?from=10.0.0.5&from=10.0.0.7", "given twice"),
        ("tcp:host:4001?baud=4800", "'baud=4800' is not a setting of a TCP port"),
        ("tcp:host:4001?from=", "is not an address"),
        ("tcp-in:", "expected serial:DEVICE"),
        ("tcp-in:4001x", "port number '4001x', expected 1 to 65535"),
        ("tcp-in:box.local:4001", "tcp-in:box.local is not an address, expected an address of this computer"),
        ("tcp-in:239.192.0.4:4001", "the address of nobody, expected an address of this computer"),
        ("tcp-in:4001?callers=0", "callers=0, expected 1 to 64"),
        ("tcp-in:4001?on=eth0", "'on=eth0' is not a setting of a port for calls, expected from or callers"),
        ("tcp-in:4001?from=fe80::1", "not an IPv4 address"),
        ("file:", "expected serial:DEVICE"),
        ("file:?from=start", "no file, expected file:PATH"),
        ("file:gauges.log?from=middle", "from=middle, expected one of start, end"),
        ("file:gauges.log?on=eth0", "'on=eth0' is not a setting of a file, expected from="),
        ("stdin:gauges", "'gauges' behind stdin:, expected stdin: alone"),
    ],
)
def test_what_is_no_port_says_what_was_expected(text: str, problem: str) -> None:
    with pytest.raises(ValueError, match=problem):
        parse_port(text)


@given(
    st.text(max_size=30),
    st.sampled_from(
        ["", "serial:", "udp:", "tcp:", "udp:1?from=", "tcp:h:1?on=", "tcp-in:", "file:", "stdin:"]
    ),
)
def test_any_text_is_a_port_or_a_fault(text: str, kind: str) -> None:
    problem = ""
    try:
        assert isinstance(parse_port(kind + text), Port)
    except ValueError as error:
        problem = str(error)
    assert not problem or "expected" in problem or "twice" in problem
