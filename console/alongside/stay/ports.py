"""Where a feed is plugged in, as one text of the stay file:

serial:/dev/ttyUSB0?baud=4800&bits=8&parity=N&stop=1      (baud 4800 and 8N1 if not given)
udp:10110          udp:239.192.0.4:60004                  (the second joins a multicast group)
tcp:192.168.1.20:4001      tcp:[fe80::1]:4001
"""

from dataclasses import dataclass
from ipaddress import AddressValueError, IPv4Address
from typing import Final

EXPECTED: Final = "serial:DEVICE?baud=N, udp:PORT, udp:GROUP:PORT or tcp:HOST:PORT"
BAUDS: Final = (300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200, 230400, 460800, 921600)


@dataclass(frozen=True, slots=True)
class SerialPort:
    device: str
    baud: int = 4800
    bits: int = 8
    parity: str = "N"
    stop: int = 1


@dataclass(frozen=True, slots=True)
class UdpPort:
    port: int
    group: str | None = None
    """Multicast group to join."""


@dataclass(frozen=True, slots=True)
class TcpPort:
    host: str
    port: int


Port = SerialPort | UdpPort | TcpPort


def parse_port(text: str) -> Port:
    """Raises ValueError that says what is wrong and what was expected."""
    kind, _, rest = text.partition(":")
    if kind == "serial" and rest:
        return _serial(rest)
    if kind == "udp" and rest:
        return _udp(rest)
    if kind == "tcp" and rest:
        return _tcp(rest)
    raise ValueError(f"{text!r} is not a port, expected {EXPECTED}")


def _serial(rest: str) -> SerialPort:
    device, _, query = rest.partition("?")
    if not device:
        raise ValueError("no device, expected serial:DEVICE?baud=N")
    given: dict[str, str] = {}
    for item in query.split("&") if query else ():
        key, equals, value = item.partition("=")
        if key not in ("baud", "bits", "parity", "stop") or not equals:
            raise ValueError(
                f"{item!r} is not a setting of a serial port, expected baud, bits, parity or stop"
            )
        if key in given:
            raise ValueError(f"{key} given twice")
        given[key] = value
    return SerialPort(
        device=device,
        baud=int(_one_of("baud", given.get("baud", "4800"), tuple(map(str, BAUDS)))),
        bits=int(_one_of("bits", given.get("bits", "8"), ("7", "8"))),
        parity=_one_of("parity", given.get("parity", "N"), ("N", "E", "O")),
        stop=int(_one_of("stop", given.get("stop", "1"), ("1", "2"))),
    )


def _one_of(key: str, value: str, allowed: tuple[str, ...]) -> str:
    if value not in allowed:
        raise ValueError(f"{key}={value}, expected one of {', '.join(allowed)}")
    return value


def _udp(rest: str) -> UdpPort:
    group, colon, port = rest.rpartition(":")
    if not colon:
        return UdpPort(_port_number(port))
    try:
        multicast = IPv4Address(group).is_multicast
    except AddressValueError:
        multicast = False
    if not multicast:
        raise ValueError(f"{group!r} is not a multicast group, expected 224.0.0.0 to 239.255.255.255")
    return UdpPort(_port_number(port), group)


def _tcp(rest: str) -> TcpPort:
    host, colon, port = rest.rpartition(":")
    host = host.removeprefix("[").removesuffix("]")
    if not colon or not host:
        raise ValueError(f"tcp:{rest}: a part is missing, expected tcp:HOST:PORT")
    return TcpPort(host, _port_number(port))


def _port_number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise ValueError(f"port number {text!r}, expected 1 to 65535")
    return int(text)
