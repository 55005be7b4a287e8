"""Where a feed is plugged in, as one text of the stay file:

serial:/dev/ttyUSB0?baud=4800&bits=8&parity=N&stop=1      (baud 4800 and 8N1 if not given)
serial:/dev/ttyUSB0?end=etx        tcp:192.168.1.20:4001?end=pause      (of gauges whose lines end otherwise)
udp:10110          udp:239.192.0.4:60004                  (the second joins a multicast group)
tcp:192.168.1.20:4001      tcp:[fe80::1]:4001
udp:10110?from=192.168.1.20&on=eth0                       (also of tcp: who is heard, and where)
tcp-in:4001                tcp-in:192.168.1.5:4001?from=192.168.1.20&callers=2    (an instrument dials in)
file:gauges.log            file:/var/log/gauges.log?from=start     (a file that grows)
stdin:                                                    (what another program writes)
csv:export.csv             csv:/data/export.csv?from=start   csv:old.csv?to=end   (an export with a header)
modbus:192.168.1.30        modbus:192.168.1.30:502        (registers that are asked for, over the network)
modbus-rtu:/dev/ttyUSB0?baud=9600&parity=N                (or on a serial line; 19200 8E1 if not given)
"""

import re
from collections.abc import Collection
from dataclasses import dataclass
from ipaddress import AddressValueError, IPv4Address, ip_address
from typing import Final

EXPECTED: Final = (
    "serial:DEVICE?baud=N, udp:PORT, udp:GROUP:PORT, tcp:HOST:PORT, tcp-in:PORT, file:PATH, csv:PATH, "
    "modbus:HOST, modbus-rtu:DEVICE or stdin:"
)
LOOPBACK: Final = "127.0.0.1"
MOST_CALLERS: Final = 64
STDIN: Final = "stdin:"
LINE: Final = "line"
PAUSE: Final = "pause"
"""A line ends by CR or LF; it ends by a pause behind it as well."""
_END_BYTES: Final = {"etx": "03"}
_INTERFACE: Final = re.compile(r"[A-Za-z][A-Za-z0-9_.@-]{0,14}")
"""A name of a network interface, at most 15 characters as in Linux."""
_HOST: Final = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_.-]{0,252}[A-Za-z0-9])?\.?")
BAUDS: Final = (300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200, 230400, 460800, 921600)


@dataclass(frozen=True, slots=True)
class SerialPort:
    device: str
    baud: int = 4800
    bits: int = 8
    parity: str = "N"
    stop: int = 1
    end: str = LINE
    """What ends a line: `LINE`, `PAUSE`, or two hex digits, a byte."""


@dataclass(frozen=True, slots=True)
class UdpPort:
    port: int
    group: str | None = None
    """Multicast group to join."""
    sender: str | None = None
    """The one address that is listened to (`from=`); None: any."""
    on: str | None = None
    """Own address to bind, or the name of an interface; None: all."""


@dataclass(frozen=True, slots=True)
class TcpPort:
    host: str
    port: int
    sender: str | None = None
    """The one address that `host` may stand for (`from=`); None: any."""
    on: str | None = None
    """Own address to connect from, or the name of an interface; None: whichever leads there."""
    end: str = LINE
    """As of a serial port."""


@dataclass(frozen=True, slots=True)
class ModbusPort(TcpPort):
    """A device, or a gateway to several, whose registers are asked for."""


@dataclass(frozen=True, slots=True)
class ModbusSerialPort(SerialPort):
    """The same on a serial line."""


MODBUS_TCP: Final = 502


@dataclass(frozen=True, slots=True)
class CallersPort:
    """A TCP port of this computer, into which instruments dial."""

    port: int
    address: str = LOOPBACK
    """Own address, `0.0.0.0` or `::` for all of them."""
    sender: str | None = None
    """The one address whose calls are taken (`from=`); None: any."""
    callers: int = 8
    """So many are connected at a time at most."""


@dataclass(frozen=True, slots=True)
class FilePort:
    path: str
    """As the stay file has it: relative to its folder, or absolute."""
    from_start: bool = False
    """Lines that stand in the file already are read as well."""


@dataclass(frozen=True, slots=True)
class CsvPort(FilePort):
    """An export whose columns have headings."""

    to_end: bool = False
    """It is finished: read from its start to its end, once."""


@dataclass(frozen=True, slots=True)
class StdinPort:
    """Standard input of the program."""


Port = SerialPort | UdpPort | TcpPort | CallersPort | FilePort | StdinPort


def parse_port(text: str) -> Port:
    """Raises ValueError that says what is wrong and what was expected."""
    kind, _, rest = text.partition(":")
    if kind == "serial" and rest:
        return _serial(rest)
    if kind == "udp" and rest:
        return _udp(rest)
    if kind == "tcp" and rest:
        return _tcp(rest)
    if kind == "modbus" and rest:
        return _modbus(rest)
    if kind == "modbus-rtu" and rest:
        return _modbus_serial(rest)
    if kind == "tcp-in" and rest:
        return _callers(rest)
    if kind == "file" and rest:
        return _file(rest)
    if kind == "csv" and rest:
        return _csv(rest)
    if text == STDIN:
        return StdinPort()
    if kind == "stdin":
        raise ValueError(f"{rest!r} behind stdin:, expected stdin: alone")
    raise ValueError(f"{text!r} is not a port, expected {EXPECTED}")


def _serial(rest: str) -> SerialPort:
    device, _, query = rest.partition("?")
    if not device:
        raise ValueError("no device, expected serial:DEVICE?baud=N")
    given = _settings(query, ("baud", "bits", "parity", "stop", "end"), "a serial port")
    return SerialPort(
        device=device,
        baud=int(_one_of("baud", given.get("baud", "4800"), tuple(map(str, BAUDS)))),
        bits=int(_one_of("bits", given.get("bits", "8"), ("7", "8"))),
        parity=_one_of("parity", given.get("parity", "N"), ("N", "E", "O")),
        stop=int(_one_of("stop", given.get("stop", "1"), ("1", "2"))),
        end=_end(given),
    )


def _modbus_serial(rest: str) -> ModbusSerialPort:
    device, _, query = rest.partition("?")
    if not device:
        raise ValueError("no device, expected modbus-rtu:DEVICE?baud=N")
    given = query.split("&") if query else []
    keys = {item.partition("=")[0] for item in given}
    # What the standard of the protocol has by default.
    given += [item for item in ("baud=19200", "parity=E") if item.partition("=")[0] not in keys]
    if "end" in keys:
        raise ValueError("end= of registers, expected baud, bits, parity or stop")
    port = _serial(f"{device}?{'&'.join(given)}")
    return ModbusSerialPort(port.device, port.baud, port.bits, port.parity, port.stop)


def _end(given: dict[str, str]) -> str:
    """Return what ends a line."""
    text = given.get("end", LINE)
    end = _END_BYTES.get(text, text.upper() if text not in (LINE, PAUSE) else text)
    if end not in (LINE, PAUSE) and not re.fullmatch("[0-9A-F]{2}", end):
        raise ValueError(f"end={text}, expected line, pause, etx, or a byte in hex such as 3B")
    return end


def _settings(query: str, keys: Collection[str], kind: str) -> dict[str, str]:
    """Return the settings behind the `?`. Raises ValueError for one that this kind of port has not."""
    given: dict[str, str] = {}
    *others, last = keys
    expected = f"{', '.join(others)} or {last}" if others else f"{last}="
    for item in query.split("&") if query else ():
        key, equals, value = item.partition("=")
        if key not in keys or not equals:
            raise ValueError(f"{item!r} is not a setting of {kind}, expected {expected}")
        if key in given:
            raise ValueError(f"{key} given twice")
        given[key] = value
    return given


def _one_of(key: str, value: str, allowed: tuple[str, ...]) -> str:
    if value not in allowed:
        raise ValueError(f"{key}={value}, expected one of {', '.join(allowed)}")
    return value


def _udp(rest: str) -> UdpPort:
    place, _, query = rest.partition("?")
    given = _settings(query, ("from", "on"), "a UDP port")
    sender, on = _address(given, "from", ipv6=False), _where(given, ipv6=False)
    group, colon, port = place.rpartition(":")
    if not colon:
        return UdpPort(_port_number(port), sender=sender, on=on)
    try:
        multicast = IPv4Address(group).is_multicast
    except AddressValueError:
        multicast = False
    if not multicast:
        raise ValueError(f"{group!r} is not a multicast group, expected 224.0.0.0 to 239.255.255.255")
    return UdpPort(_port_number(port), group, sender, on)


def _tcp(rest: str) -> TcpPort:
    place, _, query = rest.partition("?")
    given = _settings(query, ("from", "on", "end"), "a TCP port")
    host, port = host_and_port(place)
    sender, on = _address(given, "from", ipv6=True), _where(given, ipv6=True)
    return TcpPort(host, port, sender, on, _end(given))


def host_and_port(place: str) -> tuple[str, int]:
    """Return what `HOST:PORT` names. Raises ValueError that says what is wrong and what was expected."""
    host, colon, port = place.rpartition(":")
    host = host.removeprefix("[").removesuffix("]")
    if not colon or not host:
        raise ValueError(f"tcp:{place}: a part is missing, expected tcp:HOST:PORT")
    if not (_HOST.fullmatch(host) or _is_address(host)):
        raise ValueError(f"{host!r} is no name of a computer and no address, expected tcp:HOST:PORT")
    return host, _port_number(port)


def _modbus(rest: str) -> ModbusPort:
    place, mark, query = rest.partition("?")
    bare = place.endswith("]") or ":" not in place
    port = _tcp(f"{place}:{MODBUS_TCP}{mark}{query}" if bare else rest)
    if port.end != LINE:
        raise ValueError("end= of registers, expected from or on")
    return ModbusPort(port.host, port.port, port.sender, port.on)


def _callers(rest: str) -> CallersPort:
    place, _, query = rest.partition("?")
    given = _settings(query, ("from", "callers"), "a port for calls")
    own, colon, port = place.rpartition(":")
    like = "an address of this computer such as 192.168.1.5, or 0.0.0.0 for all"
    try:
        address = ip_address(own.removeprefix("[").removesuffix("]") if colon else LOOPBACK)
    except ValueError:
        raise ValueError(f"tcp-in:{own} is not an address, expected {like}") from None
    if address.is_multicast:
        raise ValueError(f"tcp-in:{own} is the address of nobody, expected {like}")
    callers = given.get("callers", "8")
    if not (callers.isascii() and callers.isdigit() and 1 <= int(callers) <= MOST_CALLERS):
        raise ValueError(f"callers={callers}, expected 1 to {MOST_CALLERS}")
    sender = _address(given, "from", ipv6=address.version == 6)
    return CallersPort(_port_number(port), str(address), sender, int(callers))


def _file(rest: str) -> FilePort:
    path, _, query = rest.partition("?")
    if not path:
        raise ValueError("no file, expected file:PATH")
    given = _settings(query, ("from",), "a file")
    begin = _one_of("from", given.get("from", "end"), ("start", "end"))
    return FilePort(path, begin == "start")


def _csv(rest: str) -> CsvPort:
    path, _, query = rest.partition("?")
    if not path:
        raise ValueError("no file, expected csv:PATH")
    given = _settings(query, ("from", "to"), "an export")
    begin = _one_of("from", given.get("from", "start" if "to" in given else "end"), ("start", "end"))
    to_end = _one_of("to", given.get("to", "end"), ("end",)) == "end" and "to" in given
    if to_end and begin == "end":
        raise ValueError("from=end and to=end together, expected one of them")
    return CsvPort(path, begin == "start", to_end)


def _address(given: dict[str, str], key: str, ipv6: bool) -> str | None:
    """Return an address as the system writes it; None where it is not given."""
    if key not in given:
        return None
    text, like = given[key], "one such as 192.168.1.20 or fe80::1" if ipv6 else "one such as 192.168.1.20"
    try:
        address = ip_address(text.removeprefix("[").removesuffix("]"))
    except ValueError:
        raise ValueError(f"{key}={text} is not an address, expected {like}") from None
    if address.version == 6 and not ipv6:
        raise ValueError(f"{key}={text} is not an IPv4 address, expected {like}")
    if address.is_multicast or (address.is_unspecified and key == "from"):
        raise ValueError(f"{key}={text} is the address of nobody, expected {like}")
    return str(address)


def _is_address(text: str) -> bool:
    try:
        ip_address(text)
    except ValueError:
        return False
    return True


def is_interface(on: str) -> bool:
    """Return True for the name of an interface, False for an address."""
    return _INTERFACE.fullmatch(on) is not None


def _where(given: dict[str, str], ipv6: bool) -> str | None:
    """Return an own address, or the name of an interface."""
    on = given.get("on")
    if on is None or is_interface(on):
        return on
    try:
        return _address(given, "on", ipv6)
    except ValueError as error:
        raise ValueError(f"{error}, or an interface such as eth0") from None


def _port_number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise ValueError(f"port number {text!r}, expected 1 to 65535")
    return int(text)
