"""Where the program sends to, as one text: of alerts in the stay file, of a log that is played.

serial:/dev/ttyUSB0?baud=4800        as of a feed
udp:192.168.1.20:10110               to one address, a multicast group, or the broadcast address of a network
udp:239.192.0.17:60017?on=eth0       on= is an own address or an interface
tcp:192.168.1.20:4001                connects to a server
tcp-in:4001                      waits for others to connect, on this machine alone
tcp-in:192.168.1.7:4001          on an address of this machine; 0.0.0.0: on all of them
"""

from dataclasses import dataclass
from ipaddress import IPv4Address, ip_address
from typing import Final

from alongside.stay.ports import SerialPort, host_and_port, parse_port

EXPECTED: Final = "serial:DEVICE?baud=N, udp:ADDRESS:PORT, tcp:HOST:PORT or tcp-in:PORT"


@dataclass(frozen=True, slots=True)
class UdpTo:
    """`on`: own address or name of an interface; None: whichever leads there."""

    address: str
    port: int
    on: str | None = None


@dataclass(frozen=True, slots=True)
class TcpTo:
    host: str
    port: int


@dataclass(frozen=True, slots=True)
class TcpListen:
    port: int
    address: str = "127.0.0.1"


OutPort = SerialPort | UdpTo | TcpTo | TcpListen


def parse_out_port(text: str) -> OutPort:
    """Return where to send. Raises ValueError that says what is wrong and what was expected."""
    kind, _, rest = text.partition(":")
    place, question, query = rest.partition("?")
    if kind == "serial" and rest:
        port = parse_port(text)
        assert isinstance(port, SerialPort)
        if "end=" in rest:
            raise ValueError("end= is for what is read, expected baud, bits, parity or stop")
        return port
    if kind == "udp" and place:
        return _udp(place, query)
    if kind in ("tcp", "tcp-in") and place:
        if question:
            raise ValueError(f"?{query} behind {kind}:, expected {EXPECTED}")
        return TcpTo(*host_and_port(place)) if kind == "tcp" else _listening(place)
    raise ValueError(f"{text!r} is not a port to send to, expected {EXPECTED}")


def _udp(place: str, query: str) -> UdpTo:
    host, colon, number = place.rpartition(":")
    if not colon:
        raise ValueError(f"udp:{place}: no address to send to, expected udp:ADDRESS:PORT")
    try:
        address = IPv4Address(host)
    except ValueError:
        raise ValueError(f"{host!r} is not an address, expected one such as 192.168.1.20") from None
    key, equals, on = query.partition("=")
    if query and not (key == "on" and equals and on):
        raise ValueError(f"{query!r} is not a setting of a UDP port to send to, expected on=")
    return UdpTo(str(address), _number(number), on or None)


def _listening(place: str) -> TcpListen:
    host, colon, number = place.rpartition(":")
    if not colon:
        return TcpListen(_number(number))
    try:
        return TcpListen(_number(number), str(ip_address(host.removeprefix("[").removesuffix("]"))))
    except ValueError as error:
        if "port number" in str(error):
            raise
        raise ValueError(f"{host!r} is not an address of this machine, expected one or none") from None


def _number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise ValueError(f"port number {text!r}, expected 1 to 65535")
    return int(text)
