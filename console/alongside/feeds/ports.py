"""The reader that belongs to a feed's port."""

from alongside.errors import WrongInput
from alongside.feeds.network import TcpReader, UdpReader
from alongside.feeds.reader import Deliver
from alongside.feeds.serial import SerialReader
from alongside.stay.model import Feed
from alongside.stay.ports import SerialPort, UdpPort, parse_port


def reader_of(feed: Feed, deliver: Deliver) -> SerialReader | UdpReader | TcpReader:
    """Return a reader, its port not opened yet. Raises WrongInput for a port that cannot be understood."""
    try:
        port = parse_port(feed.port)
    except ValueError as error:
        raise WrongInput(f"feeds.{feed.name}.port: {error}") from error
    if isinstance(port, SerialPort):
        return SerialReader(port, feed.name, deliver)
    if isinstance(port, UdpPort):
        return UdpReader(port, feed.name, deliver)
    return TcpReader(port, feed.name, deliver)
