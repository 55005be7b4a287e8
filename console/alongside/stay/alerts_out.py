"""Section `alerts_out:`, the port on which alerts go to the ship's network, and who may answer them."""

from typing import Final

from alongside.stay.fields import Field, choice, number, word
from alongside.stay.model.alerts_out import SAME_PORT, AlertsOut
from alongside.stay.nodes import Node
from alongside.stay.out_ports import TcpListen, parse_out_port
from alongside.stay.ports import TcpPort, UdpPort, parse_port
from alongside.stay.records import optional, record, required

PORT_EXPECTED: Final = "serial:DEVICE?baud=N, udp:ADDRESS:PORT or tcp:HOST:PORT"
COMMANDS_EXPECTED: Final = "udp:PORT?from=ADDRESS, udp:GROUP:PORT?from=ADDRESS or same_port"


def _read_port(node: Node) -> str:
    text = node.text(PORT_EXPECTED)
    if text is None:
        return ""
    try:
        if isinstance(parse_out_port(text), TcpListen):
            node.fault("alerts cannot wait for somebody to connect", PORT_EXPECTED)
    except ValueError as error:
        wrong, _, expected = str(error).partition(", expected ")
        node.fault(wrong, expected or PORT_EXPECTED)
        return ""
    return text


def _read_commands(node: Node) -> str:
    """A port that takes all comers is refused: who may answer is named."""
    text = node.text(COMMANDS_EXPECTED)
    if text is None or text == SAME_PORT:
        return text or ""
    try:
        port = parse_port(text)
    except ValueError as error:
        wrong, _, expected = str(error).partition(", expected ")
        node.fault(wrong, expected or COMMANDS_EXPECTED)
        return ""
    if not isinstance(port, UdpPort):
        kind = "a TCP port" if isinstance(port, TcpPort) else "this port"
        node.fault(f"commands are not taken from {kind} of their own", COMMANDS_EXPECTED)
    elif port.sender is None:
        node.fault("nobody is named, so anybody could answer", COMMANDS_EXPECTED)
    return text


def _same_port_has_one_other_end(node: Node, alerts: AlertsOut) -> None:
    if alerts.commands == SAME_PORT and alerts.port.startswith("udp:"):
        node["commands"].fault("anybody can send to a UDP port", "udp:PORT?from=ADDRESS")


def _commands_know_the_maker(node: Node, alerts: AlertsOut) -> None:
    """On a group for commands those to all others come as well."""
    if alerts.commands and alerts.form == "alf" and not alerts.maker and "maker" not in node:
        node.missing("maker", "three letters, with commands")


def _source_is_of_datagrams(node: Node, alerts: AlertsOut) -> None:
    if alerts.source and alerts.port and not alerts.port.startswith("udp:"):
        node["source"].fault("only datagrams of IEC 61162-450 bear a source", "a udp: port, or no source")


ALERTS_OUT: Final[Field[AlertsOut]] = record(
    AlertsOut,
    _same_port_has_one_other_end,
    _commands_know_the_maker,
    _source_is_of_datagrams,
    port=required(Field(PORT_EXPECTED, _read_port)),
    form=optional(choice("alf", "alr")),
    talker=optional(word("two letters or digits such as II", "[A-Z][A-Z0-9]")),
    maker=optional(word("three letters or digits such as XYZ", "[A-Z0-9]{3}")),
    commands=optional(Field(COMMANDS_EXPECTED, _read_commands)),
    source=optional(word("two letters and four digits such as II0001", "[A-Z]{2}[0-9]{4}")),
    heartbeat_s=optional(number("s", least=1, most=60)),
    list_s=optional(number("s", least=5, most=60)),
)
