"""The reader that belongs to a feed's port."""

from pathlib import Path
from typing import Any, Final

from alongside.errors import WrongInput
from alongside.feeds.callers import CallersReader
from alongside.feeds.export_file import ExportReader
from alongside.feeds.growing_file import FileReader
from alongside.feeds.inbox import Inbox
from alongside.feeds.modbus import ModbusSerialReader, ModbusTcpReader
from alongside.feeds.network import TcpReader, UdpReader
from alongside.feeds.polled import PolledSerialReader, PolledTcpReader
from alongside.feeds.reader import PortReader
from alongside.feeds.serial import SerialReader
from alongside.feeds.standard_input import StdinReader
from alongside.stay.model import Feed
from alongside.stay.ports import (
    CallersPort,
    CsvPort,
    FilePort,
    ModbusPort,
    ModbusSerialPort,
    SerialPort,
    StdinPort,
    UdpPort,
    parse_port,
)

SILENCE_S: Final = 300.0
"""After so long a silent connection is opened anew, where no channel says sooner."""


def reader_of(feed: Feed, inbox: Inbox, folder: Path = Path()) -> PortReader[Any]:
    """Return a reader, its port not opened yet; a file is looked for from `folder`. Raises WrongInput for a
    port that cannot be understood.

    A connection on which nothing comes is opened anew when the first of its channels is lost: a box that lost
    power knows nothing of the connection it had. A call is ended when the last of them is: not every caller
    has each channel.
    """
    try:
        port = parse_port(feed.port)
    except ValueError as error:
        raise WrongInput(f"feeds.{feed.name}.port: {error}") from error
    silence_s = min((source.lost_s for source in feed.channels), default=SILENCE_S)
    if isinstance(port, ModbusPort):
        return ModbusTcpReader(port, feed, inbox, silence_s=silence_s)
    if isinstance(port, ModbusSerialPort):
        return ModbusSerialReader(port, feed, inbox, silence_s=silence_s)
    if isinstance(port, SerialPort) and feed.poll is not None:
        return PolledSerialReader(port, feed.name, inbox, feed.poll)
    if isinstance(port, SerialPort):
        return SerialReader(port, feed.name, inbox)
    if isinstance(port, UdpPort):
        return UdpReader(port, feed.name, inbox)
    if isinstance(port, CsvPort):
        return ExportReader(port, feed, inbox, folder=folder)
    if isinstance(port, FilePort):
        return FileReader(port, feed.name, inbox, folder=folder)
    if isinstance(port, StdinPort):
        return StdinReader(port, feed.name, inbox)
    if isinstance(port, CallersPort):
        longest_s = max((source.lost_s for source in feed.channels), default=SILENCE_S)
        return CallersReader(port, feed.name, inbox, silence_s=longest_s)
    if feed.poll is not None:
        return PolledTcpReader(port, feed.name, inbox, feed.poll, silence_s=silence_s)
    return TcpReader(port, feed.name, inbox, silence_s=silence_s)
